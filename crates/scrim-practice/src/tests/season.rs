//! Practice seasons: what is drawn is what is played, and the truth tables say so.

use std::collections::BTreeMap;

use scrim_tables::tags::{Coverage, ScreenKind};

use super::short;
use crate::season::TeamHabits;
use crate::{LookRunRow, NextAction, PracticeParams, Season, play_season_game, write_season_truth};

fn games() -> (PracticeParams, Season) {
    let params = PracticeParams {
        periods: 2,
        period_s: 600.0,
        ..short(31)
    };
    let season = Season::of_seed(params.seed);
    (params, season)
}

#[test]
fn a_possession_runs_the_look_that_was_drawn_and_the_labels_have_it() {
    let (params, season) = games();
    let (mut runs, mut plain, mut in_place, mut with_entry) = (0, 0, 0, 0);
    for index in 0..6 {
        let game = play_season_game(&params, &season, index);
        for run in &game.look_runs {
            let team = crate::league::team_number(&run.team_id).expect("a team of the league");
            let look = &season.looks(team)[run.look];
            let possession = &game.labels.possessions[run.possession_id as usize];
            assert_eq!(possession.offense_team_id, run.team_id);
            let Some(next) = run.next else { continue };
            runs += 1;
            in_place += usize::from(possession.alignment == Some(look.alignment));
            // Every token screen is among the labels' screens of the possession, in order, or in doubt.
            let kinds: Vec<&str> = game
                .labels
                .screens
                .iter()
                .filter(|s| s.possession_id == run.possession_id && !s.on_ball)
                .filter_map(|s| s.screen_kind.map(ScreenKind::as_str))
                .collect();
            let wanted: Vec<&str> = look
                .tokens
                .iter()
                .map(|t| t.as_str())
                .filter(|w| *w != "flash")
                .collect();
            plain += usize::from(kinds.starts_with(&wanted));
            assert_eq!(run.coverage_called.is_some(), next == NextAction::BallScreen);
            if let Some(id) = run.screen_id {
                let screen = &game.labels.screens[id as usize];
                assert_eq!(
                    (screen.screen_kind, screen.possession_id),
                    (Some(ScreenKind::BallScreen), run.possession_id)
                );
                let entry = game
                    .labels
                    .entries
                    .iter()
                    .find(|e| e.screen_id == id)
                    .expect("a row each");
                let last = look.tokens.last().map_or("none", |t| t.as_str());
                with_entry += usize::from(entry.entry.is_some_and(|e| e.as_str() == last));
            }
        }
        // Outside the looks nothing is scripted on the ball: every ball screen belongs to a run of a look.
        let in_look_runs = game.look_runs.iter().filter(|t| t.screen_id.is_some()).count();
        let labelled = game
            .labels
            .screens
            .iter()
            .filter(|s| s.screen_kind == Some(ScreenKind::BallScreen))
            .count();
        assert_eq!(in_look_runs, labelled);
    }
    assert!(runs > 150, "{runs} runs");
    let share = |n: usize| n as f64 / runs as f64;
    assert!(share(in_place) > 0.95, "{in_place} of {runs} from the alignment");
    assert!(share(plain) > 0.8, "{plain} of {runs} with all tokens plain");
    assert!(
        with_entry > 50,
        "{with_entry} ball screens out of their look's last token"
    );
}

/// Tries of events whose probabilities are known.
#[derive(Debug, Default)]
struct Tries {
    n: u32,
    hits: f64,
    expected: f64,
    variance: f64,
}

impl Tries {
    fn add(&mut self, is_hit: bool, p: f64) {
        self.n += 1;
        self.hits += f64::from(u8::from(is_hit));
        self.expected += p;
        self.variance += p * (1.0 - p);
    }
}

#[test]
fn next_actions_and_changes_come_as_often_as_the_habits_say() {
    let (params, season) = games();
    let mut tries: BTreeMap<(usize, &str), Tries> = BTreeMap::new();
    for index in 0..8 {
        let game = play_season_game(&params, &season, index);
        for run in &game.look_runs {
            let team = crate::league::team_number(&run.team_id).expect("a team");
            let opponent = crate::league::team_number(&run.opponent_id).expect("a team");
            let Some(next) = run.next else { continue };
            let look = &season.looks(team)[run.look];
            for (word, action) in [
                ("ball screen", NextAction::BallScreen),
                ("handoff", NextAction::Handoff),
            ] {
                let cell = tries.entry((team, word)).or_default();
                cell.add(next == action, look.p_next(action));
            }
            if let (Some(coverage), Some(result)) = (run.last_coverage, run.last_result) {
                let p = |table: &[[f64; 2]; 5]| {
                    table[TeamHabits::coverage_place(coverage)][TeamHabits::result_place(result)]
                };
                let changed = run.offense_changed.expect("known with the last");
                let cell = tries.entry((team, "option changed")).or_default();
                cell.add(changed, p(&season.teams[team].p_change_option));
                let changed = run.defense_changed.expect("known with the last");
                let cell = tries.entry((opponent, "coverage changed")).or_default();
                cell.add(changed, p(&season.teams[opponent].p_change_coverage));
            }
        }
    }
    assert_eq!(tries.len(), 8 * 4);
    for (key, t) in &tries {
        // Sums of independent tries: four standard deviations are one cell in 16,000 by chance, and there are 32.
        let off = (t.hits - t.expected) / t.variance.sqrt();
        assert!(t.n >= 8 && off.abs() < 4.0, "{key:?}: {off} in {t:?}");
    }
}

#[test]
fn the_truth_of_a_season_is_written_beside_the_games() {
    let (params, season) = games();
    let look_runs: Vec<LookRunRow> = play_season_game(&params, &season, 0).look_runs;
    let dir = tempfile::tempdir().expect("a temporary folder");
    write_season_truth(&season, &look_runs, dir.path()).expect("writable");
    let lines = |name: &str| {
        std::fs::read_to_string(dir.path().join(name))
            .expect("written")
            .lines()
            .count()
    };
    // A header; 8 teams of 4 looks; 4 next actions and 5 options a look; 5 coverages a team; 2 sides of 5 × 2 cells.
    assert_eq!(lines("looks.csv"), 1 + 32);
    assert_eq!(lines("next_actions.csv"), 1 + 32 * 4);
    assert_eq!(lines("option_habits.csv"), 1 + 32 * 5);
    assert_eq!(lines("coverage_habits.csv"), 1 + 8 * 5);
    assert_eq!(lines("counters.csv"), 1 + 8 * 2 * 5 * 2);
    assert_eq!(lines("look_runs.csv"), 1 + look_runs.len());
    assert!(lines("shown.csv") > 32);
    assert!(lines("README.md") > 10);
}

#[test]
fn a_season_game_is_the_same_however_many_are_played_and_its_calls_come_out() {
    let (params, season) = games();
    let again = play_season_game(&params, &season, 3);
    let game = play_season_game(&params, &season, 3);
    assert_eq!(
        (&game.tracking, &game.look_runs),
        (&again.tracking, &again.look_runs)
    );
    let (mut same, mut seen_too) = (0, 0);
    let mut confused = BTreeMap::<(Coverage, Coverage), usize>::new();
    for index in 0..4 {
        for run in play_season_game(&params, &season, index).look_runs {
            if let (Some(called), Some(seen)) = (run.coverage_called, run.coverage_seen) {
                assert_ne!(seen, Coverage::Unclear);
                seen_too += 1;
                *confused.entry((called, seen)).or_insert(0) += 1;
                same += usize::from(called == seen);
            }
        }
    }
    assert!(
        seen_too > 40 && same * 10 > seen_too * 8,
        "{same} of {seen_too} as called: {confused:?}"
    );
}
