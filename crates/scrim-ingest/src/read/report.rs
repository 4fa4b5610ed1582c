//! What comes of reading a source.

use std::collections::BTreeMap;
use std::path::PathBuf;

use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;
use scrim_tracks::RawGame;

use crate::IngestError;

/// A game, and the rows of it that were refused.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadGame {
    /// The game.
    pub raw: RawGame,
    /// Its refused rows, by file and row.
    pub quarantine: Vec<QuarantineRow>,
    /// What makes it doubtful as a whole, a sentence each; [`SourceReport::notes`] has them too.
    pub notes: Vec<String>,
}

/// A game that was refused as a whole.
#[derive(Debug)]
pub struct RefusedGame {
    /// The game.
    pub game_id: Id,
    /// Its season, when the `games` side table has it.
    pub season: Option<Id>,
    /// Why.
    pub error: IngestError,
    /// The first thousand of its refused rows, and how many more there were.
    pub quarantine: Vec<QuarantineRow>,
}

/// A tracking file that could not be read to its end.
#[derive(Debug)]
pub struct FailedFile {
    /// The file.
    pub path: PathBuf,
    /// Why.
    pub error: IngestError,
}

/// What became of a source.
#[derive(Debug, Default)]
pub struct SourceReport {
    /// Games given to the sink.
    pub games: u32,
    /// Rows read.
    pub rows: u64,
    /// Games refused as a whole; the others went on.
    pub refused: Vec<RefusedGame>,
    /// Files that could not be read to their end; the others went on. A game that such a file had begun is refused; a
    /// game of other files that would have gone on in it cannot be known.
    pub failed_files: Vec<FailedFile>,
    /// Refused rows of no game: those whose game could not be read, and those of side tables.
    pub quarantine: Vec<QuarantineRow>,
    /// How many rows were refused in all, by reason; with those of refused games, of no game and of side tables.
    pub refused_rows: BTreeMap<RefusalReason, u64>,
    /// Columns of the tracking files that are not read, sorted.
    pub ignored_columns: Vec<String>,
    /// Event words that the contract does not know, and how often each stands; they are kept as they are.
    pub unknown_event_words: BTreeMap<Id, u64>,
    /// What else is worth knowing, a sentence each.
    pub notes: Vec<String>,
}
