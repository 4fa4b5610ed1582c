//! From rows to files in place, all of a part together.

use std::collections::BTreeMap;

use super::manifest::{FileFacts, MadeFrom, Manifest, Part, json_text, of_staged, sha256_of, staged};
use super::places::STAGED;
use super::video::MarkedVideo;
use crate::metadata::Footer;
use crate::parquet_file::write_with_footer;
use crate::rows::{GameRow, tables};
use crate::{Row, RunInfo, Store, StoreError, TableError, TakesRows};

/// A part's tables on their way to a store: encoded one by one, published together.
#[derive(Debug)]
pub struct PartStage {
    part: Part,
    /// By what; `inputs` is empty until the part is published.
    made_from: MadeFrom,
    footer: Footer,
    files: BTreeMap<&'static str, (Vec<u8>, FileFacts)>,
    video: Option<MarkedVideo>,
}

impl PartStage {
    /// An empty stage for `part`.
    pub fn new(run: &RunInfo, part: Part) -> Self {
        let made_from = MadeFrom::new(run, part.scope(), BTreeMap::new());
        Self::made_by(made_from, part)
    }

    /// An empty stage for tables that go beside those that a part has, with footers like theirs.
    pub fn beside(old: &Manifest, part: Part) -> Self {
        Self::made_by(old.made_from.clone(), part)
    }

    fn made_by(made_from: MadeFrom, part: Part) -> Self {
        Self {
            part,
            footer: made_from.footer(),
            made_from,
            files: BTreeMap::new(),
            video: None,
        }
    }

    /// Rows in all its tables.
    pub fn rows(&self) -> u64 {
        self.files.values().map(|(_, facts)| facts.rows).sum()
    }

    /// What a table's file is, once it was added.
    pub fn facts(&self, table: &str) -> Option<&FileFacts> {
        self.files.get(table).map(|(_, facts)| facts)
    }

    /// Keeps what people marked of the game's video with the part; `None` where nothing is marked.
    pub fn keep_video(&mut self, video: Option<MarkedVideo>) {
        self.video = video;
    }

    /// Makes the store's part this one: all of it, or on an error nothing of it. `inputs`: see [`MadeFrom`]. The manifest's SHA-256.
    ///
    /// # Errors
    /// See [`Store::put`].
    pub fn publish(self, store: &dyn Store, inputs: BTreeMap<String, String>) -> Result<String, StoreError> {
        let made_from = MadeFrom {
            inputs,
            ..self.made_from.clone()
        };
        let new = Manifest {
            video: self.video.clone(),
            ..Manifest::new(&self.part, made_from, BTreeMap::new())
        };
        self.put(store, new)
    }

    /// Puts these tables beside those that the part has, which stay, and stay made from what they were. What is marked stays, too,
    /// unless `games` is among these tables.
    ///
    /// # Errors
    /// See [`Store::put`].
    pub fn add_to(self, store: &dyn Store, mut old: Manifest) -> Result<String, StoreError> {
        if self.files.contains_key(GameRow::TABLE) {
            old.video.clone_from(&self.video);
        }
        self.put(store, old)
    }

    /// Puts these tables beside those that `manifest` names.
    fn put(self, store: &dyn Store, mut manifest: Manifest) -> Result<String, StoreError> {
        let old = Manifest::read(store, &self.part)?;
        for (table, (_, facts)) in &self.files {
            manifest.files.insert((*table).to_owned(), facts.clone());
        }
        let text = json_text(&manifest);
        let digest = sha256_of(&text);
        let staging = self
            .files
            .iter()
            .try_for_each(|(table, (bytes, _))| store.put(&staged(&self.part, &digest, table), bytes));
        if let Err(error) = staging.and_then(|()| store.put(&self.part.manifest(), &text)) {
            for table in self.files.keys() {
                // Best effort: the first error is the one to report, and the next run removes the rest.
                let _ = store.remove(&staged(&self.part, &digest, table));
            }
            return Err(error);
        }
        for table in self.files.keys() {
            store.rename(&staged(&self.part, &digest, table), &self.part.file(table))?;
        }
        let gone = old.into_iter().flat_map(|(old, _)| old.files.into_keys());
        for table in gone.filter(|table| !manifest.files.contains_key(table)) {
            store.remove(&self.part.file(&table))?;
        }
        Ok(digest)
    }
}

impl TakesRows for PartStage {
    /// Encodes them.
    fn add<R: Row>(&mut self, rows: &[R]) -> Result<(), TableError> {
        let bytes = write_with_footer(rows, self.part.season(), &self.footer)?;
        let facts = FileFacts {
            bytes: bytes.len() as u64,
            rows: rows.len() as u64,
            sha256: sha256_of(&bytes),
        };
        self.files.insert(R::TABLE, (bytes, facts));
        Ok(())
    }
}

/// Finishes what a writer that was stopped has begun: moves the staged files that a manifest names, removes the others. Only
/// while no other writes. How many files were moved, and removed.
///
/// # Errors
/// [`StoreError`] when the store cannot be read or written.
pub fn recover(store: &dyn Store) -> Result<(u64, u64), StoreError> {
    let (mut moved, mut removed) = (0, 0);
    for name in store.list(STAGED)? {
        let path = format!("{STAGED}/{name}");
        // By its bytes, too: a writer that was to put the same part again may have been stopped half-way through a file.
        if let Some((part, digest, table)) = of_staged(&name)
            && let Some((manifest, current)) = Manifest::read(store, &part)?
            && current.starts_with(digest)
            && let Some(facts) = manifest.files.get(table)
            && store
                .get(&path)?
                .is_some_and(|bytes| sha256_of(&bytes) == facts.sha256)
        {
            store.rename(&path, &part.file(table))?;
            moved += 1;
        } else {
            store.remove(&path)?;
            removed += 1;
        }
    }
    Ok((moved, removed))
}

/// Removes a part: its files first, its manifest last, so that what a stop leaves of it is still found.
///
/// # Errors
/// See [`Store::remove`].
pub fn remove_part(store: &dyn Store, part: &Part) -> Result<(), StoreError> {
    for table in tables().filter(|table| table.scope == part.scope()) {
        store.remove(&part.file(table.name))?;
    }
    store.remove(&part.manifest())
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;
    use crate::ledger::Snapshot;
    use crate::rows::{MatchupRow, TouchRow};
    use crate::{LocalStore, Partition, ReadStore};

    /// A store in which the writer is killed at one of its steps: that step and all after it fail.
    struct Killed {
        inner: LocalStore,
        steps_left: AtomicUsize,
    }

    impl Killed {
        fn step(&self) -> Result<(), StoreError> {
            let left = self
                .steps_left
                .fetch_update(Ordering::Relaxed, Ordering::Relaxed, |left| left.checked_sub(1));
            left.map(|_| ()).map_err(|_| {
                crate::store::io_error(self.inner.root(), "go on")(std::io::Error::other("killed"))
            })
        }
    }

    impl ReadStore for Killed {
        fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
            self.inner.get(name)
        }
        fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
            self.inner.list(folder)
        }
    }

    impl Store for Killed {
        fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
            self.step()?;
            self.inner.put(name, bytes)
        }
        fn rename(&self, from: &str, to: &str) -> Result<bool, StoreError> {
            self.step()?;
            self.inner.rename(from, to)
        }
        fn remove(&self, name: &str) -> Result<(), StoreError> {
            self.step()?;
            self.inner.remove(name)
        }
        fn size(&self, name: &str) -> Result<Option<u64>, StoreError> {
            self.inner.size(name)
        }
    }

    fn run() -> RunInfo {
        RunInfo {
            pipeline: "p".into(),
            parameters_toml: "a = 1".into(),
            game_parameters_toml: "a = 1".into(),
            version: "0".into(),
        }
    }

    fn part() -> Part {
        Part::Game(Partition::new(Some("2041"), "G/1"))
    }

    fn publish(store: &dyn Store, touches: u32) -> Result<String, StoreError> {
        let run = run();
        let mut stage = PartStage::new(&run, part());
        let rows: Vec<TouchRow> = (0..touches)
            .map(|touch_id| TouchRow {
                touch_id,
                ..TouchRow::blank()
            })
            .collect();
        stage.add(&rows).unwrap();
        stage.add::<MatchupRow>(&[]).unwrap();
        stage.publish(store, BTreeMap::from([("s".into(), touches.to_string())]))
    }

    /// What a reader through the manifest sees: number of touches, and whether there are matchups.
    fn seen(store: &LocalStore) -> Option<(u64, bool)> {
        let reader = Snapshot::new(store);
        let touches = reader.get(&part().file("touches")).unwrap();
        let matchups = reader.get(&part().file("matchups")).unwrap();
        touches.map(|bytes| {
            let rows = crate::read_rows::<TouchRow>(bytes).unwrap();
            (rows.len() as u64, matchups.is_some())
        })
    }

    #[test]
    fn a_writer_killed_at_any_step_leaves_the_old_part_or_the_new_one_and_the_next_finishes() {
        let mut was_old = 0;
        for steps in 0.. {
            let folder = tempfile::tempdir().unwrap();
            let inner = LocalStore::new(folder.path());
            publish(&inner, 1).unwrap();
            let store = Killed {
                inner: inner.clone(),
                steps_left: AtomicUsize::new(steps),
            };
            let result = publish(&store, 2);
            let before = seen(&inner);
            assert!(matches!(before, Some((1 | 2, true))), "{steps}: {before:?}");
            was_old += u32::from(before == Some((1, true)));
            recover(&inner).unwrap();
            assert_eq!(seen(&inner), before, "{steps}");
            assert_eq!(inner.list(STAGED).unwrap(), Vec::<String>::new(), "{steps}");
            // Who reads without the manifest sees the same then.
            let bytes = inner.get(&part().file("touches")).unwrap().unwrap();
            let rows = crate::read_rows::<TouchRow>(bytes).unwrap().len() as u64;
            assert_eq!(Some((rows, true)), before, "{steps}");
            if result.is_ok() {
                assert_eq!(before, Some((2, true)));
                // Two staged files and the manifest come before the new part stands.
                assert_eq!(was_old, 3);
                return;
            }
        }
    }

    #[test]
    fn the_same_rows_and_inputs_give_the_same_manifest() {
        let folders = [(); 2].map(|()| tempfile::tempdir().unwrap());
        let digests = folders
            .each_ref()
            .map(|folder| publish(&LocalStore::new(folder.path()), 3).unwrap());
        assert_eq!(digests[0], digests[1]);
    }

    #[test]
    fn a_file_that_is_gone_short_or_changed_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        publish(&store, 1).unwrap();
        let (manifest, _) = Manifest::read(&store, &part()).unwrap().unwrap();
        let broken = |by_content| manifest.first_broken(&store, &part(), by_content).unwrap();
        assert_eq!(broken(true), None);
        let name = part().file("touches");
        let mut bytes = store.get(&name).unwrap().unwrap();
        bytes[20] ^= 1;
        store.put(&name, &bytes).unwrap();
        assert_eq!((broken(false), broken(true)), (None, Some("touches")));
        store.put(&name, &bytes[1..]).unwrap();
        assert_eq!(broken(false), Some("touches"));
        store.remove(&name).unwrap();
        assert_eq!(broken(false), Some("touches"));
    }

    #[test]
    fn a_manifest_that_names_a_file_outside_of_the_tables_is_none() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        publish(&store, 1).unwrap();
        let text = String::from_utf8(store.get(&part().manifest()).unwrap().unwrap()).unwrap();
        for name in ["../touches", "/touches", "touches/a", "", &"t".repeat(300)] {
            let hostile = text.replace("\"touches\"", &format!("{name:?}"));
            assert_ne!(hostile, text);
            store.put(&part().manifest(), hostile.as_bytes()).unwrap();
            assert!(Manifest::read(&store, &part()).unwrap().is_none(), "{name}");
        }
    }

    #[test]
    fn a_table_that_the_new_part_lacks_goes() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        publish(&store, 1).unwrap();
        let run = run();
        let mut stage = PartStage::new(&run, part());
        stage.add::<MatchupRow>(&[]).unwrap();
        stage.publish(&store, BTreeMap::new()).unwrap();
        assert_eq!(seen(&store), None);
        assert_eq!(store.list("touches").unwrap(), Vec::<String>::new());
    }
}
