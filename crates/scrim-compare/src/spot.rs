//! Rows to look up: which game, when, which possession.

use std::collections::BTreeMap;

use scrim_season::GameClock;
use scrim_season::words::Words;
use scrim_tables::rows::ScreenRow;
use scrim_tables::{Partition, Row};
use serde::Serialize;

use crate::columns::{Numbers, Texts};
use crate::compared_tables::ComparedTables;
use crate::pairing::{TablePairs, When, placing};

/// A row to look up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spot {
    /// The game.
    pub game_id: String,
    /// The period, from 1.
    pub period: u8,
    /// Seconds from the period's first frame: of a screen its use, else the row's beginning.
    pub t_s: Option<f64>,
    /// Period and game clock in words, as a scoreboard shows it.
    pub when: String,
    /// The possession's number in the first output; `None` when the row is not there.
    pub possession_in_a: Option<u32>,
    /// The same in the second.
    pub possession_in_b: Option<u32>,
    /// Who: the ids that place the row.
    pub who: Vec<String>,
}

/// Where and when the rows of a table of one output are.
pub(crate) struct SpotFinder<'a> {
    game_id: &'a str,
    /// Which output.
    side: usize,
    period: Numbers,
    possession: Numbers,
    time: Time,
    who: Vec<Texts>,
    clock: &'a GameClock,
    words: &'a Words,
}

/// When a row is.
enum Time {
    /// A column of its own.
    Own(Numbers),
    /// When its screen was used, by the screen's number.
    OfScreen(Numbers, BTreeMap<u32, f64>),
}

impl<'a> SpotFinder<'a> {
    pub(crate) fn of(
        partition: &'a Partition,
        tables: &ComparedTables,
        pairs: &TablePairs<'_>,
        side: usize,
        (clock, words): (&'a GameClock, &'a Words),
    ) -> Self {
        let batch = if side == 0 { pairs.a } else { pairs.b };
        let placing = placing(pairs.table);
        let when = placing.as_ref().map_or(&When::AtScreen, |placing| &placing.when);
        let time = match when {
            When::At(name) | When::From(name, _) => Time::Own(Numbers::of(batch, name)),
            When::AtScreen => {
                let used = tables.get(ScreenRow::TABLE).map(|screens| {
                    let (ids, t_s) = (Numbers::of(screens, "screen_id"), Numbers::of(screens, "t_use_s"));
                    (0..screens.num_rows())
                        .filter_map(|row| Some((ids.whole_at(row)?, t_s.at(row)?)))
                        .collect()
                });
                Time::OfScreen(Numbers::of(batch, "screen_id"), used.unwrap_or_default())
            }
        };
        let ids = placing.map(|placing| placing.ids).unwrap_or_default();
        Self {
            game_id: partition.game_id(),
            side,
            period: Numbers::of(batch, "period"),
            possession: Numbers::of(batch, "possession_id"),
            time,
            who: ids.iter().map(|name| Texts::of(batch, name)).collect(),
            clock,
            words,
        }
    }

    pub(crate) fn possession(&self, row: usize) -> Option<u32> {
        self.possession.whole_at(row)
    }

    /// A row of this output, as if the other did not have it.
    pub(crate) fn spot(&self, row: usize) -> Spot {
        let t_s = match &self.time {
            Time::Own(t_s) => t_s.at(row),
            Time::OfScreen(ids, used) => ids.whole_at(row).and_then(|id| used.get(&id).copied()),
        };
        let possession = self.possession(row);
        // Such a column holds u8.
        let period = self.period.whole_at(row).unwrap_or_default() as u8;
        let when = possession
            .zip(t_s)
            .map(|(possession, t_s)| self.clock.at(period, possession, t_s));
        let who = self.who.iter().filter_map(|ids| ids.at(row).map(Into::into));
        Spot {
            game_id: self.game_id.into(),
            period,
            t_s,
            when: when.map_or_else(|| format!("P{period}"), |when| self.words.when(&when)),
            possession_in_a: possession.filter(|_| self.side == 0),
            possession_in_b: possession.filter(|_| self.side == 1),
            who: who.collect(),
        }
    }
}
