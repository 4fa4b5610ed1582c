//! Space: how the five are spread at a ball screen, and which part of the floor each of them controls.
//!
//! - `reach`: who can be where first, by a model of the sprint.

mod params;
pub(super) mod reach;

pub use params::{SpaceParams, SprintModel};

use scrim_floor::{AttackFrame, Court, Definitions, Point, hull_area_m2, voronoi_areas_m2};
use scrim_play::{Play, Scene};
use scrim_tables::rows::{FloorControlRow, SpacingRow};
use scrim_tracks::{Game, PlayerIx};

use super::window::{at_use, window};
use crate::{ScreenRef, Screens};

/// The offence's spacing during one ball screen. Places are those at the use.
#[derive(Debug, Clone, PartialEq)]
pub struct Spacing {
    /// The ball screen, by its place in [`Screens::on_ball`].
    pub screen: usize,
    /// Area of the convex hull of the five, m²; `None` when not all five are seen.
    pub hull_m2: Option<f32>,
    /// The same, mean over the frames of the window in which all five are seen, m².
    pub hull_mean_m2: Option<f32>,
    /// Attackers in the lane.
    pub paint_attackers: u8,
    /// Defenders in the lane.
    pub paint_defenders: u8,
    /// The floor of each attacker who is seen, ascending by player.
    pub floor: Vec<FloorControl>,
}

/// The floor that one attacker controls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorControl {
    /// The attacker.
    pub player: PlayerIx,
    /// Distance to the nearest team-mate, m; `None` when no other is seen.
    pub nearest_mate_m: Option<f32>,
    /// The part of the half court to which they are the nearest of all players, m².
    pub nearest_m2: f32,
    /// The part of the half court that they reach first, m².
    pub first_m2: f32,
}

/// Measures the spacing at every ball screen and handoff, in their order. The window is that of off-ball motion
/// (`motion`).
pub fn find_spacing(
    scenes: &[Scene],
    court: &Court,
    screens: &Screens,
    params: &SpaceParams,
    definitions: &Definitions,
) -> Vec<Spacing> {
    let corners = court.half_court_corners();
    let mut first = reach::FirstThere::new(court, params);
    let mut found = Vec::new();
    for (id, screen) in screens.on_ball().iter().enumerate() {
        let scene = &scenes[screen.possession];
        let Some(used) = at_use(scene, screen) else {
            continue;
        };
        // Attackers before defenders: the first cells, and the first areas, are the attackers'.
        let movers = || scene.attackers.iter().chain(&scene.defenders);
        let places: Vec<Point<AttackFrame>> = movers().map(|mover| mover.at(used)).collect();
        let nearest_m2 = voronoi_areas_m2(&places, &corners);
        let first_m2 = first.areas_m2(movers().map(|mover| (mover.at(used), mover.velocity_at(used))));
        let in_lane = |from: usize, until: usize| {
            places[from..until]
                .iter()
                .filter(|&&at| court.is_in_lane(at))
                .count() as u8
        };
        let attackers = scene.attackers.len();
        let floor = scene.attackers.iter().enumerate().filter_map(|(place, mover)| {
            Some(FloorControl {
                player: mover.player,
                nearest_mate_m: nearest_mate_m(&places[..attackers], place),
                nearest_m2: nearest_m2[place]?,
                first_m2: first_m2[place],
            })
        });
        found.push(Spacing {
            screen: id,
            hull_m2: hull_m2(scene, used),
            hull_mean_m2: mean(window(scene, screen, definitions).filter_map(|k| hull_m2(scene, k))),
            paint_attackers: in_lane(0, attackers),
            paint_defenders: in_lane(attackers, places.len()),
            floor: floor.collect(),
        });
    }
    found
}

/// Area of the hull of the five attackers at frame `k`, m²; `None` when not all five are seen.
fn hull_m2(scene: &Scene, k: usize) -> Option<f32> {
    let mut places = [Point::<AttackFrame>::origin(); scrim_play::SIDE_SIZE];
    if scene.attackers.len() != places.len() {
        return None;
    }
    for (place, mover) in places.iter_mut().zip(&scene.attackers) {
        *place = mover.at(k);
    }
    let area_m2 = hull_area_m2(&places);
    area_m2.is_finite().then_some(area_m2)
}

fn nearest_mate_m(attackers: &[Point<AttackFrame>], place: usize) -> Option<f32> {
    attackers
        .iter()
        .enumerate()
        .filter(|&(other, _)| other != place)
        .map(|(_, at)| at.distance_m(attackers[place]))
        .filter(|gap_m| gap_m.is_finite())
        .min_by(f32::total_cmp)
}

/// The mean; `None` of nothing.
pub(super) fn mean(values: impl Iterator<Item = f32>) -> Option<f32> {
    let (sum, count) = values.fold((0.0_f64, 0_usize), |(sum, count), value| {
        (sum + f64::from(value), count + 1)
    });
    (count > 0).then(|| (sum / count as f64) as f32)
}

/// Rows of `spacing`, in the order of `spacings`.
pub fn spacing_rows(game: &Game, play: &Play, screens: &Screens, spacings: &[Spacing]) -> Vec<SpacingRow> {
    spacings
        .iter()
        .map(|spacing| {
            let possession = screens.on_ball()[spacing.screen].possession;
            let gaps = || spacing.floor.iter().filter_map(|floor| floor.nearest_mate_m);
            let sum_m2 = |area: fn(&FloorControl) -> f32| spacing.floor.iter().map(area).sum();
            SpacingRow {
                game_id: game.info.game_id.clone(),
                period: game.periods[play.possessions[possession].period].number,
                possession_id: possession as u32,
                screen_id: screens.id_of(ScreenRef::OnBall(spacing.screen)),
                hull_m2: spacing.hull_m2,
                hull_mean_m2: spacing.hull_mean_m2,
                nearest_mate_mean_m: mean(gaps()),
                nearest_mate_min_m: gaps().min_by(f32::total_cmp),
                paint_attackers: spacing.paint_attackers,
                paint_defenders: spacing.paint_defenders,
                attack_nearest_m2: sum_m2(|floor| floor.nearest_m2),
                attack_first_m2: sum_m2(|floor| floor.first_m2),
            }
        })
        .collect()
}

/// Rows of `floor_control`, in the order of `spacings`, then of the players.
pub fn floor_control_rows(
    game: &Game,
    play: &Play,
    screens: &Screens,
    spacings: &[Spacing],
) -> Vec<FloorControlRow> {
    spacings
        .iter()
        .flat_map(|spacing| {
            let possession = screens.on_ball()[spacing.screen].possession;
            spacing.floor.iter().map(move |floor| FloorControlRow {
                game_id: game.info.game_id.clone(),
                period: game.periods[play.possessions[possession].period].number,
                possession_id: possession as u32,
                screen_id: screens.id_of(ScreenRef::OnBall(spacing.screen)),
                player_id: game.player(floor.player).id.clone(),
                nearest_mate_m: floor.nearest_mate_m,
                nearest_m2: floor.nearest_m2,
                first_m2: floor.first_m2,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests;
