//! Closeness that is no off-ball screen. Most scenes are a screen's but for one change, so that they are not silent for
//! some other reason.

use scrim_floor::Definitions;
use scrim_tables::tags::TouchEnd;

use super::staged::{self, DOWN, GO_S, SECONDS, found, with_handler};
use crate::screen::tests::stage::Stage;

/// Nobody fires, not even mirrored or at the other hoop.
fn assert_silent(stage: &Stage) {
    for stage in [stage.clone(), stage.clone().mirrored(), stage.clone().turned()] {
        let rows = found(&stage);
        assert!(rows.is_empty(), "{rows:#?}");
    }
}

#[test]
fn team_mates_who_walk_by_each_other_are_no_likely_screen() {
    // On the right side, at 2 m/s, 1.5 m apart. (At 1 m the user's defender runs into the other one: an even bet.)
    let stage = Stage::new(SECONDS)
        .path(1, &[(4.0, 5.0, 2.0), (7.0, 1.2, 6.4)])
        .path(6, &[(4.0, 4.0, 1.6), (7.0, 1.2, 5.2)])
        .path(2, &[(4.0, 2.7, 6.8), (7.0, 6.7, 2.6)])
        .path(7, &[(4.0, 2.3, 5.6), (7.0, 5.7, 2.2)]);
    // Rows below an even bet are written, for two of three plain screens of real play would be lost without them.
    let likely = found(&with_handler(stage, (8.2, -2.0)))
        .into_iter()
        .find(|screen| screen.confidence >= 0.5);
    assert_eq!(likely, None);
}

#[test]
fn a_trailer_who_runs_in_past_a_man_on_the_wing_has_used_no_screen() {
    let stage = Stage::new(SECONDS)
        .path(1, &[(0.0, 6.4, 5.0)])
        .path(6, &[(0.0, 5.0, 4.0)])
        .path(2, &[(4.0, 16.0, 5.0), (5.9, 6.6, 5.9), (7.2, 0.8, 6.6)])
        .path(7, &[(4.0, 13.0, 4.4), (5.9, 5.2, 5.2), (7.2, 1.0, 5.4)]);
    assert_silent(&with_handler(stage, (8.2, -2.0)));
}

#[test]
fn a_man_who_lifts_to_a_spot_beside_another_has_used_no_screen() {
    // The runner stops 1.4 m short of the player on the wing and stays.
    let stage = Stage::new(SECONDS)
        .path(1, &[(0.0, 6.2, 4.6)])
        .path(6, &[(0.0, 5.0, 3.7)])
        .path(2, &[(GO_S, 0.6, 6.6), (GO_S + 1.2, 5.0, 5.3)])
        .path(7, &[(GO_S, 1.0, 5.0), (GO_S + 1.4, 4.0, 4.2)]);
    assert_silent(&with_handler(stage, (8.2, -2.0)));
}

#[test]
fn two_men_who_jostle_under_the_hoop_do_not_screen() {
    let stage = Stage::new(SECONDS)
        .path(1, &[(4.0, 1.2, 0.6), (5.0, 1.0, 0.9), (6.0, 1.4, 0.5)])
        .path(6, &[(4.0, 0.8, 0.4), (6.0, 0.9, 0.3)])
        .path(2, &[(4.0, 1.6, -0.6), (5.2, 1.5, -0.2), (6.2, 1.9, -0.8)])
        .path(7, &[(4.0, 1.0, -0.4), (6.0, 1.2, -0.3)]);
    assert_silent(&with_handler(stage, (8.2, -2.0)));
}

#[test]
fn a_screener_who_keeps_running_has_not_screened() {
    // As in the down screen, but 1 runs on at 4 m/s past the user, never slower.
    let (x, y) = DOWN.spot;
    let way = [
        (DOWN.by_s() - 1.0, x + 2.8, y - 2.8),
        (DOWN.by_s() + 1.0, x - 2.8, y + 2.8),
    ];
    assert_silent(&staged::down().path(1, &way));
}

#[test]
fn a_user_with_the_ball_uses_no_off_ball_screen() {
    // The same ways, but 2 dribbles.
    assert_silent(&DOWN.stage().has_ball(2, 0.0..SECONDS, TouchEnd::DeadBall));
}

#[test]
fn before_the_half_court_part_begins_nobody_screens() {
    let stage = staged::down();
    let (game, mut play) = (stage.game(), stage.play());
    play.possessions[0].half_court = None;
    let scenes = scrim_play::Scene::all(&game, &play);
    let params = crate::OffBallScreenParams::default();
    assert_eq!(
        crate::find_off_ball_screens(&scenes, &play, &[], &params, &Definitions::DEFAULT),
        []
    );
}
