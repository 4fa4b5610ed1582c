//! Spacing on staged scenes.

use scrim_floor::{Court, Definitions};

use super::{SpaceParams, Spacing, find_spacing};
use crate::scene_stage::SceneStage;

fn spacing(stage: &SceneStage) -> Vec<Spacing> {
    find_spacing(
        &[stage.scene()],
        &Court::fiba(),
        &stage.screens(),
        &SpaceParams::default(),
        &Definitions::DEFAULT,
    )
}

/// Five on the corners of a 6 by 4 rectangle and in its middle, far from a defence that stands under the hoop.
fn rectangle() -> SceneStage {
    let mut stage = SceneStage::new(6.0).has_ball(0, 0.0..6.0);
    for (player, (x, y)) in [(3.0, -2.0), (9.0, -2.0), (9.0, 2.0), (3.0, 2.0), (6.0, 0.0)]
        .into_iter()
        .enumerate()
    {
        stage = stage
            .path(player, &[(0.0, x, y)])
            .path(5 + player, &[(0.0, 0.2, 0.1 * player as f32)]);
    }
    stage.ball_screen((4, 0), (2.0, 3.0, 4.5))
}

#[test]
fn hull_and_gaps_are_those_of_the_figure() {
    let found = &spacing(&rectangle())[0];
    assert!((found.hull_m2.unwrap() - 24.0).abs() < 1e-3);
    assert!((found.hull_mean_m2.unwrap() - 24.0).abs() < 1e-3);
    // From the corners to the middle √(3² + 2²) = 3.606 m, and 4 m from corner to corner: all have the middle nearest.
    assert!(
        found
            .floor
            .iter()
            .all(|floor| (floor.nearest_mate_m.unwrap() - 3.6056).abs() < 1e-3)
    );
    // The lane ends at x = 4.225: two attackers stand in it, and all five defenders.
    assert_eq!((found.paint_attackers, found.paint_defenders), (2, 5));
}

#[test]
fn the_areas_of_all_ten_are_the_half_court_and_mirror_images_agree() {
    let stage = rectangle();
    let (here, there) = (&spacing(&stage)[0], &spacing(&stage.clone().mirrored())[0]);
    for floor in &here.floor {
        assert!(floor.nearest_m2 > 0.0 && floor.nearest_m2 < 210.0);
        // All stand: first there is nearest, to the grid's squares along the borders of a cell.
        assert!((floor.first_m2 - floor.nearest_m2).abs() < 3.0, "{floor:?}");
    }
    for (here, there) in here.floor.iter().zip(&there.floor) {
        assert!(
            (here.nearest_m2 - there.nearest_m2).abs() < 0.05,
            "{here:?} {there:?}"
        );
    }
}

#[test]
fn who_is_missing_takes_the_hull_along_but_not_the_rest() {
    let found = &spacing(&rectangle().unseen(2, 0.0..6.0))[0];
    assert_eq!((found.hull_m2, found.hull_mean_m2), (None, None));
    assert_eq!(found.floor.len(), 4);
    assert!(found.floor.iter().all(|floor| floor.nearest_m2.is_finite()));
}
