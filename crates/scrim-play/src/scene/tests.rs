use scrim_floor::AttackDirection;
use scrim_tables::tags::TouchEnd;
use scrim_tracks::{Lineup, PlayerIx, TrackIx};

use super::*;
use crate::staging::Staging;
use crate::{Matchup, Touch};

const ATTACKERS: [Attacker; SIDE_SIZE] = Attacker::ALL;

/// Frames 50 to 150 of a scene of 8 s: 2 s to 6 s.
fn possession() -> Possession {
    Possession::blank(50..150)
}

/// 0 dribbles and drives from (5, 0) at 3 s to (11, 0) at 5 s.
fn drive() -> Staging {
    Staging::new(8.0)
        .walk(0, 3.0..5.0, (11.0, 0.0))
        .dribble(0, 0.0..8.0)
}

fn touch(player: u16, frames: Range<usize>) -> Touch {
    Touch {
        possession: 0,
        player: PlayerIx(player),
        frames,
        dribbled: true,
        ended_by: TouchEnd::Pass,
        next: None,
    }
}

fn matchup(defender: u16, attacker: u16, frames: Range<usize>) -> Matchup {
    Matchup {
        possession: 0,
        defender: PlayerIx(defender),
        attacker: PlayerIx(attacker),
        frames,
        mean_gap_m: 1.5,
        confidence: 0.9,
    }
}

fn players<P: Place>(movers: &Movers<P>) -> Vec<u16> {
    movers.iter().map(|mover| mover.player.0).collect()
}

#[test]
fn frame_k_of_a_scene_is_frame_first_plus_k_of_the_period_seen_from_the_hoop() {
    let scene = Scene::of(&drive().game(), &Play::default(), &possession());
    assert_eq!((scene.first_frame, scene.frames, scene.hz), (50, 100, 25.0));
    assert_eq!(players(&scene.attackers), [0, 1, 2, 3, 4]);
    assert_eq!(players(&scene.defenders), [5, 6, 7, 8, 9]);
    // The hoop is at 14 − 1.575 = 12.425 m. At 4 s, scene frame 50, the driver is half way, at (8, 0): 4.425 m before it.
    let driver = &scene.attackers[ATTACKERS[0]];
    assert!((driver.at(50).x_m - 4.425).abs() < 1e-4 && driver.at(50).y_m.abs() < 1e-4);
    // 6 m in 2 s, toward the hoop: against +x.
    let velocity = driver.velocity_at(50);
    assert!((velocity.x + 3.0).abs() < 1e-3 && velocity.y.abs() < 1e-3);
    assert!((driver.speed_at(50) - 3.0).abs() < 1e-3);
    // The ball is 0.4 m nearer.
    assert!((scene.ball_at(50).x_m - 4.025).abs() < 1e-4);
    // 1 stands at (8, −5): on the right of one who looks at the hoop at +x, which is +y here.
    assert!((scene.attackers[ATTACKERS[1]].at(0).y_m - 5.0).abs() < 1e-4);
    assert!((scene.t_s(50) - 4.0).abs() < 1e-9);
}

#[test]
fn at_the_other_hoop_the_scene_is_the_same() {
    let here = Scene::of(&drive().game(), &Play::default(), &possession());
    let other = Possession {
        direction: AttackDirection::NegativeX,
        ..possession()
    };
    let there = Scene::of(&drive().turned().game(), &Play::default(), &other);
    assert_eq!(here.ball_x_m, there.ball_x_m);
    for (one, two) in here
        .attackers
        .iter()
        .chain(&here.defenders)
        .zip(there.attackers.iter().chain(&there.defenders))
    {
        assert_eq!(one.player, two.player);
        for k in 0..here.frames {
            assert!(one.at(k).distance_m(two.at(k)) < 1e-4);
            assert!((one.velocity_at(k) - two.velocity_at(k)).length() < 1e-3);
        }
    }
}

#[test]
fn the_handler_is_who_the_touches_say_and_nobody_between_them() {
    let play = Play {
        // The first begins before the possession, the last ends after it.
        touches: vec![touch(0, 40..80), touch(3, 90..400)],
        ..Play::default()
    };
    let possession = Possession {
        touches: 0..2,
        ..possession()
    };
    let scene = Scene::of(&drive().game(), &play, &possession);
    let expected: Vec<_> = (50..150)
        .map(|frame| match frame {
            ..80 => Some(ATTACKERS[0]),
            80..90 => None,
            _ => Some(ATTACKERS[3]),
        })
        .collect();
    assert_eq!(scene.handler, expected);
}

#[test]
fn guards_are_who_the_matchups_say_and_change_with_a_switch() {
    let play = Play {
        matchups: vec![
            matchup(5, 0, 50..100),
            matchup(5, 1, 100..150),
            matchup(6, 1, 50..100),
            matchup(6, 0, 100..150),
        ],
        ..Play::default()
    };
    let possession = Possession {
        matchups: 0..4,
        ..possession()
    };
    let scene = Scene::of(&drive().game(), &play, &possession);
    let guard = |n: usize, k: usize| scene.guard_of(ATTACKERS[n], k).map(|mover| mover.player.0);
    assert_eq!((guard(0, 49), guard(1, 49)), (Some(5), Some(6)));
    assert_eq!((guard(0, 50), guard(1, 50)), (Some(6), Some(5)));
    // Nothing is known of the others.
    assert_eq!((guard(2, 0), guard(3, 99), guard(4, 50)), (None, None, None));
}

#[test]
fn of_six_in_two_lineups_the_five_with_the_most_frames_play() {
    // 4 is replaced by 10 (a copy of the track) at frame 90: 40 frames against 60.
    let mut game = drive().game();
    let mut player = game.players[4].clone();
    player.id = "A10".into();
    game.players.push(player);
    let period = &mut game.periods[0];
    let mut track = period.tracks[4].clone();
    track.player = PlayerIx(10);
    period.tracks.push(track);
    let lineup = |start, end, first: [u16; 5]| Lineup {
        start,
        end,
        on_floor: [first.map(TrackIx).to_vec(), (5..10).map(TrackIx).collect()],
    };
    period.lineups = vec![lineup(0, 90, [0, 1, 2, 3, 4]), lineup(90, 200, [0, 1, 2, 3, 10])];
    let scene = Scene::of(&game, &Play::default(), &possession());
    assert_eq!(players(&scene.attackers), [0, 1, 2, 3, 10]);
    // With 60 frames against 40 it is the other way round.
    game.periods[0].lineups = vec![
        lineup(0, 110, [0, 1, 2, 3, 4]),
        lineup(110, 200, [0, 1, 2, 3, 10]),
    ];
    let scene = Scene::of(&game, &Play::default(), &possession());
    assert_eq!(players(&scene.attackers), [0, 1, 2, 3, 4]);
}

#[test]
fn four_tracked_defenders_are_four_movers_and_the_missing_ones_matchup_is_nobody() {
    let mut game = drive().game();
    game.periods[0].lineups[0].on_floor[1] = [5, 7, 8, 9].map(TrackIx).to_vec();
    let play = Play {
        matchups: vec![matchup(6, 1, 50..150), matchup(7, 2, 50..150)],
        ..Play::default()
    };
    let possession = Possession {
        matchups: 0..2,
        ..possession()
    };
    let scene = Scene::of(&game, &play, &possession);
    assert_eq!(players(&scene.defenders), [5, 7, 8, 9]);
    assert!(scene.guard_of(ATTACKERS[1], 10).is_none());
    assert_eq!(
        scene.guard_of(ATTACKERS[2], 10).map(|mover| mover.player),
        Some(PlayerIx(7))
    );
}

#[test]
fn spans_are_cut_to_the_scene_and_times_are_at_least_a_frame() {
    let scene = Scene::of(&drive().game(), &Play::default(), &possession());
    assert_eq!(scene.frames_of(&(0..60)), 0..10);
    assert_eq!(scene.frames_of(&(140..999)), 90..100);
    assert!(scene.frames_of(&(0..20)).is_empty() && scene.frames_of(&(300..400)).is_empty());
    // 0.3 s are 7.5 frames, 0.001 s a fortieth of one.
    assert_eq!((scene.frames_in(0.3), scene.frames_in(0.001)), (8, 1));
}

#[test]
fn the_strong_half_is_the_balls_and_stays_while_the_ball_is_near_the_middle() {
    // On the right (−y of the court, for who attacks +x) until 3 s, 0.6 m over the middle line to the left from 4 s, 3 m
    // to the left from 5.5 s; not seen until 2.4 s.
    let scene = Staging::new(8.0)
        .stand(0, (5.0, -3.0))
        .walk(0, 3.0..4.0, (5.0, 0.6))
        .walk(0, 5.0..5.5, (5.0, 3.0))
        .dribble(0, 0.0..8.0)
        .lose_ball(0.0..2.4);
    let scene = Scene::of(&scene.game(), &Play::default(), &possession());
    let at = |t_s: f64| scene.strong[((t_s - 2.0) * scene.hz).round() as usize];
    assert_eq!(at(2.2), None);
    assert_eq!(at(2.8), Some(Half::Right));
    // Within 1.2 m of the middle the half is the last one.
    assert_eq!(at(4.5), Some(Half::Right));
    assert_eq!(at(5.8), Some(Half::Left));
}
