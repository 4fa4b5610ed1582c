//! Claims about whole games.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use proptest::prelude::*;
use scrim_tables::tags::{
    Coverage, EndKind, HandlerAction, HelperAction, OnBallPath, Outcome, Phase, ScreenKind, ScreenerAction,
};

use crate::ball::GRAVITY_MPS2;
use crate::body::{MAX_ACCEL_MPS2, MAX_SPEED_MPS};
use crate::{
    BallHeight, Faults, NegativeKind, PracticeGame, PracticeParams, TimeStamps, Tracking, play_game,
    write_game, write_tracking_csv_feet,
};

fn short(seed: u64) -> PracticeParams {
    PracticeParams {
        seed,
        periods: 2,
        period_s: 240.0,
        ..PracticeParams::default()
    }
}

/// Where a player stood at an instant: period, millisecond, id; the ball's id is empty.
fn spots(game: &PracticeGame, tracking: &Tracking) -> BTreeMap<(u8, u64, String), [f32; 2]> {
    (0..tracking.len())
        .map(|i| {
            let id = tracking.player[i].map_or(String::new(), |p| {
                game.players[usize::from(p)].player_id.to_string()
            });
            let ms = (tracking.t_s[i] * 1000.0).round() as u64;
            ((tracking.period[i], ms, id), [tracking.x_m[i], tracking.y_m[i]])
        })
        .collect()
}

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
fn the_same_parameters_give_the_same_bytes() {
    let faults = Faults {
        dropouts_per_minute: 1.0,
        swaps_per_minute: 1.0,
        spikes_per_minute: 1.0,
        ..Faults::default()
    };
    let params = PracticeParams {
        period_s: 90.0,
        periods: 1,
        faults,
        ..short(6)
    };
    let dirs = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    for dir in &dirs {
        let game = play_game(&params, 2);
        write_game(&game, dir.path()).unwrap();
        write_tracking_csv_feet(&game, &dir.path().join("feet.csv")).unwrap();
    }
    let names = [
        "tracking.parquet",
        "games.csv",
        "players.csv",
        "events.csv",
        "feet.csv",
    ]
    .map(String::from)
    .into_iter()
    .chain(
        [
            "possessions",
            "matchups",
            "screens",
            "coverages",
            "options",
            "entries",
        ]
        .map(|t| format!("labels/{t}.parquet")),
    );
    for name in names {
        let read = |dir: &Path| std::fs::read(dir.join(&name)).unwrap();
        assert_eq!(read(dirs[0].path()), read(dirs[1].path()), "{name}");
    }
    let other = play_game(
        &PracticeParams {
            seed: 7,
            ..params.clone()
        },
        2,
    );
    assert_ne!(other.tracking, play_game(&params, 2).tracking);
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
fn the_noise_is_as_large_and_as_slow_as_asked() {
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
fn faults_come_as_often_as_asked_and_are_what_they_say() {
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
    let told_twice = game.tracking.len() - clean.tracking.len();
    assert!(
        told_twice > 0 && told_twice % 10 <= told_twice / 10,
        "{told_twice} rows told twice"
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

#[test]
fn possessions_do_not_overlap_and_their_points_are_those_of_the_events() {
    for index in 0..3 {
        let game = play_game(&short(11), index);
        for pair in game.labels.possessions.windows(2) {
            if pair[0].period == pair[1].period {
                assert!(pair[0].t_end_s < pair[1].t_start_s + 1e-9, "{pair:?}");
            }
        }
        for team in &game.team_ids {
            let told: u32 = game
                .events
                .iter()
                .filter(|e| e.event == "shot_made" && e.team_id.as_ref() == Some(team))
                .map(|e| u32::from(e.points.expect("a made shot has points")))
                .sum();
            let labelled: u32 = game
                .labels
                .possessions
                .iter()
                .filter(|p| &p.offense_team_id == team && p.end_kind == Some(EndKind::ShotMade))
                .map(|p| u32::from(p.points.expect("a made shot has points")))
                .sum();
            assert_eq!(told, labelled);
        }
    }
}

#[test]
fn every_screen_label_is_what_the_vocabulary_says() {
    for index in 0..4 {
        let game = play_game(&short(12), index);
        let truth = spots(&game, &game.truth());
        let gap_at = |period: u8, t_s: f64, a: &str, b: &str| {
            let ms = (t_s * 1000.0).round() as u64;
            let [p, q] = [a, b].map(|id| {
                truth
                    .get(&(period, ms, id.to_string()))
                    .copied()
                    .expect("on the floor")
            });
            (p[0] - q[0]).hypot(p[1] - q[1])
        };
        for (place, screen) in game.labels.screens.iter().enumerate() {
            assert_eq!(screen.screen_id as usize, place);
            let at_use = gap_at(
                screen.period,
                screen.t_use_s,
                &screen.screener_id,
                &screen.user_id,
            );
            let Some(outcome) = screen.outcome else {
                assert_eq!(screen.screen_kind, None);
                continue;
            };
            assert_ne!(screen.screener_id, screen.user_id);
            assert_ne!(screen.screener_defender_id, screen.user_defender_id);
            let team = |id: &str| {
                game.players
                    .iter()
                    .find(|p| &*p.player_id == id)
                    .map(|p| p.team_id.clone())
            };
            assert_eq!(team(&screen.screener_id), team(&screen.user_id));
            let defender = screen.user_defender_id.clone().expect("known for plain rows");
            assert_ne!(team(&defender), team(&screen.user_id));
            if let Some(t_set_s) = screen.t_set_s {
                assert!(
                    t_set_s <= screen.t_use_s && screen.t_use_s - t_set_s < 6.0,
                    "{screen:?}"
                );
            }
            let t_end_s = screen.t_end_s.expect("known for plain rows");
            assert!(t_end_s >= screen.t_use_s && t_end_s <= screen.t_use_s + 2.5 + 1e-9);
            if outcome == Outcome::Used {
                assert!(at_use <= 1.6, "{at_use} m: {screen:?}");
                assert!((at_use - screen.user_gap_m.expect("measured")).abs() < 0.003);
            }
            if let Some(previous) = screen.previous_screen_id {
                let before = &game.labels.screens[previous as usize];
                assert!(before.t_use_s <= screen.t_use_s && before.user_id == screen.user_id);
            }
        }
        for coverage in &game.labels.coverages {
            let screen = &game.labels.screens[coverage.screen_id as usize];
            assert!(screen.on_ball && screen.screen_kind.is_some());
            if coverage.coverage == Some(Coverage::Drop) {
                assert!(coverage.depth_m.expect("measured") >= 1.5);
            }
            if coverage.coverage == Some(Coverage::Blitz) {
                assert!(coverage.both_close_s.expect("measured") >= 0.8);
            }
        }
    }
}

#[test]
fn a_flipped_screen_is_followed_by_the_row_that_points_to_it_within_3_s() {
    let mut flips = 0;
    for index in 0..4 {
        let game = play_game(
            &PracticeParams {
                period_s: 480.0,
                ..short(13)
            },
            index,
        );
        for screen in game
            .labels
            .screens
            .iter()
            .filter(|s| s.outcome == Some(Outcome::Flipped))
        {
            let next = game
                .labels
                .screens
                .iter()
                .find(|s| s.previous_screen_id == Some(screen.screen_id));
            // The second one can be cut off by the clock; then nothing points back.
            if let Some(set) = next.and_then(|n| n.t_set_s) {
                assert!(set - screen.t_use_s < 3.0, "{} s", set - screen.t_use_s);
                flips += 1;
            }
        }
    }
    assert!(flips > 0);
}

#[test]
fn hard_negatives_of_every_kind_are_played_and_none_is_labelled_a_ball_screen() {
    let mut kinds = BTreeSet::new();
    for index in 0..5 {
        let game = play_game(
            &PracticeParams {
                period_s: 600.0,
                ..short(14)
            },
            index,
        );
        for negative in &game.negatives {
            kinds.insert(negative.kind);
            let hit = game.labels.screens.iter().find(|s| {
                s.period == negative.period
                    && s.screen_kind == Some(ScreenKind::BallScreen)
                    && s.user_id == negative.handler_id
                    && s.screener_id == negative.mate_id
                    && s.t_use_s > negative.t_start_s
                    && s.t_use_s < negative.t_end_s
                    // At a throw-in the interval is told ahead of what follows.
                    && negative.kind != NegativeKind::InboundTraffic
            });
            assert_eq!(hit, None, "{negative:?}");
        }
    }
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), NegativeKind::ALL);
}

#[test]
fn every_word_a_script_can_play_occurs() {
    let (mut kinds, mut outcomes, mut coverages, mut paths, mut helps) = (
        BTreeSet::new(),
        BTreeSet::new(),
        BTreeSet::new(),
        BTreeSet::new(),
        BTreeSet::new(),
    );
    let (mut screener, mut handler, mut ends, mut phases) =
        (BTreeSet::new(), BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    let (mut early, mut linked) = (0, 0);
    for index in 0..6 {
        let game = play_game(
            &PracticeParams {
                seed: 15,
                ..PracticeParams::default()
            },
            index,
        );
        for row in &game.labels.screens {
            kinds.extend(row.screen_kind);
            outcomes.extend(row.outcome);
            early += usize::from(row.early_denial == Some(true));
            linked += usize::from(row.previous_screen_id.is_some());
        }
        for row in &game.labels.coverages {
            coverages.extend(row.coverage);
            paths.extend(row.on_ball_path);
            helps.extend(row.helper_action);
        }
        for row in &game.labels.options {
            screener.extend(row.screener_action);
            handler.extend(row.handler_action);
        }
        for row in &game.labels.possessions {
            ends.extend(row.end_kind);
            phases.extend(row.phase);
        }
    }
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), ScreenKind::ALL);
    assert_eq!(outcomes.into_iter().collect::<Vec<_>>(), Outcome::ALL);
    // `unclear` is a detector's word, never a truth; `unknown` likewise.
    let but = |all: &[Coverage]| {
        all.iter()
            .copied()
            .filter(|c| *c != Coverage::Unclear)
            .collect::<Vec<_>>()
    };
    assert_eq!(coverages.into_iter().collect::<Vec<_>>(), but(Coverage::ALL));
    assert_eq!(paths.len(), OnBallPath::ALL.len() - 1);
    assert_eq!(helps.into_iter().collect::<Vec<_>>(), HelperAction::ALL);
    assert_eq!(screener.len(), ScreenerAction::ALL.len() - 1);
    assert_eq!(handler.len(), HandlerAction::ALL.len() - 1);
    assert_eq!(ends.len(), EndKind::ALL.len() - 1);
    assert_eq!(phases.into_iter().collect::<Vec<_>>(), Phase::ALL);
    assert!(early > 0 && linked > 0);
}

#[test]
fn a_matchup_is_one_man_each_at_every_instant() {
    let game = play_game(&short(16), 0);
    for possession in &game.labels.possessions {
        let rows: Vec<_> = game
            .labels
            .matchups
            .iter()
            .filter(|m| m.possession_id == possession.possession_id)
            .collect();
        let (Some(half), false) = (possession.t_half_court_s, rows.is_empty()) else {
            continue;
        };
        let t_s = (half + possession.t_end_s) / 2.0 + 0.001;
        let now: Vec<_> = rows
            .iter()
            .filter(|m| m.t_start_s <= t_s && t_s < m.t_end_s)
            .collect();
        let defenders: BTreeSet<_> = now.iter().map(|m| m.defender_id.clone()).collect();
        let men: BTreeSet<_> = now.iter().map(|m| m.offender_id.clone()).collect();
        if t_s < possession.t_end_s {
            assert_eq!(
                (now.len(), defenders.len(), men.len()),
                (5, 5, 5),
                "{possession:?}"
            );
        }
    }
}

#[test]
fn the_csv_in_feet_tells_the_same_spots() {
    let params = PracticeParams {
        periods: 1,
        period_s: 30.0,
        ball_height: BallHeight::Unknown,
        ..short(17)
    };
    let game = play_game(&params, 0);
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("feet.csv");
    write_tracking_csv_feet(&game, &path).unwrap();
    let mut reader = csv::Reader::from_path(path).unwrap();
    let header: Vec<String> = reader.headers().unwrap().iter().map(String::from).collect();
    assert_eq!(
        header.join(","),
        "game,quarter,frame,clock,shot_clock,team,player,x_ft,y_ft,z_ft"
    );
    let mut rows = 0;
    for (i, row) in reader.records().enumerate() {
        let row = row.unwrap();
        let number = |c: usize| row[c].parse::<f64>().unwrap();
        // The corner of least x and y is (−14, −7.5) m on this court; two decimals of a foot are 1.5 mm either way.
        assert!((number(7) * 0.3048 - 14.0 - f64::from(game.tracking.x_m[i])).abs() < 0.0017);
        assert!((number(8) * 0.3048 - 7.5 - f64::from(game.tracking.y_m[i])).abs() < 0.0017);
        assert!((number(2) / 25.0 - game.tracking.t_s[i]).abs() < 1e-6);
        assert_eq!(&row[9], "");
        assert_eq!(&row[6] == "ball", game.tracking.player[i].is_none());
        rows += 1;
    }
    assert_eq!(rows, game.tracking.len());
}

#[test]
fn parameters_out_of_range_are_refused_by_name() {
    let told = PracticeParams {
        hz: f64::NAN,
        ..PracticeParams::default()
    }
    .checked()
    .unwrap_err()
    .to_string();
    assert_eq!(
        told,
        "practice parameter `hz` is NaN; it must be 5 to 100 frames a second"
    );
    assert!(
        PracticeParams {
            periods: 0,
            ..PracticeParams::default()
        }
        .checked()
        .is_err()
    );
    assert!(PracticeParams::default().checked().is_ok());
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
