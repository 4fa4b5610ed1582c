//! Lifts that may hold the low man: they come as often as the truth says, and do what they are said to.

use super::short;
use crate::{LiftRow, PracticeGame, PracticeParams, play_game, write_lift_truth};

fn games(lifts_hold: f32) -> Vec<PracticeGame> {
    let params = PracticeParams {
        period_s: 600.0,
        orderly_share: 1.0,
        lifts_hold: Some(lifts_hold),
        ..short(61)
    };
    (0..6).map(|number| play_game(&params, number)).collect()
}

fn lifts(games: &[PracticeGame]) -> Vec<&LiftRow> {
    games.iter().flat_map(|game| &game.lifts).collect()
}

/// Mean, its standard error and the number of differences.
fn summed(differences: &[f64]) -> (f64, f64) {
    let n = differences.len() as f64;
    let mean = differences.iter().sum::<f64>() / n;
    let squares: f64 = differences.iter().map(|d| (d - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0) / n).sqrt())
}

/// What the lift changes on each ball screen, mean over 1.2 s to 2.6 s after the use: the screener's space, and the low man's
/// distance to them.
fn changes(rows: &[&LiftRow]) -> [Vec<f64>; 2] {
    let mut changes = [Vec::new(), Vec::new()];
    for row in rows {
        let after = row
            .instants
            .iter()
            .filter(|i| (1.19..2.61).contains(&i.from_use_s));
        let mut differences = [Vec::new(), Vec::new()];
        for instant in after {
            let both = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a - b);
            differences[0].extend(both(instant.lift_space_m, instant.stay_space_m));
            differences[1].extend(both(instant.lift_low_man_gap_m, instant.stay_low_man_gap_m));
        }
        for (change, differences) in changes.iter_mut().zip(&differences) {
            if !differences.is_empty() {
                change.push(differences.iter().sum::<f64>() / differences.len() as f64);
            }
        }
    }
    changes
}

#[test]
fn nobody_lifts_unless_asked_to() {
    let game = play_game(&short(61), 0);
    assert!(game.lifts.is_empty());
}

#[test]
fn lifts_come_as_often_as_the_truth_says_and_both_ways_are_one_until_they_part() {
    let games = games(1.0);
    let rows = lifts(&games);
    assert!(rows.len() > 30, "{}", rows.len());
    let lifted = rows.iter().filter(|row| row.lifted).count() as f64;
    let expected: f64 = rows.iter().map(|row| row.p_lift).sum();
    let variance: f64 = rows.iter().map(|row| row.p_lift * (1.0 - row.p_lift)).sum();
    // Independent tries: beyond four standard deviations once in 16,000 times.
    assert!(
        (lifted - expected).abs() < 4.0 * variance.sqrt(),
        "{lifted} of {expected}"
    );
    for row in &rows {
        assert_eq!(row.held, row.lifted, "every lift holds");
        for instant in &row.instants {
            if row.t_use_s + instant.from_use_s < row.t_lift_s - 0.05 {
                assert_eq!(instant.lift_space_m, instant.stay_space_m, "{row:?}");
            }
        }
    }
}

#[test]
fn a_lift_that_holds_the_low_man_makes_room_and_one_that_does_not_makes_none() {
    let (held, free) = (games(1.0), games(0.0));
    let [space, gap] = changes(&lifts(&held)).map(|c| summed(&c));
    // Who stays with a shooter on the wing is some 4 m from the rim, who tags is at the roller's side.
    assert!(gap.0 > 1.0, "the low man is farther off: {gap:?}");
    assert!(space.0 > 4.0 * space.1, "the roller has more room: {space:?}");
    let rows = lifts(&free);
    assert!(rows.iter().all(|row| !row.held));
    for (mean_m, error_m) in changes(&rows).map(|c| summed(&c)) {
        assert!(mean_m.abs() < 4.0 * error_m, "{mean_m} ± {error_m}");
    }
}

#[test]
fn the_truth_of_lifts_is_the_same_each_time_and_is_written() {
    let (once, again) = (games(0.5), games(0.5));
    for (a, b) in once.iter().zip(&again) {
        assert_eq!(
            (&a.lifts, &a.tracking, &a.labels),
            (&b.lifts, &b.tracking, &b.labels)
        );
    }
    let rows: Vec<LiftRow> = lifts(&once).into_iter().cloned().collect();
    let dir = tempfile::tempdir().expect("a temporary folder");
    write_lift_truth(&rows, dir.path()).expect("writable");
    let lines = |name: &str| {
        let text = std::fs::read_to_string(dir.path().join(name)).expect("written");
        text.lines().count()
    };
    assert_eq!(lines("lifts.csv"), 1 + rows.len());
    // From 1 s before the use to 3 s after it, five a second.
    assert_eq!(lines("lift_instants.csv"), 1 + 21 * rows.len());
    assert!(lines("lifts.md") > 10);
}
