//! Cuts on staged scenes: what must be found and how it is called, what must not fire, what must not change.

use scrim_floor::{Court, Definitions};
use scrim_play::{Attacker, Place};
use scrim_tables::tags::{CutKind, ScreenKind};

use crate::scene_stage::{HZ, SceneStage, SeenCut};
use crate::{CutParams, ScreenRef, find_cuts};

/// The handler holds the ball on top all the time.
fn set(seconds: f64) -> SceneStage {
    SceneStage::new(seconds).has_ball(0, 0.0..seconds)
}

fn kinds(seen: &[SeenCut]) -> Vec<(usize, CutKind)> {
    seen.iter().map(|&(player, kind, ..)| (player, kind)).collect()
}

#[test]
fn a_ball_that_comes_their_way_makes_no_flash_of_a_way_down() {
    // The handler comes from the right wing to the top while 3 goes down from the left wing to the short corner: the two end
    // nearer to each other, and 3 has gone away from where the ball is.
    let scene = SceneStage::new(4.0)
        .has_ball(0, 0.0..4.0)
        .path(0, &[(0.4, 6.5, 5.1), (2.2, 8.6, 1.3)])
        .path(3, &[(0.4, 5.8, -5.5), (2.4, 1.6, -4.0)]);
    let seen = kinds(&scene.seen_cuts());
    assert!(!seen.contains(&(3, CutKind::Flash)), "{seen:?}");
}

/// Every kind that needs no screen, with the player who runs it.
fn plain_cuts() -> Vec<(CutKind, usize, SceneStage)> {
    let handler_gives_to_the_wing = || {
        SceneStage::new(6.0)
            .path(1, &[(0.0, 5.5, 5.0)])
            .has_ball(0, 0.0..1.0)
            .has_ball(1, 1.4..6.0)
    };
    vec![
        (
            CutKind::Basket,
            2,
            set(5.0).path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 1.0)]),
        ),
        (
            // 2 is overplayed: the defender 0.8 m off, on the line to the ball at (8, 0), not on the line to the hoop.
            CutKind::Backdoor,
            2,
            set(5.0)
                .path(2, &[(1.0, 1.5, 6.8), (3.0, 1.0, 1.0)])
                .path(7, &[(1.2, 2.05, 6.22), (3.2, 1.4, 1.4)]),
        ),
        (
            CutKind::RubCut,
            0,
            handler_gives_to_the_wing()
                .path(4, &[(0.0, 4.4, 0.9)])
                .path(0, &[(1.2, 8.0, 0.0), (3.4, 1.2, 0.0)]),
        ),
        (
            CutKind::Baseline,
            3,
            set(6.0).path(3, &[(1.0, 0.5, -6.8), (4.6, 0.5, 6.0)]),
        ),
        (
            CutKind::Flash,
            4,
            set(5.0).path(4, &[(1.0, 0.5, -3.2), (2.8, 4.5, 0.5)]),
        ),
        (
            CutKind::Lift,
            2,
            set(5.0).path(2, &[(1.0, 0.5, 6.8), (2.6, 4.9, 5.6)]),
        ),
        (
            CutKind::Drift,
            1,
            set(5.0)
                .path(1, &[(1.0, 4.9, 5.6), (2.6, 0.8, 6.9)])
                .path(2, &[(0.0, 1.0, 3.0)]),
        ),
        (
            CutKind::Fill,
            1,
            set(5.0).path(1, &[(1.0, 4.6, 5.6), (2.4, 7.4, 3.0)]),
        ),
    ]
}

/// Cuts off a screen, with the player who runs it.
fn cuts_off_screens() -> Vec<(CutKind, usize, SceneStage)> {
    let down = || {
        set(7.0)
            .path(1, &[(0.0, 7.0, 3.5), (1.5, 3.2, 4.6)])
            .off_ball_screen(ScreenKind::Down, (1, 2), (1.7, 3.0, 5.0))
    };
    vec![
        (
            CutKind::Curl,
            2,
            down().path(
                2,
                &[(2.0, 0.8, 6.4), (2.7, 3.0, 6.2), (3.2, 4.2, 4.4), (4.6, 1.0, 0.8)],
            ),
        ),
        (
            CutKind::Fade,
            2,
            set(7.0)
                .path(1, &[(0.0, 5.0, 2.4)])
                .path(2, &[(2.0, 7.2, 2.4), (3.6, 5.4, 5.8)])
                .off_ball_screen(ScreenKind::Flare, (1, 2), (0.5, 2.8, 4.5)),
        ),
        (
            CutKind::FlexCut,
            3,
            set(7.0)
                .path(3, &[(2.0, 0.6, -6.8), (4.4, 0.8, -0.4)])
                .off_ball_screen(ScreenKind::Flex, (4, 3), (1.0, 3.0, 5.0)),
        ),
        (
            CutKind::RubCut,
            0,
            SceneStage::new(7.0)
                .has_ball(0, 0.0..1.0)
                .has_ball(1, 1.4..7.0)
                .path(4, &[(0.0, 4.4, -1.6)])
                .path(0, &[(1.2, 8.0, 0.0), (3.4, 1.2, -1.0)])
                .off_ball_screen(ScreenKind::Rub, (4, 0), (0.5, 2.4, 4.0)),
        ),
        (
            CutKind::PopOut,
            1,
            down().path(
                1,
                &[(0.0, 7.0, 3.5), (1.5, 3.2, 4.6), (3.4, 3.2, 4.6), (4.8, 6.0, 5.0)],
            ),
        ),
    ]
}

#[test]
fn each_kind_is_found_once_and_called_by_its_name() {
    for (kind, player, stage) in plain_cuts() {
        assert_eq!(kinds(&stage.seen_cuts()), [(player, kind)], "{kind:?}");
    }
}

#[test]
fn a_cut_off_a_screen_is_called_by_it_and_tied_to_it() {
    for (kind, player, stage) in cuts_off_screens() {
        let cuts = stage.cuts();
        let mine: Vec<_> = cuts
            .iter()
            .filter(|cut| cut.player.index() == player && cut.screen.is_some())
            .collect();
        assert_eq!(mine.len(), 1, "{kind:?}: {cuts:#?}");
        assert_eq!(
            (mine[0].kind, mine[0].screen),
            (kind, Some(ScreenRef::OffBall(0)))
        );
    }
}

#[test]
fn mirrored_nothing_changes_but_left_and_right() {
    for (kind, _, stage) in plain_cuts().into_iter().chain(cuts_off_screens()) {
        let mirrored = stage.clone().mirrored();
        assert_eq!(mirrored.seen_cuts(), stage.seen_cuts(), "{kind:?}");
        for (here, there) in stage.cuts().iter().zip(mirrored.cuts()) {
            assert_eq!((here.to.x_m, here.to.y_m), (there.to.x_m, -there.to.y_m));
            assert_eq!(here.strong_side, there.strong_side, "{kind:?}");
        }
    }
}

#[test]
fn begin_end_path_and_peak_are_those_of_the_run() {
    // 5.83 m from the corner to the rim in 2 s: 2.9 m/s all the way, begun and ended within the rounding-off.
    let stage = set(5.0).path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 1.0)]);
    let cut = &stage.cuts()[0];
    let (start_s, end_s) = (stage.seen_cuts()[0].2, stage.seen_cuts()[0].3);
    assert!(
        (start_s - 1.0).abs() < 0.2 && (end_s - 3.0).abs() < 0.2,
        "{start_s} {end_s}"
    );
    assert!((cut.path_m - 5.82).abs() < 0.25, "{}", cut.path_m);
    assert!((cut.peak_speed_mps - 2.91).abs() < 0.05, "{}", cut.peak_speed_mps);
}

#[test]
fn a_run_up_the_floor_is_no_cut() {
    // The runner is under way when half-court play begins.
    let late = |t_s| {
        set(6.0)
            .path(1, &[(0.5, 14.0, 5.0), (3.0, 7.0, 3.5)])
            .half_court_at(t_s)
            .seen_cuts()
    };
    assert_eq!(late(1.5), []);
    assert_eq!(kinds(&late(0.0)), [(1, CutKind::Fill)]);
    let stage = set(5.0).path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 1.0)]);
    assert_eq!(stage.in_transition().seen_cuts(), []);
}

#[test]
fn the_handlers_drive_and_a_crash_of_the_boards_are_no_cuts() {
    let drive = set(5.0).path(0, &[(1.0, 8.0, 0.0), (3.0, 1.0, 0.5)]);
    assert_eq!(drive.seen_cuts(), []);
    let rebound = SceneStage::new(6.0)
        .has_ball(0, 0.0..2.0)
        .shoots(0, 1.9)
        .path(2, &[(2.2, 0.5, 6.8), (4.0, 1.0, 1.0)])
        .has_ball(4, 4.5..6.0);
    assert_eq!(rebound.seen_cuts(), []);
}

#[test]
fn a_drive_without_a_known_touch_is_no_cut() {
    // The ball goes with 1 all the way, but 1 is not known to have it.
    let stage = SceneStage::new(5.0).path(1, &[(1.0, 7.0, 3.5), (3.0, 1.0, 0.8)]);
    let mut scene = stage.scene();
    let ball: Vec<_> = (0..scene.frames)
        .map(|k| scene.attackers[Attacker::ALL[1]].at(k))
        .collect();
    scene.ball_x_m = ball.iter().map(|at| at.x_m + 0.4).collect();
    scene.ball_y_m = ball.iter().map(|at| at.y_m).collect();
    let cuts = |scene| {
        find_cuts(
            &[scene],
            &stage.play(),
            &Court::fiba(),
            &stage.screens(),
            &CutParams::default(),
            &Definitions::DEFAULT,
        )
    };
    assert_eq!(cuts(scene), []);
    assert_eq!(cuts(stage.scene()).len(), 1);
}

#[test]
fn who_passes_on_the_drive_and_runs_on_does_not_cut_but_who_passes_and_goes_does() {
    // The ball goes to 1 at 2 s; 0 is under way since 1 s, or sets off a moment after.
    let gives = |go_s: f64| {
        SceneStage::new(6.0)
            .has_ball(0, 0.0..2.0)
            .has_ball(1, 2.4..6.0)
            .path(0, &[(go_s, 8.0, 0.0), (go_s + 2.4, 1.0, -0.5)])
            .seen_cuts()
    };
    assert_eq!(gives(1.0), []);
    assert_eq!(kinds(&gives(2.2)), [(0, CutKind::Basket)]);
}

#[test]
fn a_run_to_a_handoff_is_no_cut() {
    let stage = SceneStage::new(6.0)
        .has_ball(0, 0.0..2.6)
        .has_ball(2, 2.68..6.0)
        .path(2, &[(1.0, 0.5, 6.8), (2.6, 7.4, 0.8), (4.0, 7.0, -3.0)]);
    let free = stage.seen_cuts();
    assert!(free.iter().any(|cut| cut.0 == 2), "{free:?}");
    let mut handed = stage.ball_screen((0, 2), (2.0, 2.6, 4.0));
    handed.on_ball[0].kind = ScreenKind::Handoff;
    assert!(handed.seen_cuts().iter().all(|cut| cut.0 != 2));
}

#[test]
fn steps_to_keep_ones_spacing_are_no_cuts() {
    // 1.5 m, and a stroll at 1.2 m/s.
    let stage = set(8.0)
        .path(2, &[(1.0, 0.5, 6.8), (1.7, 2.0, 6.8)])
        .path(1, &[(1.0, 7.0, 3.5), (4.0, 5.0, 6.0)]);
    assert_eq!(stage.seen_cuts(), []);
}

#[test]
fn a_cut_and_the_way_back_out_are_two_runs_and_the_second_has_no_name() {
    let stage = set(8.0).path(1, &[(1.0, 7.0, 3.5), (3.0, 1.0, 0.8), (5.4, 0.8, -6.6)]);
    let seen = stage.seen_cuts();
    assert_eq!(kinds(&seen), [(1, CutKind::Basket)]);
    assert!((seen[0].3 - 3.0).abs() < 0.3, "{seen:?}");
}

#[test]
fn a_screener_on_the_way_to_a_screen_and_rolling_from_it_does_not_cut() {
    let stage = set(8.0)
        .path(
            4,
            &[
                (1.0, 0.5, -3.2),
                (3.4, 7.2, -1.2),
                (4.6, 7.2, -1.2),
                (6.4, 1.0, -0.5),
            ],
        )
        .path(0, &[(4.4, 8.0, 0.0), (5.4, 6.6, -2.4)])
        .ball_screen((4, 0), (3.5, 4.9, 6.4));
    assert_eq!(stage.seen_cuts(), []);
    // Without the screen the way in is a basket cut.
    let mut without = stage;
    without.on_ball.clear();
    assert!(kinds(&without.seen_cuts()).contains(&(4, CutKind::Basket)));
}

#[test]
fn a_run_ends_where_its_player_gets_the_ball_or_is_lost() {
    let stage = SceneStage::new(5.0)
        .has_ball(0, 0.0..1.6)
        .path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 1.0)])
        .has_ball(2, 2.6..5.0);
    assert!(
        stage
            .seen_cuts()
            .iter()
            .all(|&(player, _, _, end_s)| player != 2 || end_s < 2.6)
    );
    let lost = set(5.0)
        .path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 1.0)])
        .unseen(2, 2.4..5.0);
    assert!(
        lost.seen_cuts()
            .iter()
            .all(|&(_, _, _, end_s)| end_s <= 2.4 + 1.0 / HZ)
    );
}

#[test]
fn nothing_seen_gives_no_cuts_and_no_panic() {
    let mut stage = SceneStage::new(4.0);
    for player in 0..10 {
        stage = stage.unseen(player, 0.0..4.0);
    }
    assert_eq!(stage.seen_cuts(), []);
    assert_eq!(SceneStage::new(0.0).seen_cuts(), []);
}

#[test]
fn a_clearer_cut_is_a_surer_one() {
    let confidence = |stage: SceneStage| stage.cuts()[0].confidence;
    let clear = confidence(set(5.0).path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 0.5)]));
    // It ends just inside what counts as the rim, and is slow.
    let faint = confidence(set(6.0).path(2, &[(1.0, 0.5, 6.8), (2.9, 0.5, 2.8)]));
    assert!(clear > 0.9 && faint < 0.6, "{clear} {faint}");
}

#[test]
fn the_loosest_parameters_end_and_do_not_panic() {
    let params = CutParams {
        min_net_m: 0.0,
        min_peak_mps: 0.0,
    };
    let definitions = Definitions {
        standing_mps: 0.1,
        at_rim_m: 6.0,
        ..Definitions::DEFAULT
    };
    let stage = set(10.0).path(2, &[(1.0, 0.5, 6.8), (3.0, 1.0, 1.0)]);
    let cuts = find_cuts(
        &[stage.scene()],
        &stage.play(),
        &Court::fiba(),
        &stage.screens(),
        &params,
        &definitions,
    );
    assert!(cuts.iter().all(|cut| cut.confidence.is_finite()));
}
