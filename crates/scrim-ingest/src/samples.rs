//! Rows as samples: each row read by the plan, or refused with its reason.

use std::ops::Range;

use scrim_tables::tags::RefusalReason;

use crate::chunk::Chunk;
use crate::game_builder::{Sample, Who};
use crate::names::{NO_NAME, NameIx};
use crate::plan::{BallIs, ClockIs, PeriodIs, PlaceColumns, Plan, Shape, TeamIs, WidePlayerIs};
use crate::to_court::{MIN_Z_M, ToCourt};

/// Why a row is refused.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refusal {
    /// Its period, when that could be read.
    pub period: Option<u8>,
    pub reason: RefusalReason,
    /// What was found, what was expected, how to mend it.
    pub detail: String,
}

/// The team of each player by the `players` side table; [`NO_NAME`] when it tells none or more than one.
pub(crate) type RosterTeams = [NameIx];

/// Reads rows of one game.
pub(crate) struct RowReader<'r> {
    pub plan: &'r Plan,
    pub to_court: &'r ToCourt,
    pub roster: &'r RosterTeams,
}

/// What all entities of a row share.
#[derive(Debug, Clone, Copy)]
struct Instant {
    period: u8,
    time: f64,
    game_clock_s: f32,
    shot_clock_s: f32,
}

impl RowReader<'_> {
    /// Gives each row of `rows` to `each`, as samples or refusals (a row of the wide form can be several).
    pub(crate) fn read(
        &self,
        chunk: &Chunk<'_>,
        rows: Range<usize>,
        each: &mut dyn FnMut(usize, Result<Sample, Refusal>),
    ) {
        match &self.plan.shape {
            Shape::Long { .. } => self.read_long(chunk, rows, each),
            Shape::Wide { .. } => self.read_wide(chunk, rows, each),
        }
    }

    fn read_long(
        &self,
        chunk: &Chunk<'_>,
        rows: Range<usize>,
        each: &mut dyn FnMut(usize, Result<Sample, Refusal>),
    ) {
        let Shape::Long {
            team,
            player,
            at,
            ball,
        } = &self.plan.shape
        else {
            return;
        };
        let suspects = suspects(chunk, 0..chunk.columns.len());
        let players = &chunk.columns[*player].ids;
        let mut last_ball = None;
        for row in rows {
            if !suspects.is_empty() && suspects.binary_search(&(row as u32)).is_ok() {
                each(row, Err(self.unreadable(chunk, row, 0..chunk.columns.len())));
                continue;
            }
            let instant = match self.instant(chunk, row) {
                Ok(instant) => instant,
                Err(refusal) => {
                    each(row, Err(refusal));
                    continue;
                }
            };
            let player = players[row];
            let team = self.team(chunk, row, *team, player);
            let is_ball = match ball {
                BallIs::Nulls => team == NO_NAME && player == NO_NAME,
                BallIs::Marked(column, values) => values.contains(&chunk.columns[*column].ids[row]),
                BallIs::Own(own) => {
                    let (x, y) = (
                        chunk.columns[own.x].numbers[row],
                        chunk.columns[own.y].numbers[row],
                    );
                    // Each of an instant's rows tells the ball again: once is enough.
                    let now = (instant.period, instant.time, x, y);
                    if !(x.is_nan() && y.is_nan()) && last_ball != Some(now) {
                        last_ball = Some(now);
                        each(row, self.sample(chunk, row, instant, Who::Ball, *own));
                    }
                    false
                }
            };
            let who = if is_ball {
                Who::Ball
            } else if team != NO_NAME && player != NO_NAME {
                Who::Player { team, player }
            } else {
                each(row, Err(self.nobody(chunk, row, instant.period)));
                continue;
            };
            each(row, self.sample(chunk, row, instant, who, *at));
        }
    }

    fn read_wide(
        &self,
        chunk: &Chunk<'_>,
        rows: Range<usize>,
        each: &mut dyn FnMut(usize, Result<Sample, Refusal>),
    ) {
        let Shape::Wide { players, ball } = &self.plan.shape else {
            return;
        };
        let shared = self.shared_columns();
        let suspects = suspects(chunk, shared.iter().copied());
        let is_unreadable = |row: usize, column: usize| {
            let unreadable = &chunk.columns[column].unreadable;
            !unreadable.is_empty() && unreadable.binary_search(&(row as u32)).is_ok()
        };
        for row in rows {
            if !suspects.is_empty() && suspects.binary_search(&(row as u32)).is_ok() {
                each(row, Err(self.unreadable(chunk, row, shared.iter().copied())));
                continue;
            }
            let instant = match self.instant(chunk, row) {
                Ok(instant) => instant,
                Err(refusal) => {
                    each(row, Err(refusal));
                    continue;
                }
            };
            let mut entity = |at: PlaceColumns, id: Option<usize>, who: Result<Who, ()>| {
                let columns = || [Some(at.x), Some(at.y), at.z, id].into_iter().flatten();
                if columns().any(|column| is_unreadable(row, column)) {
                    each(row, Err(self.unreadable(chunk, row, columns())));
                    return;
                }
                let (x, y) = (chunk.columns[at.x].numbers[row], chunk.columns[at.y].numbers[row]);
                // Both empty: not on the floor at this instant.
                if x.is_nan() && y.is_nan() {
                    return;
                }
                match who {
                    Ok(who) => each(row, self.sample(chunk, row, instant, who, at)),
                    Err(()) => each(row, Err(self.nobody_wide(at, id, instant.period))),
                }
            };
            for player in players {
                let (id, column) = match player.player {
                    WidePlayerIs::Fixed(id) => (id, None),
                    WidePlayerIs::Column(column) => (chunk.columns[column].ids[row], Some(column)),
                };
                let team = self.team(chunk, row, player.team, id);
                let who = if id != NO_NAME && team != NO_NAME {
                    Ok(Who::Player { team, player: id })
                } else {
                    Err(())
                };
                entity(player.at, column, who);
            }
            if let Some(ball) = ball {
                entity(*ball, None, Ok(Who::Ball));
            }
        }
    }

    /// The columns that all entities of a wide row share.
    fn shared_columns(&self) -> Vec<usize> {
        let plan = self.plan;
        let mut columns = vec![plan.time];
        match plan.period {
            PeriodIs::Number(column) | PeriodIs::Words(column, _) => columns.push(column),
            PeriodIs::Fixed(_) => {}
        }
        if let crate::plan::GameIs::Column(column) = plan.game {
            columns.push(column);
        }
        columns.extend(
            [&plan.game_clock, &plan.shot_clock]
                .into_iter()
                .flatten()
                .map(|clock| clock.column),
        );
        columns
    }

    #[inline]
    fn team(&self, chunk: &Chunk<'_>, row: usize, team: TeamIs, player: NameIx) -> NameIx {
        match team {
            TeamIs::Column(column) => chunk.columns[column].ids[row],
            TeamIs::Fixed(team) => team,
            TeamIs::Roster => self.roster.get(player as usize).copied().unwrap_or(NO_NAME),
        }
    }

    #[inline]
    fn period(&self, chunk: &Chunk<'_>, row: usize) -> Option<u8> {
        match &self.plan.period {
            PeriodIs::Fixed(number) => Some(*number),
            PeriodIs::Number(column) => {
                let told = chunk.columns[*column].numbers[row];
                (told >= 1.0 && told <= 255.0 && told.fract() == 0.0).then_some(told as u8)
            }
            PeriodIs::Words(column, words) => {
                let told = chunk.columns[*column].ids[row];
                words
                    .iter()
                    .find(|(word, _)| *word == told)
                    .map(|(_, number)| *number)
            }
        }
    }

    #[inline]
    fn instant(&self, chunk: &Chunk<'_>, row: usize) -> Result<Instant, Refusal> {
        let time = chunk.columns[self.plan.time].numbers[row];
        match self.period(chunk, row) {
            Some(period) if time.is_finite() => Ok(Instant {
                period,
                time,
                game_clock_s: clock_s(chunk, row, self.plan.game_clock.as_ref(), period),
                shot_clock_s: clock_s(chunk, row, self.plan.shot_clock.as_ref(), period),
            }),
            period => Err(self.no_instant(chunk, row, period)),
        }
    }

    #[inline]
    fn sample(
        &self,
        chunk: &Chunk<'_>,
        row: usize,
        instant: Instant,
        who: Who,
        at: PlaceColumns,
    ) -> Result<Sample, Refusal> {
        let to_court = self.to_court;
        let (x, y) = (chunk.columns[at.x].numbers[row], chunk.columns[at.y].numbers[row]);
        let (x_m, y_m) = to_court.place_m(x, y);
        let z_m =
            at.z.map_or(f64::NAN, |z| chunk.columns[z].numbers[row] * to_court.z_unit_m);
        // Written so that a NaN place fails and a NaN height passes.
        let on_floor = x_m.abs() <= to_court.max_x_m && y_m.abs() <= to_court.max_y_m;
        let too_high = z_m < MIN_Z_M || z_m > to_court.max_z_m;
        if !on_floor || too_high {
            return Err(self.no_place(chunk, row, instant.period, at, (x_m, y_m), z_m));
        }
        Ok(Sample {
            period: instant.period,
            time: instant.time,
            game_clock_s: instant.game_clock_s,
            shot_clock_s: instant.shot_clock_s,
            who,
            x_m: x_m as f32,
            y_m: y_m as f32,
            z_m: z_m as f32,
        })
    }

    fn name(&self, column: usize) -> &str {
        &self.plan.wanted[column].column
    }

    #[cold]
    fn unreadable(&self, chunk: &Chunk<'_>, row: usize, columns: impl IntoIterator<Item = usize>) -> Refusal {
        let of_row = |(at, _): &&(u32, String)| *at as usize == row;
        if let Some((_, detail)) = chunk.broken.iter().find(of_row) {
            return Refusal {
                period: None,
                reason: RefusalReason::Unreadable,
                detail: detail.clone(),
            };
        }
        let period = self.period(chunk, row);
        let is_bad = |column: &usize| {
            chunk.columns[*column]
                .unreadable
                .binary_search(&(row as u32))
                .is_ok()
        };
        let column = columns.into_iter().find(is_bad).unwrap_or(self.plan.time);
        let found = chunk.raw.cell(row, column);
        let (expected, mend) = self.expected(column);
        let detail = format!(
            "column `{}`: found `{found}`, expected {expected}; {mend}",
            self.name(column)
        );
        Refusal {
            period,
            reason: RefusalReason::Unreadable,
            detail,
        }
    }

    /// What a column's cells should be, and how to mend those that are not.
    fn expected(&self, column: usize) -> (&'static str, &'static str) {
        use crate::chunk::ReadAs;
        if matches!(self.plan.period, PeriodIs::Number(period) if period == column) {
            return (
                "a number from 1",
                "give words in the mapping, such as [period] words = { Q1 = 1 }",
            );
        }
        match self.plan.wanted[column].read_as {
            ReadAs::Id => ("an id: a text or a whole number", "mend the cell"),
            ReadAs::Number if column == self.plan.time => (
                "a number",
                "for times as text give [time] unit = \"clock\" or \"iso\" in the mapping",
            ),
            ReadAs::Number => (
                "a number",
                "mend the cell, or name its word for nothing in [text] nulls",
            ),
            ReadAs::Clock => (
                "a text such as 11:58.4",
                "mend the cell, or the clock's unit in the mapping",
            ),
            ReadAs::Iso => (
                "a text such as 2031-06-18T19:30:00.04Z",
                "mend the cell, or [time] unit in the mapping",
            ),
        }
    }

    #[cold]
    fn no_instant(&self, chunk: &Chunk<'_>, row: usize, period: Option<u8>) -> Refusal {
        let column = match (&self.plan.period, period) {
            (PeriodIs::Number(column) | PeriodIs::Words(column, _), None) => *column,
            _ => self.plan.time,
        };
        let found = chunk.raw.cell(row, column);
        let name = self.name(column);
        let told = chunk.columns[column].numbers.get(row).copied();
        let is_empty = found.is_empty() || told.is_some_and(f64::is_nan);
        let (reason, detail) = if column == self.plan.time && !is_empty {
            (
                RefusalReason::OutOfRange,
                format!("column `{name}`: found `{found}`, expected a finite time"),
            )
        } else if is_empty {
            let what = if column == self.plan.time {
                "a time"
            } else {
                "a period"
            };
            (
                RefusalReason::MissingField,
                format!("column `{name}` is empty; expected {what}"),
            )
        } else if let PeriodIs::Words(_, words) = &self.plan.period {
            let known: Vec<u8> = words.iter().map(|w| w.1).collect();
            let detail = format!(
                "column `{name}`: found `{found}`, expected one of the words that the mapping gives for the periods \
                 {known:?}; add it to [period] words"
            );
            (RefusalReason::Unreadable, detail)
        } else {
            let detail = format!("column `{name}`: found `{found}`, expected a whole number from 1 to 255");
            (RefusalReason::OutOfRange, detail)
        };
        Refusal {
            period,
            reason,
            detail,
        }
    }

    #[cold]
    fn nobody(&self, chunk: &Chunk<'_>, row: usize, period: u8) -> Refusal {
        let Shape::Long {
            team, player, ball, ..
        } = &self.plan.shape
        else {
            return self.no_instant(chunk, row, Some(period));
        };
        let has_player = chunk.columns[*player].ids[row] != NO_NAME;
        let (reason, detail) = match team {
            TeamIs::Roster if has_player => (
                RefusalReason::UnknownEntity,
                format!(
                    "column `{}`: player `{}` has no team, or more than one, in the `players` table; expected exactly one there",
                    self.name(*player),
                    chunk.raw.cell(row, *player)
                ),
            ),
            TeamIs::Column(column) if has_player => (
                RefusalReason::MissingField,
                format!(
                    "column `{}` is empty; expected the player's team",
                    self.name(*column)
                ),
            ),
            TeamIs::Roster | TeamIs::Fixed(_) | TeamIs::Column(_) => {
                let ball = match ball {
                    BallIs::Nulls => "or an empty team too (the ball)".into(),
                    BallIs::Marked(column, _) => {
                        format!("or a mark of the ball in column `{}`", self.name(*column))
                    }
                    BallIs::Own(_) => "as the ball has columns of its own".to_owned(),
                };
                (
                    RefusalReason::MissingField,
                    format!(
                        "column `{}` is empty; expected a player's id, {ball}",
                        self.name(*player)
                    ),
                )
            }
        };
        Refusal {
            period: Some(period),
            reason,
            detail,
        }
    }

    #[cold]
    fn nobody_wide(&self, at: PlaceColumns, id: Option<usize>, period: u8) -> Refusal {
        let told = self.name(at.x);
        let detail = match id {
            Some(id) => format!(
                "column `{told}` tells a place, and column `{}` no player of a known team; expected an id",
                self.name(id)
            ),
            None => format!(
                "column `{told}` tells a place of a player without a team; expected him in the `players` table, or \
                 {{team}} or team_id in [[wide.players]]"
            ),
        };
        Refusal {
            period: Some(period),
            reason: RefusalReason::UnknownEntity,
            detail,
        }
    }

    #[cold]
    fn no_place(
        &self,
        chunk: &Chunk<'_>,
        row: usize,
        period: u8,
        at: PlaceColumns,
        (x_m, y_m): (f64, f64),
        z_m: f64,
    ) -> Refusal {
        let refusal = |reason, detail| Refusal {
            period: Some(period),
            reason,
            detail,
        };
        for column in [at.x, at.y] {
            let told = chunk.columns[column].numbers[row];
            if told.is_finite() {
                continue;
            }
            let name = self.name(column);
            let found = chunk.raw.cell(row, column);
            if found.is_empty() || found == "null" {
                let detail = format!("column `{name}` is empty; expected a coordinate");
                return refusal(RefusalReason::MissingField, detail);
            }
            let detail = format!("column `{name}`: found `{found}`, expected a finite number");
            return refusal(RefusalReason::OutOfRange, detail);
        }
        let bounds = self.to_court;
        let across = [
            (at.x, x_m, bounds.max_x_m, "along"),
            (at.y, y_m, bounds.max_y_m, "across"),
        ];
        for (_, found_m, most_m, axis) in across {
            if found_m.abs() > most_m {
                let detail = format!(
                    "columns `{}` and `{}`: found ({}, {}), that is {found_m:.2} m {axis} the court from its middle; \
                     expected at most {most_m:.2} m either way; check [place] unit and origin if many are refused",
                    self.name(at.x),
                    self.name(at.y),
                    chunk.columns[at.x].numbers[row],
                    chunk.columns[at.y].numbers[row],
                );
                return refusal(RefusalReason::OutOfRange, detail);
            }
        }
        let detail = format!(
            "column `{}`: found {z_m:.2} m, expected a height from {MIN_Z_M} to {} m",
            at.z.map_or("", |z| self.name(z)),
            bounds.max_z_m
        );
        refusal(RefusalReason::OutOfRange, detail)
    }
}

#[inline]
fn clock_s(chunk: &Chunk<'_>, row: usize, clock: Option<&ClockIs>, period: u8) -> f32 {
    let Some(clock) = clock else { return f32::NAN };
    let told_s = (chunk.columns[clock.column].numbers[row] * clock.unit_s) as f32;
    match clock.up_to {
        None => told_s,
        Some((length_s, overtime_s, regular)) => {
            (if period > regular { overtime_s } else { length_s }) - told_s
        }
    }
}

/// Rows (ascending) that have an unreadable cell in one of `columns`, or are broken.
fn suspects(chunk: &Chunk<'_>, columns: impl IntoIterator<Item = usize>) -> Vec<u32> {
    let mut rows: Vec<u32> = chunk.broken.iter().map(|b| b.0).collect();
    for column in columns {
        rows.extend_from_slice(&chunk.columns[column].unreadable);
    }
    rows.sort_unstable();
    rows.dedup();
    rows
}
