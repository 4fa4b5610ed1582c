//! What must not change the rows, and what rows may never be.

use proptest::prelude::*;
use scrim_floor::{Side, Zone};
use scrim_play::{Play, Scene};
use scrim_tables::tags::TouchEnd;
use scrim_tracks::Game;

use super::screens;
use super::stage::{HZ, Seen, Stage, Waypoint};
use crate::{BallScreen, ScreenParams, Screens, find_ball_screens, screen_rows};

/// Rounding: turned coordinates are not the same bits, so an instant may fall on the next frame.
const A_FRAME_S: f64 = 1.0 / HZ + 1e-9;

fn assert_same(name: &str, found: &[Seen], expected: &[Seen]) {
    let tags = |rows: &[Seen]| -> Vec<_> {
        rows.iter()
            .map(|row| {
                (
                    (row.kind, row.outcome, row.screener, row.user),
                    (row.screener_defender, row.user_defender, row.previous),
                    (row.zone, row.side, row.strong_side, row.early_denial),
                )
            })
            .collect()
    };
    assert_eq!(tags(found), tags(expected), "{name}");
    for (found, expected) in found.iter().zip(expected) {
        let near_s = |a: f64, b: f64| (a - b).abs() <= A_FRAME_S;
        let near_m = |a: f32, b: f32| (a - b).abs() < 1e-3;
        let same = near_s(found.use_s, expected.use_s)
            && near_s(found.end_s, expected.end_s)
            && found.set_s.is_some() == expected.set_s.is_some()
            && near_s(found.set_s.unwrap_or(0.0), expected.set_s.unwrap_or(0.0))
            && near_m(found.spot.0, expected.spot.0)
            && near_m(found.spot.1, expected.spot.1)
            && near_m(found.right_of_user_m, expected.right_of_user_m)
            && (found.confidence - expected.confidence).abs() < 1e-3;
        assert!(same, "{name}: {found:#?} {expected:#?}");
    }
}

fn other_hand(row: &Seen) -> Seen {
    Seen {
        spot: (row.spot.0, -row.spot.1),
        right_of_user_m: -row.right_of_user_m,
        side: match row.side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            Side::Middle => Side::Middle,
        },
        zone: mirrored_zone(row.zone),
        ..row.clone()
    }
}

fn mirrored_zone(zone: Zone) -> Zone {
    match zone {
        Zone::Rim | Zone::Paint | Zone::Nail | Zone::Top | Zone::BackCourt => zone,
        Zone::LeftBlock => Zone::RightBlock,
        Zone::RightBlock => Zone::LeftBlock,
        Zone::LeftElbow => Zone::RightElbow,
        Zone::RightElbow => Zone::LeftElbow,
        Zone::LeftShortCorner => Zone::RightShortCorner,
        Zone::RightShortCorner => Zone::LeftShortCorner,
        Zone::LeftCorner => Zone::RightCorner,
        Zone::RightCorner => Zone::LeftCorner,
        Zone::LeftWing => Zone::RightWing,
        Zone::RightWing => Zone::LeftWing,
        Zone::LeftSlot => Zone::RightSlot,
        Zone::RightSlot => Zone::LeftSlot,
    }
}

#[test]
fn at_the_other_hoop_the_rows_are_the_same() {
    for (name, stage) in screens::all() {
        assert_same(name, &stage.clone().turned().seen(), &stage.seen());
    }
}

#[test]
fn mirrored_left_and_right_swap_and_nothing_else() {
    for (name, stage) in screens::all() {
        let expected: Vec<_> = stage.seen().iter().map(other_hand).collect();
        assert_same(name, &stage.mirrored().seen(), &expected);
    }
}

#[test]
fn without_the_screeners_defender_the_screens_that_are_used_are_still_there() {
    for (name, stage) in [
        ("used", screens::used()),
        ("handoff", screens::handoff()),
        ("double", screens::double()),
        ("on the wing", screens::on_the_wing()),
    ] {
        let seen = stage.clone().without(6).seen();
        let pairs = |rows: &[Seen]| -> Vec<_> { rows.iter().map(|row| (row.screener, row.user)).collect() };
        assert_eq!(pairs(&seen), pairs(&stage.seen()), "{name}: {seen:#?}");
        assert!(seen.iter().all(|row| row.screener_defender != Some(6)), "{name}");
    }
}

#[test]
fn without_the_handlers_defender_nothing_panics() {
    for (_, stage) in screens::all() {
        check_rows(&stage.clone().without(5).game(), &stage.without(5).play());
    }
}

/// An order of five, drawn.
fn order() -> impl Strategy<Value = [usize; 5]> {
    Just([0, 1, 2, 3, 4]).prop_shuffle()
}

/// What every row must keep to; the rows.
fn check_rows(game: &Game, play: &Play) -> Vec<BallScreen> {
    let screens = find_ball_screens(&Scene::all(game, play), play, &ScreenParams::default());
    for (place, screen) in screens.iter().enumerate() {
        let possession = &play.possessions[screen.possession];
        let team = |player| game.player(player).team;
        assert_ne!(screen.screener, screen.user);
        assert_eq!(team(screen.screener), possession.offense);
        assert_eq!(team(screen.user), possession.offense);
        for defender in [screen.screener_defender, screen.user_defender]
            .into_iter()
            .flatten()
        {
            assert_ne!(team(defender), possession.offense);
        }
        assert!((0.0..=1.0).contains(&screen.confidence), "{screen:?}");
        let evidence = screen.evidence;
        let measured = [
            Some(evidence.screener_speed_mps),
            Some(evidence.user_gap_m),
            evidence.defender_gap_m,
            evidence.angle_deg,
        ];
        assert!(measured.into_iter().flatten().all(f32::is_finite), "{screen:?}");
        assert!(screen.used <= screen.end, "{screen:?}");
        assert!(screen.used >= possession.frames.start, "{screen:?}");
        assert!(screen.end < possession.frames.end, "{screen:?}");
        assert!(
            screen.previous.is_none_or(|previous| previous < place),
            "{screen:?}"
        );
        assert!(!screen.early_denial || screen.set.is_none(), "{screen:?}");
    }
    let rows = screen_rows(game, play, &Screens::new(screens.clone(), Vec::new()));
    assert_eq!(rows.len(), screens.len());
    screens
}

fn walk() -> impl Strategy<Value = Vec<Waypoint>> {
    proptest::collection::vec((0.2f64..1.5, -1.0f32..12.0, -7.0f32..7.0), 1..12).prop_map(|steps| {
        let mut t_s = 0.0;
        steps
            .into_iter()
            .map(|(pause_s, x, y)| {
                t_s += pause_s;
                (t_s, x, y)
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn later_in_the_period_the_rows_are_the_same(which in 0usize..10, frames in 0u32..5000) {
        let (name, stage) = screens::all().swap_remove(which);
        // Whole frames, so that the samples are the same.
        let later = stage.clone().later(f64::from(frames) / HZ);
        assert_same(name, &later.seen(), &stage.seen());
    }

    #[test]
    fn other_players_in_the_same_roles_are_the_same_pairs(which in 0usize..10, attack in order(), defense in order()) {
        let (name, stage) = screens::all().swap_remove(which);
        assert_same(name, &stage.clone().played_by(attack, defense).seen(), &stage.seen());
    }

    #[test]
    fn any_walks_give_rows_that_keep_to_the_rules(
        walks in proptest::collection::vec(walk(), 10),
        holders in proptest::collection::vec((0usize..5, 0.3f64..4.0, 0usize..3), 1..6),
        missing in proptest::option::of(0usize..10),
    ) {
        let mut stage = Stage::new(12.0);
        for (player, way) in walks.iter().enumerate() {
            stage = stage.path(player, way);
        }
        let mut t_s = 0.2;
        for (player, long_s, end) in holders {
            let end_s = f64::min(t_s + long_s, 11.9);
            if end_s - t_s > 0.1 {
                let ended_by = [TouchEnd::Pass, TouchEnd::Handoff, TouchEnd::Loss][end];
                stage = stage.has_ball(player, t_s..end_s, ended_by);
            }
            t_s = end_s + 0.2;
        }
        if let Some(player) = missing {
            stage = stage.without(player);
        }
        for screen in check_rows(&stage.game(), &stage.play()) {
            prop_assert!(screen.set.is_none_or(|set| set <= screen.used), "{screen:?}");
            prop_assert!(screen.spot.is_finite(), "{screen:?}");
        }
    }

    #[test]
    fn any_samples_at_all_are_no_panic(seed in any::<u64>(), holes in 0u64..6, which in 0usize..10) {
        // A xorshift walk: every value may be anything on the floor, or missing.
        let mut state = seed | 1;
        let mut draw = move || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            if state % 10 < holes { f32::NAN } else { ((state >> 20) % 3000) as f32 / 100.0 - 15.0 }
        };
        let (_, stage) = screens::all().swap_remove(which);
        let mut game = stage.game();
        for period in &mut game.periods {
            for track in &mut period.tracks {
                for frame in 0..track.x_m.len() {
                    let drawn = [draw(), draw(), draw(), draw()];
                    // Who is missing is missing in place and speed. Every third frame stays as staged, so that players
                    // are near each other at times.
                    if drawn.iter().any(|value| value.is_nan()) {
                        track.x_m[frame] = f32::NAN;
                        track.y_m[frame] = f32::NAN;
                        track.vx_mps[frame] = f32::NAN;
                        track.vy_mps[frame] = f32::NAN;
                    } else if frame % 3 != 0 {
                        [track.x_m[frame], track.y_m[frame]] = [drawn[0], drawn[1]];
                        [track.vx_mps[frame], track.vy_mps[frame]] = [drawn[2] / 5.0, drawn[3] / 5.0];
                    }
                }
            }
            period.ball.x_m.fill_with(&mut draw);
        }
        check_rows(&game, &stage.play());
    }
}
