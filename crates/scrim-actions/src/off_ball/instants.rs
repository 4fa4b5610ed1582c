//! The geometry of every instant of a ball screen, a row a player: who has how much room, to whom a pass would get through, who is
//! where against their duty.
//!
//! - `duty`: what each defender has to do, by the floor at the set;
//! - `lane`: whether a pass would get through.

pub(super) mod duty;
mod lane;
mod params;

pub use params::{InstantParams, InstantsOf};

use scrim_floor::{AttackFrame, Court, Point, Vector};
use scrim_play::{Attacker, Play, Scene};
use scrim_tables::Id;
use scrim_tables::rows::InstantRow;
use scrim_tracks::{Game, PlayerIx};

use super::motion::defense;
use super::space::reach::FirstThere;
use super::window::{at_set, at_use};
use crate::{BallScreen, ScreenRef, Screens, SpaceParams};
use duty::Duties;

/// The first instant is this long before the set, s.
const BEFORE_SET_S: f32 = 2.0;
/// The last one is this long after the use, s.
const AFTER_USE_S: f32 = 4.0;

/// Rows of `instants`: of each ball screen and handoff in their order, instant by instant, the attackers before the defenders. None
/// where the parameters have none.
pub fn instant_rows(
    game: &Game,
    play: &Play,
    scenes: &[Scene],
    screens: &Screens,
    params: &InstantParams,
    space: &SpaceParams,
) -> Vec<InstantRow> {
    match params.of {
        InstantsOf::None => return Vec::new(),
        InstantsOf::BallScreens => {}
    }
    let court = &game.info.court;
    let mut first = FirstThere::new(court, space);
    let mut rows = Vec::new();
    for (id, screen) in screens.on_ball().iter().enumerate() {
        let scene = &scenes[screen.possession];
        let around = Around {
            id_of: &|player| game.player(player).id.clone(),
            scene,
            court,
            screen,
            params,
            space,
            blank: InstantRow {
                game_id: game.info.game_id.clone(),
                period: game.periods[play.possessions[screen.possession].period].number,
                possession_id: screen.possession as u32,
                screen_id: screens.id_of(ScreenRef::OnBall(id)),
                ..scrim_tables::Row::blank()
            },
        };
        around.add_rows(&mut first, &mut rows);
    }
    rows
}

/// One ball screen.
struct Around<'a> {
    id_of: &'a dyn Fn(PlayerIx) -> Id,
    scene: &'a Scene,
    court: &'a Court,
    screen: &'a BallScreen,
    params: &'a InstantParams,
    space: &'a SpaceParams,
    /// What all its rows have.
    blank: InstantRow,
}

impl Around<'_> {
    fn add_rows(&self, first: &mut FirstThere, rows: &mut Vec<InstantRow>) {
        let scene = self.scene;
        let (Some(set), Some(used)) = (at_set(scene, self.screen), at_use(scene, self.screen)) else {
            return;
        };
        let user = scene.attackers.place_of(self.screen.user);
        let screener = scene.attackers.place_of(self.screen.screener);
        let duties = match (user, screener) {
            (Some(user), Some(screener)) => duty::duties(scene, self.court, set, user, screener),
            _ => Duties::default(),
        };
        // A whole number of steps is one, whatever rounding makes of it.
        let steps_in = |span_s: f64| (span_s / f64::from(self.params.step_s) + 1e-3).floor() as i64;
        let steps_back = steps_in(f64::from(BEFORE_SET_S));
        let steps_on = steps_in(scene.t_s(used) - scene.t_s(set) + f64::from(AFTER_USE_S));
        let mut last = None;
        for step in -steps_back..=steps_on {
            // To the nearest frame: the grid may not divide a step.
            let offset = (step as f64 * f64::from(self.params.step_s) * scene.hz).round() as i64;
            let Ok(k) = usize::try_from(set as i64 + offset) else {
                continue;
            };
            if k >= scene.frames || last == Some(k) {
                continue;
            }
            last = Some(k);
            self.add_instant(k, used, screener, &duties, first, rows);
        }
    }

    fn add_instant(
        &self,
        k: usize,
        used: usize,
        screener: Option<Attacker>,
        duties: &Duties,
        first: &mut FirstThere,
        rows: &mut Vec<InstantRow>,
    ) {
        let scene = self.scene;
        let movers = scene.attackers.iter().chain(&scene.defenders);
        let first_m2 = first.areas_m2(movers.map(|mover| (mover.at(k), mover.velocity_at(k))));
        let roller = screener.map(|place| scene.attackers[place].at(k));
        let row = |at: Point<AttackFrame>, velocity: Vector<AttackFrame>, player, on_offense| {
            let finite = |value: f32| value.is_finite().then_some(value);
            InstantRow {
                t_s: scene.t_s(k),
                from_use_s: (scene.t_s(k) - scene.t_s(used)) as f32,
                player_id: (self.id_of)(player),
                on_offense,
                x_m: finite(at.x_m),
                y_m: finite(at.y_m),
                speed_mps: finite(velocity.length()),
                to_rim_m: finite(at.distance_m(Point::origin())),
                ..self.blank.clone()
            }
        };
        let holder = scene.handler[k];
        let defenders = scene
            .defenders
            .iter()
            .map(|mover| (mover.at(k), mover.velocity_at(k)));
        // The areas of the attackers come first.
        for ((place, mover), first_m2) in scene.attackers.placed().zip(first_m2) {
            let at = mover.at(k);
            let pass_gap_m = holder.filter(|&holder| holder != place).and_then(|holder| {
                let from = scene.attackers[holder].at(k);
                lane::pass_gap_m(from, at, defenders.clone(), self.params, &self.space.sprint)
            });
            rows.push(InstantRow {
                to_roller_m: roller
                    .filter(|_| screener != Some(place))
                    .map(|roller| at.distance_m(roller))
                    .filter(|gap_m| gap_m.is_finite()),
                space_m: scene.space_m(place, k),
                first_m2: at.is_finite().then_some(first_m2),
                pass_gap_m,
                pass_open: pass_gap_m.map(|gap_m| gap_m > 0.0),
                ..row(at, mover.velocity_at(k), mover.player, true)
            });
        }
        for (place, mover) in scene.defenders.placed() {
            let at = mover.at(k);
            let guarded = scene.guarded_by(place, k);
            rows.push(InstantRow {
                to_roller_m: roller
                    .map(|roller| at.distance_m(roller))
                    .filter(|gap_m| gap_m.is_finite()),
                guards_id: guarded.map(|attacker| (self.id_of)(scene.attackers[attacker].player)),
                off_canonical_m: guarded.and_then(|attacker| defense::pull_m(scene, attacker, k)),
                duty: duties[place],
                ..row(at, mover.velocity_at(k), mover.player, false)
            });
        }
    }
}

#[cfg(test)]
mod tests;
