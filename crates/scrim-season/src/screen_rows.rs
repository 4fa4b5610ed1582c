//! Each screen on the ball with the rows of the other tables that belong to it.

use std::collections::BTreeMap;

use scrim_floor::Zone;
use scrim_tables::Id;
use scrim_tables::rows::{CoverageRow, DisguiseRow, EntryRow, OptionRow, PossessionRow, ScreenRow};
use scrim_tables::tags::{Coverage, Entry, ScreenKind};

use crate::ball_screens::{Flippable, OnBallScreen, actions, is_ball_screen};
use crate::look::Look;
use crate::questions::{AskedScreen, Reads};
use crate::shot::Shot;

/// One game's rows, as far as they say something of screens on the ball.
#[derive(Debug, Clone, Copy)]
pub struct ScreenTables<'a> {
    /// `possessions`
    pub possessions: &'a [PossessionRow],
    /// `screens`
    pub screens: &'a [ScreenRow],
    /// `coverages`
    pub coverages: &'a [CoverageRow],
    /// `options`
    pub options: &'a [OptionRow],
    /// `entries`
    pub entries: &'a [EntryRow],
    /// The game's rows of its season's `disguises`; empty when they are not known.
    pub disguises: &'a [DisguiseRow],
}

/// A screen on the ball, with the rows that belong to it.
#[derive(Debug, Clone, Copy)]
pub struct ScreenRows<'a> {
    /// A number of its game, among the games at hand.
    pub game_place: usize,
    /// Its row of `screens`.
    pub screen: &'a ScreenRow,
    /// Its possession's row.
    pub possession: &'a PossessionRow,
    /// Its row of `coverages`.
    pub coverage: Option<&'a CoverageRow>,
    /// Its row of `options`.
    pub option: Option<&'a OptionRow>,
    /// Its row of `entries`.
    pub entry: Option<&'a EntryRow>,
    /// Its row of `disguises`.
    pub disguise: Option<&'a DisguiseRow>,
    /// Whether it is a ball screen, and the last one of its possession.
    pub is_last: bool,
    /// Whether it is a ball screen, and the last one of its possession that was covered so.
    pub is_last_so_covered: bool,
    /// The id of the ball screen that begins its action: of what a flip turned into the side that was given up, else its own.
    pub action_id: u32,
}

impl<'a> ScreenTables<'a> {
    /// The game's screens on the ball, in the order of `screens`; one whose possession has no row is left out. `game_place` is a
    /// number of the game among the games at hand.
    pub fn on_ball(&self, game_place: usize) -> Vec<ScreenRows<'a>> {
        let possessions = by_id(self.possessions, |row| row.possession_id);
        let coverages = by_id(self.coverages, |row| row.screen_id);
        let options = by_id(self.options, |row| row.screen_id);
        let entries = by_id(self.entries, |row| row.screen_id);
        let disguises = by_id(self.disguises, |row| row.screen_id);
        let coverage_of = |screen_id: u32| coverages.get(&screen_id).map(|row| row.coverage);
        let mut last_of: BTreeMap<u32, u32> = BTreeMap::new();
        let mut last_so_covered: BTreeMap<(u32, Option<Coverage>), u32> = BTreeMap::new();
        for row in self.screens.iter().filter(|row| is_ball_screen(row.screen_kind)) {
            last_of.insert(row.possession_id, row.screen_id);
            last_so_covered.insert((row.possession_id, coverage_of(row.screen_id)), row.screen_id);
        }
        let on_ball = self.screens.iter().filter(|row| row.on_ball);
        let action_of = actions(on_ball.clone().map(|row| Flippable {
            id: row.screen_id,
            previous: row.previous_screen_id,
            outcome: row.outcome,
            pair: (&row.user_id, &row.screener_id),
        }));
        let rows = on_ball.filter_map(|screen| {
            Some(ScreenRows {
                game_place,
                screen,
                possession: possessions.get(&screen.possession_id).copied()?,
                coverage: coverages.get(&screen.screen_id).copied(),
                option: options.get(&screen.screen_id).copied(),
                entry: entries.get(&screen.screen_id).copied(),
                disguise: disguises.get(&screen.screen_id).copied(),
                action_id: action_of
                    .get(&screen.screen_id)
                    .copied()
                    .unwrap_or(screen.screen_id),
                is_last: last_of.get(&screen.possession_id) == Some(&screen.screen_id),
                is_last_so_covered: last_so_covered
                    .get(&(screen.possession_id, coverage_of(screen.screen_id)))
                    == Some(&screen.screen_id),
            })
        });
        rows.collect()
    }
}

fn by_id<R>(rows: &[R], id: impl Fn(&R) -> u32) -> BTreeMap<u32, &R> {
    rows.iter().map(|row| (id(row), row)).collect()
}

impl OnBallScreen for ScreenRows<'_> {
    fn kind(&self) -> ScreenKind {
        self.screen.screen_kind
    }

    fn teams(&self) -> [&Id; 2] {
        [&self.possession.offense_team_id, &self.possession.defense_team_id]
    }

    fn coverage_tag(&self) -> Option<Coverage> {
        self.coverage.map(|row| row.coverage)
    }

    fn entry_tag(&self) -> Option<(Entry, bool)> {
        self.entry
            .map(|row| (row.entry, row.previous_ball_screen_id.is_some()))
    }

    fn last_of_look(&self) -> Option<Entry> {
        Some(Look::parse(&self.entry?.look).ok()?.last())
    }

    fn pair(&self) -> (&Id, &Id) {
        (&self.screen.user_id, &self.screen.screener_id)
    }

    fn zone(&self) -> Zone {
        self.screen.zone
    }

    fn possession_key(&self) -> (usize, usize) {
        (self.game_place, self.possession.possession_id as usize)
    }

    fn possession_points(&self) -> Option<u8> {
        self.possession.points
    }
}

impl AskedScreen for ScreenRows<'_> {
    fn reads(&self) -> Reads<'_> {
        Reads {
            side: self.screen.side,
            outcome: self.screen.outcome,
            is_second_side: self.action_id != self.screen.screen_id,
            actions: self.option.map(|row| (row.screener_action, row.handler_action)),
            path: self.coverage.map(|row| row.on_ball_path),
            screener_defender: self.screen.screener_defender_id.as_ref(),
            user_defender: self.screen.user_defender_id.as_ref(),
            late_s: self.entry.and_then(|row| row.screener_defender_late_s),
            gap_m: self.entry.and_then(|row| row.screener_defender_gap_m),
            shot: self
                .option
                .and_then(|row| Shot::of_option(row, &self.screen.screener_id)),
            is_last: self.is_last,
            is_last_so_covered: self.is_last_so_covered,
            end: self.possession.end_kind,
        }
    }
}
