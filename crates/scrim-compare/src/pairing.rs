//! Which row of one output stands for which of the other: by who, when and where, never by ids, which shift with every row more.

use std::collections::BTreeMap;

use arrow::array::RecordBatch;
use scrim_statistics::{Candidate, ROUNDING_S, TwoSpans, group_rows, pair_nearest_first};
use scrim_tables::rows::ScreenRow;
use scrim_tables::{Kind, Row, SAME_INSTANT_S, SAME_SPAN_SHARE, Table};

use crate::columns::{Numbers, Texts};
use crate::compared_tables::{ComparedTables, compared_tables};

/// How a table's rows are placed: by the columns without which a label of it could not be.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Placing {
    /// Who: ids that must be the same.
    pub(crate) ids: Vec<&'static str>,
    /// When.
    pub(crate) when: When,
}

#[derive(Debug, PartialEq, Eq)]
pub(crate) enum When {
    /// At an instant.
    At(&'static str),
    /// From one instant to another.
    From(&'static str, &'static str),
    /// At its screen.
    AtScreen,
}

const SCREEN_ID: &str = "screen_id";
const PERIOD: &str = "period";

/// How `table`'s rows are placed; `None` of a table of which labels say nothing.
pub(crate) fn placing(table: &'static Table) -> Option<Placing> {
    let needed = table.labels.as_ref()?.needed;
    let columns = || {
        table
            .columns
            .iter()
            .filter(|column| needed.contains(&column.name))
    };
    let ids = columns().filter(|column| column.kind == Kind::Id && column.name != "game_id");
    let times: Vec<&str> = columns()
        .filter(|column| column.kind == Kind::Float64)
        .map(|column| column.name)
        .collect();
    Some(Placing {
        ids: ids.map(|column| column.name).collect(),
        when: match times[..] {
            [at] => When::At(at),
            [start, end] => When::From(start, end),
            _ => When::AtScreen,
        },
    })
}

/// The rows of one table in two outputs of a game.
#[derive(Debug, Clone)]
pub struct TablePairs<'a> {
    /// The table.
    pub table: &'static Table,
    pub(crate) a: &'a RecordBatch,
    pub(crate) b: &'a RecordBatch,
    /// Rows that stand for each other, by those of the first output.
    pub both: Vec<(usize, usize)>,
    /// Rows of the first output that are not in the second.
    pub only_a: Vec<usize>,
    /// Rows of the second that are not in the first.
    pub only_b: Vec<usize>,
}

/// Pairs the rows of all tables that both outputs of a game have.
///
/// Rows about an instant stand for each other when the same people are at it, in the same period, at most [`SAME_INSTANT_S`] apart,
/// nearest first; rows about a span, when at least [`SAME_SPAN_SHARE`] of the shorter is common to both, the largest part of the time
/// that either takes first; rows about a screen, when their screens do. Each row once.
pub fn pair_game<'a>(a: &'a ComparedTables, b: &'a ComparedTables) -> Vec<TablePairs<'a>> {
    let of_both =
        |table: &'static Table| Some((table, placing(table)?, a.get(table.name)?, b.get(table.name)?));
    let screens = compared_tables()
        .find(|table| table.name == ScreenRow::TABLE)
        .and_then(of_both)
        .map(|(table, placing, a, b)| {
            pair_table(table, &placing, [a, b], &[BTreeMap::new(), BTreeMap::new()])
        });
    let numbers = screens.as_ref().map(screen_numbers).unwrap_or_default();
    let pairs = compared_tables()
        .filter_map(of_both)
        .map(|(table, placing, a, b)| match &screens {
            Some(screens) if table.name == ScreenRow::TABLE => screens.clone(),
            _ => pair_table(table, &placing, [a, b], &numbers),
        });
    pairs.collect()
}

/// The number of the pair that each screen is of, by its id, in either output.
type ScreenNumbers = [BTreeMap<u32, u32>; 2];

fn screen_numbers(screens: &TablePairs<'_>) -> ScreenNumbers {
    let ids = [screens.a, screens.b].map(|batch| Numbers::of(batch, SCREEN_ID));
    let mut numbers = ScreenNumbers::default();
    for (number, pair) in screens.both.iter().enumerate() {
        for (side, row) in [pair.0, pair.1].into_iter().enumerate() {
            if let Some(id) = ids[side].whole_at(row) {
                numbers[side].insert(id, number as u32);
            }
        }
    }
    numbers
}

/// What the pairing needs of one output's rows.
struct Placed {
    rows: usize,
    /// The period, or the screen's number.
    place: Vec<Option<u32>>,
    ids: Vec<Texts>,
    times: Vec<Numbers>,
}

impl Placed {
    fn of(batch: &RecordBatch, placing: &Placing, screens: &BTreeMap<u32, u32>) -> Self {
        let rows = batch.num_rows();
        let (place, times) = match placing.when {
            When::At(at) => (PERIOD, vec![at]),
            When::From(start, end) => (PERIOD, vec![start, end]),
            When::AtScreen => (SCREEN_ID, vec![]),
        };
        let column = Numbers::of(batch, place);
        let place = |row| {
            let number = column.whole_at(row)?;
            match placing.when {
                When::AtScreen => screens.get(&number).copied(),
                When::At(_) | When::From(..) => Some(number),
            }
        };
        Self {
            rows,
            place: (0..rows).map(place).collect(),
            ids: placing.ids.iter().map(|name| Texts::of(batch, name)).collect(),
            times: times.into_iter().map(|name| Numbers::of(batch, name)).collect(),
        }
    }

    fn key(&self, row: usize) -> Option<(u32, Vec<&str>)> {
        let ids: Option<Vec<&str>> = self.ids.iter().map(|ids| ids.at(row)).collect();
        Some((self.place[row]?, ids?))
    }

    fn time(&self, which: usize, row: usize) -> Option<f64> {
        self.times.get(which)?.at(row)
    }

    /// How far apart two rows of one key are; `None` when they are not about the same.
    fn cost(&self, row: usize, other: &Self, other_row: usize, when: &When) -> Option<f64> {
        match when {
            When::AtScreen => Some(0.0),
            When::At(_) => {
                let apart_s = (self.time(0, row)? - other.time(0, other_row)?).abs();
                (apart_s <= SAME_INSTANT_S + ROUNDING_S).then_some(apart_s)
            }
            When::From(..) => {
                let span = (self.time(0, row)?, self.time(1, row)?);
                let other_span = (other.time(0, other_row)?, other.time(1, other_row)?);
                let spans = TwoSpans::of(span, other_span);
                let is_same = spans.common > 0.0 && spans.share_at_least(SAME_SPAN_SHARE);
                is_same.then(|| 1.0 - spans.common / spans.either)
            }
        }
    }
}

fn pair_table<'a>(
    table: &'static Table,
    placing: &Placing,
    [a, b]: [&'a RecordBatch; 2],
    screens: &ScreenNumbers,
) -> TablePairs<'a> {
    let first = Placed::of(a, placing, &screens[0]);
    let second = Placed::of(b, placing, &screens[1]);
    let groups = group_rows(second.rows, |row| second.key(row));
    let mut candidates = Vec::new();
    for row in 0..first.rows {
        let others = first.key(row).and_then(|key| groups.get(&key));
        for &other in others.into_iter().flatten() {
            if let Some(cost) = first.cost(row, &second, other, &placing.when) {
                candidates.push(Candidate {
                    cost,
                    first: row,
                    second: other,
                });
            }
        }
    }
    let both = pair_nearest_first(candidates);
    let mut is_paired = [vec![false; first.rows], vec![false; second.rows]];
    for &(row, other) in &both {
        is_paired[0][row] = true;
        is_paired[1][other] = true;
    }
    let [only_a, only_b] = is_paired.map(|paired| (0..paired.len()).filter(|&row| !paired[row]).collect());
    TablePairs {
        table,
        a,
        b,
        both,
        only_a,
        only_b,
    }
}

#[cfg(test)]
mod tests {
    use scrim_tables::rows::{CoverageRow, CutRow, PossessionRow};

    use super::*;
    use crate::staging::{coverage, cut, possession, screen, tables_of};

    fn of<'p>(pairs: &'p [TablePairs<'_>], table: &str) -> &'p TablePairs<'p> {
        pairs.iter().find(|pairs| pairs.table.name == table).unwrap()
    }

    #[test]
    fn every_compared_table_says_how_its_rows_are_placed() {
        let mut at_screens = Vec::new();
        for table in compared_tables() {
            let placing = placing(table).unwrap();
            let needs_screen = table.labels.as_ref().unwrap().needed.contains(&SCREEN_ID);
            assert_eq!(placing.when == When::AtScreen, needs_screen, "{}", table.name);
            if needs_screen {
                at_screens.push(table.name);
            }
        }
        assert_eq!(at_screens, ["coverages", "options", "entries", "off_ball_motion"]);
        let screens = placing(ScreenRow::INFO).unwrap();
        assert_eq!(
            (screens.ids, screens.when),
            (vec!["screener_id", "user_id"], When::At("t_use_s"))
        );
    }

    #[test]
    fn ids_that_shift_pair_nothing_and_part_nothing() {
        // A screen more at the beginning: every later one has another number.
        let a = tables_of(
            &[],
            &[screen(0, "p", "q", 10.0), screen(1, "p", "q", 30.0)],
            &[coverage(0), coverage(1)],
            &[],
        );
        let b = tables_of(
            &[],
            &[
                screen(0, "r", "q", 5.0),
                screen(1, "p", "q", 10.4),
                screen(2, "p", "q", 30.0),
            ],
            &[coverage(0), coverage(1), coverage(2)],
            &[],
        );
        let pairs = pair_game(&a, &b);
        for table in [ScreenRow::TABLE, CoverageRow::TABLE] {
            let pairs = of(&pairs, table);
            assert_eq!(pairs.both, [(0, 1), (1, 2)], "{table}");
            assert_eq!(
                (&pairs.only_a[..], &pairs.only_b[..]),
                (&[][..], &[0][..]),
                "{table}"
            );
        }
    }

    #[test]
    fn a_screen_a_second_away_is_the_same_and_farther_is_another() {
        let a = tables_of(
            &[],
            &[screen(0, "p", "q", 11.3), screen(1, "p", "q", 50.0)],
            &[],
            &[],
        );
        let b = tables_of(
            &[],
            &[screen(0, "p", "q", 12.3), screen(1, "p", "q", 51.1)],
            &[],
            &[],
        );
        assert_eq!(of(&pair_game(&a, &b), ScreenRow::TABLE).both, [(0, 0)]);
        // Who sets it for whom counts.
        let b = tables_of(&[], &[screen(0, "q", "p", 11.3)], &[], &[]);
        assert_eq!(of(&pair_game(&a, &b), ScreenRow::TABLE).both, []);
    }

    #[test]
    fn spans_are_paired_by_what_they_share_the_largest_part_first() {
        // One possession that became two: the longer piece stands for it.
        let a = tables_of(&[possession(0, 0.0, 20.0)], &[], &[], &[cut(0, "p", 0.0, 2.0)]);
        let b = tables_of(
            &[possession(0, 0.0, 6.0), possession(1, 6.0, 20.0)],
            &[],
            &[],
            // Half of the shorter is common; of the other's only 0.9 of 2 s.
            &[cut(0, "p", 1.1, 3.1), cut(1, "p", 1.5, 2.5)],
        );
        let pairs = pair_game(&a, &b);
        assert_eq!(of(&pairs, PossessionRow::TABLE).both, [(0, 1)]);
        assert_eq!(of(&pairs, PossessionRow::TABLE).only_b, [0]);
        assert_eq!(of(&pairs, CutRow::TABLE).both, [(0, 1)]);
    }
}
