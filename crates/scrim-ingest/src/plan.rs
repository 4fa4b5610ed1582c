//! A mapping brought together with the columns that a file has: which column is what.

mod nested;
mod wide;

use std::path::Path;

use crate::IngestError;
use crate::chunk::{ReadAs, Wanted};
use crate::json::JsonPlan;
use crate::mapping::{
    ClockMapping, ClockSense, ClockUnit, CountsFrom, Form, Format, GameFrom, Mapping, PlaceMapping, TeamFrom,
    TimeUnit, fits,
};
use crate::names::{NameIx, Names};
use crate::nearest::nearest_name;
use crate::template::{Composed, Piece, pieces_of};

/// How a file's rows become samples.
#[derive(Debug)]
pub(crate) struct Plan {
    /// The columns to read.
    pub wanted: Vec<Wanted>,
    /// Those of them that are composed of others.
    pub composed: Vec<Composed>,
    /// For JSON: where the cells are.
    pub json: Option<JsonPlan>,
    /// Columns that are not read.
    pub ignored: Vec<String>,
    pub game: GameIs,
    pub period: PeriodIs,
    pub time: usize,
    /// Units of the time column a second.
    pub time_per_s: f64,
    pub counts_from: CountsFrom,
    pub game_clock: Option<ClockIs>,
    pub shot_clock: Option<ClockIs>,
    pub place: PlaceMapping,
    pub shape: Shape,
}

/// Where a row's game is told.
#[derive(Debug, Clone, Copy)]
pub(crate) enum GameIs {
    Column(usize),
    Fixed(NameIx),
}

/// Where a row's period is told.
#[derive(Debug)]
pub(crate) enum PeriodIs {
    Number(usize),
    Words(usize, Vec<(NameIx, u8)>),
    Fixed(u8),
}

/// Where and how a clock is told.
#[derive(Debug)]
pub(crate) struct ClockIs {
    pub column: usize,
    /// Seconds a unit of the column.
    pub unit_s: f64,
    /// For a clock that counts up: what it counts up to (s), the same in overtime, and how many periods are not overtime.
    pub up_to: Option<(f32, f32, u8)>,
}

/// How entities lie in rows.
#[derive(Debug)]
pub(crate) enum Shape {
    Long {
        team: TeamIs,
        player: usize,
        at: PlaceColumns,
        ball: BallIs,
    },
    Wide {
        players: Vec<WideEntity>,
        ball: Option<PlaceColumns>,
    },
}

/// Where the team is told.
#[derive(Debug, Clone, Copy)]
pub(crate) enum TeamIs {
    Column(usize),
    Fixed(NameIx),
    Roster,
}

/// Columns of a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PlaceColumns {
    pub x: usize,
    pub y: usize,
    pub z: Option<usize>,
}

/// What marks the ball.
#[derive(Debug)]
pub(crate) enum BallIs {
    /// Neither team nor player.
    Nulls,
    /// One of these values in that column.
    Marked(usize, Vec<NameIx>),
    /// Columns of its own, in every row.
    Own(PlaceColumns),
}

/// An entity of a wide row.
#[derive(Debug)]
pub(crate) struct WideEntity {
    pub team: TeamIs,
    pub player: WidePlayerIs,
    pub at: PlaceColumns,
}

/// Where the player of a wide entity is told.
#[derive(Debug, Clone, Copy)]
pub(crate) enum WidePlayerIs {
    Fixed(NameIx),
    Column(usize),
}

/// What a file has.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Found<'f> {
    /// Columns of these names.
    Columns(&'f [String]),
    /// JSON objects with (at least) these keys.
    Keys(&'f [String]),
    /// JSON that is told by paths.
    Paths,
}

/// Plans under construction: the columns wanted so far.
struct Planner<'p> {
    path: &'p Path,
    found: Found<'p>,
    wanted: Vec<Wanted>,
    composed: Vec<Composed>,
}

impl Planner<'_> {
    /// The place of `column` among the wanted ones.
    fn want(&mut self, column: &str, read_as: ReadAs) -> usize {
        let wanted = Wanted {
            column: column.into(),
            read_as,
        };
        self.wanted.iter().position(|w| *w == wanted).unwrap_or_else(|| {
            self.wanted.push(wanted);
            self.wanted.len() - 1
        })
    }

    /// As [`Self::want`], for an id that is composed of several columns, each of them placed by `place`.
    fn want_composed(
        &mut self,
        template: &str,
        pieces: Vec<Piece<String>>,
        mut place: impl FnMut(&mut Self, &str) -> Result<usize, IngestError>,
    ) -> Result<usize, IngestError> {
        let mut placed = Vec::new();
        for piece in pieces {
            placed.push(match piece {
                Piece::Text(text) => Piece::Text(text),
                Piece::Column(column) => Piece::Column(place(self, &column)?),
            });
        }
        let at = self.want(template, ReadAs::Id);
        if self.composed.iter().all(|composed| composed.at != at) {
            self.composed.push(Composed { at, pieces: placed });
        }
        Ok(at)
    }

    fn has(&self, column: &str) -> bool {
        match self.found {
            Found::Columns(found) => found.iter().any(|f| f == column),
            Found::Keys(found) => column.starts_with('/') || found.iter().any(|f| f == column),
            // What a path leads to is known when it is followed; nowhere is "not given".
            Found::Paths => true,
        }
    }

    fn missing(&self, field: &'static str, column: &str, key: &str) -> IngestError {
        let found = match self.found {
            Found::Columns(found) | Found::Keys(found) => found.to_vec(),
            Found::Paths => Vec::new(),
        };
        let fix = match nearest_name(column, &found) {
            Some(near) => {
                format!("`{near}` looks nearest: write {key} = \"{near}\" in the mapping if it is that")
            }
            None => format!("write the right one as {key} in the mapping"),
        };
        IngestError::MissingColumn {
            path: self.path.into(),
            field,
            column: column.into(),
            found,
            fix,
        }
    }

    /// A column that must be there.
    fn needed(
        &mut self,
        told: Option<&String>,
        default: &str,
        read_as: ReadAs,
        field: &'static str,
        key: &str,
    ) -> Result<usize, IngestError> {
        let column = told.map_or(default, String::as_str);
        if read_as == ReadAs::Id
            && (matches!(self.found, Found::Paths) || !self.has(column))
            && let Some(pieces) = pieces_of(column)
        {
            return self.want_composed(column, pieces, |planner, column| {
                planner.needed(Some(&column.into()), "", ReadAs::Id, field, key)
            });
        }
        if matches!(self.found, Found::Paths) {
            let path = if told.is_some() {
                column.into()
            } else {
                format!("/{column}")
            };
            return Ok(self.want(&path, read_as));
        }
        if !self.has(column) {
            return Err(self.missing(field, column, key));
        }
        Ok(self.want(column, read_as))
    }

    /// A column that may be missing unless the mapping names it.
    fn optional(
        &mut self,
        told: Option<&String>,
        default: &str,
        read_as: ReadAs,
        field: &'static str,
        key: &str,
    ) -> Result<Option<usize>, IngestError> {
        if told.is_none() && !self.has(default) {
            return Ok(None);
        }
        self.needed(told, default, read_as, field, key).map(Some)
    }

    fn clock(
        &mut self,
        told: &ClockMapping,
        default: &str,
        field: &'static str,
        key: &str,
    ) -> Result<Option<ClockIs>, IngestError> {
        let (read_as, unit_s) = match told.unit {
            ClockUnit::S => (ReadAs::Number, 1.0),
            ClockUnit::Ms => (ReadAs::Number, 0.001),
            ClockUnit::Min => (ReadAs::Number, 60.0),
            ClockUnit::Clock => (ReadAs::Clock, 1.0),
        };
        let up_to = match (told.counts, told.length_s) {
            (ClockSense::Up, Some(length_s)) => Some((
                length_s,
                told.overtime_length_s.unwrap_or(length_s),
                told.regular_periods.unwrap_or(4),
            )),
            (ClockSense::Up, None) | (ClockSense::Down, _) => None,
        };
        let column = self.optional(told.column.as_ref(), default, read_as, field, key)?;
        Ok(column.map(|column| ClockIs {
            column,
            unit_s,
            up_to,
        }))
    }
}

impl Plan {
    /// The part of a file's path that tells its game.
    pub(crate) fn game_of(path: &Path, mapping: &Mapping, from: GameFrom) -> String {
        match from {
            GameFrom::FileName => {
                if let Some(Some(game)) = fits(&mapping.files.tracking, path) {
                    return game;
                }
                let name = path.file_name().unwrap_or_default().to_string_lossy();
                let stem = name.split('.').next().unwrap_or_default();
                ["tracking-", "tracking_"]
                    .iter()
                    .find_map(|p| stem.strip_prefix(p))
                    .unwrap_or(stem)
                    .into()
            }
            GameFrom::FolderName => {
                let folder = path.parent().and_then(Path::file_name);
                folder
                    .map(|f| f.to_string_lossy().into_owned())
                    .unwrap_or_default()
            }
        }
    }

    /// The plan for the file at `path` that has the columns `found`.
    pub(crate) fn new(
        path: &Path,
        format: Format,
        mapping: &Mapping,
        found: Found<'_>,
        names: &mut Names,
    ) -> Result<Self, IngestError> {
        let mut planner = Planner {
            path,
            found,
            wanted: Vec::new(),
            composed: Vec::new(),
        };
        let p = &mut planner;
        let game = match (&mapping.game.id, mapping.game.from) {
            (Some(id), _) => GameIs::Fixed(names.number(id)),
            (None, Some(from)) => GameIs::Fixed(names.number(&Self::game_of(path, mapping, from))),
            (None, None) => GameIs::Column(p.needed(
                mapping.game.column.as_ref(),
                "game_id",
                ReadAs::Id,
                "the game",
                "[game] column (or [game] id = \"...\" for a file of one game), for example column",
            )?),
        };
        let period = match mapping.period.number {
            Some(number) => PeriodIs::Fixed(number),
            None => {
                let read_as = if mapping.period.words.is_empty() {
                    ReadAs::Number
                } else {
                    ReadAs::Id
                };
                let told = mapping.period.column.as_ref();
                let column = p.needed(told, "period", read_as, "the period", "[period] column")?;
                if mapping.period.words.is_empty() {
                    PeriodIs::Number(column)
                } else {
                    let words = mapping
                        .period
                        .words
                        .iter()
                        .map(|(word, n)| (names.number(word), *n));
                    PeriodIs::Words(column, words.collect())
                }
            }
        };
        let (time_as, time_per_s, anywhere) = match mapping.time.unit {
            TimeUnit::S => (ReadAs::Number, 1.0, false),
            TimeUnit::Ms => (ReadAs::Number, 1e3, false),
            TimeUnit::Us => (ReadAs::Number, 1e6, true),
            TimeUnit::Ns => (ReadAs::Number, 1e9, true),
            TimeUnit::Frame => (ReadAs::Number, mapping.time.rate_hz.unwrap_or(1.0), true),
            TimeUnit::Clock => (ReadAs::Clock, 1.0, false),
            TimeUnit::Iso => (ReadAs::Iso, 1.0, true),
        };
        let default_from = if anywhere {
            CountsFrom::Anywhere
        } else {
            CountsFrom::PeriodStart
        };
        let time = p.needed(
            mapping.time.column.as_ref(),
            "t_s",
            time_as,
            "the time",
            "[time] column",
        )?;
        let game_clock = p.clock(
            &mapping.game_clock,
            "game_clock_s",
            "the game clock",
            "[game_clock] column",
        )?;
        let shot_clock = p.clock(
            &mapping.shot_clock,
            "shot_clock_s",
            "the shot clock",
            "[shot_clock] column",
        )?;
        let (shape, json) = match mapping.form {
            Form::Long => (p.long(mapping, names)?, None),
            Form::Wide => (p.wide(mapping, names)?, None),
            Form::Nested => {
                let (shape, json) = p.nested(mapping, names)?;
                (shape, Some(json))
            }
        };
        let Planner { wanted, composed, .. } = planner;
        let json = match (json, found) {
            (Some(json), _) => Some(json),
            (None, Found::Keys(_)) => Some(nested::flat(&wanted, &composed, format)),
            (None, Found::Columns(_) | Found::Paths) => None,
        };
        let ignored = match found {
            Found::Columns(found) | Found::Keys(found) => found
                .iter()
                .filter(|f| wanted.iter().all(|w| w.column != **f))
                .cloned()
                .collect(),
            Found::Paths => Vec::new(),
        };
        Ok(Self {
            wanted,
            composed,
            json,
            ignored,
            game,
            period,
            time,
            time_per_s,
            counts_from: mapping.time.counts_from.unwrap_or(default_from),
            game_clock,
            shot_clock,
            place: mapping.place.clone(),
            shape,
        })
    }
}

impl Planner<'_> {
    fn players_place(&mut self, mapping: &Mapping) -> Result<PlaceColumns, IngestError> {
        let place = &mapping.place;
        Ok(PlaceColumns {
            x: self.needed(
                place.x.as_ref(),
                "x_m",
                ReadAs::Number,
                "the first coordinate",
                "[place] x",
            )?,
            y: self.needed(
                place.y.as_ref(),
                "y_m",
                ReadAs::Number,
                "the second coordinate",
                "[place] y",
            )?,
            z: self.optional(place.z.as_ref(), "z_m", ReadAs::Number, "the height", "[place] z")?,
        })
    }

    fn ball_place(&mut self, mapping: &Mapping) -> Result<Option<PlaceColumns>, IngestError> {
        let ball = &mapping.ball;
        let (Some(x), Some(y)) = (&ball.x, &ball.y) else {
            return Ok(None);
        };
        let mut column = |told: &String, key| self.needed(Some(told), "", ReadAs::Number, "the ball", key);
        Ok(Some(PlaceColumns {
            x: column(x, "[ball] x")?,
            y: column(y, "[ball] y")?,
            z: ball.z.as_ref().map(|z| column(z, "[ball] z")).transpose()?,
        }))
    }

    fn long(&mut self, mapping: &Mapping, names: &mut Names) -> Result<Shape, IngestError> {
        let player = mapping.player.column.as_ref();
        let player = self.needed(player, "player_id", ReadAs::Id, "the player", "[player] column")?;
        let team = match mapping.team.from {
            Some(TeamFrom::PlayersTable) => TeamIs::Roster,
            None => TeamIs::Column(self.needed(
                mapping.team.column.as_ref(),
                "team_id",
                ReadAs::Id,
                "the team",
                "[team] column (or [team] from = \"players_table\"), for example column",
            )?),
        };
        let at = self.players_place(mapping)?;
        let ball = match (self.ball_place(mapping)?, &mapping.ball.column) {
            (Some(own), _) => BallIs::Own(own),
            (None, Some(column)) => BallIs::Marked(
                self.needed(
                    Some(column),
                    "",
                    ReadAs::Id,
                    "what marks the ball",
                    "[ball] column",
                )?,
                mapping
                    .ball
                    .values
                    .iter()
                    .map(|value| names.number(value))
                    .collect(),
            ),
            (None, None) => BallIs::Nulls,
        };
        Ok(Shape::Long {
            team,
            player,
            at,
            ball,
        })
    }
}
