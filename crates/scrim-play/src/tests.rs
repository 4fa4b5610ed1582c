//! Whole scenes through [`find_play`].

mod rates;
mod shots;

use proptest::prelude::*;
use scrim_floor::{AttackDirection, ShotValue};
use scrim_tables::tags::{EndKind, Phase, TouchEnd};
use scrim_tracks::{EventKind, Game, PlayerIx, TeamSlot};

use crate::control::ControlRule;
use crate::find::find_play_by;
use crate::staging::Staging;
use crate::{Play, PlayParams, ShotResult, find_play};

/// The hoop at +x of a FIBA court: 14 − 1.575 m from the middle.
const HOOP_X_M: f32 = 12.425;

fn play_of(scene: &Staging) -> Play {
    find_play(&scene.game(), &PlayParams::default())
}

/// Who touched it, how each touch ended, who had it next.
fn touches(play: &Play) -> Vec<(u16, TouchEnd, Option<u16>)> {
    play.touches
        .iter()
        .map(|t| (t.player.0, t.ended_by, t.next.map(|next| next.0)))
        .collect()
}

/// Whose, how it ended.
fn possessions(play: &Play) -> Vec<(TeamSlot, EndKind)> {
    play.possessions.iter().map(|p| (p.offense, p.end_kind)).collect()
}

fn pass_and_hold() -> Staging {
    Staging::new(5.0)
        .dribble(0, 0.0..2.0)
        .pass(1, 2.0..2.6)
        .hold(1, 2.6..5.0)
}

/// A jump shot from (5, 0), 7.4 m out: a three; the ball is at the ring at 3.0 s.
fn shot() -> Staging {
    Staging::new(9.0)
        .dribble(0, 0.0..2.0)
        .fly(2.0..3.0, (HOOP_X_M, 0.0, 3.05), 4.6)
}

/// ... and falls through; 8 takes it out of bounds and throws in to 6, who brings it up.
fn made_shot() -> Staging {
    shot()
        .fly(3.0..3.6, (HOOP_X_M, 0.0, 0.2), 0.0)
        .rest(3.6..4.4)
        .walk(8, 3.0..4.4, (HOOP_X_M - 0.4, 0.0))
        .hold(8, 4.4..4.6)
        .walk(8, 4.6..5.4, (14.2, 0.5))
        .hold(8, 4.6..6.2)
        .pass(6, 6.2..6.9)
        .walk(6, 6.9..9.0, (-1.0, -4.0))
        .dribble(6, 6.9..9.0)
}

/// ... and comes off the ring to 5, who stands in the lane.
fn missed_shot() -> Staging {
    shot()
        .stand(5, (10.5, 1.5))
        .fly(3.0..3.2, (12.0, 0.3, 3.2), 3.3)
        .fly(3.2..3.8, (10.9, 1.5, 1.3), 0.0)
        .hold(5, 3.8..5.0)
        .walk(5, 5.0..9.0, (-2.0, 0.0))
        .dribble(5, 5.0..9.0)
}

#[test]
fn a_pass_is_two_touches_of_one_possession() {
    let play = play_of(&pass_and_hold());
    assert_eq!(
        touches(&play),
        [(0, TouchEnd::Pass, Some(1)), (1, TouchEnd::DeadBall, None)]
    );
    assert!(play.touches[0].dribbled && !play.touches[1].dribbled);
    // The ball leaves the hand at 2.0 s (frame 50) and arrives at 2.6 s (frame 65); both are within reach (1.2 m)
    // for up to 0.12 s of a flight of 6.4 m in 0.6 s.
    assert!(
        play.touches[0].frames.end.abs_diff(50) <= 4,
        "{:?}",
        play.touches[0].frames
    );
    assert!(
        play.touches[1].frames.start.abs_diff(65) <= 4,
        "{:?}",
        play.touches[1].frames
    );
}

#[test]
fn a_period_that_ends_while_the_ball_is_held_ends_the_possession() {
    let play = play_of(&pass_and_hold());
    assert_eq!(possessions(&play), [(TeamSlot::First, EndKind::PeriodEnd)]);
    assert_eq!(play.possessions[0].frames, 0..125);
    assert_eq!(play.directions[0].first_team, AttackDirection::PositiveX);
    // All five attackers and the ball are past half court from the first frame on.
    assert_eq!(
        (play.possessions[0].phase, play.possessions[0].half_court),
        (Phase::HalfCourt, Some(0))
    );
}

#[test]
fn who_takes_the_ball_from_a_team_mate_at_a_run_gets_a_handoff() {
    let scene = Staging::new(6.0)
        .hold(0, 0.0..3.0)
        // They come by 0.8 m beside the holder at 4 m/s: from (5, −5) to (5 + …): 12 m in 3 s.
        .stand(1, (5.8, -8.0))
        .walk(1, 1.0..5.0, (5.8, 8.0))
        .dribble(1, 3.0..6.0);
    let play = play_of(&scene);
    assert_eq!(
        touches(&play),
        [(0, TouchEnd::Handoff, Some(1)), (1, TouchEnd::DeadBall, None)]
    );
}

/// 0 flips the ball to 1, who is `from_m` away on the x axis's far side at the catch (3.0 s) and then runs at 4 m/s along
/// y = 1.2 m, toward 0 or away.
fn flip(from_m: f32, toward: bool) -> Staging {
    let way_m = if toward { -8.0 } else { 8.0 };
    let y_m = 1.2;
    let x_m = 5.0 + (from_m * from_m - y_m * y_m).sqrt();
    Staging::new(6.0)
        .stand(5, (9.0, 0.0))
        .stand(0, (5.0, 0.0))
        .hold(0, 0.0..2.76)
        .stand(1, (x_m - way_m / 2.0, y_m))
        .walk(1, 2.0..4.0, (x_m + way_m / 2.0, y_m))
        .pass(1, 2.76..3.0)
        .dribble(1, 3.0..6.0)
}

#[test]
fn a_flip_to_a_team_mate_who_runs_past_is_a_handoff() {
    let ended_by = |scene: &Staging| touches(&play_of(scene))[0];
    for scene in [flip(2.4, true), flip(2.4, true).without_height()] {
        assert_eq!(ended_by(&scene), (0, TouchEnd::Handoff, Some(1)));
    }
    // Who takes it and runs away, or takes it from 4 m off, got a pass.
    assert_eq!(ended_by(&flip(2.4, false)), (0, TouchEnd::Pass, Some(1)));
    assert_eq!(ended_by(&flip(4.0, true)), (0, TouchEnd::Pass, Some(1)));
}

#[test]
fn a_defender_beside_the_dribble_does_not_take_it() {
    // 5 runs along for 2 s, nearer to the ball (0.25 m) than its dribbler (0.4 m).
    let scene = Staging::new(6.0)
        .stand(0, (-4.0, 0.0))
        .walk(0, 1.0..4.0, (9.0, 0.0))
        .stand(5, (-3.6, 0.25))
        .walk(5, 1.0..3.0, (5.067, 0.25))
        .dribble(0, 0.0..6.0);
    let play = play_of(&scene);
    assert_eq!(touches(&play), [(0, TouchEnd::DeadBall, None)]);
    assert_eq!(play.possessions.len(), 1);
    // The scene is a hard one: were control free to change, the nearer defender would have the ball.
    let params = PlayParams::default();
    let free = ControlRule {
        gain_cost: 0.0,
        lose_cost: 0.0,
        change_team_cost: 0.0,
        ..ControlRule::of(&params)
    };
    let nearest = find_play_by(&scene.game(), &params, &free);
    assert!(nearest.control[0].iter().any(|spell| spell.player == PlayerIx(5)));
}

#[test]
fn a_deflection_that_returns_to_the_offence_does_not_end_the_possession() {
    let scene = Staging::new(6.0)
        .stand(6, (6.5, -2.5))
        .dribble(0, 0.0..2.0)
        .fly(2.0..2.3, (6.6, -2.4, 1.2), 1.3)
        .hold(6, 2.3..2.5)
        .pass(1, 2.5..2.8)
        .dribble(1, 2.8..6.0);
    let play = play_of(&scene);
    assert_eq!(possessions(&play), [(TeamSlot::First, EndKind::PeriodEnd)]);
    // Two guards see to that. With control free to change teams, 6 has it for 0.2 s and the 1.2 m of their reach on
    // either side (3 m in 0.3 s: 0.12 s each), 0.44 s: less than the 0.5 s of a team's control, so still one
    // possession. To someone for whom 0.1 s are a team's control, it is three.
    let params = PlayParams::default();
    let eager = ControlRule {
        change_team_cost: 0.0,
        ..ControlRule::of(&params)
    };
    let play = find_play_by(&scene.game(), &params, &eager);
    assert!(play.control[0].iter().any(|spell| spell.player == PlayerIx(6)));
    assert_eq!(play.possessions.len(), 1);
    let strict = ControlRule {
        min_team_control_s: 0.1,
        ..eager
    };
    let play = find_play_by(&scene.game(), &params, &strict);
    assert_eq!(play.possessions.len(), 3);
}

/// 6 steps into a pass from 0 to 1 and goes the other way.
fn steal() -> Staging {
    Staging::new(8.0)
        .stand(6, (6.5, -2.5))
        .dribble(0, 0.0..2.0)
        .fly(2.0..2.3, (6.6, -2.4, 1.2), 1.3)
        .walk(6, 2.6..7.0, (-9.0, 0.0))
        .dribble(6, 2.3..8.0)
}

#[test]
fn a_steal_is_a_turnover_and_the_other_teams_possession_with_and_without_height() {
    for scene in [steal(), steal().without_height()] {
        let play = play_of(&scene);
        assert_eq!(
            possessions(&play),
            [
                (TeamSlot::First, EndKind::Turnover),
                (TeamSlot::Second, EndKind::PeriodEnd)
            ]
        );
        assert_eq!(touches(&play)[0], (0, TouchEnd::Loss, None));
        assert_eq!(play.possessions[1].direction, AttackDirection::NegativeX);
        assert_eq!(play.possessions[0].frames.end, play.possessions[1].frames.start);
    }
}

#[test]
fn a_made_shot_ends_the_possession_at_the_ring_and_is_inferred() {
    let play = play_of(&made_shot());
    assert_eq!(
        possessions(&play),
        [
            (TeamSlot::First, EndKind::ShotMade),
            (TeamSlot::Second, EndKind::PeriodEnd)
        ]
    );
    let shot = &play.shots[0];
    assert_eq!(
        (shot.player, shot.result, shot.inferred),
        (PlayerIx(0), ShotResult::Made, true)
    );
    // 12.425 − 5 = 7.4 m from the hoop, beyond the arc at 6.75 m.
    assert_eq!(shot.value, ShotValue::Three);
    assert_eq!(
        (play.possessions[0].points, play.possessions[0].points_inferred),
        (Some(3), true)
    );
    assert!(shot.release.abs_diff(50) <= 4, "{}", shot.release);
    // Through the ring at 3.0 s.
    assert!(
        play.possessions[0].frames.end.abs_diff(75) <= 4,
        "{:?}",
        play.possessions[0].frames
    );
    // The player who throws in comes at 4.5 m / 1.4 s = 3.2 m/s and is over the ball at 4.4 s (frame 110); it is within
    // their reach of 1.2 m for the last 1.13 m, 0.35 s, of the way (frame 101).
    let start = play.possessions[1].frames.start;
    assert!((97..=110).contains(&start), "{start}");
}

#[test]
fn a_missed_shot_ends_the_possession_at_the_rebound() {
    let play = play_of(&missed_shot());
    assert_eq!(
        possessions(&play),
        [
            (TeamSlot::First, EndKind::ShotMissed),
            (TeamSlot::Second, EndKind::PeriodEnd)
        ]
    );
    assert_eq!(play.shots[0].result, ShotResult::Missed);
    assert_eq!(play.possessions[0].points, Some(0));
    assert_eq!(touches(&play)[0], (0, TouchEnd::Shot, None));
    assert!(
        play.possessions[1].frames.start.abs_diff(95) <= 6,
        "{:?}",
        play.possessions[1].frames
    );
}

#[test]
fn an_offensive_rebound_continues_the_possession() {
    let scene = shot()
        .stand(2, (10.5, 1.5))
        .fly(3.0..3.2, (12.0, 0.3, 3.2), 3.3)
        .fly(3.2..3.8, (10.9, 1.5, 1.3), 0.0)
        .hold(2, 3.8..5.0)
        .pass(1, 5.0..5.5)
        .hold(1, 5.5..9.0);
    let play = play_of(&scene);
    assert_eq!(possessions(&play), [(TeamSlot::First, EndKind::PeriodEnd)]);
    assert_eq!(
        touches(&play),
        [
            (0, TouchEnd::Shot, Some(2)),
            (2, TouchEnd::Pass, Some(1)),
            (1, TouchEnd::DeadBall, None)
        ]
    );
}

#[test]
fn shots_are_found_and_makes_known_from_misses_without_ball_height() {
    let made = play_of(&made_shot().without_height());
    assert_eq!(possessions(&made)[0], (TeamSlot::First, EndKind::ShotMade));
    let missed = play_of(&missed_shot().without_height());
    assert_eq!(possessions(&missed)[0], (TeamSlot::First, EndKind::ShotMissed));
}

#[test]
fn a_ball_that_is_missing_for_a_moment_stays_in_the_same_hands() {
    let scene = Staging::new(6.0).dribble(0, 0.0..6.0).lose_ball(2.0..3.0);
    let play = play_of(&scene);
    let [spell] = &play.control[0][..] else {
        panic!("{:?}", play.control);
    };
    assert!(spell.player == PlayerIx(0) && spell.frames.contains(&62));
}

#[test]
fn an_event_overrules_the_ball_and_may_be_reported_late() {
    // The ball falls through, yet the table says missed, 2 s after the ball was at the ring; and the value is given.
    let missed = play_of(&made_shot().event(5.0, EventKind::ShotMissed, 0, Some(0)));
    assert_eq!(
        (missed.shots[0].result, missed.shots[0].inferred),
        (ShotResult::Missed, false)
    );
    let two = play_of(&made_shot().event(5.0, EventKind::ShotMade, 0, Some(2)));
    assert_eq!(two.shots.len(), 1);
    assert_eq!(
        (two.shots[0].value, two.possessions[0].points),
        (ShotValue::Two, Some(2))
    );
    assert!(!two.possessions[0].points_inferred);
    // The instant of the release is found in the tracks, not taken from the table.
    assert!(two.shots[0].release.abs_diff(50) <= 4);
}

#[test]
fn a_foul_ends_the_possession_and_the_throw_in_starts_the_next() {
    // Whistle at 3 s; the ball waits in the thrower's hands from 4 to 16 s, and is alive again at 16.4 s.
    let scene = Staging::new(20.0)
        .dribble(0, 0.0..4.0)
        .stand(1, (8.0, -7.6))
        .pass(1, 4.0..4.5)
        .hold(1, 4.5..16.0)
        .pass(0, 16.0..16.6)
        .dribble(0, 16.6..20.0)
        .dead(3.0..16.4)
        .event(3.0, EventKind::Foul, 5, None);
    let play = play_of(&scene);
    assert_eq!(
        possessions(&play),
        [
            (TeamSlot::First, EndKind::Foul),
            (TeamSlot::First, EndKind::PeriodEnd)
        ]
    );
    assert_eq!(play.possessions[0].frames, 0..75);
    // At most 5 s at the thrower's disposal: from 16 − 5 = 11 s on (frame 275).
    assert!(
        play.possessions[1].frames.start.abs_diff(275) <= 4,
        "{:?}",
        play.possessions[1].frames
    );
}

#[test]
fn a_game_without_anything_has_no_play_and_no_panic() {
    let mut game = Staging::new(4.0).game();
    let params = PlayParams::default();
    // No ball at all.
    assert!(find_play(&game, &params).possessions.is_empty());
    game.periods[0].tracks.clear();
    game.periods[0].lineups.clear();
    assert!(find_play(&game, &params).touches.is_empty());
    assert!(
        find_play(&Staging::new(0.0).game(), &params)
            .possessions
            .is_empty()
    );
    game.periods.clear();
    assert!(find_play(&game, &params).control.is_empty());
}

/// Every shape of play above, one after the other.
fn scenes() -> Vec<Staging> {
    vec![pass_and_hold(), made_shot(), missed_shot()]
}

/// What must not change when the court is turned or mirrored.
fn bones(play: &Play) -> Vec<(usize, usize, TeamSlot, EndKind, Option<u8>)> {
    play.possessions
        .iter()
        .map(|p| (p.frames.start, p.frames.end, p.offense, p.end_kind, p.points))
        .collect()
}

/// The same game with the two teams' places exchanged.
fn swapped(mut game: Game) -> Game {
    game.info.team_ids.reverse();
    game.players.rotate_left(5);
    for player in &mut game.players {
        player.team = player.team.other();
    }
    for period in &mut game.periods {
        for track in &mut period.tracks {
            track.team = track.team.other();
            track.player = PlayerIx((track.player.0 + 5) % 10);
        }
        period.tracks.rotate_left(5);
    }
    game
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn turned_or_mirrored_the_play_is_the_same(which in 0usize..3, seed in 0usize..1000) {
        // Draws of about ±0.1 m, the same for each variant but for its sign.
        let noise = move |n: usize| (((n + seed) * 2_654_435_761 % 1000) as f32 / 1000.0 - 0.5) * 0.2;
        let scene = || scenes().swap_remove(which).shaken(noise);
        let here = play_of(&scene());
        for other in [scene().turned(), scene().mirrored()] {
            let there = play_of(&other);
            prop_assert_eq!(bones(&here), bones(&there));
            prop_assert_eq!(&here.touches, &there.touches);
        }
    }

    #[test]
    fn exchanged_teams_have_each_others_possessions(which in 0usize..3, seed in 0usize..1000) {
        let noise = move |n: usize| (((n + seed) * 2_654_435_761 % 1000) as f32 / 1000.0 - 0.5) * 0.2;
        let game = scenes().swap_remove(which).shaken(noise).game();
        let here = find_play(&game, &PlayParams::default());
        let there = find_play(&swapped(game), &PlayParams::default());
        let exchanged: Vec<_> = bones(&there).into_iter().map(|b| (b.0, b.1, b.2.other(), b.3, b.4)).collect();
        prop_assert_eq!(bones(&here), exchanged);
    }

    #[test]
    fn any_samples_give_a_play_whose_spans_fit(
        seed in any::<u64>(), seconds in 0.0f64..20.0, holes in 0u64..5, heightless: bool,
    ) {
        // A xorshift walk: every value may be anything, or missing.
        let mut state = seed | 1;
        let mut draw = move || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            if state % 10 < holes { f32::NAN } else { ((state >> 20) % 4000) as f32 / 100.0 - 20.0 }
        };
        let mut game = Staging::new(seconds).game();
        for period in &mut game.periods {
            for track in &mut period.tracks {
                track.x_m.fill_with(&mut draw);
                track.y_m.fill_with(&mut draw);
                track.vx_mps.fill_with(&mut draw);
            }
            period.ball.x_m.fill_with(&mut draw);
            period.ball.y_m.fill_with(&mut draw);
            if !heightless {
                period.ball.z_m.fill_with(&mut draw);
                period.ball.has_height = true;
            }
            for live in &mut period.live {
                *live = draw() > -15.0;
            }
        }
        let play = find_play(&game, &PlayParams::default());
        for (id, possession) in play.possessions.iter().enumerate() {
            let period = &game.periods[possession.period];
            prop_assert!(possession.frames.start < possession.frames.end);
            prop_assert!(possession.frames.end <= period.frames);
            for touch in &play.touches[possession.touches.clone()] {
                prop_assert_eq!(touch.possession, id);
                prop_assert!(!touch.frames.is_empty());
                prop_assert!(touch.frames.start >= possession.frames.start);
                prop_assert!(touch.frames.end <= possession.frames.end);
            }
        }
        for pair in play.possessions.windows(2) {
            prop_assert!(pair[0].frames.end <= pair[1].frames.start);
        }
    }
}
