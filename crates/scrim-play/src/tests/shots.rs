//! Shots whose ball height is not known, and shots that the tracks do not see to their end.

use scrim_floor::ShotValue;
use scrim_tables::tags::{EndKind, TouchEnd};
use scrim_tracks::{PlayerIx, TeamSlot};

use super::{HOOP_X_M, made_shot, play_of, possessions, shot, touches};
use crate::ShotResult;
use crate::staging::Staging;

/// 0 holds the ball at x = 5 m until 2.0 s, where it leaves at this pace toward the hoop; the tracks end while it flies.
fn in_the_air(pace_mps: f32) -> Staging {
    let flown_s = 3.5 / pace_mps;
    let end_s = 2.0 + f64::from(flown_s);
    Staging::new(end_s)
        .hold(0, 0.0..2.0)
        .fly(2.0..end_s, (5.4 + 3.5, 0.0, 4.0), 4.0)
}

#[test]
fn a_shot_in_the_air_when_the_tracks_end_is_a_shot_whose_result_is_unknown() {
    // From 7.0 m at 5.8 m/s: a ball that rises 0.85 m on the way left at tan⁻¹(0.85 / 7 + 9.81 · 7 / (2 · 5.8²)) = 49°.
    for scene in [in_the_air(5.8), in_the_air(5.8).without_height()] {
        let play = play_of(&scene);
        assert_eq!(touches(&play), [(0, TouchEnd::Shot, None)]);
        assert_eq!(
            (play.shots[0].player, play.shots[0].result),
            (PlayerIx(0), ShotResult::Unknown)
        );
        assert_eq!(possessions(&play), [(TeamSlot::First, EndKind::Unknown)]);
        assert_eq!(play.possessions[0].points, None);
    }
}

#[test]
fn a_pass_toward_the_hoop_in_the_air_when_the_tracks_end_is_no_shot() {
    // At 10 m/s it left at tan⁻¹(0.85 / 7 + 9.81 · 7 / (2 · 10²)) = 25°: too flat to drop through a ring.
    let play = play_of(&in_the_air(10.0).without_height());
    assert!(play.shots.is_empty(), "{:?}", play.shots);
}

#[test]
fn without_height_a_shot_after_which_the_tracks_end_at_once_is_neither_made_nor_missed() {
    let scene = Staging::new(4.0)
        .dribble(0, 0.0..2.0)
        .fly(2.0..3.2, (HOOP_X_M, 0.0, 3.05), 4.6)
        .fly(3.2..3.8, (HOOP_X_M, 0.0, 0.2), 0.0)
        .rest(3.8..4.0)
        .without_height();
    let play = play_of(&scene);
    assert_eq!(
        (play.shots[0].player, play.shots[0].result),
        (PlayerIx(0), ShotResult::Unknown)
    );
    assert_eq!(possessions(&play), [(TeamSlot::First, EndKind::Unknown)]);
    // A throw-in from behind the line shows it.
    let play = play_of(&made_shot().without_height());
    assert_eq!(play.shots[0].result, ShotResult::Made);
}

#[test]
fn without_height_a_second_shot_of_the_same_team_says_that_the_first_missed() {
    // The ball comes down 1.5 m beside the hoop to 2, who puts it back at 5.2 s; the tracks end soon after.
    let scene = Staging::new(5.8)
        .stand(2, (11.0, 1.0))
        .dribble(0, 0.0..2.0)
        .fly(2.0..3.2, (HOOP_X_M, 0.0, 3.05), 4.6)
        .fly(3.2..3.8, (11.4, 1.0, 1.2), 3.3)
        .hold(2, 3.8..4.6)
        .fly(4.6..5.2, (HOOP_X_M, 0.0, 3.05), 3.5)
        .rest(5.2..5.8)
        .without_height();
    let found: Vec<_> = play_of(&scene)
        .shots
        .iter()
        .map(|shot| (shot.player.0, shot.result))
        .collect();
    assert_eq!(found, [(0, ShotResult::Missed), (2, ShotResult::Unknown)]);
}

#[test]
fn without_height_a_drive_under_the_hoop_and_a_pass_out_is_no_shot() {
    // At 4 m/s to below the hoop at 3.8 s; 0.2 s later a pass of 9.2 m in 0.9 s to the top.
    let scene = Staging::new(7.0)
        .stand(1, (3.3, 1.0))
        .stand(0, (5.0, -0.3))
        .walk(0, 2.0..3.8, (HOOP_X_M - 0.4, 0.0))
        .dribble(0, 0.0..4.0)
        .pass(1, 4.0..4.9)
        .hold(1, 4.9..7.0)
        .without_height();
    let play = play_of(&scene);
    assert!(play.shots.is_empty(), "{:?}", play.shots);
    assert_eq!(touches(&play)[0], (0, TouchEnd::Pass, Some(1)));
}

#[test]
fn without_height_a_shot_belongs_to_who_threw_it_whoever_runs_beside_it() {
    // 2 runs to the rebound at 4.5 m/s, below a ball that passes over at 5.9 m/s; 6 does so from the other side.
    let scene = shot_over_runners().without_height();
    let play = play_of(&scene);
    let shooters: Vec<_> = play.shots.iter().map(|shot| shot.player.0).collect();
    assert_eq!(shooters, [0]);
    assert_eq!(touches(&play)[0].0, 0);
    assert_eq!(touches(&play)[0].1, TouchEnd::Shot);
}

fn shot_over_runners() -> Staging {
    Staging::new(6.0)
        .dribble(0, 0.0..2.0)
        .stand(2, (6.6, 0.6))
        .walk(2, 2.0..3.1, (11.5, 0.4))
        .stand(6, (6.8, -0.6))
        .walk(6, 2.0..3.1, (11.4, -0.4))
        .fly(2.0..3.2, (HOOP_X_M, 0.0, 3.05), 4.6)
        .fly(3.2..3.8, (HOOP_X_M, 0.2, 0.2), 0.0)
        .rest(3.8..6.0)
}

#[test]
fn without_height_a_lob_belongs_to_who_catches_it_at_the_rim() {
    // From 7.4 m out at 10 m/s: flatter than a shot. 2 is at the rim as it comes, and stays below.
    let scene = Staging::new(4.0)
        .dribble(0, 0.0..2.0)
        .stand(2, (9.0, 2.5))
        .walk(2, 2.0..2.7, (HOOP_X_M - 0.3, 0.1))
        .fly(2.0..2.7, (HOOP_X_M - 0.1, 0.0, 3.3), 3.4)
        .fly(2.7..3.1, (HOOP_X_M, 0.0, 0.5), 0.0)
        .rest(3.1..4.0)
        .without_height();
    let play = play_of(&scene);
    let ends: Vec<_> = touches(&play).iter().map(|touch| (touch.0, touch.1)).collect();
    assert_eq!(ends[..2], [(0, TouchEnd::Pass), (2, TouchEnd::Shot)]);
}

#[test]
fn a_shot_is_worth_what_its_place_on_the_floor_was_when_the_shooter_jumped() {
    // 12.425 − 6.9 = 5.525 m: beyond the arc of 6.75 m. The shooter lands 0.6 m nearer, and is inside it when the ball is
    // out of reach.
    let scene = Staging::new(4.0)
        .stand(5, (9.0, 0.0))
        .stand(0, (HOOP_X_M - 6.9, 0.0))
        .walk(0, 1.85..2.25, (HOOP_X_M - 6.3, 0.0))
        .hold(0, 0.0..2.0)
        .fly(2.0..3.1, (HOOP_X_M, 0.0, 3.05), 4.6)
        .rest(3.1..4.0);
    let play = play_of(&scene.without_height());
    assert_eq!(
        (play.shots[0].player, play.shots[0].value),
        (PlayerIx(0), ShotValue::Three)
    );
    assert!(play.shots[0].spot.x_m < 6.75, "{:?}", play.shots[0].spot);
}

#[test]
fn with_height_a_made_shot_is_made_though_the_tracks_end_soon_after() {
    let play = play_of(&shot().fly(3.0..3.6, (HOOP_X_M, 0.0, 0.2), 0.0).rest(3.6..9.0));
    assert_eq!(play.shots[0].result, ShotResult::Made);
}
