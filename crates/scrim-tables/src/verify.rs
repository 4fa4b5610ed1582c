//! Reading tables again, as if one trusted nobody: files against their manifests, columns against their declarations, values against
//! their units, ids against the tables that they point into.
//!
//! In: a store. Out: [`Problem`]s, none when all is well. Knows nothing of how the tables were made.

mod columns;
mod ids;

use std::collections::BTreeMap;

use arrow::array::RecordBatch;

use crate::ledger::{Manifest, Part, STAGED, sha256_of};
use crate::partition::UNKNOWN_SEASON;
use crate::rows::{QuarantineRow, RunRow, table, tables};
use crate::{ReadStore, Row, Scope, StoreError, parquet_file};

/// Something that is not as it must be.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// The file.
    pub file: String,
    /// What was found, and what was expected.
    pub what: String,
}

/// What was read, and what is wrong with it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Verified {
    /// Files read.
    pub files: u64,
    /// Their bytes.
    pub bytes: u64,
    /// Their rows.
    pub rows: u64,
    /// What is wrong.
    pub problems: Vec<Problem>,
}

impl Verified {
    /// Adds others.
    pub fn add(&mut self, other: Self) {
        self.files += other.files;
        self.bytes += other.bytes;
        self.rows += other.rows;
        self.problems.extend(other.problems);
    }

    /// What is in a file; `None`, and a problem, where it cannot be read.
    fn read(&mut self, file: &str, bytes: Vec<u8>) -> Option<(RecordBatch, BTreeMap<String, String>)> {
        match parquet_file::read_whole(bytes) {
            Ok((batch, pairs)) => {
                self.rows += batch.num_rows() as u64;
                Some((batch, pairs))
            }
            Err(error) => {
                self.problem(file, format!("cannot be read: {error}"));
                None
            }
        }
    }

    fn problem(&mut self, file: &str, what: String) {
        self.problems.push(Problem {
            file: file.into(),
            what,
        });
    }
}

/// Reads all tables of a part.
///
/// # Errors
/// [`StoreError`] when a file is there and cannot be read.
pub fn verify_part(store: &dyn ReadStore, part: &Part) -> Result<Verified, StoreError> {
    let mut verified = Verified::default();
    let Some((manifest, _)) = Manifest::read(store, part)? else {
        verified.problem(&part.manifest(), "is no manifest that can be read".into());
        return Ok(verified);
    };
    let season = part.season().unwrap_or(UNKNOWN_SEASON);
    if manifest.season != season {
        let what = format!("says season {}, and is named for {season}", manifest.season);
        verified.problem(&part.manifest(), what);
    }
    let mut batches: BTreeMap<&'static str, RecordBatch> = BTreeMap::new();
    for (name, facts) in &manifest.files {
        let file = part.file(name);
        let Some(bytes) = store.get(&file)? else {
            verified.problem(&file, "is not there".into());
            continue;
        };
        verified.files += 1;
        verified.bytes += bytes.len() as u64;
        if bytes.len() as u64 != facts.bytes || sha256_of(&bytes) != facts.sha256 {
            let what = format!("is not the file of {} bytes that its manifest names", facts.bytes);
            verified.problem(&file, what);
            continue;
        }
        let Some(declared) = table(name).filter(|table| table.scope == part.scope()) else {
            verified.problem(&file, format!("`{name}` is no table that this part may have"));
            continue;
        };
        let Some((batch, pairs)) = verified.read(&file, bytes) else {
            continue;
        };
        if batch.num_rows() as u64 != facts.rows {
            let what = format!("has {} rows, its manifest says {}", batch.num_rows(), facts.rows);
            verified.problem(&file, what);
        }
        for (key, expected) in [
            ("schema_version", &manifest.made_from.schema_version),
            ("parameters_hash", &manifest.made_from.parameters_hash),
        ] {
            if pairs.get(key) != Some(expected) {
                let found = pairs.get(key).map_or("nothing", String::as_str);
                verified.problem(
                    &file,
                    format!("its footer's {key} is {found}, expected {expected}"),
                );
            }
        }
        let game = manifest.game_id.as_deref();
        for what in columns::check(declared, &batch, season, game) {
            verified.problem(&file, what);
        }
        batches.insert(declared.name, batch);
    }
    if part.scope() == Scope::Game {
        for (table, what) in ids::check(&batches) {
            verified.problem(&part.file(table), what);
        }
    }
    Ok(verified)
}

/// Reads the files of the tables' folders that belong to no part: refused rows of no game, and records of runs.
///
/// # Errors
/// As [`verify_part`].
pub fn verify_others(store: &dyn ReadStore) -> Result<Verified, StoreError> {
    let mut verified = Verified::default();
    for (info, is_its) in [
        (QuarantineRow::INFO, is_nameless as fn(&str) -> bool),
        (RunRow::INFO, |name: &str| name.ends_with(".parquet")),
    ] {
        for name in store.list(info.name)?.into_iter().filter(|name| is_its(name)) {
            let file = format!("{}/{name}", info.name);
            let Some(bytes) = store.get(&file)? else { continue };
            verified.files += 1;
            verified.bytes += bytes.len() as u64;
            let Some((batch, _)) = verified.read(&file, bytes) else {
                continue;
            };
            for what in columns::check(info, &batch, UNKNOWN_SEASON, None) {
                verified.problem(&file, what);
            }
        }
    }
    Ok(verified)
}

fn is_nameless(name: &str) -> bool {
    name.starts_with("unknown~~")
}

/// Files in the tables' folders that no manifest names, and files that a stopped run left on their way; names below the root.
///
/// # Errors
/// [`StoreError`] when a folder cannot be read.
pub fn orphans(store: &dyn ReadStore) -> Result<Vec<String>, StoreError> {
    let mut known: BTreeMap<String, Manifest> = BTreeMap::new();
    for scope in [Scope::Game, Scope::Season] {
        for part in Part::find(store, scope)? {
            if let Some((manifest, _)) = Manifest::read(store, &part)? {
                known.insert(part.stem(), manifest);
            }
        }
    }
    let mut found = Vec::new();
    for table in tables().filter(|table| table.scope != Scope::Run) {
        for name in store.list(table.name)? {
            let is_named = name
                .strip_suffix(".parquet")
                .and_then(|stem| known.get(stem))
                .is_some_and(|manifest| manifest.files.contains_key(table.name));
            let is_known = is_named || (table.name == QuarantineRow::TABLE && is_nameless(&name));
            if !is_known {
                found.push(format!("{}/{name}", table.name));
            }
        }
    }
    found.extend(
        store
            .list(STAGED)?
            .into_iter()
            .map(|name| format!("{STAGED}/{name}")),
    );
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::PartStage;
    use crate::rows::{PlayerRow, PossessionRow, ScreenRow, TouchRow};
    use crate::{LocalStore, Partition, RunInfo, Store, TakesRows};

    fn run() -> RunInfo {
        RunInfo {
            pipeline: "p".into(),
            parameters_toml: "a".into(),
            game_parameters_toml: "a".into(),
            version: "0".into(),
        }
    }

    fn part() -> Part {
        Part::Game(Partition::new(Some("2041"), "G"))
    }

    fn player(id: &str) -> PlayerRow {
        PlayerRow {
            game_id: "G".into(),
            player_id: id.into(),
            ..PlayerRow::blank()
        }
    }

    fn possession(possession_id: u32) -> PossessionRow {
        PossessionRow {
            game_id: "G".into(),
            possession_id,
            ..PossessionRow::blank()
        }
    }

    fn touch(possession_id: u32, player: &str) -> TouchRow {
        TouchRow {
            game_id: "G".into(),
            possession_id,
            player_id: player.into(),
            ..TouchRow::blank()
        }
    }

    fn problems(touches: &[TouchRow], screens: &[ScreenRow]) -> Vec<String> {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        let run = run();
        let mut stage = PartStage::new(&run, part());
        stage.add(&[player("a"), player("b")]).unwrap();
        stage.add(&[possession(0)]).unwrap();
        stage.add(touches).unwrap();
        stage.add(screens).unwrap();
        stage.publish(&store, BTreeMap::new()).unwrap();
        let verified = verify_part(&store, &part()).unwrap();
        verified
            .problems
            .into_iter()
            .map(|problem| problem.what)
            .collect()
    }

    #[test]
    fn what_was_written_whole_has_no_problem() {
        assert_eq!(problems(&[touch(0, "a")], &[]), Vec::<String>::new());
    }

    #[test]
    fn an_id_that_points_nowhere_a_double_key_and_a_wrong_game_are_named() {
        let said = problems(&[touch(7, "a")], &[]);
        assert!(said[0].contains("possession_id 7"), "{said:?}");
        let said = problems(&[touch(0, "z")], &[]);
        assert!(said[0].contains("player_id z"), "{said:?}");
        let said = problems(&[touch(0, "a"), touch(0, "b")], &[]);
        assert!(
            said[0].contains("touch_id 0") && said[0].contains("twice"),
            "{said:?}"
        );
        let other = TouchRow {
            game_id: "H".into(),
            ..touch(0, "a")
        };
        let said = problems(&[other], &[]);
        assert!(said[0].contains("game_id"), "{said:?}");
    }

    #[test]
    fn a_value_out_of_its_bounds_and_times_in_the_wrong_order_are_named() {
        let screen = ScreenRow {
            game_id: "G".into(),
            user_id: "a".into(),
            screener_id: "b".into(),
            confidence: 1.5,
            ..ScreenRow::blank()
        };
        let said = problems(&[], &[screen]);
        assert!(said.iter().any(|what| what.contains("confidence")), "{said:?}");
        let late = TouchRow {
            t_start_s: 2.0,
            t_end_s: 1.0,
            ..touch(0, "a")
        };
        let said = problems(&[late], &[]);
        assert!(said[0].contains("t_start_s"), "{said:?}");
    }

    #[test]
    fn a_changed_file_and_a_file_that_nobody_names_are_found() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        let run = run();
        let mut stage = PartStage::new(&run, part());
        stage.add(&[player("a")]).unwrap();
        stage.publish(&store, BTreeMap::new()).unwrap();
        assert_eq!(orphans(&store).unwrap(), Vec::<String>::new());
        store.put("touches/2041~G.parquet", &[1]).unwrap();
        assert_eq!(orphans(&store).unwrap(), ["touches/2041~G.parquet"]);
        let name = part().file("players");
        let mut bytes = store.get(&name).unwrap().unwrap();
        bytes[9] ^= 4;
        store.put(&name, &bytes).unwrap();
        let said = verify_part(&store, &part()).unwrap().problems;
        assert!(said[0].what.contains("manifest"), "{said:?}");
    }
}
