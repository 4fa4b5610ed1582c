//! The folder of tables, opened for writing: by one at a time, and after what the last one left has been finished.

use std::collections::BTreeSet;

use anyhow::{Result, bail};
use scrim_ingest::Source;
use scrim_objects::Location;
use scrim_tables::ledger::{Manifest, OutputLock, Part, recover};
use scrim_tables::{OutputStore, RunInfo, Scope};
use tracing::warn;

use crate::command::tables_in;
use crate::run_record::RunRecord;
use crate::source_record::Redo;

/// An output, held.
pub struct Output {
    store: Box<dyn OutputStore>,
    lock: Box<dyn OutputLock>,
}

impl Output {
    /// Takes hold of a place, and finishes what a run that was stopped had begun.
    ///
    /// # Errors
    /// When another writes there, it cannot be written, or it holds tables of another schema version.
    pub fn open(place: &Location, what: &str, record: &RunRecord<'_>) -> Result<Self> {
        let store = tables_in(place)?;
        let lock = store.lock(&record.holder(what))?;
        let (moved, removed) = recover(store.as_ref())?;
        if let Some(holder) = lock.unfinished() {
            warn!(
                what = holder.what,
                process = holder.process,
                host = holder.host,
                started = holder.started,
                files_moved = moved,
                files_removed = removed,
                "the last one to write here did not get to its end: what it left is finished, and every file is read and compared \
                 with its manifest"
            );
        }
        Ok(Self { store, lock })
    }

    /// Its files.
    pub fn store(&self) -> &dyn OutputStore {
        self.store.as_ref()
    }

    /// Which sources a run does here.
    pub fn redo(&self, force: bool) -> Redo {
        if force {
            Redo::All
        } else {
            Redo::Changed {
                by_content: self.lock.unfinished().is_some(),
            }
        }
    }

    /// Gives it back after a small change. What one before left unfinished, the next run still reads whole.
    ///
    /// # Errors
    /// When the lock cannot be written.
    pub fn give_back(self) -> Result<()> {
        match self.lock.unfinished() {
            Some(_) => Ok(()),
            None => self.close(),
        }
    }

    /// Gives it back, all written.
    ///
    /// # Errors
    /// When the lock cannot be written.
    pub fn close(self) -> Result<()> {
        Ok(self.lock.finish()?)
    }
}

/// Refuses to add to games that were made with other parameters and that these sources do not hold: a season would mix them.
///
/// # Errors
/// With an example, and what to do.
pub fn check_parameters(store: &dyn OutputStore, sources: &[Source], run: &RunInfo) -> Result<()> {
    let ours = run.parameters_hash(Scope::Game);
    let names: BTreeSet<&str> = sources.iter().map(|source| source.name.as_str()).collect();
    let mut others = 0;
    let mut example = None;
    for part in Part::find(store, Scope::Game)? {
        let Some((manifest, _)) = Manifest::read(store, &part)? else {
            continue;
        };
        let inputs = &manifest.made_from.inputs;
        if manifest.made_from.parameters_hash != ours
            && !inputs.keys().any(|name| names.contains(name.as_str()))
        {
            others += 1;
            example.get_or_insert(manifest);
        }
    }
    let Some(example) = example else { return Ok(()) };
    let source = example.made_from.inputs.into_keys().next().unwrap_or_default();
    bail!(
        "{}: {others} games here were made with other parameters, and this input does not hold them (for example game {} of season \
         {}, from `{source}`): a season must not mix the two. Give another --output, run them all again together, or remove them \
         with `scrim prune`",
        store.place(),
        example.game_id.unwrap_or_default(),
        example.season,
    )
}
