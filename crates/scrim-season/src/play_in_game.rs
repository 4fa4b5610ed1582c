//! A play of the season's facts, as it is counted.

use std::collections::BTreeSet;

use scrim_floor::Zone;
use scrim_tables::Id;
use scrim_tables::tags::{Coverage, Entry, ScreenKind};

use crate::ball_screens::{OnBallScreen, is_ball_screen};
use crate::facts::{GameFacts, Play, Possession};
use crate::questions::{AskedScreen, Reads};

/// A ball screen or handoff with its game: what the counts of ball screens need.
#[derive(Debug, Clone, Copy)]
pub struct PlayInGame<'a> {
    /// A number of the game among the games at hand.
    pub game_place: usize,
    /// The game.
    pub game: &'a GameFacts,
    /// The play.
    pub play: &'a Play,
}

impl GameFacts {
    /// The game's ball screens and handoffs, in time order. `game_place` is a number of the game among the games at hand.
    pub fn plays_in_game(&self, game_place: usize) -> impl DoubleEndedIterator<Item = PlayInGame<'_>> {
        self.plays.iter().map(move |play| PlayInGame {
            game_place,
            game: self,
            play,
        })
    }
}

/// Marks the last ball screen of each possession, and the last of each coverage in it. Plays are in time order.
pub(crate) fn mark_last(plays: &mut [Play]) {
    let mut later = None;
    let mut so_covered = BTreeSet::new();
    for play in plays.iter_mut().rev().filter(|play| is_ball_screen(play.kind)) {
        play.is_last = later.replace(play.possession) != Some(play.possession);
        play.is_last_so_covered = so_covered.insert((play.possession, play.coverage));
    }
}

impl<'a> PlayInGame<'a> {
    /// Its possession.
    pub fn possession(&self) -> &'a Possession {
        &self.game.possessions[self.play.possession]
    }
}

impl OnBallScreen for PlayInGame<'_> {
    fn kind(&self) -> ScreenKind {
        self.play.kind
    }

    fn teams(&self) -> [&Id; 2] {
        let possession = self.possession();
        [&possession.offense, &possession.defense]
    }

    fn coverage_tag(&self) -> Option<Coverage> {
        Some(self.play.coverage)
    }

    fn entry_tag(&self) -> Option<(Entry, bool)> {
        let entry = &self.play.entry;
        Some((entry.entry, entry.previous_ball_screen_id.is_some()))
    }

    fn last_of_look(&self) -> Option<Entry> {
        Some(self.play.look.last())
    }

    fn pair(&self) -> (&Id, &Id) {
        (&self.play.handler, &self.play.screener)
    }

    fn zone(&self) -> Zone {
        self.play.zone
    }

    fn possession_key(&self) -> (usize, usize) {
        (self.game_place, self.play.possession)
    }

    fn possession_points(&self) -> Option<u8> {
        self.possession().points
    }
}

impl AskedScreen for PlayInGame<'_> {
    fn reads(&self) -> Reads<'_> {
        let play = self.play;
        Reads {
            side: play.side,
            outcome: play.outcome,
            is_second_side: play.action_id != play.entry.screen_id,
            actions: play.option,
            path: play.path,
            screener_defender: play.screener_defender.as_ref(),
            user_defender: play.user_defender.as_ref(),
            late_s: play.entry.screener_defender_late_s,
            gap_m: play.entry.screener_defender_gap_m,
            shot: play.shot,
            is_last: play.is_last,
            is_last_so_covered: play.is_last_so_covered,
            end: self.possession().end,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::{Staged, What};

    #[test]
    fn a_possession_counts_once_for_each_coverage_that_it_met() {
        let what = What::default();
        let game = (0..3).fold(Staged::new("G", None), |game, _| {
            game.possession_of(["a", "b"], "horns down:left ball_screen:left", Some(2), what)
        });
        let mut game = game.done();
        for (play, coverage) in game
            .plays
            .iter_mut()
            .zip([Coverage::Drop, Coverage::Switch, Coverage::Drop])
        {
            play.possession = 0;
            play.coverage = coverage;
        }
        mark_last(&mut game.plays);
        let marks: Vec<_> = game
            .plays
            .iter()
            .map(|play| (play.is_last, play.is_last_so_covered))
            .collect();
        assert_eq!(marks, [(false, false), (false, true), (true, true)]);
    }
}
