//! Bodies, ball, noise and faults.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::{short, spots};
use crate::ball::GRAVITY_MPS2;
use crate::body::{MAX_ACCEL_MPS2, MAX_SPEED_MPS};
use crate::{Faults, PracticeParams, TimeStamps, play_game};

#[test]
fn no_body_breaks_the_limits_of_speed_and_acceleration() {
    let params = short(3);
    let game = play_game(&params, 0);
    let mut fastest = 0.0_f64;
    for record in &game.periods {
        for frames in record.frames.windows(3) {
            for slot in 0..10 {
                let players: Vec<u8> = frames.iter().map(|f| f.players[slot]).collect();
                if players[0] != players[2] || players[0] != players[1] {
                    continue;
                }
                let at = |i: usize| frames[i].xy_m[slot].map(f64::from);
                let ([ax, ay], [bx, by], [cx, cy]) = (at(0), at(1), at(2));
                let speed = (cx - bx).hypot(cy - by) * params.hz;
                let accel = (cx - 2.0 * bx + ax).hypot(cy - 2.0 * by + ay) * params.hz * params.hz;
                fastest = fastest.max(speed);
                // Court coordinates are kept as f32: at 14 m they are rounded by up to 0.5 µm, which three of them
                // turn into less than 0.002 m/s².
                assert!(
                    speed <= MAX_SPEED_MPS && accel <= MAX_ACCEL_MPS2 + 0.01,
                    "{speed} m/s, {accel} m/s²"
                );
            }
        }
    }
    assert!(fastest > 5.0, "somebody sprints: {fastest} m/s");
}

#[test]
fn a_shot_in_the_air_falls_as_anything_falls() {
    let params = short(4);
    let game = play_game(&params, 0);
    let mut checked = 0;
    for event in game
        .events
        .iter()
        .filter(|e| matches!(e.event, "shot_made" | "shot_missed"))
    {
        let frames = &game.periods[usize::from(event.period) - 1].frames;
        let at_rim = (event.t_s * params.hz).round() as usize;
        // From 0.4 s to 0.1 s before the rim every shot is in the air: the shortest takes 0.55 s.
        for frame in at_rim - 10..at_rim - 3 {
            let z = |f: usize| f64::from(frames[f].ball_m.expect("a shot is seen")[2]);
            let fall = (z(frame + 1) - 2.0 * z(frame) + z(frame - 1)) * params.hz * params.hz;
            assert!(
                (fall + GRAVITY_MPS2).abs() < 0.01,
                "{fall} m/s² instead of −{GRAVITY_MPS2}"
            );
            checked += 1;
        }
    }
    assert!(checked > 50, "{checked} instants of free flight");
}

#[test]
fn five_of_each_team_are_on_the_floor_at_every_instant() {
    let game = play_game(&short(5), 1);
    for record in &game.periods {
        for frame in &record.frames {
            let set: BTreeSet<u8> = frame.players.iter().copied().collect();
            let home = set.iter().filter(|&&p| p < 10).count();
            assert_eq!((set.len(), home), (10, 5));
        }
    }
}

#[test]
fn noise_and_faults_do_not_change_what_happened() {
    let clean = play_game(
        &PracticeParams {
            noise_m: 0.0,
            ..short(8)
        },
        0,
    );
    let faults = Faults {
        dropouts_per_minute: 2.0,
        ..Faults::default()
    };
    let noisy = play_game(
        &PracticeParams {
            noise_m: 0.3,
            faults,
            ..short(8)
        },
        0,
    );
    assert_eq!(clean.labels, noisy.labels);
    assert_eq!(clean.events, noisy.events);
    assert_eq!(clean.tracking, noisy.truth());
}

#[test]
fn the_noise_is_as_large_and_as_slow_as_set() {
    let params = PracticeParams {
        noise_m: 0.15,
        periods: 1,
        period_s: 300.0,
        ..short(9)
    };
    let game = play_game(&params, 0);
    let (seen, truth) = (&game.tracking, game.truth());
    assert_eq!(seen.len(), truth.len());
    // Errors by entity, in time order.
    let mut errors: BTreeMap<Option<u8>, Vec<f64>> = BTreeMap::new();
    for i in 0..seen.len() {
        errors
            .entry(seen.player[i])
            .or_default()
            .push(f64::from(seen.x_m[i] - truth.x_m[i]));
    }
    let (mut square, mut lagged, mut count) = (0.0, 0.0, 0.0);
    let lag = (0.6 * params.hz) as usize;
    for series in errors.values() {
        for pair in series.windows(lag + 1) {
            square += pair[0] * pair[0];
            lagged += pair[0] * pair[lag];
            count += 1.0;
        }
    }
    let sigma = f64::sqrt(square / count);
    assert!((sigma - 0.15).abs() < 0.004, "sigma {sigma} m");
    // Half of the variance is correlated and has fallen to 1/e after its time constant: 0.5 / e = 0.184.
    let correlation = lagged / square;
    assert!(
        (correlation - 0.184).abs() < 0.04,
        "correlation {correlation} after 0.6 s"
    );
}

#[test]
fn faults_come_as_often_as_set_and_are_what_they_say() {
    let base = PracticeParams {
        noise_m: 0.0,
        ..short(10)
    };
    let clean = play_game(&base, 0);
    let truth = spots(&clean, &clean.tracking);
    let with = |faults: Faults| {
        play_game(
            &PracticeParams {
                faults,
                ..base.clone()
            },
            0,
        )
    };

    let game = with(Faults {
        dropouts_per_minute: 3.0,
        ..Faults::default()
    });
    // 3 a minute of 1.55 s on average: 7.8 % of the rows, less where two fall together.
    let missing = 1.0 - game.tracking.len() as f64 / clean.tracking.len() as f64;
    assert!((0.05..0.1).contains(&missing), "{missing} missing");

    let game = with(Faults {
        spikes_per_minute: 2.0,
        ..Faults::default()
    });
    let seen = spots(&game, &game.tracking);
    let jumps = seen
        .iter()
        .filter(|(key, s)| (s[0] - truth[*key][0]).hypot(s[1] - truth[*key][1]) > 1.9)
        .count();
    let frames = clean.periods.iter().map(|p| p.frames.len()).sum::<usize>();
    let expected = 2.0 * 11.0 * frames as f64 / base.hz / 60.0;
    // Spikes of a ball that is out of sight are not seen.
    assert!(
        (jumps as f64) <= expected + 22.0 && jumps as f64 >= 0.8 * expected,
        "{jumps} spikes, expected {expected}"
    );

    let game = with(Faults {
        swaps_per_minute: 4.0,
        ..Faults::default()
    });
    let seen = spots(&game, &game.tracking);
    assert_eq!(seen.len(), truth.len());
    let moved = seen.iter().filter(|(key, s)| **s != truth[*key]).count();
    assert!(moved > 500, "{moved} rows carry another's id");

    let game = with(Faults {
        time_stamps: TimeStamps::Irregular,
        ..Faults::default()
    });
    let sent_twice = game.tracking.len() - clean.tracking.len();
    assert!(
        sent_twice > 0 && sent_twice % 10 <= sent_twice / 10,
        "{sent_twice} rows sent twice"
    );
    let off_grid = game
        .tracking
        .t_s
        .iter()
        .filter(|t| (**t * 25.0).fract().min(1.0 - (**t * 25.0).fract()) > 0.01)
        .count();
    assert!(off_grid > game.tracking.len() / 2);
    for i in 1..game.tracking.len() {
        let same_period = game.tracking.period[i] == game.tracking.period[i - 1];
        assert!(!same_period || game.tracking.t_s[i] >= game.tracking.t_s[i - 1]);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn any_game_is_played_to_its_end(seed in 0u64..1_000_000, index in 0u32..64, hz in 5.0f64..61.0, court in 0usize..3) {
        let court = [scrim_floor::Court::fiba(), scrim_floor::Court::nba(), scrim_floor::Court::ncaa()][court].clone();
        let params = PracticeParams { seed, hz, periods: 2, period_s: 60.0, court, ..PracticeParams::default() };
        let game = play_game(&params, index);
        prop_assert_eq!(game.tracking.period.last(), Some(&2));
        prop_assert!(game.tracking.game_clock_s.last().is_some_and(|c| *c == 0.0));
        prop_assert!(game.tracking.x_m.iter().chain(&game.tracking.y_m).all(|v| v.is_finite() && v.abs() < 40.0));
        prop_assert!(game.labels.possessions.iter().all(|p| p.t_end_s >= p.t_start_s));
    }
}
