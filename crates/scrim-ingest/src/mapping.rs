//! The mapping: how a source's files become the canonical columns.
//!
//! Everything has the canonical default, so that an empty mapping reads canonical files, and a mapping names only what
//! is different. Unknown keys are errors. The whole language, with examples, is in `docs/mapping.md`.

mod check;
mod files;
mod layout;
mod place;
mod time;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

pub use files::FilesMapping;
pub(crate) use files::fits;
pub use layout::{Form, NestedMapping, NestedPlayers, NestedWalk, WideMapping, WidePlayers};
pub use place::{CourtChoice, LengthUnit, Origin, PlaceMapping, Points};
pub use time::{ClockMapping, ClockSense, ClockUnit, CountsFrom, TimeMapping, TimeUnit};

/// A mapping file, as it is written.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Mapping {
    /// The files' format. Default: found from each file's first bytes.
    pub format: Option<Format>,
    /// Which files of a source folder are which.
    pub files: FilesMapping,
    /// How rows are laid out. Default [`Form::Long`].
    pub form: Form,
    /// The court: `"fiba"`, `"nba"`, `"ncaa"`, or a table of all its measures in metres. A `games` side table that
    /// names a court goes first. Default: the pipeline's court.
    pub court: Option<CourtChoice>,
    /// How delimited text is written.
    pub text: TextMapping,
    /// Which game a row belongs to.
    pub game: GameMapping,
    /// Which period.
    pub period: PeriodMapping,
    /// Which instant.
    pub time: TimeMapping,
    /// The game clock.
    pub game_clock: ClockMapping,
    /// The shot clock.
    pub shot_clock: ClockMapping,
    /// Whose place a row has: the team.
    pub team: TeamMapping,
    /// Whose place a row has: the player.
    pub player: PlayerMapping,
    /// Where.
    pub place: PlaceMapping,
    /// What marks the ball, or where its own columns are.
    pub ball: BallMapping,
    /// Columns by pattern, for [`Form::Wide`].
    pub wide: WideMapping,
    /// The way to the instants and players, for [`Form::Nested`].
    pub nested: NestedMapping,
}

/// A file format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Format {
    /// Text with a delimiter, such as CSV; plain, gzip or zstd.
    Delimited,
    /// A JSON value a line; plain, gzip or zstd.
    JsonLines,
    /// One JSON document; plain, gzip or zstd.
    Json,
    /// Parquet.
    Parquet,
    /// Arrow IPC, the file format.
    ArrowFile,
    /// Arrow IPC, the stream format; plain, gzip or zstd.
    ArrowStream,
}

impl Format {
    /// What messages call it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Delimited => "delimited text",
            Self::JsonLines => "JSON lines",
            Self::Json => "a JSON document",
            Self::Parquet => "Parquet",
            Self::ArrowFile => "an Arrow IPC file",
            Self::ArrowStream => "an Arrow IPC stream",
        }
    }
}

/// How delimited text is written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TextMapping {
    /// The one character between cells. Default: whichever of comma, semicolon, tab and bar the header has most of.
    pub delimiter: Option<char>,
    /// What stands before a number's decimals: `.` or `,`. Default `.`.
    pub decimal: char,
    /// Names of the columns, when the file has no header line. Default: the first line is the header.
    pub columns: Option<Vec<String>>,
    /// Words that mean "nothing given", beside an empty cell. Default `NA`, `NaN`, `nan`, `null`, `NULL`, `None`.
    pub nulls: Vec<String>,
}

impl Default for TextMapping {
    fn default() -> Self {
        let nulls = ["NA", "NaN", "nan", "null", "NULL", "None"]
            .map(String::from)
            .to_vec();
        Self {
            delimiter: None,
            decimal: '.',
            columns: None,
            nulls,
        }
    }
}

/// Which game a row belongs to. At most one of the three keys.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct GameMapping {
    /// The column, or a template of several such as `{date}-{home}`. Default `game_id`.
    pub column: Option<String>,
    /// The id of all rows, when there is no such column.
    pub id: Option<String>,
    /// Where else the id is.
    pub from: Option<GameFrom>,
}

/// Where a game's id is, when no column has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GameFrom {
    /// The file's name: what `{game}` stands for in the pattern of `[files] tracking` that fits, else all up to its first
    /// dot, without `tracking-` or `tracking_` in front.
    FileName,
    /// The name of the folder that the file is in.
    FolderName,
}

/// Which period. At most one of `column` and `number`.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PeriodMapping {
    /// The column. Default `period`.
    pub column: Option<String>,
    /// What its words mean, for example `{ Q1 = 1, Q2 = 2, OT = 5 }`. Numbers are understood without.
    pub words: BTreeMap<String, u8>,
    /// The period of all rows, when there is no such column.
    pub number: Option<u8>,
}

/// The team. At most one of the two keys.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TeamMapping {
    /// The column, or a template of several. Default `team_id`.
    pub column: Option<String>,
    /// Where else the team is.
    pub from: Option<TeamFrom>,
}

/// Where a player's team is, when no column has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TeamFrom {
    /// The `players` side table.
    PlayersTable,
}

/// The player.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlayerMapping {
    /// The column, or a template of several such as `{team}-{jersey}`: for numbers that both teams have. Default
    /// `player_id`.
    pub column: Option<String>,
}

/// The ball: rows that are marked, or columns of its own. Default: rows with neither team nor player.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BallMapping {
    /// The column whose values mark the ball (it may be the team's or the player's); with `values`.
    pub column: Option<String>,
    /// The values that mark the ball.
    pub values: Vec<String>,
    /// The ball's own column of the first coordinate; with `y`.
    pub x: Option<String>,
    /// The ball's own column of the second coordinate.
    pub y: Option<String>,
    /// The ball's own column of the height.
    pub z: Option<String>,
}
