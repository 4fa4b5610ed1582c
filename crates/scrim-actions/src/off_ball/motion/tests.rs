//! Off-ball motion on staged scenes, and the kinematics of runners whose truth has a closed form.

use scrim_floor::Definitions;
use scrim_play::{Attacker, Place};
use scrim_tables::tags::{Activity, ScreenKind};

use super::{MotionParams, OffBallMotion, find_off_ball_motion, kinematics};
use crate::scene_stage::{HZ, SceneStage};

fn motion(stage: &SceneStage) -> Vec<OffBallMotion> {
    find_off_ball_motion(
        &[stage.scene()],
        &stage.screens(),
        &stage.cuts(),
        &[],
        &MotionParams::default(),
        &Definitions::DEFAULT,
    )
}

/// 4 screens on the left for the handler; the window is 2.0 − 1.0 s to 4.5 + 1.5 s.
fn set() -> SceneStage {
    SceneStage::new(8.0)
        .has_ball(0, 0.0..8.0)
        .path(4, &[(0.0, 7.0, -1.2)])
        .ball_screen((4, 0), (2.0, 3.0, 4.5))
}

fn activities(stage: &SceneStage) -> Vec<(usize, Activity)> {
    motion(stage)
        .iter()
        .map(|row| (row.player.index(), row.activity))
        .collect()
}

#[test]
fn everyone_but_screener_and_user_has_a_row_and_who_stands_is_stationary() {
    use Activity::Stationary;
    assert_eq!(
        activities(&set()),
        [(1, Stationary), (2, Stationary), (3, Stationary)]
    );
}

#[test]
fn activities_follow_from_what_the_player_does_in_the_window() {
    let stage = set()
        .path(1, &[(2.0, 7.0, 3.5), (3.0, 4.8, 5.6)])
        .path(2, &[(2.0, 0.5, 6.8), (4.0, 1.0, 1.0)]);
    assert_eq!(
        activities(&stage),
        [
            (1, Activity::Shift),
            (2, Activity::Cut),
            (3, Activity::Stationary)
        ]
    );
    // The same two, but the first has screened for the second.
    let screened = stage.off_ball_screen(ScreenKind::Down, (1, 2), (2.2, 3.0, 4.0));
    assert_eq!(
        activities(&screened),
        [
            (1, Activity::Screen),
            (2, Activity::OffScreen),
            (3, Activity::Stationary)
        ]
    );
}

#[test]
fn what_lies_outside_the_window_does_not_count() {
    let stage = set().path(2, &[(6.2, 0.5, 6.8), (7.8, 1.0, 1.0)]);
    assert_eq!(activities(&stage)[1], (2, Activity::Stationary));
}

#[test]
fn space_pull_and_defender_are_those_of_the_own_matchup() {
    // 7, who guards 2 in the right corner, leaves at 3 s for the other side of the floor.
    let stage = set().path(7, &[(0.0, 0.5, 5.3), (3.0, 0.5, 5.3), (5.0, 0.5, -2.2)]);
    let row = &motion(&stage)[1];
    assert_eq!(row.defender.map(|player| player.index()), Some(7));
    // From (0.5, 6.8) the nearest is then 6 at (4.9, 2.45), √(4.4² + 4.35²) = 6.19 m off.
    assert!((row.max_space_m.unwrap() - 6.19).abs() < 0.02, "{row:?}");
    // Canonical: 0.62 (0.5, 6.8) + 0.11 (8, 0) = (1.19, 4.22); 7 ends at (0.5, −2.2): √(0.69² + 6.42²) = 6.45 m.
    assert!((row.defender_pull_m.unwrap() - 6.45).abs() < 0.02, "{row:?}");
}

#[test]
fn strong_side_is_the_balls_at_the_use() {
    // The ball was on the right last: with the ball on the line through both hoops the side stays.
    let stage = SceneStage::new(8.0)
        .has_ball(1, 0.0..0.8)
        .has_ball(0, 1.2..8.0)
        .path(4, &[(0.0, 7.0, -1.2)])
        .ball_screen((4, 0), (2.0, 3.0, 4.5));
    let strong =
        |stage: &SceneStage| -> Vec<bool> { motion(stage).iter().map(|row| row.strong_side).collect() };
    assert_eq!(strong(&stage), [true, true, false]);
    assert_eq!(strong(&stage.mirrored()), [true, true, false]);
}

#[test]
fn mirrored_every_number_stays() {
    let stage = set()
        .path(1, &[(2.0, 7.0, 3.5), (3.0, 4.8, 5.6)])
        .path(2, &[(2.0, 0.5, 6.8), (4.0, 1.0, 1.0)]);
    let (here, there) = (motion(&stage), motion(&stage.clone().mirrored()));
    for (here, there) in here.iter().zip(&there) {
        assert_eq!(
            (here.activity, here.kinematics, here.defender),
            (there.activity, there.kinematics, there.defender)
        );
        assert!((here.defender_pull_m.unwrap() - there.defender_pull_m.unwrap()).abs() < 1e-4);
    }
}

#[test]
fn who_is_not_seen_has_no_row_and_who_is_seen_in_part_is_measured_from_that() {
    let unseen = set().unseen(2, 0.0..8.0);
    assert_eq!(activities(&unseen).len(), 2);
    let seen_late = set().path(2, &[(0.0, 0.5, 6.8)]).unseen(2, 0.0..4.0);
    let row = &motion(&seen_late)[1];
    assert!(row.kinematics.path_m < 0.01 && row.max_space_at.is_some());
    let mut nobody = set();
    for player in 5..10 {
        nobody = nobody.unseen(player, 0.0..8.0);
    }
    assert!(
        motion(&nobody)
            .iter()
            .all(|row| row.max_space_m.is_none() && row.defender_pull_m.is_none())
    );
}

/// 2 runs round a circle of 3 m at this speed.
fn circler(speed_mps: f64) -> SceneStage {
    let way = (0..200)
        .map(|k| {
            let angle = speed_mps / 3.0 * k as f64 / HZ;
            ((5.0 + 3.0 * angle.cos()) as f32, (3.0 * angle.sin()) as f32)
        })
        .collect();
    set().way(2, way)
}

#[test]
fn a_circler_s_way_speed_and_zone_are_v_t_v_and_the_zone_of_v() {
    // The window is 1.0 s to 6.04 s (half frames are rounded up twice), both frames included: 127 frames, 5.08 s.
    for (speed_mps, zone, moves) in [
        (0.4, 0, 0.0),
        (1.2, 0, 1.0),
        (2.5, 1, 1.0),
        (4.0, 2, 1.0),
        (5.5, 3, 1.0),
    ] {
        let stage = circler(speed_mps);
        let row = &motion(&stage)[1].kinematics;
        let (speed_mps, seconds) = (speed_mps as f32, 5.08);
        // A chord over 0.5 s is shorter than its arc: at 1.2 m/s, 0.2 rad, by 0.2 %.
        assert!(
            (row.path_m / (speed_mps * seconds) - 1.0).abs() < 5e-3,
            "{speed_mps}: {row:?}"
        );
        assert!(
            (row.peak_speed_mps / speed_mps - 1.0).abs() < 5e-3,
            "{speed_mps}: {row:?}"
        );
        assert!(
            (row.mean_speed_mps / speed_mps - 1.0).abs() < 5e-3,
            "{speed_mps}: {row:?}"
        );
        assert_eq!(row.moving_share, moves, "{speed_mps}");
        let zones: Vec<bool> = row
            .zones_s
            .iter()
            .map(|&zone_s| (zone_s - seconds).abs() < 1e-3)
            .collect();
        assert_eq!(
            zones.iter().position(|&all| all),
            Some(zone),
            "{speed_mps}: {row:?}"
        );
        // From the angle at 1.0 s to that at 6.04 s: the chord of a circle, 2 r sin(Δ/2).
        let net_m = 6.0 * (speed_mps * 5.04 / 3.0 / 2.0).sin().abs();
        assert!(
            (row.net_m - net_m).abs() < 1e-3,
            "{speed_mps}: {} {net_m}",
            row.net_m
        );
    }
}

/// Draws of a normal distribution (Box and Muller) from a linear congruential sequence modulo 2⁶⁴ (constants of D. E.
/// Knuth, *The Art of Computer Programming* 2, section 3.3.4).
struct Normal(u64);

impl Normal {
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn draw(&mut self) -> f64 {
        (-2.0 * self.share().ln()).sqrt() * (std::f64::consts::TAU * self.share()).cos()
    }
}

/// Noise of one coordinate, `sigma_m` in all: half of the variance white, half wandering with a time of 0.6 s.
fn noise(frames: usize, sigma_m: f64, normal: &mut Normal) -> Vec<f64> {
    let half_m = sigma_m / std::f64::consts::SQRT_2;
    let keep = (-1.0 / (0.6 * HZ)).exp();
    let mut wander_m = half_m * normal.draw();
    (0..frames)
        .map(|_| {
            wander_m = keep * wander_m + (1.0 - keep * keep).sqrt() * half_m * normal.draw();
            wander_m + half_m * normal.draw()
        })
        .collect()
}

/// Smooths a noisy coordinate as the tracks are (a parabola over a window of this length): places and slopes.
fn smoothed(values: &[f64], window_s: f64) -> (Vec<f32>, Vec<f32>) {
    let half = ((window_s * HZ - 1.0) / 2.0).round() as usize;
    let weigh = |derivative: usize, per_s: f64| -> Vec<f32> {
        let weights = scrim_tracks::savitzky_golay::weights(half, 2, derivative);
        let sample = |k: usize, i: usize| values[(k + i).saturating_sub(half).min(values.len() - 1)];
        let at = |k: usize| -> f64 { weights.iter().enumerate().map(|(i, w)| w * sample(k, i)).sum() };
        (0..values.len()).map(|k| (at(k) * per_s) as f32).collect()
    };
    (weigh(0, 1.0), weigh(1, HZ))
}

/// One who goes to and fro on a line of 6 m, x = 5 + 3 cos(ω t): the way over whole halves of a period is 6 m each, and the player
/// is above 1 m/s for the share 1 − 2/π · asin(1/(3 ω)) of the time.
#[test]
fn in_noise_way_and_moving_share_stay_near_the_truth() {
    let params = MotionParams::default();
    // White noise of σ/√2, for which the tracks choose windows of 0.46 s and 0.46 · √3 = 0.80 s.
    for (sigma_m, window_s, bound) in [(0.05, 0.46, 0.03), (0.15, 0.80, 0.08)] {
        let mut normal = Normal(11);
        let (mut way, mut moving) = ([0.0; 2], [0.0; 2]);
        let frames = 2 * 75 + 400;
        for run in 0..120 {
            let omega = [0.4, 0.8, 1.2][run % 3];
            let x: Vec<f64> = noise(frames, sigma_m, &mut normal)
                .iter()
                .enumerate()
                .map(|(k, noise_m)| 5.0 + 3.0 * (omega * k as f64 / HZ).cos() + noise_m)
                .collect();
            let mut scene = SceneStage::new(frames as f64 / HZ).scene();
            let place = Attacker::ALL[2];
            let mover = &mut scene.attackers[place];
            (mover.x_m, mover.vx_mps) = smoothed(&x, window_s);
            (mover.y_m, mover.vy_mps) = smoothed(&noise(frames, sigma_m, &mut normal), window_s);
            let white_m = Some((sigma_m / std::f64::consts::SQRT_2) as f32);
            let stretch = kinematics::stretch_frames(&scene, white_m);
            // Whole halves of a period from 75 frames on, as near as frames go.
            let half_s = std::f64::consts::PI / omega;
            let halves = (400.0 / HZ / half_s).floor();
            let span = 75..75 + (halves * half_s * HZ).round() as usize;
            let found = kinematics::measure(&scene, &scene.attackers[place], span, stretch, &params).unwrap();
            way[0] += f64::from(found.path_m);
            way[1] += 6.0 * halves;
            moving[0] += f64::from(found.moving_share);
            moving[1] += 1.0 - std::f64::consts::FRAC_2_PI * (1.0_f64 / (3.0 * omega)).asin();
        }
        for (name, [found, truth]) in [("way", way), ("moving", moving)] {
            let off = found / truth - 1.0;
            assert!(off.abs() <= bound, "{name} at {sigma_m} m is off by {off:.3}");
        }
    }
}
