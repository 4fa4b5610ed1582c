//! What can be wrong with a whole file, source or game.

use scrim_floor::ParameterError;
use std::path::PathBuf;

use scrim_floor::CourtError;
use scrim_tables::Id;

/// What stops the reading of a source, a file or a game. Bad rows are no errors: they go to the quarantine.
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
    /// Something else stands where a file should.
    #[error(
        "{path}: {found}, not a file; only files are read: put the data there themselves, or take it away",
        path = path.display()
    )]
    NotAFile {
        /// Where.
        path: PathBuf,
        /// What it is.
        found: &'static str,
    },
    /// A file of which more would have to be held in memory than is set aside for it.
    #[error(
        "{path}: {what} of more than {most} bytes; check that it is the right file, or split it",
        path = path.display()
    )]
    OverBudget {
        /// The file.
        path: PathBuf,
        /// What is so large.
        what: &'static str,
        /// The most that is held, bytes.
        most: u64,
    },
    /// A file that says of itself what cannot be.
    #[error(
        "{path}: the file claims {claim}, and {bound}; it is damaged, or no tracking: copy it again",
        path = path.display()
    )]
    Claim {
        /// The file.
        path: PathBuf,
        /// What it says.
        claim: String,
        /// What can be.
        bound: String,
    },
    /// A folder holds no tracking file.
    #[error(
        "{path}: no tracking file here, nor in a folder right below; a source folder holds `tracking.parquet` (or \
         `tracking.csv`, `tracking.json` and so on, plain or with .gz or .zst)",
        path = path.display()
    )]
    NoTracking {
        /// The folder.
        path: PathBuf,
    },
    /// A file without a byte, or without a row where there must be one.
    #[error("{path}: the file is empty; expected a tracking table", path = path.display())]
    EmptyFile {
        /// The file.
        path: PathBuf,
    },
    /// A file whose bytes are no format that is known.
    #[error(
        "{path}: {found}; expected delimited text, JSON, JSON lines, Parquet or Arrow IPC (text also as gzip or zstd)",
        path = path.display()
    )]
    UnknownFormat {
        /// The file.
        path: PathBuf,
        /// What its first bytes look like.
        found: String,
    },
    /// The mapping's form cannot be had from the file's format.
    #[error("{path}: the mapping's form `{form}` cannot be read from {format}; {fix}", path = path.display())]
    FormatAndForm {
        /// The file.
        path: PathBuf,
        /// The format found.
        format: &'static str,
        /// The form that the mapping names.
        form: &'static str,
        /// What would do.
        fix: &'static str,
    },
    /// Compressed bytes end too early.
    #[error("{path}: the compressed data end too early (after {read} bytes of text); copy the file again", path = path.display())]
    CutShort {
        /// The file.
        path: PathBuf,
        /// Bytes that came out before.
        read: u64,
        /// Why.
        source: std::io::Error,
    },
    /// Compressed bytes are damaged.
    #[error("{path}: the compressed data are damaged (after {read} bytes of text); copy the file again", path = path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// Bytes that came out before.
        read: u64,
        /// Why.
        source: std::io::Error,
    },
    /// A header that is not UTF-8.
    #[error("{path}: line {line} is not UTF-8; save the file as UTF-8", path = path.display())]
    NotUtf8 {
        /// The file.
        path: PathBuf,
        /// The line.
        line: u64,
    },
    /// A record longer than any row of tracking.
    #[error(
        "{path}: the record that begins at line {line} is longer than {most} bytes; look for a quote that is not closed, or for \
         missing line ends",
        path = path.display()
    )]
    RecordTooLong {
        /// The file.
        path: PathBuf,
        /// Where it begins.
        line: u64,
        /// The most that is read, bytes.
        most: usize,
    },
    /// Text that is not the JSON it should be.
    #[error(
        "{path}: not valid JSON at line {line}, column {column}; fix it there, or copy the file again if it ends early",
        path = path.display()
    )]
    Json {
        /// The file.
        path: PathBuf,
        /// Where, from 1.
        line: u64,
        /// Where, from 1.
        column: u64,
        /// Why.
        source: serde_json::Error,
    },
    /// A pointer of the mapping leads to no array or object of the document.
    #[error(
        "{path}: the pointer `{pointer}` leads to no array; found {found}: point `at` where the arrays are",
        path = path.display()
    )]
    PointerLeadsNowhere {
        /// The file.
        path: PathBuf,
        /// The pointer, from the document (`*` for each element walked).
        pointer: String,
        /// What was found on the way.
        found: String,
    },
    /// The Parquet library refused a file.
    #[error(
        "{path}: begins as Parquet but cannot be read as such; it may be cut short or damaged: copy it again",
        path = path.display()
    )]
    Parquet {
        /// The file.
        path: PathBuf,
        /// Why.
        source: parquet::errors::ParquetError,
    },
    /// The Arrow library refused a file.
    #[error(
        "{path}: cannot be read as {format}; it may be cut short or damaged: copy it again",
        path = path.display()
    )]
    Arrow {
        /// The file.
        path: PathBuf,
        /// What it was read as.
        format: &'static str,
        /// Why.
        source: arrow::error::ArrowError,
    },
    /// A library stumbled over damaged bytes.
    #[error("{path}: the {format} reader stumbled over damaged bytes; copy the file again", path = path.display())]
    Stumbled {
        /// The file.
        path: PathBuf,
        /// What it was read as.
        format: &'static str,
    },
    /// A column that must be there is not.
    #[error(
        "{path}: no column `{column}` for {field}; found {found:?}; {fix}",
        path = path.display(),
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
        /// How to fix it, in the mapping's words.
        fix: String,
    },
    /// A column of nested values where a plain one is needed.
    #[error("{path}: column `{column}` holds {found}; expected {expected}", path = path.display())]
    WrongType {
        /// The file.
        path: PathBuf,
        /// The column.
        column: String,
        /// Its type.
        found: String,
        /// What it is needed as.
        expected: &'static str,
    },
    /// Two columns of one name.
    #[error("{path}: two columns are called `{column}`; give each a name of its own", path = path.display())]
    TwinColumn {
        /// The file.
        path: PathBuf,
        /// The name.
        column: String,
    },
    /// A mapping that is no TOML of the mapping's language.
    #[error("{path}: not a mapping", path = path.display())]
    Mapping {
        /// The mapping file.
        path: PathBuf,
        /// Where and why.
        source: Box<toml::de::Error>,
    },
    /// A mapping whose parts do not fit together.
    #[error("{path}: {problem}", path = path.display())]
    MappingContradiction {
        /// The mapping file.
        path: PathBuf,
        /// What does not fit, and how to fix it.
        problem: String,
    },
    /// A parameter lies outside its bounds.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
    /// A court that does not exist, or whose measures do not add up.
    #[error("game `{game_id}`: its court cannot be used")]
    Court {
        /// The game.
        game_id: Id,
        /// Why.
        source: CourtError,
    },
    /// A game without any row that could be used.
    #[error("game `{game_id}`: none of its {rows} rows could be used{example}")]
    NoRows {
        /// The game.
        game_id: Id,
        /// How many rows it has.
        rows: u64,
        /// The first refusal, after a colon; or nothing.
        example: String,
    },
    /// Rows, and not one with a game.
    #[error("source `{name}`: {rows} rows, and none of a game that could be read{example}")]
    NoGame {
        /// The source.
        name: String,
        /// How many rows it has.
        rows: u64,
        /// The first refusal, after a colon; or nothing.
        example: String,
    },
    /// A game with fewer than two teams.
    #[error(
        "game `{game_id}`: rows of teams {found:?} only; a game has two teams: check [team] and what marks the ball"
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
    /// More players than a game can have.
    #[error(
        "game `{game_id}`: {found} players; a game has at most {most}: check [player] and what marks the ball"
    )]
    TooManyPlayers {
        /// The game.
        game_id: Id,
        /// How many.
        found: usize,
        /// How many are allowed.
        most: usize,
    },
    /// An id that is too long to name a file by.
    #[error(
        "the game whose id begins `{begin}`: with its season it makes a file name of {found} bytes; at most {most} can be: give \
         it a shorter one"
    )]
    IdTooLong {
        /// The id's first letters: it may be of any length.
        begin: String,
        /// The name's length, bytes.
        found: usize,
        /// The most.
        most: usize,
    },
    /// A game that goes beyond what may be held.
    #[error(
        "game `{game_id}`: with it more than {most} places are held at once; check [game] and [time], put the games one after \
         the other, or raise `max_held_places` of [ingest]"
    )]
    TooManyRows {
        /// The game.
        game_id: Id,
        /// The most that may be held.
        most: u64,
    },
    /// A game whose file could not be read to its end.
    #[error("game `{game_id}`: {path} could not be read to its end, so the game is not whole", path = path.display())]
    NotWhole {
        /// The game.
        game_id: Id,
        /// The file.
        path: PathBuf,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_can_go_from_thread_to_thread() {
        fn goes<T: Send + Sync + 'static>() {}
        goes::<IngestError>();
        goes::<crate::ReadGame>();
    }
}
