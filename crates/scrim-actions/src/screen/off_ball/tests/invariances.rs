//! What must not change the rows, and what rows may never be.

use proptest::prelude::*;
use scrim_floor::Definitions;
use scrim_play::Scene;
use scrim_tracks::{Game, PlayerIx};

use super::staged::{self, found};
use crate::{OffBallScreen, OffBallScreenParams, find_off_ball_screens};

/// The tags of rows, and their frames with a margin for rounding.
fn assert_same(name: &str, rows: &[OffBallScreen], expected: &[OffBallScreen], later_frames: usize) {
    let tags = |rows: &[OffBallScreen]| -> Vec<_> {
        rows.iter()
            .map(|row| {
                (
                    (row.kind, row.runner_up, row.outcome),
                    (row.screener, row.user, row.screener_defender, row.user_defender),
                    (row.strong_side, row.previous, row.user_defender_path),
                )
            })
            .collect()
    };
    assert_eq!(tags(rows), tags(expected), "{name}");
    for (row, expected) in rows.iter().zip(expected) {
        assert!((expected.used + later_frames).abs_diff(row.used) <= 1, "{name}");
        assert!((row.spot.x_m - expected.spot.x_m).abs() < 1e-2, "{name}");
        assert!(
            (row.spot.y_m.abs() - expected.spot.y_m.abs()).abs() < 1e-2,
            "{name}"
        );
        assert!((row.confidence - expected.confidence).abs() < 1e-2, "{name}");
    }
}

#[test]
fn the_other_hand_the_other_hoop_and_another_time_change_nothing() {
    for (kind, _, stage) in staged::all() {
        let rows = found(&stage);
        assert_same(
            &format!("{kind} mirrored"),
            &found(&stage.clone().mirrored()),
            &rows,
            0,
        );
        assert_same(
            &format!("{kind} turned"),
            &found(&stage.clone().turned()),
            &rows,
            0,
        );
        // 100 s are 2 500 frames of 25 Hz.
        assert_same(&format!("{kind} later"), &found(&stage.later(100.0)), &rows, 2500);
    }
}

#[test]
fn other_players_in_the_same_roles_change_nothing_but_the_names() {
    let stage = staged::down().played_by([3, 4, 0, 1, 2], [1, 0, 4, 3, 2]);
    let row = staged::only(&stage);
    // Role 1 is played by place 4, role 2 by place 0; the defenders' roles 6 and 7 by places 5 + 0 and 5 + 4.
    assert_eq!((row.screener, row.user), (PlayerIx(4), PlayerIx(0)));
    assert_eq!(row.screener_defender, Some(PlayerIx(5)));
    assert_eq!(row.user_defender, Some(PlayerIx(9)));
}

/// A small reproducible generator: no test may depend on anything but its seed.
fn draws(seed: u64) -> impl FnMut() -> f32 {
    let mut state = seed.wrapping_mul(2).wrapping_add(1);
    move || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f32 / (1_u64 << 24) as f32 - 0.5
    }
}

fn rows_of(game: &Game, play: &scrim_play::Play) -> Vec<OffBallScreen> {
    let scenes = Scene::all(game, play);
    find_off_ball_screens(
        &scenes,
        play,
        &[],
        &OffBallScreenParams::default(),
        &Definitions::DEFAULT,
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_decimetre_of_jitter_hides_no_screen_and_renames_none(seed in 0_u64..1000) {
        let mut draw = draws(seed);
        for (kind, _, stage) in staged::all() {
            let (mut game, play) = (stage.game(), stage.play());
            for track in &mut game.periods[0].tracks {
                for x_m in track.x_m.iter_mut().chain(&mut track.y_m) {
                    *x_m += 0.2 * draw();
                }
            }
            // Jitter costs confidence: rare words are held to the limit of the others here.
            let plain = OffBallScreenParams::default();
            let params = OffBallScreenParams {
                min_rare_confidence: plain.min_confidence,
                ..plain
            };
            let scenes = Scene::all(&game, &play);
            let rows = find_off_ball_screens(&scenes, &play, &[], &params, &Definitions::DEFAULT);
            prop_assert_eq!(rows.len(), 1, "{} {:?}", kind, rows);
            prop_assert_eq!(rows[0].kind, kind);
        }
    }

    #[test]
    fn rows_are_sound_on_any_tracks(seed in 0_u64..1000, which in 0_usize..7) {
        let mut draw = draws(seed);
        let (_, _, stage) = staged::all().swap_remove(which);
        let (mut game, play) = (stage.game(), stage.play());
        for track in &mut game.periods[0].tracks {
            for frame in 0..track.x_m.len() {
                let chance = draw();
                if chance > 0.3 {
                    track.x_m[frame] = f32::NAN;
                    track.y_m[frame] = f32::NAN;
                    track.vx_mps[frame] = f32::NAN;
                    track.vy_mps[frame] = f32::NAN;
                } else if chance > 0.0 {
                    track.x_m[frame] += 6.0 * draw();
                    track.vy_mps[frame] += 4.0 * draw();
                }
            }
        }
        let rows = rows_of(&game, &play);
        for pair in rows.windows(2) {
            prop_assert!(pair[0].used <= pair[1].used);
        }
        for (place, row) in rows.iter().enumerate() {
            prop_assert!(row.screener != row.user);
            prop_assert!(row.set.is_none_or(|set| set <= row.used) && row.used <= row.end);
            prop_assert!(row.spot.is_finite() && (0.0..=1.0).contains(&row.confidence));
            prop_assert!(row.evidence.user_gap_m.is_finite());
            prop_assert!(row.runner_up != Some(row.kind));
            prop_assert!(row.previous.is_none_or(|previous| previous < place));
        }
    }
}
