//! What attackers do while no script needs them: they drift, jockey and relocate, and hardly ever stand.
//!
//! A step at a time: a place near the one they hold, a pace, and sometimes a pause. Off the ball some steps are longer and end in
//! another free place of the floor. Speeds and lengths are chosen so that the tracks agree with real ones
//! (`tests/reference/practice_motion.py` measures that).

use crate::ball::{BallState, Grip};
use crate::vec2::{Vec2, v2};
use crate::world::World;

/// The step that a player is on.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Roam {
    /// The place held when the step was drawn; another one begins a new roam.
    home: Vec2,
    goal: Vec2,
    pace_mps: f64,
    pause_s: f64,
    /// For how long the player has had nothing else to do.
    idle_s: f64,
}

/// How far from the place held a step may end: at once, and after some seconds, metres.
const NEAR_M: f64 = 0.7;
const FAR_M: f64 = 3.0;
/// The same while the place is to be kept.
const KEPT_M: f64 = 0.9;
/// A step is over this near its end, metres.
const THERE_M: f64 = 0.4;
/// Share of steps off the ball, once a player has been idle for a while, that lead to another place.
const RELOCATES: f64 = 0.3;
/// Who pauses shifts the weight about: how fast, and how fast the direction turns, m/s and radians a second.
const SHIFT_MPS: f64 = 0.35;
/// See [`SHIFT_MPS`].
const SHIFTS_RADPS: f64 = 3.3;
/// Share of steps that begin with a pause, at an ordinary tempo.
const PAUSES: f64 = 0.29;
/// How much more often the player with the ball pauses.
const PAUSES_WITH_BALL: f64 = 1.5;
/// Who has nothing to do changes pace and direction more softly: the share of the change that is wished for.
const LAZY: f64 = 0.61;
/// Steps lead a little nearer the baseline, a factor on the distance to the hoop along the court.
const INWARD: f64 = 0.845;
/// An idle while, seconds.
const WHILE_S: f64 = 1.0;
/// Places of the floor, for both sides of it (y is mirrored).
const PLACES: [Vec2; 9] = [
    v2(0.1, 6.9),
    v2(0.6, 3.8),
    v2(1.2, 2.2),
    v2(3.0, 6.7),
    v2(4.4, 2.2),
    v2(5.4, 6.4),
    v2(7.0, 4.4),
    v2(7.7, 2.6),
    v2(3.2, 3.4),
];
/// So many steps are weighed until one leads into no team-mate.
const STEPS_WEIGHED: usize = 6;
/// No two attackers choose places nearer to each other than this, nor to the ball than that, metres.
const ROOM_M: f64 = 5.0;
/// See [`ROOM_M`].
const BALL_ROOM_M: f64 = 5.3;

impl World<'_> {
    /// The wished velocity of an attacker without an order.
    pub fn roam_wish(&mut self, slot: usize) -> Vec2 {
        let hold = self.tasks[slot].hold;
        let dt = self.dt_s;
        let body = &self.bodies[slot];
        if body.roam.home != hold {
            self.bodies[slot].roam = Roam {
                home: hold,
                goal: hold,
                pace_mps: 1.0,
                pause_s: 0.0,
                idle_s: 0.0,
            };
        }
        let is_held = matches!(self.ball.state, BallState::Held { slot: s, grip } if s == slot && grip != Grip::Dribble);
        if is_held {
            // The ball in both hands: a pivot, no step.
            let body = &self.bodies[slot];
            return body.arrive(body.pos + body.sway * 0.5, 0.5, self.gait);
        }
        self.bodies[slot].roam.idle_s += dt;
        let body = &self.bodies[slot];
        if body.roam.pause_s > 0.0 {
            // Shifting the weight from foot to foot.
            let drift = (body.roam.goal + body.sway * 0.6 - body.pos) * 0.9;
            let sense = if slot.is_multiple_of(2) {
                SHIFTS_RADPS
            } else {
                -SHIFTS_RADPS
            };
            let shift = v2(SHIFT_MPS, 0.0).turned(sense * body.roam.pause_s);
            self.bodies[slot].roam.pause_s -= dt;
            return drift.capped(0.3) + shift;
        }
        if body.pos.distance(body.roam.goal) < THERE_M {
            self.draw_step(slot);
        }
        let body = &self.bodies[slot];
        // A step runs out softly but does not stop for a pause that is not there.
        let way = body.roam.goal - body.pos;
        let wish = (way + body.sway * 2.0).unit() * body.roam.pace_mps.min(0.5 + way.length() * 1.6);
        body.vel.toward(wish, LAZY)
    }

    fn draw_step(&mut self, slot: usize) {
        let Roam { home, idle_s, .. } = self.bodies[slot].roam;
        let has_ball = slot == self.handler;
        let often = if has_ball { PAUSES_WITH_BALL } else { 1.0 };
        let pauses = (PAUSES * often / (self.tempo * self.tempo)).min(0.8);
        let pause_s = if !self.dice.chance(pauses) {
            0.0
        } else if has_ball || self.dice.chance(0.6) {
            self.dice.between(0.1, 1.0)
        } else {
            self.dice.between(1.0, 3.5)
        };
        // Before the set begins, and where one look must not be taken for another, everybody keeps the place.
        let keeps = self.settles || self.playbook.is_some();
        let relocates = !has_ball && !keeps && idle_s > WHILE_S && self.dice.chance(RELOCATES);
        let place = relocates.then(|| self.free_place(slot)).flatten();
        if let Some(place) = place {
            self.tasks[slot].hold = place;
            self.bodies[slot].roam.home = place;
            self.bodies[slot].roam.goal = place;
            self.bodies[slot].roam.pace_mps = self.dice.between(1.5, 3.4) * self.tempo;
            self.bodies[slot].roam.pause_s = 0.0;
            return;
        }
        let reach_m = (NEAR_M + 0.6 * idle_s).min(if keeps { KEPT_M } else { FAR_M });
        let body = &self.bodies[slot];
        let (here, heading) = (body.pos, body.facing);
        let mut goal = home;
        let mut most_m = f64::NEG_INFINITY;
        for _ in 0..STEPS_WEIGHED {
            // Rather on than back, but not too far from home, and not into a team-mate.
            let turn = self.dice.normal() * if pause_s > 0.0 { 1.2 } else { 0.66 };
            let ahead = here + heading.turned(turn) * self.dice.between(1.4, 3.6);
            let mut step = home + (ahead - home).capped(reach_m);
            step.x *= INWARD;
            let room_m = self
                .attackers()
                .filter(|&s| s != slot)
                .map(|s| self.pos(s).distance(step) - if s == self.handler { BALL_ROOM_M } else { ROOM_M })
                .fold(f64::INFINITY, f64::min);
            if step.distance(here) > THERE_M && room_m > most_m {
                (goal, most_m) = (step, room_m);
            }
            if most_m > 0.0 {
                break;
            }
        }
        let limit_y = self.side_y_m() - 0.4;
        let pace_mps = if has_ball {
            self.dice.between(1.1, 3.0) * self.handler_pace
        } else {
            1.55 + self.dice.between(0.0, 1.2) + self.dice.between(0.0, 1.0)
        } * self.tempo;
        let roam = &mut self.bodies[slot].roam;
        roam.goal = v2(goal.x.max(-0.6), goal.y.clamp(-limit_y, limit_y));
        (roam.pace_mps, roam.pause_s) = (pace_mps, pause_s);
    }

    /// A place of the floor that no team-mate holds, not farther than a few steps.
    fn free_place(&mut self, slot: usize) -> Option<Vec2> {
        let here = self.pos(slot);
        let options: Vec<(Vec2, f64)> = PLACES
            .iter()
            .flat_map(|p| [*p, v2(p.x, -p.y)])
            .filter(|p| (2.0..7.0).contains(&p.distance(here)))
            .filter(|p| p.distance(self.pos(self.handler)) > BALL_ROOM_M)
            .filter(|p| {
                self.attackers().all(|s| {
                    s == slot
                        || (self.tasks[s].hold.distance(*p) > ROOM_M
                            && self.pos(s).distance(*p) > ROOM_M * 0.7)
                })
            })
            .map(|p| (p, 1.0 / (1.0 + p.distance(here))))
            .collect();
        (!options.is_empty()).then(|| self.dice.weighted(&options))
    }
}
