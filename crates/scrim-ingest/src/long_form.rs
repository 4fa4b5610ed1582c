//! The long form: a row an entity and instant.

use std::path::Path;

use scrim_tables::tags::RefusalReason;

use crate::chunk::{Chunk, ReadAs};
use crate::game_builder::{Sample, Who};
use crate::names::{NO_NAME, NameIx};
use crate::{IngestError, IngestParams};

/// Which wanted column holds what.
#[derive(Debug)]
pub(crate) struct LongForm {
    pub wanted: Vec<(String, ReadAs)>,
    game: usize,
    period: usize,
    time: usize,
    game_clock: Option<usize>,
    shot_clock: Option<usize>,
    team: usize,
    player: usize,
    x: usize,
    y: usize,
    z: Option<usize>,
}

/// Why a row is refused, before it is known where it stands.
pub(crate) struct Refusal {
    pub reason: RefusalReason,
    pub detail: String,
}

impl LongForm {
    /// The canonical columns, by name; `found` is what the file has.
    pub(crate) fn canonical(path: &Path, found: &[String]) -> Result<Self, IngestError> {
        let mut wanted = Vec::new();
        let mut optional = |column: &str, read_as| {
            found.iter().any(|f| f == column).then(|| {
                wanted.push((String::from(column), read_as));
                wanted.len() - 1
            })
        };
        let game_clock = optional("game_clock_s", ReadAs::Number);
        let shot_clock = optional("shot_clock_s", ReadAs::Number);
        let z = optional("z_m", ReadAs::Number);
        let mut needed = |column: &str, field, read_as| {
            optional(column, read_as).ok_or_else(|| IngestError::MissingColumn {
                path: path.into(),
                field,
                column: column.into(),
                found: found.to_vec(),
                nearest: None,
            })
        };
        Ok(Self {
            game: needed("game_id", "the game", ReadAs::Id)?,
            period: needed("period", "the period", ReadAs::Number)?,
            time: needed("t_s", "the time", ReadAs::Number)?,
            team: needed("team_id", "the team", ReadAs::Id)?,
            player: needed("player_id", "the player", ReadAs::Id)?,
            x: needed("x_m", "the place along the court", ReadAs::Number)?,
            y: needed("y_m", "the place across the court", ReadAs::Number)?,
            game_clock,
            shot_clock,
            z,
            wanted,
        })
    }

    /// The games of the chunk's rows.
    pub(crate) fn games<'c>(&self, chunk: &'c Chunk) -> &'c [NameIx] {
        chunk.columns[self.game].ids()
    }

    /// Every row of `rows`, as a sample or a refusal.
    pub(crate) fn samples(
        &self,
        chunk: &Chunk,
        rows: std::ops::Range<usize>,
        params: &IngestParams,
        half_court: (f64, f64),
        mut each: impl FnMut(usize, Result<Sample, Refusal>),
    ) {
        let number = |column: usize| chunk.columns[column].numbers();
        let ((period, _), (time, _)) = (number(self.period), number(self.time));
        let ((x, _), (y, _)) = (number(self.x), number(self.y));
        let z = self.z.map(|c| number(c).0);
        let game_clock = self.game_clock.map(|c| number(c).0);
        let shot_clock = self.shot_clock.map(|c| number(c).0);
        let (team, player) = (chunk.columns[self.team].ids(), chunk.columns[self.player].ids());
        let (max_x, max_y) = half_court;
        for row in rows {
            let who = match (team[row], player[row]) {
                (NO_NAME, NO_NAME) => Some(Who::Ball),
                (NO_NAME, _) | (_, NO_NAME) => None,
                (team, player) => Some(Who::Player { team, player }),
            };
            let whole = period[row] >= 1.0 && period[row] <= 255.0 && period[row].fract() == 0.0;
            let on_floor = x[row].abs() <= max_x && y[row].abs() <= max_y;
            let height = z.map_or(f64::NAN, |z| z[row]);
            let high = height < -1.0 || height > f64::from(params.max_height_m);
            match who {
                Some(who) if whole && on_floor && !high && time[row].is_finite() => each(
                    row,
                    Ok(Sample {
                        period: period[row] as u8,
                        time: time[row],
                        game_clock_s: game_clock.map_or(f32::NAN, |c| c[row] as f32),
                        shot_clock_s: shot_clock.map_or(f32::NAN, |c| c[row] as f32),
                        who,
                        x_m: x[row] as f32,
                        y_m: y[row] as f32,
                        z_m: height as f32,
                    }),
                ),
                _ => each(
                    row,
                    Err(self.refusal(chunk, row, who.is_some(), whole, params, half_court)),
                ),
            }
        }
    }

    #[cold]
    fn refusal(
        &self,
        chunk: &Chunk,
        row: usize,
        who_is_told: bool,
        period_is_whole: bool,
        params: &IngestParams,
        (max_x, max_y): (f64, f64),
    ) -> Refusal {
        let cell = |column: usize| chunk.raw.cell(row, column);
        let name = |column: usize| self.wanted[column].0.as_str();
        if !who_is_told {
            let column = if chunk.columns[self.team].ids()[row] == NO_NAME {
                self.team
            } else {
                self.player
            };
            return Refusal {
                reason: RefusalReason::MissingField,
                detail: format!(
                    "column `{}` is empty; expected an id, or both team and player empty (the ball)",
                    name(column)
                ),
            };
        }
        for (column, expected) in [
            (self.time, "seconds"),
            (self.x, "a number of metres"),
            (self.y, "a number of metres"),
        ] {
            if !chunk.columns[column].numbers().0[row].is_finite() {
                let found = cell(column);
                let reason = if found.is_empty() {
                    RefusalReason::MissingField
                } else {
                    RefusalReason::Unreadable
                };
                return Refusal {
                    reason,
                    detail: format!("column `{}`: found `{found}`, expected {expected}", name(column)),
                };
            }
        }
        if !period_is_whole {
            return Refusal {
                reason: RefusalReason::OutOfRange,
                detail: format!(
                    "column `{}`: found `{}`, expected a whole number from 1 to 255",
                    name(self.period),
                    cell(self.period)
                ),
            };
        }
        for (column, most) in [(self.x, max_x), (self.y, max_y)] {
            let found = chunk.columns[column].numbers().0[row];
            if found.abs() > most {
                return Refusal {
                    reason: RefusalReason::OutOfRange,
                    detail: format!(
                        "column `{}`: found {found}, expected within ±{most:.2} m (the court and {} m around it)",
                        name(column),
                        params.max_off_court_m
                    ),
                };
            }
        }
        Refusal {
            reason: RefusalReason::OutOfRange,
            detail: format!(
                "column `{}`: found `{}`, expected a height from -1 to {} m",
                self.z.map_or("", name),
                self.z.map_or(String::new(), cell),
                params.max_height_m
            ),
        }
    }
}
