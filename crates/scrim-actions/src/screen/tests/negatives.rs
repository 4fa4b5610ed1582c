//! Closeness that is no ball screen. Two of the scenes are `screens::used` but for one change, so that they are not
//! silent for some other reason.

use scrim_tables::tags::TouchEnd;

use super::screens::{SPOT, used};
use super::stage::Stage;

/// Nobody fires, not even mirrored or at the other hoop.
fn assert_silent(stage: &Stage) {
    for stage in [stage.clone(), stage.clone().mirrored(), stage.clone().turned()] {
        let seen = stage.seen();
        assert!(seen.is_empty(), "{seen:#?}");
    }
}

/// Nobody fires with more than an even bet, not even mirrored or at the other hoop.
fn assert_not_likely(stage: &Stage) {
    for stage in [stage.clone(), stage.clone().mirrored(), stage.clone().turned()] {
        let seen = stage.seen();
        assert!(seen.iter().all(|seen| seen.confidence < 0.5), "{seen:#?}");
    }
}

#[test]
fn a_team_mate_who_walks_by_is_no_screener() {
    // From the left wing to the right one at 2 m/s, 1 m behind the handler, who dribbles on the spot.
    assert_silent(
        &Stage::new(8.0)
            .path(4, &[(1.0, 9.0, -5.0), (6.0, 9.0, 5.0)])
            .path(9, &[(1.0, 7.4, -3.6), (6.0, 7.4, 3.6)])
            .has_ball(0, 0.0..8.0, TouchEnd::DeadBall),
    );
}

#[test]
fn a_team_mate_who_jogs_by_between_handler_and_hoop_is_no_screener() {
    // In front of the handler's defender, at 3.3 m/s, without a step's rest.
    assert_silent(
        &Stage::new(8.0)
            .path(1, &[(1.5, 5.6, 4.6), (4.5, 5.6, -5.4)])
            .path(6, &[(1.5, 4.0, 3.6), (4.5, 4.0, -4.2)])
            .has_ball(0, 0.0..8.0, TouchEnd::DeadBall),
    );
}

#[test]
fn a_dribble_past_a_team_mate_who_stands_far_from_any_defender_is_no_screen() {
    // 1 stands 11 m from the hoop all the time; the handler dribbles past at 3 m/s; all five defenders wait below.
    assert_silent(
        &Stage::new(8.0)
            .path(1, &[(0.0, 11.0, 1.0)])
            .path(6, &[(0.0, 5.5, 0.8)])
            .path(0, &[(1.0, 12.2, -4.0), (3.5, 10.0, 3.2), (4.2, 9.6, 3.6)])
            .path(5, &[(1.0, 6.0, -2.0), (4.0, 6.0, 2.0)])
            .has_ball(0, 0.0..8.0, TouchEnd::DeadBall),
    );
}

#[test]
fn a_post_up_with_the_passer_cutting_by_is_no_screen() {
    // 1 has the ball on the right block, the defender behind, and backs that defender down; the passer, 0, cuts through to the left.
    assert_silent(
        &Stage::new(9.0)
            .path(1, &[(2.4, 2.2, 2.6), (6.4, 1.4, 1.7)])
            .path(6, &[(2.4, 1.4, 1.9), (6.4, 0.6, 1.0)])
            .path(0, &[(2.8, 6.4, 4.4), (4.3, 2.6, 0.2), (5.4, 0.6, -4.0)])
            .path(5, &[(2.8, 5.4, 3.7), (4.3, 2.0, -0.2), (5.4, 1.0, -3.0)])
            .has_ball(0, 0.0..2.0, TouchEnd::Pass)
            .has_ball(1, 2.4..9.0, TouchEnd::DeadBall),
    );
}

#[test]
fn team_mates_who_cross_at_a_throw_in_do_not_screen() {
    // 0 throws in beside the right wing; 1 and 4 cross in front of 0, and 4 takes the ball at 3.2 s near 1, who goes on.
    assert_silent(
        &Stage::new(7.0)
            .path(0, &[(0.0, 6.0, 7.9), (3.4, 6.0, 7.9), (4.6, 6.6, 6.2)])
            .path(5, &[(0.0, 6.0, 6.6), (3.4, 5.8, 6.2), (4.6, 5.4, 5.2)])
            .path(1, &[(1.0, 3.0, 4.0), (2.6, 7.2, 5.0), (4.0, 10.0, 3.0)])
            .path(6, &[(1.0, 2.4, 3.4), (2.6, 6.0, 4.4), (4.0, 8.4, 2.8)])
            .path(4, &[(1.0, 8.6, 2.0), (3.2, 6.2, 4.6), (4.4, 5.4, 4.4)])
            .path(9, &[(1.0, 7.2, 1.8), (3.2, 5.2, 3.8), (4.4, 4.4, 3.8)])
            .has_ball(0, 0.0..2.8, TouchEnd::Pass)
            .has_ball(4, 3.2..7.0, TouchEnd::DeadBall),
    );
}

#[test]
fn a_scramble_for_a_loose_ball_is_no_likely_screen() {
    // Four run for a ball in the lane; 1 has it for 0.4 s and stays, then 2 has it, who takes it away from the crowd.
    assert_not_likely(
        &Stage::new(7.0)
            .path(1, &[(1.0, 4.5, 2.0), (2.0, 3.0, 0.4), (3.2, 3.3, 0.6)])
            .path(6, &[(1.0, 3.2, 1.5), (2.0, 2.6, 0.2), (3.2, 2.7, 0.3)])
            .path(
                2,
                &[(1.0, 0.5, 6.4), (2.6, 2.8, 1.2), (3.0, 3.0, 1.0), (4.8, 7.0, 4.4)],
            )
            .path(
                7,
                &[(1.0, 0.8, 4.2), (2.6, 2.2, 1.0), (3.0, 2.6, 1.2), (4.8, 5.4, 3.6)],
            )
            .path(
                0,
                &[
                    (1.0, 7.0, 0.0),
                    (2.4, 3.8, 0.2),
                    (3.4, 4.2, 0.0),
                    (5.0, 8.0, -1.0),
                ],
            )
            .path(
                5,
                &[
                    (1.0, 5.8, 0.0),
                    (2.4, 3.2, -0.4),
                    (3.4, 3.6, -0.4),
                    (5.0, 6.4, -1.0),
                ],
            )
            .has_ball(0, 0.0..0.8, TouchEnd::Loss)
            .has_ball(1, 2.0..2.4, TouchEnd::Loss)
            .has_ball(2, 2.9..7.0, TouchEnd::DeadBall),
    );
}

#[test]
fn in_the_back_court_nobody_screens() {
    // The used screen, pushed 11 m up the floor: the handler stands 19 m from the hoop, 6.6 m behind half court.
    let far = |way: &[(f64, f32, f32)]| -> Vec<_> { way.iter().map(|&(t, x, y)| (t, x + 11.0, y)).collect() };
    let (x, y) = SPOT;
    assert_silent(
        &used()
            .path(
                1,
                &far(&[(0.9, 4.5, 2.0), (2.0, x, y), (3.9, x, y), (5.4, 2.0, 0.5)]),
            )
            .path(
                0,
                &far(&[(2.8, 8.0, 0.0), (3.3, 8.5, 1.0), (3.8, 7.0, 2.6), (4.8, 4.0, 2.4)]),
            )
            .path(
                5,
                &far(&[(2.8, 6.9, 0.0), (3.4, 7.9, 0.5), (4.0, 7.5, 2.0), (4.9, 4.9, 2.4)]),
            )
            .path(
                6,
                &far(&[(0.9, 3.2, 1.5), (2.0, 5.0, 0.8), (3.4, 4.6, 1.4), (4.8, 2.6, 1.6)]),
            ),
    );
}
