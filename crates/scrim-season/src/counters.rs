//! After one coverage met one option, and one side had the better of it: what came in the next run of the same set.

mod adjusted;
mod answers;

use scrim_floor::Definitions;
use std::collections::BTreeMap;

use scrim_tables::Id;
use scrim_tables::rows::CounterRow;
use scrim_tables::tags::{Coverage, HandlerAction, RunResult, ScreenerAction, TeamSide};

use crate::SeasonParams;
use crate::ball_screens::is_ball_screen;
use crate::facts::{GameFacts, Play};
use crate::shot::Shot;
use adjusted::Adjusted;
use answers::{Answers, Situation};
use scrim_statistics::{Interval, wilson};

/// The option of a row over all options.
pub const ANY_OPTION: &str = "any";

/// The rows of `counters`, by team (the league, with none, first), side, coverage, option, result and next.
pub(crate) fn counter_rows(
    games: &[GameFacts],
    params: &SeasonParams,
    definitions: &Definitions,
) -> Vec<CounterRow> {
    let mut situations: BTreeMap<Situation, Answers> = BTreeMap::new();
    for (number, game) in games.iter().enumerate() {
        for (run, next) in pairs_of_runs(game) {
            count(&mut situations, number as u32, game, run, next, definitions);
        }
    }
    let misread = params.tagging.coverage_misread();
    let adjusted = misread.as_ref().map(|misread| Adjusted::of(&situations, misread));
    let mut rows = Vec::new();
    for (situation, answers) in &situations {
        let (team_id, side, coverage, option, result) = situation;
        for (next, &hits) in &answers.by_word {
            let Some(rate) = wilson(hits, answers.n) else {
                continue;
            };
            let likely = adjusted
                .as_ref()
                .and_then(|adjusted| adjusted.rate(situation, next));
            let of = |get: fn(&Interval) -> f64| likely.as_ref().map(|rate| get(rate) as f32);
            rows.push(CounterRow {
                team_id: team_id.clone(),
                side: *side,
                coverage: *coverage,
                option: option.clone(),
                result: *result,
                next: next.clone(),
                games: answers.games.len() as u32,
                n: answers.n,
                hits,
                rate: rate.value as f32,
                rate_low: rate.low as f32,
                rate_high: rate.high as f32,
                rate_adjusted: of(|rate| rate.value),
                rate_adjusted_low: of(|rate| rate.low),
                rate_adjusted_high: of(|rate| rate.high),
            });
        }
    }
    rows
}

/// Each ball screen that a set was run with, and the next one of the same set by the same team. Handoffs are runs of a set as
/// well, but are guarded by rules of their own: they neither are a pair nor part one.
pub(crate) fn pairs_of_runs(game: &GameFacts) -> Vec<(&Play, &Play)> {
    let mut by_set: BTreeMap<(&Id, &str), Vec<(u16, &Play)>> = BTreeMap::new();
    for run in &game.runs {
        let play = &game.plays[run.play];
        if !is_ball_screen(play.kind) {
            continue;
        }
        let team = &game.possessions[play.possession].offense;
        let set = (team, play.entry.set_key.as_str());
        by_set.entry(set).or_default().push((run.run_index, play));
    }
    let mut pairs = Vec::new();
    for runs in by_set.values_mut() {
        runs.sort_by_key(|(index, _)| *index);
        pairs.extend(runs.windows(2).map(|two| (two[0].1, two[1].1)));
    }
    pairs
}

/// Which side had the better of it: points, or an open shot, are the offence's. `None` when that is not known.
pub(crate) fn result_of(shot: Option<Shot>, points: Option<u8>, open_shot_m: f32) -> Option<RunResult> {
    let is_open = match shot {
        None => Some(false),
        Some(shot) => shot.is_open(open_shot_m),
    };
    match (points.map(|points| points > 0), is_open) {
        (Some(true), _) | (_, Some(true)) => Some(RunResult::Beat),
        (Some(false), Some(false)) => Some(RunResult::Beaten),
        (None, Some(false) | None) | (Some(false), None) => None,
    }
}

/// The option as `sequences.option` has it; `None` when a part of it is unclear or not known.
pub(crate) fn option_of(play: &Play) -> Option<String> {
    let (screener, handler) = play.option?;
    let is_clear = screener != ScreenerAction::Unclear && handler != HandlerAction::Unclear;
    is_clear.then(|| format!("{screener}+{handler}"))
}

fn count(
    situations: &mut BTreeMap<Situation, Answers>,
    number: u32,
    game: &GameFacts,
    run: &Play,
    next: &Play,
    definitions: &Definitions,
) {
    let possession = &game.possessions[run.possession];
    let Some(result) = result_of(run.shot, possession.points, definitions.open_shot_m) else {
        return;
    };
    if run.coverage == Coverage::Unclear {
        return;
    }
    let next_option = option_of(next);
    let next_coverage = (next.coverage != Coverage::Unclear).then(|| next.coverage.to_string());
    let answers = [
        (TeamSide::Offense, &possession.offense, next_option),
        (TeamSide::Defense, &possession.defense, next_coverage),
    ];
    let options = [option_of(run), Some(ANY_OPTION.to_owned())];
    for (side, team, answer) in answers {
        let Some(answer) = answer else { continue };
        for team in [Some(team.clone()), None] {
            for option in options.iter().flatten() {
                let situation = (team.clone(), side, run.coverage, option.clone(), result);
                let answers = situations.entry(situation).or_default();
                answers.n += 1;
                answers.games.insert(number);
                *answers.by_word.entry(answer.clone()).or_default() += 1;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use scrim_tables::tags::ScreenKind;

    use super::*;
    use crate::staging::{Staged, What, shot};

    const SET: &str = "horns down:left ball_screen:left";
    const MIRROR: &str = "horns down:right ball_screen:right";

    fn what(coverage: Coverage, handler_action: HandlerAction, space_m: Option<f32>) -> What {
        What {
            coverage,
            handler_action,
            space_m,
            ..What::default()
        }
    }

    fn season() -> Vec<GameFacts> {
        use Coverage::{Drop, Switch, Unclear};
        use HandlerAction::{Drive, Pass};
        vec![
            Staged::new("g1", None)
                // Drop met drive and gave up two points: next time the offence passed, the defence switched.
                .possession(SET, Some(2), what(Drop, Drive, None))
                .possession(
                    "box cross:left ball_screen:left",
                    Some(0),
                    what(Drop, Drive, None),
                )
                .possession(MIRROR, Some(0), what(Switch, Pass, Some(2.0)))
                // The switch gave up an open shot: the same again, but how it was covered is unclear.
                .possession(SET, Some(0), what(Unclear, Pass, None))
                .done(),
            // Another game begins from nothing. Drop held the drive: the same again.
            Staged::new("g2", None)
                .possession(SET, Some(0), what(Drop, Drive, Some(1.0)))
                .possession(SET, Some(0), what(Drop, Drive, None))
                .done(),
        ]
    }

    fn rows_of(
        team: Option<&str>,
        side: TeamSide,
        option: &str,
    ) -> Vec<(Coverage, RunResult, String, u32, u32)> {
        counter_rows(&season(), &SeasonParams::default(), &Definitions::DEFAULT)
            .into_iter()
            .filter(|row| row.team_id.as_deref() == team && row.side == side && row.option == option)
            .map(|row| (row.coverage, row.result, row.next, row.n, row.hits))
            .collect()
    }

    #[test]
    fn what_came_next_is_counted_for_both_sides() {
        let drive = rows_of(Some("a"), TeamSide::Offense, "roll+drive");
        assert_eq!(
            drive,
            [
                (Coverage::Drop, RunResult::Beat, "roll+pass".to_owned(), 1, 1),
                (Coverage::Drop, RunResult::Beaten, "roll+drive".to_owned(), 1, 1),
            ]
        );
        let drive = rows_of(Some("b"), TeamSide::Defense, "roll+drive");
        assert_eq!(
            drive,
            [
                (Coverage::Drop, RunResult::Beat, "switch".to_owned(), 1, 1),
                (Coverage::Drop, RunResult::Beaten, "drop".to_owned(), 1, 1),
            ]
        );
    }

    #[test]
    fn an_open_shot_beats_a_coverage_and_what_is_unclear_is_no_answer() {
        let pass = rows_of(Some("a"), TeamSide::Offense, "roll+pass");
        assert_eq!(
            pass,
            [(Coverage::Switch, RunResult::Beat, "roll+pass".to_owned(), 1, 1)]
        );
        assert_eq!(rows_of(Some("b"), TeamSide::Defense, "roll+pass"), []);
    }

    #[test]
    fn the_league_is_all_teams_and_any_is_all_options() {
        assert_eq!(
            rows_of(None, TeamSide::Offense, "roll+drive"),
            rows_of(Some("a"), TeamSide::Offense, "roll+drive")
        );
        assert_eq!(rows_of(Some("a"), TeamSide::Offense, ANY_OPTION).len(), 3);
    }

    #[test]
    fn a_result_that_is_not_known_is_none() {
        let game =
            Staged::new("g", None).possession(SET, None, what(Coverage::Drop, HandlerAction::Drive, None));
        let game = game.done();
        let play = &game.plays[0];
        assert_eq!(result_of(play.shot, None, 1.83), None);
        assert_eq!(result_of(play.shot, Some(0), 1.83), Some(RunResult::Beaten));
        assert_eq!(result_of(play.shot, Some(1), 1.83), Some(RunResult::Beat));
        let mut unseen = play.clone();
        unseen.shot = Some(shot(None));
        assert_eq!(result_of(unseen.shot, Some(0), 1.83), None);
        unseen.shot = Some(shot(Some(1.83)));
        assert_eq!(result_of(unseen.shot, None, 1.83), Some(RunResult::Beat));
    }

    #[test]
    fn a_handoff_neither_is_a_run_of_a_pair_nor_parts_one() {
        let drop = what(Coverage::Drop, HandlerAction::Drive, None);
        let mut game = Staged::new("g", None)
            .possession(SET, Some(0), drop)
            .possession(SET, Some(0), what(Coverage::Switch, HandlerAction::Drive, None))
            .possession(SET, Some(0), what(Coverage::Level, HandlerAction::Drive, None))
            .done();
        game.plays[1].kind = ScreenKind::Handoff;
        let pairs = pairs_of_runs(&game);
        let coverages: Vec<_> = pairs
            .iter()
            .map(|(run, next)| (run.coverage, next.coverage))
            .collect();
        assert_eq!(coverages, [(Coverage::Drop, Coverage::Level)]);
    }

    #[test]
    fn rates_are_adjusted_for_coverages_that_are_read_as_others() {
        use Coverage::{Drop, Switch};
        let mut staged = Staged::new("g", None);
        for k in 0..120 {
            // Drop twice, switch once, over and over.
            let coverage = if k % 3 == 2 { Switch } else { Drop };
            staged = staged.possession(SET, Some(0), what(coverage, HandlerAction::Drive, None));
        }
        let games = [staged.done()];
        let read = |own: Coverage, other: Coverage| (own, [(own, 95), (other, 5)].into_iter().collect());
        let mut params = SeasonParams::default();
        let plain = counter_rows(&games, &params, &Definitions::DEFAULT);
        assert!(plain.iter().all(|row| row.rate_adjusted.is_none()));
        params.tagging.coverage = [read(Drop, Switch), read(Switch, Drop)].into_iter().collect();
        let rows = counter_rows(&games, &params, &Definitions::DEFAULT);
        let find = |side, coverage, next: &str| {
            rows.iter()
                .find(|row| {
                    row.team_id.is_some()
                        && row.side == side
                        && row.coverage == coverage
                        && row.option == ANY_OPTION
                        && row.next == next
                })
                .unwrap()
        };
        // Pairs as read: drop-drop 40, drop-switch 40, switch-drop 39. The inverse of (0.95 0.05 / 0.05 0.95) is
        // (0.95 −0.05 / −0.05 0.95) / 0.9; the true table is inverse · pairs · inverse:
        // drop-drop (0.9025 · 40 − 0.0475 · 79) / 0.81 = 39.9352, drop-switch (0.9025 · 40 − 0.0475 · 40 + 0.0025 · 39) / 0.81
        // = 42.3426; the rate of drop after drop 39.9352 / 82.2778.
        let defense = find(TeamSide::Defense, Drop, "drop");
        assert_eq!((defense.n, defense.hits), (80, 40));
        assert!(
            (defense.rate_adjusted.unwrap() - 0.485_370).abs() < 1e-5,
            "{defense:?}"
        );
        assert!(defense.rate_adjusted_low.unwrap() < 0.39 && defense.rate_adjusted_high.unwrap() > 0.58);
        // The offence always did the same: whatever the coverage was.
        let offense = find(TeamSide::Offense, Switch, "roll+drive");
        assert_eq!((offense.rate, offense.rate_adjusted), (1.0, Some(1.0)));
    }
}
