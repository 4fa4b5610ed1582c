//! Which sources must be done: what was recorded of each when it was done, and what has changed since.

use std::collections::BTreeMap;
use std::time::{SystemTime, UNIX_EPOCH};

use rayon::prelude::*;
use scrim_ingest::Source;
use scrim_tables::ledger::{MadeFrom, Manifest, Part, json_text, read_json};
use scrim_tables::{Partition, RunInfo, Scope, Store, StoreError, source_stem};
use serde::{Deserialize, Serialize};

pub use crate::game_record::GameRecord;
use crate::game_record::Skipped;
pub use crate::inputs::FileStamp;
use crate::inputs::Inputs;
use crate::run_record::input_hash;

/// Which sources a run does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Redo {
    /// Those that are new or changed, by the lengths of the files that were written; after a run that did not get to its end, by their
    /// content.
    Changed {
        /// Whether the files that were written are read whole, and compared with their manifests.
        by_content: bool,
    },
    /// All of them.
    All,
}

/// Whether a source is done, and why.
#[derive(Debug, Clone, PartialEq)]
pub enum Decision {
    /// Nothing has changed since it was done.
    UpToDate(Box<SourceRecord>),
    /// It must be done.
    Do {
        /// Why, in words.
        why: String,
        /// SHA-256 of its files; `None` when one cannot be read, or must be brought here first.
        input_hash: Option<String>,
        /// Its files as they were before that; `None` when the system does not say.
        files: Option<Vec<FileStamp>>,
        /// Its games when it was last done.
        games: Vec<GameRecord>,
    },
}

/// What is recorded of a source that was done: `ledger/sources/SOURCE.json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SourceRecord {
    /// What its games were made from; the one input is the source itself.
    pub made_from: MadeFrom,
    /// Its games, in its order.
    pub games: Vec<GameRecord>,
    /// What of it was refused.
    pub refused: Vec<Skipped>,
    /// Its files, as they were before it was read.
    pub files: Vec<FileStamp>,
    /// When it was recorded, nanoseconds since 1970.
    pub recorded_ns: u64,
}

/// A file that was written this shortly before it was recorded may have been written again since, at what the system calls the
/// same time. 2 s: the coarsest clock of a file system in use (FAT's).
const CLOCK_STEP_NS: u64 = 2_000_000_000;

impl SourceRecord {
    /// Where the records are.
    pub const FOLDER: &str = "ledger/sources";

    fn path(source: &Source) -> String {
        format!("{}/{}.json", Self::FOLDER, source_stem(&source.name))
    }

    /// Where it has, or would have, tables.
    pub fn partitions(&self) -> impl Iterator<Item = Partition> {
        let refused = self.refused.iter().filter_map(Skipped::partition);
        self.games.iter().map(GameRecord::partition).chain(refused)
    }

    /// The record of a source of that name.
    fn read(store: &dyn Store, source: &Source) -> Result<Option<Self>, StoreError> {
        read_json(store, &Self::path(source))
    }

    /// Writes it.
    ///
    /// # Errors
    /// See [`Store::put`].
    pub fn put(&self, store: &dyn Store, source: &Source) -> Result<(), StoreError> {
        store.put(&Self::path(source), &json_text(self))
    }

    /// Removes the record of a source, which then is done again.
    ///
    /// # Errors
    /// See [`Store::remove`].
    pub fn forget(store: &dyn Store, source: &Source) -> Result<(), StoreError> {
        store.remove(&Self::path(source))
    }

    /// The hash of its input, when the files are by all signs those that were recorded.
    fn hash_of_same_files(&self, files: &[FileStamp]) -> Option<&String> {
        // A store's mark of a version needs no clock.
        let is_old = |file: &FileStamp| {
            file.version.is_some() || file.modified_ns.saturating_add(CLOCK_STEP_NS) < self.recorded_ns
        };
        (self.files == files && files.iter().all(is_old))
            .then(|| self.made_from.inputs.values().next())
            .flatten()
    }
}

/// Now, as records have it.
pub fn now_ns() -> u64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    u64::try_from(since.as_nanos()).unwrap_or(u64::MAX)
}

/// Which of the sources must be done, in their order; on the threads of the pool that this is called in.
///
/// # Errors
/// [`StoreError`] when the output cannot be read.
pub fn decide(
    sources: &[Source],
    inputs: &Inputs,
    store: &dyn Store,
    run: &RunInfo,
    redo: Redo,
) -> Result<Vec<Decision>, StoreError> {
    sources
        .par_iter()
        .with_max_len(1)
        .map(|source| decide_one(source, inputs, store, run, redo))
        .collect()
}

fn decide_one(
    source: &Source,
    inputs: &Inputs,
    store: &dyn Store,
    run: &RunInfo,
    redo: Redo,
) -> Result<Decision, StoreError> {
    let record = SourceRecord::read(store, source)?;
    let files = inputs.stamps(source);
    let known = record
        .as_ref()
        .zip(files.as_ref())
        .and_then(|(record, files)| record.hash_of_same_files(files).cloned());
    // Objects differ by their versions: they are only brought here to be read.
    let hash = known.or_else(|| inputs.are_here().then(|| input_hash(source).ok())?);
    let why = match (redo, &record, &hash) {
        (Redo::All, ..) => Some("all are done again".into()),
        (_, None, _) => Some("it is new here, or was not finished".into()),
        (_, _, None) if inputs.are_here() => Some("one of its files cannot be read".into()),
        (_, _, None) => Some("its objects have changed".into()),
        (Redo::Changed { by_content }, Some(record), Some(hash)) => {
            let now = MadeFrom::new(
                run,
                Scope::Game,
                BTreeMap::from([(source.name.clone(), hash.clone())]),
            );
            match what_changed(&record.made_from, &now) {
                Some(why) => Some(why),
                None => broken_game(record, store, by_content)?,
            }
        }
    };
    Ok(match (why, record) {
        (None, Some(record)) => Decision::UpToDate(Box::new(record)),
        (why, record) => Decision::Do {
            why: why.unwrap_or_default(),
            input_hash: hash,
            files,
            games: record.map(|record| record.games).unwrap_or_default(),
        },
    })
}

/// What is another in what something would be made from now; `None` when nothing is.
pub fn what_changed(then: &MadeFrom, now: &MadeFrom) -> Option<String> {
    if then.schema_version != now.schema_version {
        return Some(format!(
            "its tables are of schema version {}, this program's of {}",
            then.schema_version, now.schema_version
        ));
    }
    if then.program_version != now.program_version {
        return Some(format!(
            "it was made by version {} of the program, this one is {}",
            then.program_version, now.program_version
        ));
    }
    if then.parameters_hash != now.parameters_hash {
        return Some("the parameters have changed".into());
    }
    (then.inputs != now.inputs).then(|| "its files have changed".into())
}

/// Why a game of an unchanged source must be made again; `None` when all are as they were written.
fn broken_game(
    record: &SourceRecord,
    store: &dyn Store,
    by_content: bool,
) -> Result<Option<String>, StoreError> {
    for game in &record.games {
        let part = Part::Game(game.partition());
        let game_id = &game.game_id;
        let Some((manifest, _)) = Manifest::read(store, &part)? else {
            return Ok(Some(format!("game {game_id} has no manifest")));
        };
        if manifest.made_from != record.made_from {
            return Ok(Some(format!("game {game_id} was made from another source since")));
        }
        if let Some(table) = manifest.first_broken(store, &part, by_content)? {
            return Ok(Some(format!(
                "`{table}` of game {game_id} is not as it was written"
            )));
        }
    }
    Ok(None)
}
