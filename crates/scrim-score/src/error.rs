//! What stops scoring, and what is only reported.

use scrim_floor::ParameterError;
use std::fmt;
use std::io;
use std::path::PathBuf;

use parquet::errors::ParquetError;
use serde::Serialize;

/// Where in a file: text counts lines from 1 (the header is line 1), columnar files count rows from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// A line of a text file, from 1.
    Line(u64),
    /// A row of a columnar file, from 0.
    Row(u64),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line(line) => write!(f, "line {line}"),
            Self::Row(row) => write!(f, "row {row} (the first is 0)"),
        }
    }
}

/// Tables that could not be scored.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ScoreError {
    /// A folder that was named is not there, or is a file.
    #[error("{path}: no such folder; expected the folder of the {role}")]
    NoFolder {
        /// What was named.
        path: PathBuf,
        /// `tables` or `labels`.
        role: &'static str,
    },
    /// The labels' folder holds no label file.
    #[error(
        "{path}: no labels found; expected a file named {expected} here, in `labels/`, or in a folder a game \
         below, as .csv or .parquet"
    )]
    NoLabels {
        /// The folder.
        path: PathBuf,
        /// The names that would have been read.
        expected: String,
    },
    /// The labels' folder holds labels, but none of a table that is needed.
    #[error(
        "{path}: no labels of `{table}`; expected a file {table}.csv or {table}.parquet beside the others"
    )]
    NoLabelsOf {
        /// The folder.
        path: PathBuf,
        /// The table.
        table: &'static str,
    },
    /// A file or folder could not be read.
    #[error("{path}: cannot be read; check that it exists and may be read")]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Not Parquet, or damaged.
    #[error("{path}: not a Parquet file that can be read; write it again, or remove it")]
    Parquet {
        /// The file.
        path: PathBuf,
        /// What the library said.
        source: ParquetError,
    },
    /// Text that is not UTF-8.
    #[error("{path}, {place}: not UTF-8 text; save the sheet as \"CSV UTF-8\"")]
    NotUtf8 {
        /// The file.
        path: PathBuf,
        /// The line.
        place: Place,
    },
    /// Delimited text that the reader of such text refused.
    #[error("{path}: not delimited text that can be read; save the sheet as CSV")]
    Csv {
        /// The file.
        path: PathBuf,
        /// What the library said.
        source: csv::Error,
    },
    /// A line has more cells than the header names.
    #[error(
        "{path}, {place}: found {found} cells, expected at most {expected}, one a column of the header; put text with \
         commas in quotes"
    )]
    TooManyCells {
        /// The file.
        path: PathBuf,
        /// The line.
        place: Place,
        /// Cells of the line.
        found: usize,
        /// Cells of the header.
        expected: usize,
    },
    /// Two columns of one name.
    #[error("{path}: column `{column}` is there twice; keep one")]
    RepeatedColumn {
        /// The file.
        path: PathBuf,
        /// The name.
        column: String,
    },
    /// A column without which no row of the table can be placed.
    #[error("{path}: no column `{column}`, without which no row of `{table}` can be placed; found {found}")]
    MissingColumn {
        /// The file.
        path: PathBuf,
        /// The table.
        table: &'static str,
        /// The column.
        column: &'static str,
        /// The columns that are there.
        found: String,
    },
    /// A column of a type that cannot be what the contract says.
    #[error("{path}: column `{column}` is of type {found}, expected {expected}")]
    ColumnType {
        /// The file.
        path: PathBuf,
        /// The column.
        column: &'static str,
        /// Its type.
        found: String,
        /// What it should hold.
        expected: &'static str,
    },
    /// A label's word that is not in the vocabulary.
    #[error(
        "{path}, {place}: found `{found}` in column `{column}`, expected one of {expected}, or an empty cell for \
         \"not judged\""
    )]
    UnknownWord {
        /// The file.
        path: PathBuf,
        /// The row.
        place: Place,
        /// The tag's column.
        column: &'static str,
        /// The word found.
        found: String,
        /// The words of that tag.
        expected: String,
    },
    /// A cell that is not what its column should hold.
    #[error("{path}, {place}: found `{found}` in column `{column}`, expected {expected}, or an empty cell")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// The row.
        place: Place,
        /// The column.
        column: &'static str,
        /// The cell.
        found: String,
        /// What it should be.
        expected: &'static str,
    },
    /// A labelled span of time that cannot be.
    #[error(
        "{path}, {place}: found t_start_s {start_s} and t_end_s {end_s}, expected seconds of one period, the end not \
         before the start and within a day of it"
    )]
    Span {
        /// The file.
        path: PathBuf,
        /// The row.
        place: Place,
        /// Its start.
        start_s: f64,
        /// Its end.
        end_s: f64,
    },
    /// A row about a stretch that was looked at, and does not say which.
    #[error(
        "{path}, {place}: found a part of a window, expected `period` (a whole number from 1 to 255), `t_start_s` and `t_end_s`, all \
         three or none"
    )]
    Window {
        /// The file.
        path: PathBuf,
        /// The row.
        place: Place,
    },
    /// Labelled games that the tables do not hold.
    #[error(
        "{tables}: no tables for the labelled games {games}; the tables hold {found}: run these games first, take their \
         labels away, or set `games_without_tables`"
    )]
    GamesWithoutTables {
        /// The tables' folder.
        tables: PathBuf,
        /// Labelled games that are not there.
        games: String,
        /// Games that are.
        found: String,
    },
    /// A parameter lies outside its bounds.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
}

/// Something in the input that changes what the numbers mean, noted in the report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, thiserror::Error)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[non_exhaustive]
pub enum Warning {
    /// Labels have a column that the contract does not name.
    #[error("{path}: column `{column}` is no column of `{table}`; it is not judged")]
    UnknownColumn {
        /// The file.
        path: String,
        /// The table.
        table: &'static str,
        /// The column.
        column: String,
    },
    /// A label file that another one of the same table hides.
    #[error("{path} was not read, for {instead} was")]
    FileNotRead {
        /// The file.
        path: String,
        /// The one that was read.
        instead: String,
    },
    /// Labels without the column of the row's main word: every row is a zone of doubt.
    #[error("{path}: no column `{column}`, so every row is a zone of doubt and nothing is judged")]
    AllInDoubt {
        /// The file.
        path: String,
        /// The column.
        column: &'static str,
    },
    /// Label rows without a cell that is needed to place them.
    #[error(
        "{table}: {rows} label rows cannot be placed and are not judged; first: {first}; needed: {needed}"
    )]
    RowsNotPlaced {
        /// The table.
        table: &'static str,
        /// How many.
        rows: usize,
        /// Where the first is.
        first: String,
        /// The cells that are needed.
        needed: String,
    },
    /// One game labelled in several files of one table.
    #[error("{table}: game {game_id} is labelled in several files; a thing labelled twice counts twice")]
    GameInSeveralFiles {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
    },
    /// One game of the tables in several places, so that its rows are there twice.
    #[error("{table}: game {game_id} lies in several season folders; its rows count twice, remove the older")]
    GameInSeveralSeasons {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
    },
    /// One `screen_id` on several labelled screens of a game.
    #[error(
        "labels: several screens of game {game_id} have screen_id {screen_id}; what names it may link wrongly"
    )]
    RepeatedScreenId {
        /// The game.
        game_id: String,
        /// The id.
        screen_id: String,
    },
    /// Label rows that name a screen which the labels do not hold.
    #[error("{table}: {rows} label rows name a screen that the labels do not hold; they are not judged")]
    ScreenNotLabelled {
        /// The table.
        table: &'static str,
        /// How many rows.
        rows: usize,
    },
    /// Labels judge a column that the tables do not have.
    #[error(
        "{table}: the tables have no column `{column}`, which the labels judge; every row counts as no answer"
    )]
    ColumnNotInTables {
        /// The table.
        table: &'static str,
        /// The column.
        column: &'static str,
    },
    /// The tables hold a word that this version does not know. It counts as wrong.
    #[error("{table}: the tables say `{word}` in column `{column}`, a word unknown here")]
    UnknownWordInTables {
        /// The table.
        table: &'static str,
        /// The column.
        column: &'static str,
        /// The word.
        word: String,
    },
    /// Confidences that are not between 0 and 1: left out of the reliability table.
    #[error("{table}: {rows} confidences are not between 0 and 1; left out of the reliability table")]
    ConfidenceOutOfRange {
        /// The table.
        table: &'static str,
        /// How many rows.
        rows: usize,
    },
    /// A labelled game without any tables, left out as asked or counted as missed as asked.
    #[error("game {game_id} is labelled and has no tables")]
    GameWithoutTables {
        /// The game.
        game_id: String,
    },
}
