//! Counters: what either side went to after a run of the same set.

use std::fmt::Write;

use scrim_tables::rows::CounterRow;
use scrim_tables::tags::{Coverage, RunResult, TeamSide};

use super::{Digest, LINES, numbers};
use crate::counters::{ANY_OPTION, option_of, pairs_of_runs, result_of};
use crate::play_in_game::PlayInGame;

/// How many answers to one situation.
const ANSWERS: usize = 2;

impl<'a> Digest<'a> {
    pub(super) fn counters_of(&self, side: TeamSide) -> String {
        let mut text = match side {
            TeamSide::Offense => "COUNTERS with the ball: what came in the next run of the same set\n",
            TeamSide::Defense => "COUNTERS on defence: how the next run of the same set was covered\n",
        }
        .to_owned();
        let ours = |row: &&CounterRow| {
            row.team_id.as_deref() == Some(self.team) && row.side == side && row.option == ANY_OPTION
        };
        let mut rows: Vec<&CounterRow> = self.counters.iter().filter(ours).collect();
        rows.sort_by(|a, b| {
            b.n.cmp(&a.n)
                .then_with(|| (a.coverage, a.result).cmp(&(b.coverage, b.result)))
                .then_with(|| b.hits.cmp(&a.hits))
                .then_with(|| a.next.cmp(&b.next))
        });
        if rows.is_empty() {
            text.push_str("  No set was run twice in a game with a known result.\n");
        }
        // The likeliest answers of several situations say more than every answer of one.
        let mut seen: Vec<(Coverage, RunResult)> = Vec::new();
        rows.retain(|row| {
            let situation = (row.coverage, row.result);
            seen.push(situation);
            seen.iter().filter(|other| **other == situation).count() <= ANSWERS
        });
        for row in rows.into_iter().take(LINES) {
            let after = match row.result {
                RunResult::Beat => "after it gave up points or an open shot",
                RunResult::Beaten => "after it held",
            };
            let rate = numbers::counter_rate(&self.words, row);
            let next = match side {
                TeamSide::Offense => self.words.option(&row.next),
                TeamSide::Defense => row
                    .next
                    .parse()
                    .map_or_else(|_| row.next.clone(), |word| self.words.coverage(word).into()),
            };
            let coverage = self.words.coverage(row.coverage);
            let _ = writeln!(text, "  {coverage} {after}: {next}, {rate}");
            let answers = self.answers(row);
            text.push_str(&self.to_look_up(answers.iter()));
        }
        text
    }

    /// The second runs of the pairs behind a counter, the latest first.
    fn answers(&self, row: &CounterRow) -> Vec<PlayInGame<'a>> {
        let mut answers = Vec::new();
        for (game_place, game) in self.games.iter().enumerate().rev() {
            for (run, next) in pairs_of_runs(game).into_iter().rev() {
                let possession = &game.possessions[run.possession];
                let (team, answer) = match row.side {
                    TeamSide::Offense => (&possession.offense, option_of(next)),
                    TeamSide::Defense => (&possession.defense, Some(next.coverage.to_string())),
                };
                let is_one = team.as_ref() == self.team
                    && run.coverage == row.coverage
                    && result_of(run.shot, possession.points, self.definitions.open_shot_m)
                        == Some(row.result)
                    && answer.as_deref() == Some(row.next.as_str());
                if is_one {
                    answers.push(PlayInGame {
                        game_place,
                        game,
                        play: next,
                    });
                }
            }
        }
        answers
    }
}
