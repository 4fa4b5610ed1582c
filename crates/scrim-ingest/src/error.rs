//! What can be wrong with a whole file, source or game.

use std::path::PathBuf;

use scrim_floor::CourtError;
use scrim_tables::Id;

/// What stops the reading of a source, a file or a game.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum IngestError {
    /// A file or folder could not be opened or read.
    #[error("{path}: cannot be read; check that it exists and may be read", path = path.display())]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// A folder holds no tracking file.
    #[error(
        "{path}: no tracking file here, nor in a folder right below; a source folder holds `tracking.parquet` (or \
         `tracking.csv`, `tracking.json` ..., plain or with .gz or .zst)",
        path = path.display()
    )]
    NoTracking {
        /// The folder.
        path: PathBuf,
    },
    /// The Parquet library refused a file.
    #[error("{path}: begins as a Parquet file but cannot be read as one; it may be cut short: copy it again", path = path.display())]
    Parquet {
        /// The file.
        path: PathBuf,
        /// Why.
        source: parquet::errors::ParquetError,
    },
    /// Columns could not be brought to the type that they are needed in.
    #[error("{path}: columns cannot be read as what they are mapped to", path = path.display())]
    Arrow {
        /// The file.
        path: PathBuf,
        /// Why.
        source: arrow::error::ArrowError,
    },
    /// A column that must be there is not.
    #[error(
        "{path}: no column `{column}`, which is needed for {field}; found {found:?}{hint}",
        path = path.display(),
        hint = nearest.as_ref().map_or(String::from(
            "; name the right one in the mapping"), |n| format!("; `{n}` looks nearest: name it in the mapping"))
    )]
    MissingColumn {
        /// The file.
        path: PathBuf,
        /// What for.
        field: &'static str,
        /// The column's name.
        column: String,
        /// What there is.
        found: Vec<String>,
        /// The most similar of those.
        nearest: Option<String>,
    },
    /// A side table is not a table.
    #[error("{path}: cannot be read as a table with a header", path = path.display())]
    Csv {
        /// The file.
        path: PathBuf,
        /// Why.
        source: csv::Error,
    },
    /// A court that does not exist, or whose measures do not add up.
    #[error("game `{game_id}`: its court cannot be used")]
    Court {
        /// The game.
        game_id: Id,
        /// Why.
        source: CourtError,
    },
    /// A game without any row that could be used.
    #[error("game `{game_id}`: none of its {rows} rows could be used; see its quarantine")]
    NoRows {
        /// The game.
        game_id: Id,
        /// How many rows it has.
        rows: u64,
    },
    /// A game with fewer than two teams.
    #[error(
        "game `{game_id}`: rows of {found:?} only; a game has two teams: check the team column and what marks the ball"
    )]
    NotTwoTeams {
        /// The game.
        game_id: Id,
        /// The teams found.
        found: Vec<Id>,
    },
    /// Too many of a game's rows were refused.
    #[error(
        "game `{game_id}`: {refused} of {rows} rows were refused, more than the allowed share of {allowed}; most \
         often `{reason}`, for example: {example}"
    )]
    TooManyRefused {
        /// The game.
        game_id: Id,
        /// Rows refused.
        refused: u64,
        /// Rows in all.
        rows: u64,
        /// The share that is allowed.
        allowed: f64,
        /// The commonest reason.
        reason: &'static str,
        /// One such row's detail.
        example: String,
    },
}
