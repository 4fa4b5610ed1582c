//! Pull on staged scenes: 2 goes round a circle for ten seconds, then stands; whoever defends is where the test wants them.

use proptest::prelude::*;
use scrim_floor::Definitions;
use scrim_play::Scene;

use super::{BallScreenTime, PullParams, PullSample, find_pull_samples};
use crate::off_ball::motion::MotionParams;
use crate::scene_stage::{HZ, SceneStage};

/// The circle's middle and radius, the speed on it, and until when.
const MIDDLE: (f32, f32) = (5.0, 1.5);
const RADIUS_M: f32 = 2.0;
const SPEED_MPS: f32 = 2.0;
const UNTIL_S: f64 = 10.0;
const SECONDS: f64 = 20.0;
/// The handler stands with the ball here.
const BALL: (f32, f32) = (8.0, 0.0);
/// Where 1, 3 and 4 stand.
const STANDS: [(usize, (f32, f32)); 3] = [(1, (7.0, 3.5)), (3, (0.5, -6.8)), (4, (0.5, -3.2))];

type Place = (f32, f32);

fn circler(t_s: f64) -> Place {
    let angle = SPEED_MPS / RADIUS_M * t_s.min(UNTIL_S) as f32;
    (
        MIDDLE.0 + RADIUS_M * angle.cos(),
        MIDDLE.1 + RADIUS_M * angle.sin(),
    )
}

/// 0.62 of the attacker and 0.11 of the ball; the hoop is the origin.
fn canonical(attacker: Place) -> Place {
    (
        0.62 * attacker.0 + 0.11 * BALL.0,
        0.62 * attacker.1 + 0.11 * BALL.1,
    )
}

fn way(place: impl Fn(f64) -> Place) -> Vec<Place> {
    (0..(SECONDS * HZ) as usize)
        .map(|k| place(k as f64 / HZ))
        .collect()
}

/// Everyone's defender is on canonical position at every frame.
fn stage() -> SceneStage {
    let mut stage = SceneStage::new(SECONDS)
        .has_ball(0, 0.0..SECONDS)
        .way(2, way(circler))
        .way(7, way(|t_s| canonical(circler(t_s))));
    for (attacker, at) in STANDS {
        stage = stage.way(attacker + 5, way(|_| canonical(at)));
    }
    stage
}

fn found(stage: &SceneStage, params: &PullParams) -> Vec<PullSample> {
    find_pull_samples(
        &[stage.scene()],
        &stage.play(),
        &stage.screens(),
        &[],
        &MotionParams::default(),
        params,
        &Definitions::DEFAULT,
    )
}

/// The sample of 2.
fn of_circler(stage: &SceneStage) -> PullSample {
    let samples = found(stage, &PullParams::default());
    samples
        .into_iter()
        .find(|sample| sample.player.index() == 2)
        .unwrap()
}

#[track_caller]
fn near(found_m: f32, expected_m: f32, within_m: f32) {
    assert!(
        (found_m - expected_m).abs() <= within_m,
        "{found_m} is not {expected_m} ± {within_m}"
    );
}

#[test]
fn who_is_on_canonical_position_has_no_residual_and_no_lag() {
    let sample = of_circler(&stage());
    let (own, others) = (sample.own.unwrap(), sample.others.unwrap());
    // The stage stands a centimetre to the right: (1 − 0.62 − 0.11) of it, 2.7 mm, is left.
    for residual_m in [own.moving_m, own.standing_m, others.moving_m, others.standing_m] {
        near(residual_m, 0.0, 0.003);
    }
    assert_eq!(sample.own_lag_s, Some(0.0));
    // 2 moves from 0 and stands from 10 s, but for 0.8 s in which 2 settles. The ball is a team-mate's from 0; what
    // counts begins 1 s later.
    near(sample.moving_s, 9.0, 0.4);
    near(sample.standing_s, 9.2, 0.4);
    // One pair and three pairs, of 9.0 s of moving and 9.2 s of standing.
    near(own.weight_s, 9.0 * 9.2 / 18.2, 0.2);
    near(others.weight_s, 3.0 * 9.0 * 9.2 / 18.2, 0.6);
}

#[test]
fn a_defender_who_follows_late_has_a_lag_and_nothing_beyond_it() {
    // 0.4 s late: behind by the chord of 0.4 s · 1 rad/s, 2 · 2 m · sin 0.2 = 0.795 m, times 0.62 = 0.493 m.
    let stage = stage().way(7, way(|t_s| canonical(circler(t_s - 0.4))));
    let sample = of_circler(&stage);
    let (own, late) = (sample.own.unwrap(), sample.own_late.unwrap());
    near(own.moving_m, 0.493, 0.015);
    near(own.standing_m, 0.0, 0.003);
    near(late.moving_m, 0.0, 0.01);
    near(sample.own_lag_s.unwrap(), 0.4, 1e-6);
    assert_eq!(own.weight_s, late.weight_s);
}

#[test]
fn a_helper_dragged_along_counts_for_the_cutter_and_for_nobody_else() {
    // 8, who guards 3 in the far corner, is 0.9 m off toward the runner as long as the run lasts.
    let home = canonical(STANDS[1].1);
    let stage = stage().way(
        8,
        way(|t_s| {
            let runner = circler(t_s);
            let way = (runner.0 - home.0, runner.1 - home.1);
            let off_m = if t_s < UNTIL_S { 0.9 } else { 0.0 };
            let share = off_m / (way.0 * way.0 + way.1 * way.1).sqrt();
            (home.0 + share * way.0, home.1 + share * way.1)
        }),
    );
    let sample = of_circler(&stage);
    // One of three other defenders: 0.9 / 3 = 0.3 m, all of it toward the cutter.
    let (others, toward) = (sample.others.unwrap(), sample.others_toward.unwrap());
    near(others.moving_m, 0.3, 0.01);
    near(toward.moving_m, 0.3, 0.01);
    near(others.standing_m, 0.0, 0.003);
    near(toward.standing_m, 0.0, 0.003);
    near(sample.own.unwrap().moving_m, 0.0, 0.003);
    // Who only stands is no control of themselves.
    for sample in found(&stage, &PullParams::default()) {
        if sample.player.index() != 2 {
            assert_eq!((sample.own, sample.others, sample.moving_s), (None, None, 0.0));
        }
    }
}

#[test]
fn a_helper_who_gives_way_is_off_as_far_and_counts_against() {
    let home = canonical(STANDS[1].1);
    // Straight away from (5, 1.5), the circle's middle, by 0.9 m: toward 2 that is −0.9 m but for how wide the circle looks.
    let away = (home.0 - MIDDLE.0, home.1 - MIDDLE.1);
    let far_m = (away.0 * away.0 + away.1 * away.1).sqrt();
    let stage = stage().way(
        8,
        way(|t_s| {
            let share = if t_s < UNTIL_S { 0.9 / far_m } else { 0.0 };
            (home.0 + share * away.0, home.1 + share * away.1)
        }),
    );
    let sample = of_circler(&stage);
    near(sample.others.unwrap().moving_m, 0.3, 0.01);
    // The circle of 2 m seen from 6.7 m away: at most 17° off, a cosine of 0.955.
    let toward_m = sample.others_toward.unwrap().moving_m;
    assert!((-0.3..=-0.3 * 0.95).contains(&toward_m), "{toward_m}");
}

#[test]
fn the_lag_of_a_team_mate_who_moves_too_is_not_help() {
    // 4 goes with 2, a stride beside, and 4's defender never leaves the block.
    let stage = stage().way(4, way(|t_s| (circler(t_s).0, circler(t_s).1 - 5.0)));
    let others = of_circler(&stage).others.unwrap();
    near(others.moving_m, 0.0, 0.003);
}

#[test]
fn what_moves_the_defence_by_itself_does_not_count() {
    let count = |stage: &SceneStage| {
        let samples = found(stage, &PullParams::default());
        samples
            .iter()
            .map(|sample| sample.moving_s + sample.standing_s)
            .sum::<f32>()
    };
    let whole_s = count(&stage());
    assert!(whole_s > 60.0, "{whole_s}");
    assert_eq!(count(&stage().in_transition()), 0.0);
    // From 12 s on: what is before is not half-court play. Four players for 8 s.
    near(count(&stage().half_court_at(12.0)), 32.0, 0.9);
    // The handler runs at 3 m/s all the time.
    let runs = way(|t_s| {
        let angle = t_s as f32;
        (6.0 + 3.0 * angle.cos(), 3.0 * angle.sin())
    });
    assert_eq!(count(&stage().way(0, runs)), 0.0);
}

#[test]
fn time_around_ball_screens_counts_as_the_parameters_say() {
    // 4 screens for 0 from 4 to 7.5 s; the window is 3.0 to 9.0 s.
    let stage = stage().ball_screen((4, 0), (4.0, 5.0, 7.5));
    let moving_s = |ball_screens| {
        let params = PullParams {
            ball_screens,
            ..PullParams::default()
        };
        let samples = found(&stage, &params);
        let of = |player| {
            let mut samples = samples.iter().filter(|sample| sample.player.index() == player);
            samples
                .next()
                .map_or(0.0, |sample| sample.moving_s + sample.standing_s)
        };
        (of(2), of(4))
    };
    let (runner_s, screener_s) = moving_s(BallScreenTime::Counted);
    let (without_s, _) = moving_s(BallScreenTime::LeftOut);
    let (only_s, screener_only_s) = moving_s(BallScreenTime::Only);
    near(only_s, 6.0, 0.25);
    near(without_s + only_s, runner_s, 1e-3);
    // The screener does not count in the window.
    assert_eq!(screener_only_s, 0.0);
    near(runner_s - screener_s, 6.0, 0.8);
}

#[test]
fn a_move_too_short_is_neither_moving_nor_the_end_of_standing() {
    let stage = SceneStage::new(SECONDS)
        .has_ball(0, 0.0..SECONDS)
        .path(2, &[(10.0, 0.5, 6.8), (11.0, 3.5, 6.8)]);
    let of = |min_moving_s| {
        let params = PullParams {
            min_moving_s,
            ..PullParams::default()
        };
        found(&stage, &params)
            .into_iter()
            .find(|sample| sample.player.index() == 2)
            .map(|sample| (sample.moving_s, sample.standing_s))
            .unwrap()
    };
    // 3 m in a second, from 10 to 11 s; standing from 1 to 10 and, settled, from 11.8 to 20 s.
    let (moving_s, standing_s) = of(0.4);
    near(moving_s, 1.0, 0.3);
    near(standing_s, 9.0 + 8.2, 0.5);
    // Too short to be a move: the player is settled at once.
    let (moving_s, standing_s) = of(2.0);
    assert_eq!(moving_s, 0.0);
    near(standing_s, 9.0 + 9.0, 0.5);
}

#[test]
fn who_is_not_seen_or_not_guarded_gives_no_residual() {
    let unseen = found(&stage().unseen(2, 0.0..SECONDS), &PullParams::default());
    assert!(unseen.iter().all(|sample| sample.player.index() != 2));
    let mut nobody = stage();
    for player in 5..10 {
        nobody = nobody.unseen(player, 0.0..SECONDS);
    }
    for sample in found(&nobody, &PullParams::default()) {
        assert_eq!((sample.own, sample.others, sample.own_lag_s), (None, None, None));
    }
    let empty = SceneStage::new(0.0);
    assert_eq!(found(&empty, &PullParams::default()), []);
}

/// Everything turned about the hoop by a quarter: (x, y) becomes (−y, x).
fn turned(mut scene: Scene) -> Scene {
    let negated = |values: &[f32]| values.iter().map(|value| -value).collect::<Vec<f32>>();
    for mover in scene.attackers.iter_mut().chain(&mut scene.defenders) {
        (mover.x_m, mover.y_m) = (negated(&mover.y_m), mover.x_m.clone());
        (mover.vx_mps, mover.vy_mps) = (negated(&mover.vy_mps), mover.vx_mps.clone());
    }
    (scene.ball_x_m, scene.ball_y_m) = (negated(&scene.ball_y_m), scene.ball_x_m.clone());
    scene
}

proptest! {
    /// Residuals know the hoop, the ball and the players, and no direction of the floor.
    #[test]
    fn mirrored_or_turned_about_the_hoop_nothing_changes(
        spots in prop::collection::vec((0.0_f32..9.0, -7.0_f32..7.0), 30)
    ) {
        let mut stage = SceneStage::new(12.0).has_ball(0, 0.0..5.0).has_ball(1, 5.8..12.0);
        for (player, three) in spots.chunks_exact(3).enumerate() {
            let waypoints: Vec<_> =
                three.iter().zip([2.0, 5.0, 9.0]).map(|(&(x, y), t_s)| (t_s, x, y)).collect();
            stage = stage.path(player, &waypoints);
        }
        let of = |scene: Scene| {
            find_pull_samples(
                &[scene], &stage.play(), &stage.screens(), &[], &MotionParams::default(), &PullParams::default(), &Definitions::DEFAULT,
            )
        };
        let here = of(stage.scene());
        prop_assert_eq!(&here, &of(stage.clone().mirrored().scene()));
        prop_assert_eq!(&here, &of(turned(stage.scene())));
        for sample in here {
            for contrast in [sample.own, sample.own_late, sample.others].into_iter().flatten() {
                prop_assert!(contrast.weight_s > 0.0 && contrast.moving_m >= 0.0 && contrast.standing_m >= 0.0);
            }
            if let (Some(others), Some(toward)) = (sample.others, sample.others_toward) {
                prop_assert!(toward.moving_m.abs() <= others.moving_m + 1e-4);
                prop_assert_eq!(toward.weight_s, others.weight_s);
            }
            if let (Some(now), Some(late)) = (sample.own, sample.own_late) {
                prop_assert!(late.moving_m <= now.moving_m + 1e-6, "the best lag is at least as good as none");
            }
        }
    }
}
