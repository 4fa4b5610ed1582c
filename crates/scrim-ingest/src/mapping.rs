//! The mapping: how a source's files become the canonical columns.
//!
//! Everything has the canonical default, so that an empty mapping reads canonical files, and a mapping names only what
//! is different. Unknown keys are errors. The whole language, with examples, is in `docs/mapping.md`.

mod check;
mod files;

use std::collections::BTreeMap;
use std::path::Path;

use scrim_floor::Court;
use serde::{Deserialize, Serialize};

use crate::IngestError;
use crate::open_file::read_text;

pub use files::FilesMapping;
pub(crate) use files::fits;

/// A mapping is a page of text; a file longer than this is none, bytes.
const MAX_MAPPING_BYTES: u64 = 1024 * 1024;

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
    /// Whose place a row tells: the team.
    pub team: TeamMapping,
    /// Whose place a row tells: the player.
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

/// How rows are laid out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// A row an entity and instant.
    #[default]
    Long,
    /// A row an instant, with columns for each player.
    Wide,
    /// JSON with arrays inside each other.
    Nested,
}

/// A court by name or by its measures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum CourtChoice {
    /// A built-in court.
    Name(String),
    /// All measures, metres.
    Measures(Court),
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

/// Where a game's id is, when no column tells it.
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

/// Which instant.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TimeMapping {
    /// The column. Default `t_s`.
    pub column: Option<String>,
    /// What it counts. Default seconds.
    pub unit: TimeUnit,
    /// Frames a second: needed with `unit = "frame"`, and only then.
    pub rate_hz: Option<f64>,
    /// Where it counts from. Default: the period's start for `s`, `ms` and `clock`, anywhere for the others.
    pub counts_from: Option<CountsFrom>,
}

/// What a column of times counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TimeUnit {
    /// Seconds (also since an epoch, and Arrow time stamps).
    #[default]
    S,
    /// Milliseconds (also since an epoch).
    Ms,
    /// Microseconds.
    Us,
    /// Nanoseconds.
    Ns,
    /// Frame numbers, with `rate_hz`.
    Frame,
    /// Text such as `11:58.4` or `1:02:03.25`.
    Clock,
    /// Text such as `2031-06-18T19:30:00.04Z` (ISO 8601 date and time).
    Iso,
}

/// Where times count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CountsFrom {
    /// The period's first frame is 0: times are kept as told.
    PeriodStart,
    /// Anything else: the period's first instant becomes 0.
    Anywhere,
}

/// A clock.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ClockMapping {
    /// The column. Default `game_clock_s` or `shot_clock_s`, when there is one.
    pub column: Option<String>,
    /// What it counts. Default seconds.
    pub unit: ClockUnit,
    /// Which way. Default down (time that remains).
    pub counts: ClockSense,
    /// What it counts up to, s; needed with `counts = "up"`, and only then.
    pub length_s: Option<f32>,
    /// The same in overtime, s. Default `length_s`.
    pub overtime_length_s: Option<f32>,
    /// How many periods come before overtime. Default 4.
    pub regular_periods: Option<u8>,
}

/// What a clock counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClockUnit {
    /// Seconds.
    #[default]
    S,
    /// Milliseconds.
    Ms,
    /// Minutes.
    Min,
    /// Text such as `11:58.4`.
    Clock,
}

/// Which way a clock runs.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClockSense {
    /// It tells what remains.
    #[default]
    Down,
    /// It tells what has gone.
    Up,
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

/// Where a player's team is, when no column tells it.
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

/// Where. The court is seen from above with its length from left to right: the court frame has its origin in the
/// middle, x to the right and y up.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlaceMapping {
    /// The column of the first coordinate. Default `x_m`.
    pub x: Option<String>,
    /// The column of the second coordinate. Default `y_m`.
    pub y: Option<String>,
    /// The column of the height. Default `z_m`, when there is one.
    pub z: Option<String>,
    /// Unit of all three. Default metres.
    pub unit: LengthUnit,
    /// Where both coordinates are 0. Default the middle of the court.
    pub origin: Origin,
    /// Where the first coordinate grows to. Default right.
    pub x_points: Points,
    /// Where the second coordinate grows to. Default up.
    pub y_points: Option<Points>,
}

/// A unit of length.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LengthUnit {
    /// Metres.
    #[default]
    M,
    /// Centimetres.
    Cm,
    /// Millimetres.
    Mm,
    /// Feet of 0.3048 m.
    Ft,
    /// Inches of 0.0254 m.
    In,
    /// Yards of 0.9144 m.
    Yd,
}

impl LengthUnit {
    /// All units.
    pub(crate) const ALL: [Self; 6] = [Self::M, Self::Cm, Self::Mm, Self::Ft, Self::In, Self::Yd];

    /// How it is written in a mapping.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::M => "m",
            Self::Cm => "cm",
            Self::Mm => "mm",
            Self::Ft => "ft",
            Self::In => "in",
            Self::Yd => "yd",
        }
    }

    /// Its length, metres (foot, inch and yard: international yard of 1959, exactly 0.9144 m).
    pub const fn in_m(self) -> f64 {
        match self {
            Self::M => 1.0,
            Self::Cm => 0.01,
            Self::Mm => 0.001,
            Self::Ft => 0.3048,
            Self::In => 0.0254,
            Self::Yd => 0.9144,
        }
    }
}

/// Where coordinates are 0, on the court seen from above with its length from left to right.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// The middle of the court.
    #[default]
    Centre,
    /// The corner at bottom left.
    BottomLeft,
    /// The corner at bottom right.
    BottomRight,
    /// The corner at top left.
    TopLeft,
    /// The corner at top right.
    TopRight,
}

/// A direction on the court seen from above with its length from left to right.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Points {
    /// Along the court, to the right: +x of the court frame.
    #[default]
    Right,
    /// Along the court, to the left.
    Left,
    /// Across the court, up: +y of the court frame.
    Up,
    /// Across the court, down.
    Down,
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

/// Columns by pattern.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WideMapping {
    /// Groups of columns: mostly one, or one a team.
    pub players: Vec<WidePlayers>,
}

/// A group of columns whose names tell, by a pattern, whose they are. `{player}` in a pattern stands for the player's
/// id, `{team}` for the team's; `{slot}` for a place in the line-up whose player is told by the column `player_in`.
/// A placeholder takes what stands before the text that follows it, as little as possible, and never nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WidePlayers {
    /// Pattern of the columns of the first coordinate, for example `{team}_{player}_x`.
    pub x: String,
    /// Pattern of the columns of the second coordinate.
    pub y: String,
    /// Pattern of the columns of the height.
    pub z: Option<String>,
    /// With `{slot}`: pattern of the columns that hold the players' ids.
    pub player_in: Option<String>,
    /// The team of the whole group, when the pattern has no `{team}`.
    pub team_id: Option<String>,
    /// With `{player}`: the player's id, composed of `{team}` and `{player}`, such as `{team}-{player}`. Default
    /// `{player}`.
    pub player_id: Option<String>,
}

/// The way through nested JSON.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NestedMapping {
    /// The arrays (or objects) to walk, outermost first; the last one's elements are the instants. None: the
    /// document itself (in JSON lines, each line) is an instant.
    pub walk: Vec<NestedWalk>,
    /// Where, in an instant, the players are. Fields elsewhere in the mapping are then pointers: `/x` counts from the
    /// player, `LEVEL:/x` from the element of a walk of that name, `document:/x` from the document, and `LEVEL:#` is
    /// the element's place in its array (from 0) or its key in its object (`#` alone: the player's). None: each
    /// element of the last walk is a row by itself, a player or the ball.
    pub players: Vec<NestedPlayers>,
    /// Where, in an instant, the ball is, when it is not among the players; its coordinates have the players' names
    /// unless `[ball]` gives others.
    pub ball_at: Option<String>,
}

/// A step of the walk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NestedWalk {
    /// What its elements are called in the paths of this mapping.
    pub name: String,
    /// JSON Pointer (RFC 6901) from the element of the step before, or from the document.
    pub at: String,
}

/// An array (or object) of players in an instant.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NestedPlayers {
    /// JSON Pointer from the instant; it leads to an array or an object of players.
    pub at: String,
    /// The team of all of them: a path, instead of the mapping's `team.column`.
    pub team: Option<String>,
    /// The team of all of them: its id.
    pub team_id: Option<String>,
}

impl Mapping {
    /// Reads a mapping file.
    ///
    /// # Errors
    /// [`IngestError::Unreadable`], [`IngestError::Mapping`] when it is no TOML, has an unknown key or a wrong value,
    /// or [`IngestError::MappingContradiction`] when its parts do not fit together.
    pub fn read(path: &Path) -> Result<Self, IngestError> {
        let text = read_text(path, MAX_MAPPING_BYTES, "a mapping")?;
        let mut mapping: Self = toml::from_str(&text).map_err(|source| IngestError::Mapping {
            path: path.into(),
            source: Box::new(source),
        })?;
        mapping
            .check()
            .map_err(|problem| IngestError::MappingContradiction {
                path: path.into(),
                problem,
            })?;
        mapping.settle();
        Ok(mapping)
    }
}

impl Mapping {
    /// Follows what one part says for another: a placeholder in the files' pattern tells the game.
    fn settle(&mut self) {
        let game = &mut self.game;
        if self.files.tell_the_game() && game.column.is_none() && game.id.is_none() {
            game.from = game.from.or(Some(GameFrom::FileName));
        }
    }
}

impl PlaceMapping {
    /// Where the second coordinate grows to.
    pub fn y_points(&self) -> Points {
        self.y_points.unwrap_or(Points::Up)
    }
}

impl Points {
    /// Whether it lies along the court's length.
    pub const fn is_along(self) -> bool {
        matches!(self, Self::Right | Self::Left)
    }

    /// The unit vector in the court frame.
    pub(crate) const fn vector(self) -> (f64, f64) {
        match self {
            Self::Right => (1.0, 0.0),
            Self::Left => (-1.0, 0.0),
            Self::Up => (0.0, 1.0),
            Self::Down => (0.0, -1.0),
        }
    }
}

impl Origin {
    /// All origins.
    pub(crate) const ALL: [Self; 5] = [
        Self::Centre,
        Self::BottomLeft,
        Self::BottomRight,
        Self::TopLeft,
        Self::TopRight,
    ];

    /// How it is written in a mapping.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Centre => "centre",
            Self::BottomLeft => "bottom_left",
            Self::BottomRight => "bottom_right",
            Self::TopLeft => "top_left",
            Self::TopRight => "top_right",
        }
    }

    /// Its place in the court frame, in half lengths and half widths.
    pub(crate) const fn halves(self) -> (f64, f64) {
        match self {
            Self::Centre => (0.0, 0.0),
            Self::BottomLeft => (-1.0, -1.0),
            Self::BottomRight => (1.0, -1.0),
            Self::TopLeft => (-1.0, 1.0),
            Self::TopRight => (1.0, 1.0),
        }
    }
}
