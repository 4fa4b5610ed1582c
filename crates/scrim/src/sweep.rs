//! A grid of parameters over a sample of games: what is counted in each cell, against the pipeline's own values.
//!
//! A source is read once, by one worker, and a game goes through the grid before the next is begun: memory is one game a worker, and
//! what the varied parameters have no say in is done once a game.

mod vary;

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use anyhow::{Result, bail};
use rayon::prelude::*;
use scrim_compare::{ComparedTables, Tally};
use scrim_ingest::{IngestError, ReadGame, Source, read_source};
use scrim_tables::{Partition, TableError, with_causes};
use tracing::warn;

pub use self::vary::{Grid, Vary, VaryError};
use crate::failure::guarded;
use crate::inputs::Inputs;
use crate::run::MOST_JOBS;
use crate::stages::vary_game;
use crate::{Failure, GameTables, Pipeline};

/// What a sweep counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Swept {
    /// The games, in order.
    pub games: Vec<Partition>,
    /// What was counted in each cell, over them.
    pub tallies: Vec<Tally>,
    /// Games and sources that could not be done, and why.
    pub skipped: Vec<String>,
}

/// So many of the sources, evenly spread in their order: the middle one of each of `count` equal parts.
pub fn sample(sources: &[Source], count: usize) -> Vec<&Source> {
    let count = count.min(sources.len());
    (0..count)
        .map(|place| &sources[(2 * place + 1) * sources.len() / (2 * count)])
        .collect()
}

/// What one source gave: a count a cell of each game.
#[derive(Default)]
struct OfSource {
    games: Vec<(Partition, Vec<Tally>)>,
    skipped: Vec<String>,
}

/// Runs the grid over every game of the sources. A game or source that fails is listed, and the others go on; of a game in two sources,
/// the first one's counts. `on_source`: called as each is over.
///
/// # Errors
/// When the system gives no threads, or there is no game at all.
pub fn sweep_sources(
    sources: &[&Source],
    inputs: &Inputs,
    own: &Pipeline,
    grid: &Grid,
    jobs: usize,
    on_source: &(dyn Fn() + Sync),
) -> Result<Swept> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(jobs.clamp(1, sources.len().clamp(1, MOST_JOBS.into())))
        .build()?;
    let of_sources: Vec<OfSource> = pool.install(|| {
        sources
            .par_iter()
            // A piece a source: sources differ in size.
            .with_max_len(1)
            .map(|source| {
                let of_source = sweep_source(source, inputs, own, grid);
                on_source();
                of_source
            })
            .collect()
    });
    let mut games: BTreeMap<Partition, Vec<Tally>> = BTreeMap::new();
    let mut skipped = Vec::new();
    for of_source in of_sources {
        skipped.extend(of_source.skipped);
        for (partition, tallies) in of_source.games {
            match games.entry(partition) {
                Entry::Occupied(game) => skipped.push(format!(
                    "game {}: in another source too, whose counts are kept",
                    game.key().game_id()
                )),
                Entry::Vacant(game) => {
                    game.insert(tallies);
                }
            }
        }
    }
    if games.is_empty() {
        bail!("no game could be swept: {}", skipped.join("; "));
    }
    let mut tallies = vec![Tally::default(); grid.cells.len()];
    for of_game in games.values() {
        for (all, one) in tallies.iter_mut().zip(of_game) {
            all.take_in(one);
        }
    }
    Ok(Swept {
        games: games.into_keys().collect(),
        tallies,
        skipped,
    })
}

fn sweep_source(source: &Source, inputs: &Inputs, own: &Pipeline, grid: &Grid) -> OfSource {
    let mut found = OfSource::default();
    let skip = |what: &str, failure: Failure, skipped: &mut Vec<String>| {
        let reason = with_causes(&inputs.name_in_failure(failure));
        warn!(source = source.name, reason, "left out of the sweep");
        skipped.push(format!("{what}: {reason}"));
    };
    let brought = match inputs.bring(source) {
        Ok(brought) => brought,
        Err(failure) => {
            skip(&source.name, failure, &mut found.skipped);
            return found;
        }
    };
    let mut skipped = Vec::new();
    let read = guarded(|| {
        let report = read_source(source, &own.ingest, &mut |read: ReadGame| {
            let partition = Partition::new(read.raw.info.season.as_deref(), &read.raw.info.game_id);
            match guarded(|| sweep_game(read, own, grid)) {
                Ok(tallies) => found.games.push((partition, tallies)),
                Err(failure) => skip(partition.game_id(), failure, &mut skipped),
            }
            Ok::<(), IngestError>(())
        })?;
        Ok(report)
    });
    match read {
        Ok(report) => {
            for file in report.failed_files {
                skip(&source.name, file.error.into(), &mut skipped);
            }
            for game in report.refused {
                skip(&game.game_id, game.error.into(), &mut skipped);
            }
        }
        Err(failure) => skip(&source.name, failure, &mut skipped),
    }
    drop(brought);
    found.skipped = skipped;
    found
}

/// What each cell counts in one game.
fn sweep_game(read: ReadGame, own: &Pipeline, grid: &Grid) -> Result<Vec<Tally>, Failure> {
    let mut own_tables = ComparedTables::default();
    let mut tallies = Vec::with_capacity(grid.cells.len());
    vary_game(read.raw, own, &grid.cells, grid.first, &mut |cell, tables| {
        let compared = compared_of(&tables)?;
        match cell {
            None => own_tables = compared,
            Some(_) => tallies.push(Tally::of(&own_tables, &compared)),
        }
        Ok(())
    })?;
    Ok(tallies)
}

/// The tables of a game that are compared.
fn compared_of(tables: &GameTables) -> Result<ComparedTables, TableError> {
    let mut compared = ComparedTables::default();
    tables.give_to(&mut compared)?;
    Ok(compared)
}

#[cfg(test)]
mod tests;
