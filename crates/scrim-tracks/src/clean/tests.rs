//! Whole games through `clean`.

use approx::assert_relative_eq;
use scrim_floor::Court;

use super::*;
use crate::{ClockSample, TeamSlot};

/// Ten players, five a team, who each run a straight line of their own at constant speed.
pub(super) fn ten_runners(t_s: &[f64]) -> RawGame {
    let players: Vec<Player> = (0..10)
        .map(|n| Player {
            id: format!("P{n:02}").as_str().into(),
            team: if n < 5 { TeamSlot::First } else { TeamSlot::Second },
            jersey: None,
            name: None,
            role: None,
        })
        .collect();
    let tracks = (0..10_u16)
        .map(|n| {
            let at = |t: &f64| (place_of(n, *t)[0] as f32, place_of(n, *t)[1] as f32);
            let (x_m, y_m) = t_s.iter().map(at).unzip();
            RawTrack {
                who: PlayerIx(n),
                t_s: t_s.to_vec(),
                x_m,
                y_m,
                z_m: Vec::new(),
            }
        })
        .collect();
    let clocks = t_s
        .iter()
        .map(|t| ClockSample {
            t_s: *t,
            game_clock_s: (600.0 - t) as f32,
            shot_clock_s: (24.0 - t % 24.0) as f32,
        })
        .collect();
    let ball = RawTrack {
        who: (),
        t_s: t_s.to_vec(),
        x_m: t_s.iter().map(|t| (1.5 * t) as f32).collect(),
        y_m: vec![0.5; t_s.len()],
        z_m: vec![1.0; t_s.len()],
    };
    RawGame {
        info: GameInfo {
            game_id: "G1".into(),
            season: None,
            date: None,
            team_ids: ["AA".into(), "BB".into()],
            home_is_known: false,
            court: Court::fiba(),
        },
        players,
        periods: vec![RawPeriod {
            number: 1,
            clocks,
            players: tracks,
            ball,
            duplicate_rows: 0,
            rows_quarantined: 0,
        }],
        events: None,
    }
}

/// Runner `n` starts at (n − 5, 1.3 (n − 5)) and runs at (0.2 n, 1 − 0.2 n) m/s.
pub(super) fn place_of(n: u16, t_s: f64) -> [f64; 2] {
    let n = f64::from(n);
    [n - 5.0 + 0.2 * n * t_s, 1.3 * (n - 5.0) + (1.0 - 0.2 * n) * t_s]
}

fn assert_on_their_lines(period: &Period) {
    for (n, track) in (0..10).zip(&period.tracks) {
        for frame in 0..period.frames {
            let [x, y] = place_of(n, period.t_s(frame));
            assert_relative_eq!(f64::from(track.x_m[frame]), x, epsilon = 1e-4);
            assert_relative_eq!(f64::from(track.y_m[frame]), y, epsilon = 1e-4);
            assert_relative_eq!(track.vx_mps[frame], 0.2 * f32::from(n), epsilon = 2e-3);
            assert_relative_eq!(track.vy_mps[frame], 1.0 - 0.2 * f32::from(n), epsilon = 2e-3);
        }
    }
}

#[test]
fn a_straight_runner_keeps_place_and_speed_at_any_rate_of_the_source() {
    for hz in [10.0, 25.0, 29.97, 60.0] {
        let t_s: Vec<f64> = (0..(8.0 * hz) as usize).map(|k| k as f64 / hz).collect();
        let cleaned = clean(ten_runners(&t_s), &TrackParams::default()).unwrap();
        let period = &cleaned.game.periods[0];
        assert!(period.frames >= 195, "{hz} Hz: {} frames", period.frames);
        assert_on_their_lines(period);
        assert!(period.live.iter().all(|live| *live));
        assert!(!period.faulty.contains(&true), "{hz} Hz");
        assert_eq!(period.lineups.len(), 1);
        let quality = &cleaned.quality[0];
        assert_relative_eq!(f64::from(quality.hz), hz, epsilon = 0.01);
        assert_eq!((quality.gaps_filled, quality.missing_frames), (0, 0));
        assert_relative_eq!(quality.usable_share, 1.0);
    }
}

#[test]
fn an_empty_game_and_a_period_of_one_instant_are_no_trouble() {
    let mut raw = ten_runners(&[0.0]);
    let one = raw.periods[0].clone();
    raw.periods[0] = RawPeriod {
        clocks: Vec::new(),
        players: Vec::new(),
        ball: RawTrack::default(),
        ..one.clone()
    };
    raw.periods.push(RawPeriod { number: 2, ..one });
    let cleaned = clean(raw, &TrackParams::default()).unwrap();
    assert_eq!(cleaned.game.periods[0].frames, 0);
    assert!(cleaned.game.periods[0].lineups.is_empty());
    let second = &cleaned.game.periods[1];
    assert_eq!(second.frames, 1);
    assert_eq!(second.tracks[3].x_m, [-2.0]);
    assert!(second.tracks[3].vx_mps[0].is_nan(), "one instant tells no speed");
}

#[test]
fn broken_promises_are_told_by_name() {
    let t_s = [0.0, 0.04, 0.08];
    let spoil = |change: fn(&mut RawPeriod)| {
        let mut raw = ten_runners(&t_s);
        change(&mut raw.periods[0]);
        clean(raw, &TrackParams::default()).unwrap_err().to_string()
    };
    assert!(spoil(|p| p.players[2].t_s[2] = 1e9).contains("a sample of P02 stands at 1000000000 s"));
    assert!(spoil(|p| p.players[2].t_s[2] = 0.04).contains("P02 are broken: their instants do not ascend"));
    assert!(spoil(|p| p.ball.x_m[1] = f32::NAN).contains("the ball are broken: a place is not"));
    assert!(spoil(|p| p.players[1].y_m.truncate(2)).contains("P01 are broken: their arrays differ"));
    assert!(spoil(|p| p.players[9].who = PlayerIx(77)).contains("player number 77"));
    assert!(spoil(|p| p.clocks[0].t_s = f64::NAN).contains("the clocks"));
    let params = TrackParams {
        grid_hz: 0.0,
        ..TrackParams::default()
    };
    assert!(
        clean(ten_runners(&t_s), &params)
            .unwrap_err()
            .to_string()
            .contains("`grid_hz` is 0")
    );
}
