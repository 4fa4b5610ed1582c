//! A source, game by game.

mod doubts;
mod file;
mod finish;
mod raw_rows;
mod reading;
mod report;
mod watch;

use scrim_floor::Parameters;

use crate::chunk::Flow;
use crate::mapping::Mapping;
use crate::names::Names;
use crate::{IngestError, IngestParams, Source};
use reading::Reading;
pub use report::{FailedFile, ReadGame, RefusedGame, SourceReport};
use watch::Nobody;
pub(crate) use watch::Watch;

/// Reads every game of `source` and gives each to `sink`, in the order in which they end.
///
/// Memory: one chunk of rows (a few thousand, or one row group's pages), the side tables, and at most 24 bytes a row of each
/// game that has begun and not ended. When a source has several games, a light pass over the game column alone first
/// finds where each ends, so that a game whose rows come back later, or in another file, is still whole; games that
/// lie one after the other are held one at a time. Refused rows are kept up to `max_quarantine_rows` a game.
///
/// # Errors
/// [`IngestError`] (as `E`) when nothing of the source can be read; whatever `sink` returns, at once. A game or file
/// that is refused while others can be read is no error but listed in the [`SourceReport`].
pub fn read_source<E: From<IngestError>>(
    source: &Source,
    params: &IngestParams,
    sink: &mut dyn FnMut(ReadGame) -> Result<(), E>,
) -> Result<SourceReport, E> {
    let mapping = Mapping::of(source.mapping.as_deref())?;
    read_watched(source, &mapping, params, sink, &mut Nobody)
}

pub(crate) fn read_watched<E: From<IngestError>>(
    source: &Source,
    mapping: &Mapping,
    params: &IngestParams,
    sink: &mut dyn FnMut(ReadGame) -> Result<(), E>,
    watch: &mut dyn Watch,
) -> Result<SourceReport, E> {
    params.check_in("ingest").map_err(IngestError::from)?;
    let mut names = Names::default();
    let mut reading = Reading::new(source, mapping, params, &mut names)?;
    let mut stopped: Option<E> = None;
    for (at, path) in source.tracking.iter().enumerate() {
        let read = reading.read_file(at, path, &mut names, watch, &mut |game| match sink(game) {
            Ok(()) => Flow::Continue(()),
            Err(error) => {
                stopped = Some(error);
                Flow::Break(())
            }
        });
        if let Err(error) = read {
            reading.break_games_of(at, path, &names);
            reading.report.failed_files.push(FailedFile {
                path: path.clone(),
                error,
            });
        }
        if let Some(stopped) = stopped {
            return Err(stopped);
        }
    }
    while let Some((&first, _)) = reading.open.first_key_value() {
        if let Some(game) = reading.finish(first, &mut names) {
            sink(game)?;
        }
    }
    for (game_id, rows) in &reading.refused_of {
        watch.refused(game_id, *rows);
    }
    Ok(reading.into_report(&names)?)
}
