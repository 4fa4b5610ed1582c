//! Why a row is refused, in words: what was found, what was expected, how to fix it.

use scrim_tables::tags::RefusalReason;

use super::{MAX_CLOCK_S, MIN_CLOCK_S, Refusal, RowReader};
use crate::chunk::{Chunk, ReadAs};
use crate::names::NO_NAME;
use crate::plan::{BallIs, ClockIs, PeriodIs, PlaceColumns, Shape, TeamIs};
use crate::to_court::MIN_Z_M;

impl RowReader<'_> {
    fn name(&self, column: usize) -> &str {
        &self.plan.wanted[column].column
    }

    #[cold]
    pub(super) fn unreadable(
        &self,
        chunk: &Chunk<'_>,
        row: usize,
        columns: impl IntoIterator<Item = usize>,
    ) -> Refusal {
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
        let (expected, fix) = self.expected(column);
        let detail = format!(
            "column `{}`: found `{found}`, expected {expected}; {fix}",
            self.name(column)
        );
        Refusal {
            period,
            reason: RefusalReason::Unreadable,
            detail,
        }
    }

    /// What a column's cells should be, and how to fix those that are not.
    fn expected(&self, column: usize) -> (&'static str, &'static str) {
        if matches!(self.plan.period, PeriodIs::Number(period) if period == column) {
            return (
                "a number from 1",
                "give words in the mapping, such as [period] words = { Q1 = 1 }",
            );
        }
        match self.plan.wanted[column].read_as {
            ReadAs::Id => ("an id: a text or a whole number", "fix the cell"),
            ReadAs::Number if column == self.plan.time => (
                "a number",
                "for times as text give [time] unit = \"clock\" or \"iso\" in the mapping",
            ),
            ReadAs::Number => (
                "a number",
                "fix the cell, or name its word for nothing in [text] nulls",
            ),
            ReadAs::Clock => (
                "a text such as 11:58.4",
                "fix the cell, or the clock's unit in the mapping",
            ),
            ReadAs::Iso => (
                "a text such as 2031-06-18T19:30:00.04Z",
                "fix the cell, or [time] unit in the mapping",
            ),
        }
    }

    #[cold]
    pub(super) fn no_instant(&self, chunk: &Chunk<'_>, row: usize, period: Option<u8>) -> Refusal {
        let column = match (&self.plan.period, period) {
            (PeriodIs::Number(column) | PeriodIs::Words(column, _), None) => *column,
            _ => self.plan.time,
        };
        let value = chunk.columns[column].numbers.get(row).copied();
        let found = match (chunk.raw.cell(row, column), value) {
            (text, Some(value)) if text.is_empty() && !value.is_nan() => value.to_string(),
            (text, _) => text,
        };
        let name = self.name(column);
        let is_empty = found.is_empty() || value.is_some_and(f64::is_nan);
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
    pub(super) fn no_clock(
        &self,
        chunk: &Chunk<'_>,
        row: usize,
        period: u8,
        clock: Option<&ClockIs>,
    ) -> Refusal {
        let (name, found) = clock.map_or(("", String::new()), |clock| {
            (self.name(clock.column), chunk.raw.cell(row, clock.column))
        });
        let found = if found.is_empty() {
            clock.map_or(found, |clock| {
                chunk.columns[clock.column].numbers[row].to_string()
            })
        } else {
            found
        };
        let detail = format!(
            "column `{name}`: found `{found}`, expected a clock from {MIN_CLOCK_S} to {MAX_CLOCK_S} s as mapped; check the \
             clock's unit, counts and length_s in the mapping"
        );
        Refusal {
            period: Some(period),
            reason: RefusalReason::OutOfRange,
            detail,
        }
    }

    #[cold]
    pub(super) fn nobody(&self, chunk: &Chunk<'_>, row: usize, period: u8) -> Refusal {
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
    pub(super) fn nobody_wide(&self, at: PlaceColumns, id: Option<usize>, period: u8) -> Refusal {
        let value = self.name(at.x);
        let detail = match id {
            Some(id) => format!(
                "column `{value}` has a place, and column `{}` no player of a known team; expected an id",
                self.name(id)
            ),
            None => format!(
                "column `{value}` has a place of a player without a team; expected the player in the `players` table, or \
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
    pub(super) fn no_place(
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
            let value = chunk.columns[column].numbers[row];
            if value.is_finite() {
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
