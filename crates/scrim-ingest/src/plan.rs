//! A mapping brought together with the columns that a file has: which column is what.

mod long;
mod nested;
mod places;
mod planner;
mod wide;

use std::path::Path;

use crate::IngestError;
use crate::chunk::{ReadAs, Wanted};
use crate::json::JsonPlan;
use crate::mapping::{CountsFrom, Form, Format, GameFrom, Mapping, PlaceMapping, TimeUnit, fits};
use crate::names::Names;
use crate::template::Composed;
pub(crate) use places::{BallIs, ClockIs, GameIs, PeriodIs, PlaceColumns, Shape, TeamIs, WidePlayerIs};
pub(crate) use planner::Found;
use planner::Planner;

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

impl Plan {
    /// The part of a file's path that is its game's id.
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
                let column = mapping.period.column.as_ref();
                let column = p.needed(column, "period", read_as, "the period", "[period] column")?;
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
