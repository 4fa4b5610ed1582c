//! Rows as samples: each row read by the plan, or refused with its reason.

mod refusal;

use std::ops::Range;

use scrim_tables::tags::RefusalReason;

use crate::chunk::Chunk;
use crate::game_builder::{MAX_ENTITIES, Sample, Who};
use crate::names::{NO_NAME, NameIx};
use crate::plan::{BallIs, ClockIs, PeriodIs, PlaceColumns, Plan, Shape, TeamIs, WidePlayerIs};
use crate::to_court::{MIN_Z_M, ToCourt};

/// The least that a clock may show, s: some clocks run a little past their end.
const MIN_CLOCK_S: f32 = -5.0;
/// The most that a clock may show, s: periods are shorter.
const MAX_CLOCK_S: f32 = 3600.0;

/// Why a row is refused.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refusal {
    /// Its period, when that could be read.
    pub period: Option<u8>,
    pub reason: RefusalReason,
    /// What was found, what was expected, how to fix it.
    pub detail: String,
}

impl Refusal {
    /// For a sample of one player more than anyone could be keeping track of.
    #[cold]
    pub(crate) fn crowd(period: u8) -> Self {
        Self {
            period: Some(period),
            reason: RefusalReason::UnknownEntity,
            detail: format!(
                "more than {MAX_ENTITIES} players in one game; expected some tens: check [player] and what marks the ball"
            ),
        }
    }
}

/// The team of each player by the `players` side table; [`NO_NAME`] when it has none or more than one.
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

/// The columns of places, and their numbers in a chunk.
#[derive(Clone, Copy)]
struct Axes<'c> {
    columns: PlaceColumns,
    x: &'c [f64],
    y: &'c [f64],
    z: Option<&'c [f64]>,
}

impl<'c> Axes<'c> {
    fn of(chunk: &'c Chunk<'_>, columns: PlaceColumns) -> Self {
        let numbers = |column: usize| &*chunk.columns[column].numbers;
        Self {
            columns,
            x: numbers(columns.x),
            y: numbers(columns.y),
            z: columns.z.map(numbers),
        }
    }
}

impl RowReader<'_> {
    /// Gives each row of `rows` to `each`, as samples or refusals (a row of the wide form can be several).
    pub(crate) fn read(
        &self,
        chunk: &Chunk<'_>,
        rows: Range<usize>,
        each: &mut impl FnMut(usize, Result<Sample, Refusal>),
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
        each: &mut impl FnMut(usize, Result<Sample, Refusal>),
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
        let axes = Axes::of(chunk, *at);
        let mut last_ball = None;
        let begins = self.begins(chunk, &rows);
        let mut instant = None;
        for (row, begins) in rows.zip(begins) {
            if begins {
                instant = self.instant(chunk, row).ok();
            }
            if !suspects.is_empty() && suspects.binary_search(&(row as u32)).is_ok() {
                each(row, Err(self.unreadable(chunk, row, 0..chunk.columns.len())));
                continue;
            }
            let Some(instant) = instant else {
                if let Err(refusal) = self.instant(chunk, row) {
                    each(row, Err(refusal));
                }
                continue;
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
                    // Each of an instant's rows has the ball again: once is enough.
                    let now = (instant.period, instant.time, x, y);
                    if !(x.is_nan() && y.is_nan()) && last_ball != Some(now) {
                        last_ball = Some(now);
                        each(
                            row,
                            self.sample(chunk, row, instant, Who::Ball, Axes::of(chunk, *own)),
                        );
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
            each(row, self.sample(chunk, row, instant, who, axes));
        }
    }

    fn read_wide(
        &self,
        chunk: &Chunk<'_>,
        rows: Range<usize>,
        each: &mut impl FnMut(usize, Result<Sample, Refusal>),
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
                    Ok(who) => each(row, self.sample(chunk, row, instant, who, Axes::of(chunk, at))),
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

    /// The columns that an instant is read from.
    fn instant_columns(&self) -> Vec<usize> {
        let plan = self.plan;
        let mut columns = vec![plan.time];
        match plan.period {
            PeriodIs::Number(column) | PeriodIs::Words(column, _) => columns.push(column),
            PeriodIs::Fixed(_) => {}
        }
        columns.extend(
            [&plan.game_clock, &plan.shot_clock]
                .into_iter()
                .flatten()
                .map(|clock| clock.column),
        );
        columns
    }

    /// The columns that all entities of a wide row share.
    fn shared_columns(&self) -> Vec<usize> {
        let mut columns = self.instant_columns();
        if let crate::plan::GameIs::Column(column) = self.plan.game {
            columns.push(column);
        }
        columns
    }

    /// For each of `rows` whether an instant begins that is written otherwise than the row's before: most rows of the long form
    /// repeat it, and are spared reading it again.
    fn begins(&self, chunk: &Chunk<'_>, rows: &Range<usize>) -> Vec<bool> {
        fn mark<T: Copy>(cells: &[T], differ: impl Fn(T, T) -> bool, marks: &mut [bool]) {
            for (mark, pair) in marks.iter_mut().skip(1).zip(cells.windows(2)) {
                *mark |= differ(pair[0], pair[1]);
            }
        }
        let mut marks = vec![false; rows.len()];
        marks.first_mut().into_iter().for_each(|first| *first = true);
        for column in self.instant_columns() {
            let cells = &chunk.columns[column];
            if cells.ids.is_empty() {
                let differ = |a: f64, b: f64| a.to_bits() != b.to_bits();
                mark(&cells.numbers[rows.clone()], differ, &mut marks);
            } else {
                mark(&cells.ids[rows.clone()], |a, b| a != b, &mut marks);
            }
        }
        marks
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
                let value = chunk.columns[*column].numbers[row];
                // A whole number is its own rounding; other values, and none, are not.
                let number = value as u8;
                (number >= 1 && f64::from(number) == value).then_some(number)
            }
            PeriodIs::Words(column, words) => {
                let value = chunk.columns[*column].ids[row];
                words
                    .iter()
                    .find(|(word, _)| *word == value)
                    .map(|(_, number)| *number)
            }
        }
    }

    #[inline(always)]
    fn instant(&self, chunk: &Chunk<'_>, row: usize) -> Result<Instant, Refusal> {
        let time = chunk.columns[self.plan.time].numbers[row];
        let period = match self.period(chunk, row) {
            Some(period) if time.is_finite() => period,
            period => return Err(self.no_instant(chunk, row, period)),
        };
        let game_clock_s = clock_s(chunk, row, self.plan.game_clock.as_ref(), period);
        let shot_clock_s = clock_s(chunk, row, self.plan.shot_clock.as_ref(), period);
        let is_odd = |clock_s: f32| !clock_s.is_nan() && !(MIN_CLOCK_S..=MAX_CLOCK_S).contains(&clock_s);
        if is_odd(game_clock_s) || is_odd(shot_clock_s) {
            let odd = if is_odd(game_clock_s) {
                &self.plan.game_clock
            } else {
                &self.plan.shot_clock
            };
            return Err(self.no_clock(chunk, row, period, odd.as_ref()));
        }
        Ok(Instant {
            period,
            time,
            game_clock_s,
            shot_clock_s,
        })
    }

    #[inline(always)]
    fn sample(
        &self,
        chunk: &Chunk<'_>,
        row: usize,
        instant: Instant,
        who: Who,
        axes: Axes<'_>,
    ) -> Result<Sample, Refusal> {
        let to_court = self.to_court;
        let (x_m, y_m) = to_court.place_m(axes.x[row], axes.y[row]);
        let z_m = axes.z.map_or(f64::NAN, |z| z[row] * to_court.z_unit_m);
        // Written so that a NaN place fails and a NaN height passes.
        let on_floor = x_m.abs() <= to_court.max_x_m && y_m.abs() <= to_court.max_y_m;
        let too_high = z_m < MIN_Z_M || z_m > to_court.max_z_m;
        if !on_floor || too_high {
            return Err(self.no_place(chunk, row, instant.period, axes.columns, (x_m, y_m), z_m));
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
}

#[inline]
fn clock_s(chunk: &Chunk<'_>, row: usize, clock: Option<&ClockIs>, period: u8) -> f32 {
    let Some(clock) = clock else { return f32::NAN };
    let shown_s = (chunk.columns[clock.column].numbers[row] * clock.unit_s) as f32;
    match clock.up_to {
        None => shown_s,
        Some((length_s, overtime_s, regular)) => {
            (if period > regular { overtime_s } else { length_s }) - shown_s
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
