//! Dilemmas on staged scenes.

use scrim_play::{Attacker, Place};
use scrim_tables::tags::PulledBy;

use super::{Dilemma, find_dilemmas};
use crate::scene_stage::{FIRST_FRAME, SceneStage};
use scrim_floor::Definitions;

fn dilemmas(stage: &SceneStage) -> Vec<Dilemma> {
    find_dilemmas(
        &[stage.scene()],
        &stage.screens(),
        &stage.cuts(),
        &Definitions::DEFAULT,
    )
}

/// 4 screens on the left for 0 on top and rolls; 8, who guards 3 in the left corner, meets the roller in the lane; 0 finds 3.
fn tagged_roll() -> SceneStage {
    SceneStage::new(8.0)
        .path(0, &[(2.4, 8.0, 0.0), (3.6, 7.0, -3.0)])
        .path(4, &[(0.0, 7.0, -1.2), (3.0, 7.0, -1.2), (4.4, 1.4, -0.5)])
        .path(8, &[(3.0, 0.4, -4.8), (4.2, 1.2, 0.4)])
        .path(9, &[(0.0, 6.2, -1.6)])
        .has_ball(0, 0.0..5.0)
        .has_ball(3, 5.6..8.0)
        .ball_screen((4, 0), (1.5, 3.0, 4.6))
}

#[test]
fn who_tags_the_roller_is_pulled_by_the_roll_and_leaves_the_corner() {
    let found = dilemmas(&tagged_roll());
    let pull = found[0].pull.as_ref().unwrap();
    assert_eq!((pull.helper.index(), pull.left_open.index()), (8, 3));
    assert_eq!(
        (pull.by, pull.by_player.map(|p| p.index())),
        (PulledBy::Roll, Some(4))
    );
    assert!(pull.pull_m > 3.0 && pull.max_space_m.unwrap() > 5.0, "{pull:?}");
    // 5.6 s.
    assert_eq!(pull.ball_at, Some(FIRST_FRAME + 140));
}

#[test]
fn mirrored_the_dilemma_is_the_same() {
    let (here, there) = (dilemmas(&tagged_roll()), dilemmas(&tagged_roll().mirrored()));
    let tags = |found: &[Dilemma]| {
        let pull = found[0].pull.clone().unwrap();
        (pull.helper, pull.by, pull.by_player, pull.left_open, pull.ball_at)
    };
    assert_eq!(tags(&here), tags(&there));
}

#[test]
fn a_helper_who_stays_is_pulled_by_nobody() {
    // Every defender at home: on the canonical spot of a ball that rests on top.
    let mut stage = SceneStage::new(6.0)
        .has_ball(0, 0.0..6.0)
        .ball_screen((4, 0), (2.0, 3.0, 4.0));
    let scene = stage.scene();
    for place in 1..4 {
        let home =
            scrim_play::canonical_position(scene.attackers[Attacker::ALL[place]].at(0), scene.ball_at(0));
        stage = stage.path(5 + place, &[(0.0, home.x_m, home.y_m)]);
    }
    let pull = dilemmas(&stage)[0].pull.clone().unwrap();
    assert!(pull.pull_m < 0.1, "{pull:?}");
    assert_eq!(
        (pull.by, pull.by_player, pull.ball_at),
        (PulledBy::None, None, None)
    );
}

#[test]
fn a_cutter_pulls_too() {
    // 2 cuts from the right corner; 6, who guards 1 in the right slot, drops to the cutter under the hoop.
    let stage = SceneStage::new(8.0)
        .has_ball(0, 0.0..8.0)
        .path(4, &[(0.0, 7.0, -1.2)])
        .path(2, &[(3.0, 0.5, 6.8), (4.8, 1.0, 1.2)])
        .path(6, &[(3.2, 4.9, 2.4), (4.6, 0.6, 1.8)])
        .ball_screen((4, 0), (1.5, 3.0, 4.6));
    let pull = dilemmas(&stage)[0].pull.clone().unwrap();
    assert_eq!((pull.helper.index(), pull.left_open.index()), (6, 1));
    assert_eq!(
        (pull.by, pull.by_player.map(|p| p.index())),
        (PulledBy::Cut, Some(2))
    );
}

#[test]
fn without_defenders_there_is_no_dilemma_and_no_panic() {
    let mut stage = tagged_roll();
    for player in 5..10 {
        stage = stage.unseen(player, 0.0..8.0);
    }
    assert_eq!(dilemmas(&stage)[0].pull, None);
}
