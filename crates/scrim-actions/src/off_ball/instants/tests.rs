//! Instants, duties and room on staged scenes.

use scrim_floor::Court;
use scrim_play::{Attacker, Defender, Place, SIDE_SIZE};
use scrim_tables::tags::Duty;

use super::duty::{Duties, duties};
use super::{Around, FirstThere, InstantParams, InstantsOf};
use crate::scene_stage::{FIRST_FRAME, HZ, SceneStage};
use crate::{RollRoom, SpaceParams, find_roll_rooms};

const ATTACKERS: [Attacker; SIDE_SIZE] = Attacker::ALL;

/// A ball screen of 1 for 0 on the right: 2 in the ball's corner, 3 in the other, 4 on the far block. Each is guarded from
/// the hoop's side.
fn stage() -> SceneStage {
    SceneStage::new(10.0)
        .has_ball(0, 0.0..10.0)
        .path(0, &[(0.0, 8.0, 2.0)])
        .ball_screen((1, 0), (3.0, 4.0, 5.0))
}

#[test]
fn duties_go_by_the_floor_at_the_set() {
    let scene = stage().scene();
    let found = duties(
        &scene,
        &Court::fiba(),
        (3.0 * HZ) as usize,
        ATTACKERS[0],
        ATTACKERS[1],
    );
    // 8 guards the far corner from (0.35, −4.76), 9 the far block from (0.35, −2.24): nearer to the hoop.
    let expected = [
        Duty::OnBall,
        Duty::OnScreener,
        Duty::StrongCorner,
        Duty::Nail,
        Duty::LowMan,
    ];
    assert_eq!(found, Duties::from(expected.map(Some)));
}

#[test]
fn a_mirrored_floor_has_the_same_duties_and_without_the_pair_there_are_none() {
    let scene = stage().mirrored().scene();
    let court = Court::fiba();
    let set = (3.0 * HZ) as usize;
    assert_eq!(
        duties(&scene, &court, set, ATTACKERS[0], ATTACKERS[1]),
        duties(&stage().scene(), &court, set, ATTACKERS[0], ATTACKERS[1])
    );
    assert_eq!(
        duties(&scene, &court, set, ATTACKERS[0], ATTACKERS[0]),
        Duties::default()
    );
}

#[test]
fn the_roller_s_room_ends_with_the_catch_and_the_low_man_tags() {
    // The screener runs to the hoop from 4 s on and has the ball at 5.4 s; the low man steps to (2, 0) and stands there.
    let stage = SceneStage::new(10.0)
        .has_ball(0, 0.0..5.0)
        .has_ball(1, 5.4..7.0)
        .path(0, &[(0.0, 8.0, 2.0)])
        .path(1, &[(0.0, 7.0, 3.0), (4.0, 7.0, 3.0), (6.0, 1.0, 0.0)])
        .path(6, &[(0.0, 6.0, 3.0)])
        .path(9, &[(0.0, 0.4, -2.2), (4.0, 0.4, -2.2), (4.8, 2.0, 0.0)])
        .ball_screen((1, 0), (3.0, 4.0, 6.0));
    let scene = stage.scene();
    let rooms = find_roll_rooms(std::slice::from_ref(&scene), &Court::fiba(), &stage.screens());
    let RollRoom {
        space_mean_m,
        catch_space_m,
        low_man,
        low_man_gap_m,
        tagger,
        tagger_gap_m,
    } = rooms[0];
    let nine = scene.defenders[Defender::ALL[4]].player;
    assert_eq!((low_man, tagger), (Some(nine), Some(nine)));
    assert_eq!(low_man_gap_m, tagger_gap_m);
    // At the catch, 1.4 s into a way of 2 s: (2.8, 0.9); the tagger at (2, 0): √(0.8² + 0.9²) = 1.20 m.
    let caught_m = catch_space_m.unwrap();
    assert!((caught_m - 1.20).abs() < 0.05, "{caught_m}");
    assert!((tagger_gap_m.unwrap() - caught_m).abs() < 0.1);
    let mean_m = space_mean_m.unwrap();
    assert!(caught_m < mean_m && mean_m < 4.0, "{mean_m}");
}

#[test]
fn instants_lie_a_step_apart_from_before_the_set_to_after_the_use() {
    let stage = stage();
    let (scene, screens) = (stage.scene(), stage.screens());
    let params = InstantParams {
        of: InstantsOf::BallScreens,
        ..InstantParams::default()
    };
    let space = SpaceParams::default();
    let court = Court::fiba();
    let around = Around {
        id_of: &|player| player.index().to_string().into(),
        scene: &scene,
        court: &court,
        screen: &screens.on_ball()[0],
        params: &params,
        space: &space,
        blank: scrim_tables::Row::blank(),
    };
    let mut rows = Vec::new();
    around.add_rows(&mut FirstThere::new(&court, &space), &mut rows);
    // From 1.0 to 8.0 s, 0.2 s apart: 36 instants of ten.
    assert_eq!(rows.len(), 360);
    let begin_s = FIRST_FRAME as f64 / HZ;
    assert!((rows[0].t_s - begin_s - 1.0).abs() < 1e-6, "{}", rows[0].t_s);
    assert!((rows[359].t_s - begin_s - 8.0).abs() < 1e-6);
    assert!((rows[359].from_use_s - 4.0).abs() < 1e-4);
    for instant in rows.chunks(10) {
        let (attackers, defenders) = instant.split_at(5);
        // Who has the ball passes to four, and hands it to the screener, 1.8 m away; a defender has a duty and no space of their own.
        assert_eq!(attackers.iter().filter(|row| row.pass_gap_m.is_some()).count(), 3);
        assert!(
            attackers
                .iter()
                .all(|row| row.space_m.is_some() && row.duty.is_none())
        );
        assert!(
            defenders
                .iter()
                .all(|row| row.space_m.is_none() && row.duty.is_some())
        );
        assert!(
            defenders
                .iter()
                .all(|row| row.guards_id.is_some() && row.off_canonical_m.is_some())
        );
        // All floor is somebody's: the attackers' part is less than the half court's 210 m².
        let area_m2: f32 = attackers.iter().filter_map(|row| row.first_m2).sum();
        assert!((20.0..200.0).contains(&area_m2), "{area_m2}");
        assert_eq!(attackers[1].to_roller_m, None);
        for row in attackers {
            assert_eq!(row.pass_open, row.pass_gap_m.map(|gap_m| gap_m > 0.0));
        }
    }
}
