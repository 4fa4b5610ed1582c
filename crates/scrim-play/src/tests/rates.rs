//! The same play from sources of 5 to 60 samples a second, and from short clips.

use scrim_tables::tags::{EndKind, TouchEnd};
use scrim_tracks::{Game, RawGame, RawPeriod, RawTrack, TeamSlot, TrackParams, clean};

use super::{made_shot, missed_shot, pass_and_hold, play_of, possessions, touches};
use crate::staging::Staging;
use crate::{Play, PlayParams, find_play};

const RATES_HZ: [f64; 6] = [5.0, 25.0 / 3.0, 10.0, 25.0, 50.0, 60.0];

/// The scene as a source of this rate samples it, from `from_s` to `to_s`: samples on the straight lines between the frames.
fn sampled(scene: &Staging, hz: f64, from_s: f64, to_s: f64) -> Game {
    let Game {
        info,
        players,
        mut periods,
        ..
    } = scene.game();
    let period = periods.remove(0);
    let samples = |x_m: &[f32], y_m: &[f32]| -> RawTrack<()> {
        let mut raw = RawTrack::default();
        let count = ((to_s - from_s) * hz).floor() as usize;
        for k in 0..=count {
            let t_s = k as f64 / hz;
            let at = (from_s + t_s) * period.hz;
            let frame = (at.floor() as usize).min(period.frames - 2);
            let share = (at - frame as f64) as f32;
            let between = |values: &[f32]| values[frame] + (values[frame + 1] - values[frame]) * share;
            let (x_m, y_m) = (between(x_m), between(y_m));
            if share <= 1.0 && x_m.is_finite() && y_m.is_finite() {
                raw.t_s.push(t_s);
                raw.x_m.push(x_m);
                raw.y_m.push(y_m);
            }
        }
        raw
    };
    let tracks = period.tracks.iter().map(|track| {
        let raw = samples(&track.x_m, &track.y_m);
        RawTrack {
            who: track.player,
            t_s: raw.t_s,
            x_m: raw.x_m,
            y_m: raw.y_m,
            z_m: Vec::new(),
        }
    });
    let raw = RawGame {
        info,
        players,
        periods: vec![RawPeriod {
            number: 1,
            clocks: Vec::new(),
            players: tracks.collect(),
            ball: samples(&period.ball.x_m, &period.ball.y_m),
            duplicate_rows: 0,
            rows_quarantined: 0,
        }],
        events: None,
    };
    clean(raw, &TrackParams::default()).unwrap().game
}

fn play_at(scene: &Staging, hz: f64, from_s: f64, to_s: f64) -> Play {
    find_play(&sampled(scene, hz, from_s, to_s), &PlayParams::default())
}

#[test]
fn a_pass_is_found_at_every_rate() {
    for hz in RATES_HZ {
        let play = play_at(&pass_and_hold(), hz, 0.0, 5.0);
        assert_eq!(
            touches(&play),
            [(0, TouchEnd::Pass, Some(1)), (1, TouchEnd::DeadBall, None)],
            "{hz} Hz"
        );
        // Released at 2.0 s and caught at 2.6 s; at 5 Hz either is known to 0.2 s.
        let passed_s = play.touches[0].frames.end as f64 / 25.0;
        let caught_s = play.touches[1].frames.start as f64 / 25.0;
        assert!((passed_s - 2.0).abs() <= 0.25, "{hz} Hz: {passed_s}");
        assert!((caught_s - 2.6).abs() <= 0.25, "{hz} Hz: {caught_s}");
    }
}

#[test]
fn made_and_missed_shots_are_found_at_every_rate() {
    for hz in RATES_HZ {
        for (scene, ended) in [
            (made_shot(), EndKind::ShotMade),
            (missed_shot(), EndKind::ShotMissed),
        ] {
            let play = play_at(&scene, hz, 0.0, 9.0);
            assert_eq!(possessions(&play)[0], (TeamSlot::First, ended), "{hz} Hz");
            assert_eq!(
                (touches(&play)[0].0, touches(&play)[0].1),
                (0, TouchEnd::Shot),
                "{hz} Hz"
            );
            assert_eq!(play.shots.len(), 1, "{hz} Hz");
        }
    }
}

#[test]
fn clips_of_any_five_seconds_have_a_play_whose_first_touch_is_the_shooters() {
    for hz in RATES_HZ {
        // From before the shot to after the rim, where the tracks end too early to know its result.
        let play = play_at(&made_shot(), hz, 0.0, 4.0);
        assert_eq!(touches(&play)[0], (0, TouchEnd::Shot, None), "{hz} Hz");
        assert_eq!(play.possessions[0].points, None, "{hz} Hz");
        // No clip panics, however short: also those of one sample and of none of the ball.
        for from_s in [0.0, 1.9, 2.5, 3.1, 4.0, 8.9] {
            for length_s in [0.0, 0.1, 0.5, 5.0] {
                let to_s = f64::min(from_s + length_s, 9.0);
                let play = play_at(&made_shot(), hz, from_s, to_s);
                assert!(play.possessions.len() <= 3, "{hz} Hz, {from_s} to {to_s} s");
            }
        }
    }
}

#[test]
fn the_staged_grid_and_a_source_of_its_rate_have_the_same_touches() {
    let scene = missed_shot().without_height();
    assert_eq!(
        touches(&play_at(&scene, 25.0, 0.0, 9.0)),
        touches(&play_of(&scene))
    );
}
