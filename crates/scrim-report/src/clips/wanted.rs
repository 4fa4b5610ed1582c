//! Which ball screens become clips.

use std::collections::BTreeSet;

use scrim_floor::Definitions;
use scrim_season::ball_screens::OnBallScreen;
use scrim_season::questions::AskedScreen;
use scrim_season::words::{Names, Words};
use scrim_tables::Id;
use scrim_tables::tags::{Coverage, Entry, HandlerAction, Outcome, RunResult, ScreenKind, ScreenerAction};

use crate::findings::findings;
use crate::plays::{Plays, ScreenPlay};
use crate::{ReportError, TeamGames};

/// Whose ball screens and handoffs become clips.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ClipSide {
    /// The team's own.
    Offense,
    /// Those that it defends.
    Defense,
    /// Both.
    #[default]
    Both,
}

/// Which ball screens and handoffs are wanted: those that meet every choice that is made. An empty list chooses nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wanted {
    /// Whose.
    pub side: ClipSide,
    /// Those of one of these kinds: ball screens, handoffs.
    pub kinds: Vec<ScreenKind>,
    /// Those that came out of one of these.
    pub entries: Vec<Entry>,
    /// Those that were covered in one of these ways.
    pub coverages: Vec<Coverage>,
    /// Those whose screener did one of these.
    pub screener_actions: Vec<ScreenerAction>,
    /// Those whose handler did one of these.
    pub handler_actions: Vec<HandlerAction>,
    /// Those of which one of these became.
    pub outcomes: Vec<Outcome>,
    /// Those of which one side had the better.
    pub result: Option<RunResult>,
    /// Those of one handler and one screener, each by id, or the team's own by number.
    pub pair: Option<[String; 2]>,
    /// Those that show this finding of the report's first page, from 1.
    pub finding: Option<u32>,
    /// Only the surest, this many.
    pub top: Option<u32>,
}

impl Wanted {
    /// The wanted plays: the latest game first, within a game by time.
    ///
    /// # Errors
    /// [`ReportError`]: a player or the finding is not there.
    pub(super) fn of<'a>(
        &self,
        team: &TeamGames,
        plays: &Plays<'a>,
        names: &Names,
        words: &Words,
    ) -> Result<Vec<ScreenPlay<'a>>, ReportError> {
        let pair = self.pair_ids(team, names)?;
        let shown = self.shown(team, plays, names, words)?;
        let mut wanted: Vec<ScreenPlay<'a>> = plays
            .on_ball
            .iter()
            .filter(|play| self.is_of_side(team, play) && self.has_words(play))
            .filter(|play| {
                let [handlers, screeners] = &pair;
                let (handler, screener) = play.pair();
                self.pair.is_none() || handlers.contains(handler) && screeners.contains(screener)
            })
            .filter(|play| shown.as_ref().is_none_or(|shown| shown.contains(&play.key())))
            .copied()
            .collect();
        wanted.sort_by_key(ScreenPlay::latest_first);
        if let Some(top) = self.top {
            // A stable sort: of equally sure ones the one of the latest game.
            wanted.sort_by(|a, b| b.confidence().total_cmp(&a.confidence()));
            wanted.truncate(top as usize);
            wanted.sort_by_key(ScreenPlay::latest_first);
        }
        Ok(wanted)
    }

    /// How many are wanted with handler and screener the other way round; 0 where no pair is asked for.
    ///
    /// # Errors
    /// As [`of`](Self::of).
    pub(super) fn other_way(
        &self,
        team: &TeamGames,
        plays: &Plays<'_>,
        names: &Names,
        words: &Words,
    ) -> Result<usize, ReportError> {
        let Some([handler, screener]) = &self.pair else {
            return Ok(0);
        };
        let turned = Self {
            pair: Some([screener.clone(), handler.clone()]),
            ..self.clone()
        };
        Ok(turned.of(team, plays, names, words)?.len())
    }

    fn is_of_side(&self, team: &TeamGames, play: &ScreenPlay<'_>) -> bool {
        let [offense, defense] = play.teams().map(|id| id.as_ref() == team.choice.team);
        match self.side {
            ClipSide::Offense => offense,
            ClipSide::Defense => defense,
            ClipSide::Both => offense || defense,
        }
    }

    fn has_words(&self, play: &ScreenPlay<'_>) -> bool {
        let actions = play.reads().actions;
        has(&self.kinds, Some(play.screen.screen_kind))
            && has(&self.entries, play.came_out_of())
            && has(&self.coverages, play.coverage_tag())
            && has(&self.screener_actions, actions.map(|(screener, _)| screener))
            && has(&self.handler_actions, actions.map(|(_, handler)| handler))
            && has(&self.outcomes, Some(play.screen.outcome))
            && self
                .result
                .is_none_or(|result| play.result(Definitions::DEFAULT.open_shot_m) == Some(result))
    }

    /// The ids of the pair. A number is one of the team's own players; the opponents' have the same numbers.
    fn pair_ids(&self, team: &TeamGames, names: &Names) -> Result<[Vec<Id>; 2], ReportError> {
        let Some(pair) = &self.pair else {
            return Ok([Vec::new(), Vec::new()]);
        };
        let known = team.games.iter().flat_map(|game| &game.players);
        let own: BTreeSet<&Id> = known
            .filter(|player| player.team_id.as_ref() == team.choice.team)
            .map(|player| &player.player_id)
            .collect();
        let screens = team.games.iter().flat_map(|game| &game.screens);
        let all: BTreeSet<&Id> = screens
            .flat_map(|screen| [&screen.user_id, &screen.screener_id])
            .collect();
        let ids = |asked: &String| -> Result<Vec<Id>, ReportError> {
            let number = asked.trim_start_matches('0');
            let is_it = |id: &&&Id| {
                let has_number = names
                    .number(id)
                    .is_some_and(|jersey| jersey.trim_start_matches('0') == number);
                id.as_ref() == asked || (own.contains(*id) && has_number)
            };
            let ids: Vec<Id> = all.iter().filter(is_it).map(|id| (*id).clone()).collect();
            if ids.is_empty() {
                return Err(ReportError::UnknownPlayer {
                    player: asked.clone(),
                    found: own.iter().map(|id| names.called(id)).collect(),
                });
            }
            Ok(ids)
        };
        Ok([ids(&pair[0])?, ids(&pair[1])?])
    }

    /// The plays that show the finding; `None` when none is asked for.
    fn shown(
        &self,
        team: &TeamGames,
        plays: &Plays<'_>,
        names: &Names,
        words: &Words,
    ) -> Result<Option<Vec<(usize, u32)>>, ReportError> {
        let Some(asked) = self.finding else {
            return Ok(None);
        };
        let found = findings(&team.season.against_league, plays, names, words);
        let finding = (asked as usize).checked_sub(1).and_then(|place| found.get(place));
        match finding {
            Some(finding) => Ok(Some(finding.shown_by.iter().map(|play| play.key()).collect())),
            None => Err(ReportError::NoFinding {
                asked,
                found: found.len(),
            }),
        }
    }
}

/// Whether the word is one of those that are chosen; any is, where none is chosen.
fn has<T: PartialEq>(chosen: &[T], word: Option<T>) -> bool {
    chosen.is_empty() || word.is_some_and(|word| chosen.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clips::clip_lists;
    use crate::staging::{staged_game, staged_team};

    /// How many of the six staged ball screens are wanted: possessions 2 and 5 met a switch, the others a drop; all by KH 4 and KH 8 out of a
    /// down screen; points 2, 0, 2, 0, 2, 0.
    fn count(wanted: Wanted) -> Result<usize, ReportError> {
        let team = staged_team(vec![staged_game("G1", 6)]);
        Ok(clip_lists(&team, &wanted, &[], &Words::english())?.clips)
    }

    #[test]
    fn choices_of_one_kind_widen_and_of_different_kinds_narrow() {
        let of = |coverages: &[Coverage], result| {
            count(Wanted {
                coverages: coverages.to_vec(),
                result,
                ..Wanted::default()
            })
            .unwrap()
        };
        assert_eq!(of(&[], None), 6);
        assert_eq!(of(&[Coverage::Switch], None), 2);
        assert_eq!(of(&[Coverage::Switch, Coverage::Drop], None), 6);
        // Possession 2 brought two points; possession 5 none, and its shot had 1.5 m of room.
        assert_eq!(of(&[Coverage::Switch], Some(RunResult::Beat)), 1);
        assert_eq!(of(&[Coverage::Switch], Some(RunResult::Beaten)), 1);
    }

    #[test]
    fn the_surest_are_kept() {
        let top = |top| {
            count(Wanted {
                top: Some(top),
                ..Wanted::default()
            })
            .unwrap()
        };
        assert_eq!((top(1), top(4), top(40)), (1, 4, 6));
    }

    #[test]
    fn a_pair_is_known_by_id_or_number_and_nobody_else_is() {
        let pair = |pair: [&str; 2]| {
            count(Wanted {
                pair: Some(pair.map(Into::into)),
                ..Wanted::default()
            })
        };
        assert_eq!(pair(["4", "8"]).unwrap(), 6);
        assert_eq!(pair(["8", "4"]).unwrap(), 0);
        let error = pair(["77", "8"]).unwrap_err().to_string();
        assert!(error.contains("`77`"), "{error}");
    }

    #[test]
    fn a_pair_the_other_way_round_is_counted_where_this_way_has_none() {
        let team = staged_team(vec![staged_game("G1", 6)]);
        let other_way = |pair: [&str; 2], coverages: &[Coverage]| {
            let wanted = Wanted {
                pair: Some(pair.map(Into::into)),
                coverages: coverages.to_vec(),
                ..Wanted::default()
            };
            let lists = clip_lists(&team, &wanted, &[], &Words::english()).unwrap();
            (lists.clips, lists.other_way)
        };
        assert_eq!(other_way(["8", "4"], &[]), (0, 6));
        // The other choices still hold.
        assert_eq!(other_way(["8", "4"], &[Coverage::Switch]), (0, 2));
        assert_eq!(other_way(["4", "8"], &[]), (6, 0));
    }

    #[test]
    fn handoffs_can_be_left_out() {
        let mut game = staged_game("G1", 6);
        let on_ball = game.screens.iter_mut().filter(|row| row.on_ball);
        for screen in on_ball.take(2) {
            screen.screen_kind = ScreenKind::Handoff;
        }
        let team = staged_team(vec![game]);
        let count = |kinds: &[ScreenKind]| {
            let wanted = Wanted {
                kinds: kinds.to_vec(),
                ..Wanted::default()
            };
            clip_lists(&team, &wanted, &[], &Words::english()).unwrap().clips
        };
        let (ball_screen, handoff) = (ScreenKind::BallScreen, ScreenKind::Handoff);
        let all = [&[][..], &[ball_screen], &[handoff], &[ball_screen, handoff]];
        assert_eq!(all.map(count), [6, 4, 2, 6]);
    }

    #[test]
    fn a_finding_that_is_not_there_is_refused() {
        let error = count(Wanted {
            finding: Some(1),
            ..Wanted::default()
        })
        .unwrap_err()
        .to_string();
        assert!(
            error.contains("no finding 1") && error.contains("has 0"),
            "{error}"
        );
    }
}
