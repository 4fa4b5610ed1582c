//! Off-ball motion of practice games against what the players did before noise was added: way, largest speed and share of
//! time moving, in sum over all rows whose window is the label's.

use scrim_practice::{OffBallMotionLabel, PracticeGame, PracticeParams};
use scrim_tables::rows::{OffBallMotionRow, ScreenRow};

use crate::chain::{Played, play_clean, unseen};

/// A window counts as the label's when begin and end are this near, s.
const SAME_WINDOW_S: f64 = 0.1;

/// Label and row of every off-ball attacker whose ball screen was found with the label's window.
fn pairs(played: &Played) -> Vec<(&OffBallMotionLabel, &OffBallMotionRow)> {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME_WINDOW_S;
    let found = |game: &PracticeGame, id: u32| -> Option<&ScreenRow> {
        let label = game.labels.screens.iter().find(|screen| screen.screen_id == id)?;
        let (set_s, end_s) = (label.t_set_s?, label.t_end_s?);
        played.screens.iter().find(|row| {
            row.on_ball
                && (&row.game_id, row.period) == (&label.game_id, label.period)
                && (&row.screener_id, &row.user_id) == (&label.screener_id, &label.user_id)
                && row.t_set_s.is_some_and(|found_s| near(found_s, set_s))
                && near(row.t_end_s, end_s)
        })
    };
    let mut pairs = Vec::new();
    for game in &played.games {
        for label in &game.labels.off_ball_motion {
            let row = found(game, label.screen_id).and_then(|screen| {
                played.motion.iter().find(|row| {
                    (&row.game_id, row.screen_id) == (&screen.game_id, screen.screen_id)
                        && row.player_id == label.player_id
                })
            });
            pairs.extend(row.map(|row| (label, row)));
        }
    }
    pairs
}

fn assert_within(noise_m: f32, bound: f64) {
    // Two games each of four seeds: on two games alone the figures go up and down by a percent.
    let played: Vec<Played> = (7001..7005)
        .map(|seed| {
            play_clean(&PracticeParams {
                seed,
                periods: 4,
                ..unseen(noise_m)
            })
        })
        .collect();
    let pairs: Vec<_> = played.iter().flat_map(pairs).collect();
    assert!(pairs.len() >= 150, "only {} rows", pairs.len());
    let off = |truth: fn(&OffBallMotionLabel) -> Option<f32>, found: fn(&OffBallMotionRow) -> f32| {
        let (mut sum, mut true_sum) = (0.0, 0.0);
        for (label, row) in &pairs {
            if let Some(truth) = truth(label) {
                sum += f64::from(found(row));
                true_sum += f64::from(truth);
            }
        }
        sum / true_sum - 1.0
    };
    let found = [
        ("way", off(|label| label.path_m, |row| row.path_m)),
        (
            "largest speed",
            off(|label| label.peak_speed_mps, |row| row.peak_speed_mps),
        ),
        (
            "share moving",
            off(|label| label.moving_share, |row| row.moving_share),
        ),
    ];
    assert!(
        found.iter().all(|(_, off)| off.abs() <= bound),
        "off at {noise_m} m over {} rows: {found:.3?}",
        pairs.len()
    );
}

#[test]
fn at_a_noise_of_5_cm_within_3_percent() {
    assert_within(0.05, 0.03);
}

#[test]
fn at_a_noise_of_15_cm_within_8_percent() {
    assert_within(0.15, 0.08);
}
