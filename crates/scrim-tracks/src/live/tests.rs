//! Scenes of 40 s at 25 Hz on the FIBA court.

use super::*;
use crate::{PlayerIx, TeamSlot, TrackIx};

const HZ: f64 = 25.0;
const FRAMES: usize = 1000;

/// Ten players at `spot(n, t)`, and a ball at `ball(t)` = [x, y, z]; velocities by differences.
fn scene(
    spot: impl Fn(usize, f32) -> [f32; 2],
    ball: impl Fn(f32) -> [f32; 3],
) -> (Vec<Track>, BallTrack, Vec<Lineup>) {
    let seconds = || (0..FRAMES).map(|k| k as f32 / HZ as f32);
    let slope = |values: &[f32]| -> Vec<f32> {
        (0..FRAMES)
            .map(|k| HZ as f32 * (values[k.max(1)] - values[k.max(1) - 1]))
            .collect()
    };
    let tracks = (0..10)
        .map(|n| {
            let x_m: Vec<f32> = seconds().map(|t| spot(n, t)[0]).collect();
            let y_m: Vec<f32> = seconds().map(|t| spot(n, t)[1]).collect();
            let team = if n < 5 { TeamSlot::First } else { TeamSlot::Second };
            let (vx_mps, vy_mps) = (slope(&x_m), slope(&y_m));
            Track {
                player: PlayerIx(n as u16),
                team,
                x_m,
                y_m,
                vx_mps,
                vy_mps,
            }
        })
        .collect();
    let axis = |axis: usize| -> Vec<f32> { seconds().map(|t| ball(t)[axis]).collect() };
    let (x_m, y_m, z_m) = (axis(0), axis(1), axis(2));
    let (vx_mps, vy_mps) = (slope(&x_m), slope(&y_m));
    let has_height = z_m.iter().any(|z| z.is_finite());
    let ball = BallTrack {
        x_m,
        y_m,
        z_m,
        vx_mps,
        vy_mps,
        has_height,
    };
    let on_floor = [(0..5).map(TrackIx).collect(), (5..10).map(TrackIx).collect()];
    (
        tracks,
        ball,
        vec![Lineup {
            start: 0,
            end: FRAMES,
            on_floor,
        }],
    )
}

fn live_of(
    running: &[Option<bool>],
    (tracks, ball, lineups): &(Vec<Track>, BallTrack, Vec<Lineup>),
) -> Vec<bool> {
    let court = Court::fiba();
    let scene = Scene {
        hz: HZ,
        court: &court,
        tracks,
        ball,
        lineups,
    };
    find_live(running, &scene, MAX_UNBROKEN_CLOCK_S)
}

/// Ten spots of a half-court set at the hoop at +x (12.425, 0).
fn set_spot(n: usize, _: f32) -> [f32; 2] {
    let (guard, side) = ([0.0, 3.5, -3.5, 6.0, -6.0][n % 5], if n < 5 { 0.0 } else { 1.5 });
    [[4.0, 6.5, 6.5, 10.0, 10.0][n % 5] + side, guard]
}

/// A dribble: 1 m up and down, nearly twice a second.
fn dribble_m(t: f32) -> f32 {
    0.5 + 0.5 * (12.0 * t).sin()
}

fn at(seconds: f64) -> usize {
    (seconds * HZ).round() as usize
}

#[test]
fn a_standing_clock_is_dead_and_a_running_one_is_live_whatever_the_players_do() {
    let still = scene(set_spot, |_| [4.2, 0.0, 1.0]);
    let running: Vec<Option<bool>> = (0..FRAMES)
        .map(|k| Some(!(at(10.0)..at(25.0)).contains(&k)))
        .collect();
    let live = live_of(&running, &still);
    assert_eq!(
        live,
        running.iter().map(|runs| *runs == Some(true)).collect::<Vec<_>>()
    );
}

#[test]
fn a_thrower_makes_the_ball_live_before_the_clock_starts() {
    // Dead from 10 s; from 21.5 s the ball is at the sideline, at 25 s the throw is touched and the clock starts.
    let throw = scene(set_spot, |t| {
        if t < 21.5 {
            [f32::NAN; 3]
        } else {
            [3.0, if t < 24.8 { 7.6 } else { 5.0 }, 1.0]
        }
    });
    let running: Vec<Option<bool>> = (0..FRAMES)
        .map(|k| Some(!(at(10.0)..at(25.0)).contains(&k)))
        .collect();
    let live = live_of(&running, &throw);
    for (frame, live) in live.iter().enumerate() {
        assert_eq!(*live, !(at(10.0)..at(21.5)).contains(&frame), "frame {frame}");
    }
}

#[test]
fn a_shot_in_flight_outlives_the_whistle() {
    // The whistle goes at 10 s, the shot flies at 6 m/s until 10.6 s.
    let flight = scene(set_spot, |t| [12.0 - 6.0 * (10.6 - t).clamp(0.0, 1.0), 0.0, 3.0]);
    let running: Vec<Option<bool>> = (0..FRAMES).map(|k| Some(k < at(10.0))).collect();
    let live = live_of(&running, &flight);
    assert!(live[..at(10.6)].iter().all(|live| *live));
    assert!(!live[at(10.6) + 2..].contains(&true));
}

#[test]
fn without_a_clock_all_standing_around_a_dribble_is_live() {
    let unknown = vec![None; FRAMES];
    let height = scene(set_spot, |t| [4.2, 0.0, dribble_m(t)]);
    assert!(live_of(&unknown, &height).iter().all(|live| *live));
    let no_height = scene(set_spot, |_| [4.2, 0.0, f32::NAN]);
    assert!(live_of(&unknown, &no_height).iter().all(|live| *live));
}

#[test]
fn without_a_clock_a_held_ball_is_live_for_as_long_as_a_player_may_hold_it() {
    // All stand; the handler holds the ball for 6 s (12 s to 18 s), and the last one for 15 s to the end.
    let held = scene(set_spot, |t| {
        let holds = (12.0..18.0).contains(&t) || t >= 25.0;
        [4.2, 0.0, if holds { 1.0 } else { dribble_m(t) }]
    });
    let live = live_of(&vec![None; FRAMES], &held);
    assert!(live[..at(25.0)].iter().all(|live| *live));
    assert!(!live[at(26.0)..].contains(&true));
}

#[test]
fn without_a_clock_everyone_walking_about_without_a_ball_is_dead() {
    // They run until 10 s, walk until 30 s at 1 m/s, and run again.
    let path_m = |t: f32| 5.0 * t.min(10.0) + (t - 10.0).clamp(0.0, 20.0) + 5.0 * (t - 30.0).max(0.0);
    let walk = scene(
        |n, t| [10.0 * (path_m(t) / 10.0 + n as f32).sin(), n as f32 - 4.5],
        |t| {
            if (11.0..29.0).contains(&t) {
                [f32::NAN; 3]
            } else {
                [0.0, 0.0, dribble_m(t)]
            }
        },
    );
    let live = live_of(&vec![None; FRAMES], &walk);
    assert!(live[..at(9.5)].iter().all(|live| *live));
    assert!(!live[at(11.5)..at(28.5)].contains(&true));
    assert!(live[at(30.5)..].iter().all(|live| *live));
}

#[test]
fn without_a_clock_a_free_throw_line_up_is_dead_even_while_the_shooter_dribbles() {
    // Attack frame of the +x hoop: x = 12.425 − x_court. The line is at 4.225 m, the lane's edges at ± 2.45 m.
    let places = [
        [4.3, 0.0],
        [1.0, 2.7],
        [2.0, -2.7],
        [9.0, 2.0],
        [9.0, -2.0],
        [0.2, 2.7],
        [0.2, -2.7],
        [1.0, -2.7],
        [8.5, 0.0],
        [9.5, 4.0],
    ];
    let line_up = scene(
        // They stand until 20 s and then run for the rebound.
        |n, t| [12.425 - places[n][0] + 4.0 * (t - 20.0).max(0.0), -places[n][1]],
        |t| [12.425 - 4.0, 0.0, dribble_m(t)],
    );
    let live = live_of(&vec![None; FRAMES], &line_up);
    assert!(!live[..at(19.5)].contains(&true));
    assert!(live[at(20.5)..].iter().all(|live| *live));
}

#[test]
fn a_clock_that_never_stands_is_not_trusted_for_long() {
    let (tracks, ball, lineups) = scene(set_spot, |_| [f32::NAN; 3]);
    let court = Court::fiba();
    let scene = Scene {
        hz: HZ,
        court: &court,
        tracks: &tracks,
        ball: &ball,
        lineups: &lineups,
    };
    let found = find_live(&vec![Some(true); FRAMES], &scene, 20.0);
    assert!(
        !found[at(5.0)..at(35.0)].contains(&true),
        "nobody moves and there is no ball for 40 s"
    );
    assert!(
        find_live(&vec![Some(true); FRAMES], &scene, MAX_UNBROKEN_CLOCK_S)
            .iter()
            .all(|live| *live)
    );
}
