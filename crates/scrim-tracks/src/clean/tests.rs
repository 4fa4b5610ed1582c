//! Whole games through `clean`.

use approx::assert_relative_eq;
use scrim_floor::Court;

use super::*;
use crate::{ClockSample, GameInfo, TeamSlot, TrackIx};

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
            video_offset_s: Vec::new(),
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
    assert!(second.tracks[3].vx_mps[0].is_nan(), "one instant gives no speed");
}

#[test]
fn broken_promises_are_reported_by_name() {
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
            .contains("`tracks.grid_hz` is 0; it must be from 1 to 120")
    );
}

/// 8 s at 25 Hz.
fn usual_instants() -> Vec<f64> {
    (0..200).map(|k| f64::from(k) / 25.0).collect()
}

/// Takes samples `from..to` out of a track.
fn cut<Who>(track: &mut RawTrack<Who>, from: usize, to: usize) {
    track.t_s.drain(from..to);
    track.x_m.drain(from..to);
    track.y_m.drain(from..to);
    if !track.z_m.is_empty() {
        track.z_m.drain(from..to);
    }
}

#[test]
fn short_gaps_are_filled_and_long_ones_stay_and_both_are_counted() {
    let mut raw = ten_runners(&usual_instants());
    cut(&mut raw.periods[0].players[2], 50, 60); // 0.44 s from sample to sample: filled
    cut(&mut raw.periods[0].players[4], 60, 90); // 1.24 s: filled, and a fault
    cut(&mut raw.periods[0].players[7], 100, 180); // 3.24 s: stays
    cut(&mut raw.periods[0].ball, 30, 40); // 0.44 s: too long for a ball
    let cleaned = clean(raw, &TrackParams::default()).unwrap();
    let (period, quality) = (&cleaned.game.periods[0], &cleaned.quality[0]);
    for frame in 0..200 {
        assert!(period.tracks[2].x_m[frame].is_finite(), "frame {frame}");
        assert!(period.tracks[4].x_m[frame].is_finite(), "frame {frame}");
        let lost = (100..180).contains(&frame);
        for values in [
            &period.tracks[7].x_m,
            &period.tracks[7].y_m,
            &period.tracks[7].vx_mps,
        ] {
            assert_eq!(values[frame].is_nan(), lost, "frame {frame}");
        }
        let unsure = (60..90).contains(&frame);
        assert_eq!(period.faulty[frame], lost || unsure, "frame {frame}");
        assert_eq!(
            period.ball.x_m[frame].is_nan(),
            (30..40).contains(&frame),
            "frame {frame}"
        );
    }
    assert_eq!((quality.gaps_filled, quality.missing_frames), (2, 90));
    assert_relative_eq!(quality.gap_s_longest, 80.0 / 25.0);
    assert_relative_eq!(quality.usable_share, 110.0 / 200.0);
    // Nobody replaced that player, who stays on the floor.
    assert_eq!(period.lineups.len(), 1);
    assert_eq!(
        period.lineups[0].on_floor,
        [[0, 1, 2, 3, 4], [5, 6, 7, 8, 9]].map(|team| team.map(TrackIx).to_vec())
    );
}

#[test]
fn injected_spikes_and_swaps_are_repaired_and_counted() {
    let whole = clean(ten_runners(&usual_instants()), &TrackParams::default()).unwrap();
    let mut raw = ten_runners(&usual_instants());
    let tracks = &mut raw.periods[0].players;
    for k in 40..43 {
        tracks[4].x_m[k] += 5.0;
    }
    // Runners 1 and 8, 9 m apart, from 4 s on.
    let (head, tail) = tracks.split_at_mut(8);
    head[1].x_m[100..].swap_with_slice(&mut tail[0].x_m[100..]);
    head[1].y_m[100..].swap_with_slice(&mut tail[0].y_m[100..]);
    let repaired = clean(raw, &TrackParams::default()).unwrap();
    assert_eq!(
        (
            repaired.quality[0].spikes_repaired,
            repaired.quality[0].swaps_repaired
        ),
        (3, 1)
    );
    for (is, was) in repaired.game.periods[0]
        .tracks
        .iter()
        .zip(&whole.game.periods[0].tracks)
    {
        for frame in 0..200 {
            assert_relative_eq!(is.x_m[frame], was.x_m[frame], epsilon = 1e-3);
            assert_relative_eq!(is.vy_mps[frame], was.vy_mps[frame], epsilon = 1e-2);
        }
    }
    // 0.2 s on either side of the swap between frames 99 and 100.
    let faulty: Vec<usize> = (0..200)
        .filter(|frame| repaired.game.periods[0].faulty[*frame])
        .collect();
    assert_eq!(faulty, (94..=105).collect::<Vec<_>>());
}

#[test]
fn a_game_without_a_ball_and_without_clocks_is_cleaned() {
    let mut raw = ten_runners(&usual_instants());
    raw.periods[0].ball = RawTrack::default();
    raw.periods[0].clocks.clear();
    let cleaned = clean(raw, &TrackParams::default()).unwrap();
    let period = &cleaned.game.periods[0];
    assert_on_their_lines(period);
    assert!(
        period
            .ball
            .x_m
            .iter()
            .chain(&period.game_clock_s)
            .all(|v| v.is_nan())
    );
    assert!(!period.ball.has_height && !cleaned.quality[0].ball_height);
    assert!(
        cleaned.quality[0].notes.contains("no ball"),
        "{}",
        cleaned.quality[0].notes
    );
    assert!(
        cleaned.quality[0].notes.contains("no game clock"),
        "{}",
        cleaned.quality[0].notes
    );
}

#[test]
fn the_noise_is_measured_and_lengthens_the_window() {
    let notes = |size_m: f32| {
        let mut raw = ten_runners(&usual_instants());
        // Uniform in ± size √3, so that the deviation is `size_m`, from a linear congruential generator.
        let mut state = 1_u64;
        let mut scatter_m = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            size_m * 3.0_f32.sqrt() * ((state >> 40) as f32 / (1_u64 << 23) as f32 - 1.0)
        };
        for track in &mut raw.periods[0].players {
            track
                .x_m
                .iter_mut()
                .chain(&mut track.y_m)
                .for_each(|place| *place += scatter_m());
        }
        clean(raw, &TrackParams::default()).unwrap().quality[0]
            .notes
            .clone()
    };
    // No noise: half of 0.46 s, 5 frames. 0.07 m: 0.46 s · √2 = 0.65 s, 17 frames. 0.2 m: the longest, 25 frames.
    for (sigma_m, window) in [(0.0, "0.20 s"), (0.07, "0.68 s"), (0.2, "1.00 s")] {
        let notes = notes(sigma_m);
        let found_m: f32 = notes.strip_prefix("white noise of players ").unwrap()[..5]
            .parse()
            .unwrap();
        assert_relative_eq!(found_m, sigma_m, epsilon = 0.1 * sigma_m + 1e-6);
        assert!(notes.contains(&format!("smoothed over {window}")), "{notes}");
    }
}

#[test]
fn an_exchange_in_a_sparse_source_is_repaired() {
    // Samples every 0.12 s; from 4 s on runners 4 and 5, who are 0.9 to 1 m apart then, have each other's names.
    let t_s: Vec<f64> = (0..67).map(|k| f64::from(k) * 0.12).collect();
    let whole = clean(ten_runners(&t_s), &TrackParams::default()).unwrap();
    let mut raw = ten_runners(&t_s);
    let (head, tail) = raw.periods[0].players.split_at_mut(5);
    head[4].x_m[34..].swap_with_slice(&mut tail[0].x_m[34..]);
    head[4].y_m[34..].swap_with_slice(&mut tail[0].y_m[34..]);
    let repaired = clean(raw, &TrackParams::default()).unwrap();
    assert_eq!(repaired.quality[0].swaps_repaired, 1);
    let tracks = |cleaned: &Cleaned| cleaned.game.periods[0].tracks.clone();
    for (is, was) in tracks(&repaired).iter().zip(tracks(&whole)) {
        for frame in 0..is.x_m.len() {
            assert_relative_eq!(is.x_m[frame], was.x_m[frame], epsilon = 0.02);
            assert_relative_eq!(is.y_m[frame], was.y_m[frame], epsilon = 0.02);
        }
    }
}

mod properties {
    use proptest::prelude::*;

    use super::*;

    /// Instants with jitter and holes, and a noise for each sample.
    fn rough_game() -> impl Strategy<Value = RawGame> {
        let rate = prop_oneof![Just(10.0), Just(25.0), Just(30.0), Just(60.0)];
        let shakes = proptest::collection::vec((-0.3..0.3_f64, -0.2..0.2_f32, -0.2..0.2_f32, 0..40_u8), 200);
        (rate, shakes).prop_map(|(hz, shakes)| {
            let t_s: Vec<f64> = (0..200)
                .map(|k| (f64::from(k) + shakes[k as usize].0).max(0.0) / hz)
                .collect();
            let mut raw = ten_runners(&t_s);
            for (n, track) in raw.periods[0].players.iter_mut().enumerate() {
                let keep: Vec<usize> = (0..200).filter(|k| shakes[(k + 17 * n) % 200].3 > 3).collect();
                let shake = |k: usize| shakes[(k + 31 * n) % 200];
                *track = RawTrack {
                    who: track.who,
                    t_s: keep.iter().map(|k| track.t_s[*k]).collect(),
                    x_m: keep.iter().map(|k| track.x_m[*k] + shake(*k).1).collect(),
                    y_m: keep.iter().map(|k| track.y_m[*k] + shake(*k).2).collect(),
                    z_m: Vec::new(),
                };
            }
            raw
        })
    }

    /// Turned by a half turn about the centre, then shifted.
    fn moved(mut raw: RawGame, sign: f32, shift: [f32; 2]) -> RawGame {
        let period = &mut raw.periods[0];
        let axes = period
            .players
            .iter_mut()
            .map(|track| (&mut track.x_m, &mut track.y_m));
        for (x_m, y_m) in axes.chain([(&mut period.ball.x_m, &mut period.ball.y_m)]) {
            x_m.iter_mut().for_each(|x| *x = sign * *x + shift[0]);
            y_m.iter_mut().for_each(|y| *y = sign * *y + shift[1]);
        }
        raw
    }

    fn same(a: f32, b: f32, tolerance: f32) -> bool {
        (a.is_nan() && b.is_nan()) || (a - b).abs() <= tolerance
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        #[test]
        fn a_turned_game_cleans_to_the_turned_game_and_nothing_else(raw in rough_game()) {
            let plain = clean(raw.clone(), &TrackParams::default()).unwrap();
            let turned = clean(moved(raw, -1.0, [0.0, 0.0]), &TrackParams::default()).unwrap();
            prop_assert_eq!(&plain.quality, &turned.quality);
            let (a, b) = (&plain.game.periods[0], &turned.game.periods[0]);
            prop_assert_eq!((&a.live, &a.faulty, &a.lineups), (&b.live, &b.faulty, &b.lineups));
            for (a, b) in a.tracks.iter().zip(&b.tracks) {
                for frame in 0..a.x_m.len() {
                    // Signs alone change: not even rounding may differ.
                    prop_assert!(same(a.x_m[frame], -b.x_m[frame], 0.0));
                    prop_assert!(same(a.vy_mps[frame], -b.vy_mps[frame], 0.0));
                }
            }
        }

        #[test]
        fn a_shifted_game_cleans_to_the_shifted_game(raw in rough_game()) {
            // Powers of two: the shift itself rounds little.
            let plain = clean(raw.clone(), &TrackParams::default()).unwrap();
            let shifted = clean(moved(raw, 1.0, [0.25, -0.5]), &TrackParams::default()).unwrap();
            let (a, b) = (&plain.game.periods[0], &shifted.game.periods[0]);
            prop_assert_eq!((&a.faulty, &a.lineups), (&b.faulty, &b.lineups));
            for (a, b) in a.tracks.iter().zip(&b.tracks) {
                for frame in 0..a.x_m.len() {
                    prop_assert!(same(a.x_m[frame] + 0.25, b.x_m[frame], 1e-3));
                    prop_assert!(same(a.y_m[frame] - 0.5, b.y_m[frame], 1e-3));
                    prop_assert!(same(a.vx_mps[frame], b.vx_mps[frame], 1e-2));
                }
            }
        }

        #[test]
        fn every_array_has_the_periods_length_and_line_ups_tile_it(raw in rough_game()) {
            let cleaned = clean(raw, &TrackParams::default()).unwrap();
            let period = &cleaned.game.periods[0];
            let n = period.frames;
            for track in &period.tracks {
                prop_assert!([&track.x_m, &track.y_m, &track.vx_mps, &track.vy_mps].iter().all(|v| v.len() == n));
                prop_assert!((0..n).all(|k| track.x_m[k].is_nan() == track.y_m[k].is_nan()));
            }
            prop_assert_eq!((period.live.len(), period.faulty.len(), period.ball.z_m.len()), (n, n, n));
            let mut at = 0;
            for span in &period.lineups {
                prop_assert_eq!(span.start, at);
                prop_assert!(span.end > span.start);
                at = span.end;
            }
            prop_assert_eq!(at, n);
        }

        #[test]
        fn any_samples_at_all_give_a_game_or_an_error(
            t_s in proptest::collection::vec(prop_oneof![0.0..50.0_f64, Just(f64::NAN), -1.0..0.0_f64], 0..60),
            sort in any::<bool>(),
            places in proptest::collection::vec(prop_oneof![9 => -20.0..20.0_f32, 1 => -1e30..1e30_f32], 120),
        ) {
            let mut t_s = t_s;
            if sort {
                t_s.retain(|t| *t >= 0.0);
                t_s.sort_by(f64::total_cmp);
                t_s.dedup();
            }
            let mut raw = ten_runners(&t_s);
            for (n, track) in raw.periods[0].players.iter_mut().enumerate() {
                track.x_m.iter_mut().enumerate().for_each(|(k, x)| *x = places[(k + 7 * n) % 120]);
            }
            let found = clean(raw, &TrackParams::default());
            prop_assert_eq!(found.is_ok(), sort || (t_s.iter().all(|t| *t >= 0.0) && t_s.is_sorted_by(|a, b| a < b)));
        }
    }
}
