//! The truth beside the games of a season: CSV tables and a page that says what they mean. None is called like a table
//! of the contract, so that nobody takes it for labels.

use std::collections::BTreeMap;
use std::path::Path;

use super::habits::Season;
use super::terms::{COVERAGES, Look, LookRunRow, NextAction, OPTIONS, PlayOption, RunResult};
use crate::league::team_id;
use crate::write::{WriteError, make_folder, write_csv, write_text};

/// What the tables mean; written beside them.
const README: &str = "\
# Truth of a practice season

Eight invented teams with known habits. Teams are named as in the games. Probabilities are those the games were drawn
from; nothing here was measured on the tracks, except where it says so.

- `looks.csv`: team_id, look (its number among the team's four), alignment, tokens (in order, joined by a blank; empty when
  the next action comes at once), p_look (how often the team takes it), screener (who screens the ball then: the `user` or
  the `screener` of the last token, or the `post` player).
- `next_actions.csv`: team_id, look, next_action (`ball_screen`, `handoff`, `down`, `isolation`), p. The row `ball_screen` is
  the look's true flow rate into a ball screen; -log2 p is its true surprise.
- `flow.csv`: team_id, entry (last token of the look, or `none`), p_ball_screen (over the team's looks that end in it), share (of
  the team's ball screens out of looks, those that come out of this entry). Looks count as often as they were run (in
  `look_runs.csv`): a look that takes long is given up more often than p_look has it, when the shot clock is short.
- `shown.csv`: team_id, alignment, tokens, p_ball_screen, over what the floor shows: looks that begin alike look alike until they
  part, and what came next may be a token of a longer look. Of all times that the team shows this alignment and these tokens, so
  often the very next action is a ball screen, by the looks as often as they were run and their true flow rates (runs that
  were broken off are not in it).
- `option_habits.csv`: team_id, look, option (screener's and handler's action, joined by `+`), p: when nothing is remembered.
- `coverage_habits.csv`: team_id (the defence), coverage, p: when nothing is remembered.
- `counters.csv`: team_id, side (`offense`, `defense`), coverage, result (`beat`: the possession brought points, or the shot
  that came of the ball screen had 1.83 m of room; `beaten`: anything else), p_change. After a ball screen out of a look that was covered so and came out so, the same look's
  next ball screen in the same game is run with another option (offense) or covered otherwise (defense) with this
  probability; the other one is drawn by `option_habits.csv` or `coverage_habits.csv` without the last. The memory is empty when a game begins.
- `look_runs.csv`: every half-court possession that ran its look, in order: game_id, date, period, possession_id (of the game's labels),
  team_id, opponent_id, look, next_action (empty when the play was broken off before), played (whether it was begun), screen_id (of the game's labels; empty
  when there is no ball screen or it is in doubt), coverage_called, coverage_seen (the label's word, measured on the noise-free
  tracks; empty in doubt), option_called, last_coverage, last_result, offense_changed, defense_changed (against the same look's
  last ball screen in the game; empty for the first), result.
- `planted.csv`: habits that one team alone has, where the others are alike: team_id, side (`offense`, `defense`), habit, player_ids
  (joined by a blank; empty: the team's), value, league (every other team's value). `hedge_slipped`: probability that the
  opponent's screener slips when the team hedges; `late_after_rub_s`: how long the player stays where they
  are when their own player comes to set a ball screen out of a rub; `pair_flips`: probability that handler and screener flip their ball screen.
  Possessions that ran no look (fast breaks, second chances, late clocks) are not in it, and run no scripted ball screen either.
";

/// Screener's and handler's action.
fn option_word(option: PlayOption) -> String {
    format!("{}+{}", option.0.as_str(), option.1.as_str())
}

fn text<T>(value: Option<T>, word: impl FnOnce(T) -> String) -> String {
    value.map_or_else(String::new, word)
}

/// Writes the season's habits and its runs of looks into `dir` (made if needed), in the order given.
///
/// # Errors
/// [`WriteError`] names the file that could not be written.
pub fn write_season_truth(season: &Season, look_runs: &[LookRunRow], dir: &Path) -> Result<(), WriteError> {
    make_folder(dir)?;
    write_text(&dir.join("README.md"), README)?;
    write_looks(season, dir)?;
    let run = times_run(season, look_runs);
    write_flow(season, &run, dir)?;
    write_shown(season, &run, dir)?;
    write_counters(season, dir)?;
    write_planted(season, dir)?;
    write_look_runs(look_runs, &dir.join("look_runs.csv"))
}

fn p(value: f64) -> String {
    format!("{value:.6}")
}

fn tokens(look: &Look) -> String {
    let words: Vec<&str> = look.tokens.iter().map(|t| t.as_str()).collect();
    words.join(" ")
}

fn write_looks(season: &Season, dir: &Path) -> Result<(), WriteError> {
    let looks = || {
        season.teams.iter().enumerate().flat_map(|(team, habits)| {
            let looks = habits.looks.iter().enumerate();
            looks.map(move |(number, look)| (team_id(team), number, look))
        })
    };
    let header = ["team_id", "look", "alignment", "tokens", "p_look", "screener"];
    let rows = looks().map(|(team, number, look)| {
        vec![
            team.into(),
            number.to_string(),
            look.alignment.as_str().into(),
            tokens(look),
            p(look.p_look),
            look.screener.as_str().into(),
        ]
    });
    write_csv(&dir.join("looks.csv"), &header, rows)?;
    let rows = looks().flat_map(|(team, number, look)| {
        NextAction::ALL.into_iter().map(move |next| {
            vec![
                team.into(),
                number.to_string(),
                next.as_str().into(),
                p(look.p_next(next)),
            ]
        })
    });
    write_csv(
        &dir.join("next_actions.csv"),
        &["team_id", "look", "next_action", "p"],
        rows,
    )?;
    let rows = looks().flat_map(|(team, number, look)| {
        OPTIONS
            .into_iter()
            .zip(look.p_option)
            .map(move |(option, share)| vec![team.into(), number.to_string(), option_word(option), p(share)])
    });
    write_csv(
        &dir.join("option_habits.csv"),
        &["team_id", "look", "option", "p"],
        rows,
    )
}

/// How often each team ran each of its looks to the point at which the next action is drawn.
fn times_run(season: &Season, look_runs: &[LookRunRow]) -> Vec<Vec<f64>> {
    let teams = 0..season.teams.len();
    let of_team = |team: usize| {
        let times = |look: usize| {
            let ran = |run: &&LookRunRow| {
                run.team_id.as_ref() == team_id(team) && run.look == look && run.next.is_some()
            };
            look_runs.iter().filter(ran).count() as f64
        };
        (0..season.teams[team].looks.len()).map(times).collect()
    };
    teams.map(of_team).collect()
}

fn write_flow(season: &Season, run: &[Vec<f64>], dir: &Path) -> Result<(), WriteError> {
    let mut rows = Vec::new();
    for (team, (habits, run)) in season.teams.iter().zip(run).enumerate() {
        let entry = |look: &Look| look.tokens.last().map_or("none", |t| t.as_str());
        let looks = || habits.looks.iter().zip(run);
        let screens = |(look, times): (&Look, &f64)| times * look.p_next(NextAction::BallScreen);
        let all: f64 = looks().map(screens).sum();
        let mut words: Vec<&str> = habits.looks.iter().map(entry).collect();
        words.sort_unstable();
        words.dedup();
        for word in words {
            let mine = || looks().filter(|(look, _)| entry(look) == word);
            let taken: f64 = mine().map(|(_, times)| times).sum();
            let flown: f64 = mine().map(screens).sum();
            if taken == 0.0 {
                continue;
            }
            rows.push(vec![
                team_id(team).into(),
                word.into(),
                p(flown / taken),
                p(flown / all),
            ]);
        }
    }
    let header = ["team_id", "entry", "p_ball_screen", "share"];
    write_csv(&dir.join("flow.csv"), &header, rows.into_iter())
}

/// What one team shows: (times it comes up, times a ball screen is next), when each of its looks was run so often.
fn shown(looks: &[Look], run: &[f64]) -> BTreeMap<(&'static str, String), (f64, f64)> {
    let mut shown: BTreeMap<(&'static str, String), (f64, f64)> = BTreeMap::new();
    for (look, times) in looks.iter().zip(run).filter(|(_, times)| **times > 0.0) {
        for next in NextAction::ALL {
            let weight = times * look.p_next(next);
            let mut words: Vec<&str> = look.tokens.iter().map(|token| token.as_str()).collect();
            words.extend((next != NextAction::Isolation).then_some(next.as_str()));
            for k in 0..=words.len() {
                let of = shown
                    .entry((look.alignment.as_str(), words[..k].join(" ")))
                    .or_default();
                of.0 += weight;
                of.1 += if words.get(k) == Some(&NextAction::BallScreen.as_str()) {
                    weight
                } else {
                    0.0
                };
            }
        }
    }
    shown
}

fn write_shown(season: &Season, run: &[Vec<f64>], dir: &Path) -> Result<(), WriteError> {
    let rows = season
        .teams
        .iter()
        .zip(run)
        .enumerate()
        .flat_map(|(team, (habits, run))| {
            let shown = shown(&habits.looks, run).into_iter();
            shown.map(move |((alignment, tokens), (times, flown))| {
                vec![team_id(team).into(), alignment.into(), tokens, p(flown / times)]
            })
        });
    let header = ["team_id", "alignment", "tokens", "p_ball_screen"];
    write_csv(&dir.join("shown.csv"), &header, rows)
}

fn write_counters(season: &Season, dir: &Path) -> Result<(), WriteError> {
    let teams = || season.teams.iter().enumerate();
    let rows = teams().flat_map(|(team, habits)| {
        COVERAGES
            .iter()
            .zip(habits.p_coverage)
            .map(move |(coverage, share)| vec![team_id(team).into(), coverage.as_str().into(), p(share)])
    });
    write_csv(
        &dir.join("coverage_habits.csv"),
        &["team_id", "coverage", "p"],
        rows,
    )?;
    let mut rows = Vec::new();
    for (team, habits) in teams() {
        for (side, table) in [
            ("offense", &habits.p_change_option),
            ("defense", &habits.p_change_coverage),
        ] {
            for (coverage, by_result) in COVERAGES.iter().zip(table) {
                for (result, share) in RunResult::ALL.into_iter().zip(by_result) {
                    rows.push(vec![
                        team_id(team).into(),
                        side.into(),
                        coverage.as_str().into(),
                        result.as_str().into(),
                        p(*share),
                    ]);
                }
            }
        }
    }
    let header = ["team_id", "side", "coverage", "result", "p_change"];
    write_csv(&dir.join("counters.csv"), &header, rows.into_iter())
}

fn write_planted(season: &Season, dir: &Path) -> Result<(), WriteError> {
    let rows = season.planted.iter().map(|habit| {
        vec![
            team_id(habit.team).into(),
            habit.side.into(),
            habit.habit.into(),
            habit.player_ids(),
            p(habit.value),
            p(habit.league),
        ]
    });
    let header = ["team_id", "side", "habit", "player_ids", "value", "league"];
    write_csv(&dir.join("planted.csv"), &header, rows)
}

fn write_look_runs(look_runs: &[LookRunRow], path: &Path) -> Result<(), WriteError> {
    let header = [
        "game_id",
        "date",
        "period",
        "possession_id",
        "team_id",
        "opponent_id",
        "look",
        "next_action",
        "played",
        "screen_id",
        "coverage_called",
        "coverage_seen",
        "option_called",
        "last_coverage",
        "last_result",
        "offense_changed",
        "defense_changed",
        "result",
    ];
    let rows = look_runs.iter().map(|t| {
        vec![
            t.game_id.to_string(),
            t.date.clone(),
            t.period.to_string(),
            t.possession_id.to_string(),
            t.team_id.to_string(),
            t.opponent_id.to_string(),
            t.look.to_string(),
            text(t.next, |n| n.as_str().into()),
            t.is_played.to_string(),
            text(t.screen_id, |s| s.to_string()),
            text(t.coverage_called, |c| c.as_str().into()),
            text(t.coverage_seen, |c| c.as_str().into()),
            text(t.option_called, option_word),
            text(t.last_coverage, |c| c.as_str().into()),
            text(t.last_result, |r| r.as_str().into()),
            text(t.offense_changed, |c| c.to_string()),
            text(t.defense_changed, |c| c.to_string()),
            text(t.result, |r| r.as_str().into()),
        ]
    });
    write_csv(path, &header, rows)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use scrim_tables::tags::{Alignment, ScreenKind};

    use super::*;
    use crate::season::terms::{Screener, Token};

    #[test]
    fn looks_that_begin_alike_are_one_until_they_part() {
        const CROSS: &[Token] = &[Token::Screen(ScreenKind::Cross)];
        const CROSS_DOWN: &[Token] = &[Token::Screen(ScreenKind::Cross), Token::Screen(ScreenKind::Down)];
        let look = |tokens, p_next| Look {
            alignment: Alignment::Box,
            tokens,
            p_look: 0.5,
            p_next,
            screener: Screener::Post,
            p_option: [0.2; 5],
        };
        // Ball screen, handoff, down, isolation.
        let looks = [
            look(CROSS, [0.5, 0.0, 0.2, 0.3]),
            look(CROSS_DOWN, [0.8, 0.0, 0.0, 0.2]),
        ];
        // Of ten runs six were of the one, four of the other.
        let shown = shown(&looks, &[6.0, 4.0]);
        let rate = |tokens: &str| {
            let (times, flown) = shown[&("box", tokens.to_owned())];
            flown / times
        };
        assert_relative_eq!(rate(""), 0.0);
        // All runs show the cross screen; a ball screen follows at once in 0.6 · 0.5.
        assert_relative_eq!(rate("cross"), 0.3, epsilon = 1e-12);
        // Shown in 0.6 · 0.2 and in 0.4, with a ball screen next in 0.4 · 0.8.
        assert_relative_eq!(rate("cross down"), 0.32 / 0.52, epsilon = 1e-12);
    }
}
