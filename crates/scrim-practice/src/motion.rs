//! One step of every body and of the ball.

use crate::ball::{BALL_RADIUS_M, BallState, Flight, Grip, RELEASE_M};
use crate::body::Body;
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::{Leg, World};

/// Whoever is this near a spot that they pass, and no faster than this, may be held up beyond it, m and m/s.
const HELD_UP_M: f64 = 1.6;
const HELD_UP_MPS: f64 = 1.5;

/// Deviation of a player's wander on each axis: at rest, and on defence, metres. Chosen so that the tracks' speeds agree with real ones.
const SWAY_M: f64 = 0.12;
const DEFENDER_SWAY_M: f64 = 0.24;
/// Time constant of the sway of a player who stands in order, seconds. Common practice, no source.
const ORDERLY_SWAY_S: f64 = 1.5;
/// Deviation of the logarithm of how loosely a defender plays at the moment. Chosen likewise.
const SLACK: f64 = 0.45;

/// Team-mates without a job keep so far from the ball: in a lively possession and in an orderly one, metres.
const YIELD_M: (f64, f64) = (4.2, 2.9);
/// Share of a script's speed that players off the ball run, in a lively possession. Chosen so that the share of fast running
/// agrees with real tracks.
const EASE_OFF_BALL: f64 = 0.91;
/// So far the ball and team-mates who have nothing to do with it keep from each other, metres.
const CLEAR_M: f64 = 4.4;
/// Whoever is bound for a spot this near to the other is meant to be there, metres.
const MEANT_M: f64 = 2.2;

/// Whether a player has `spot` behind them on the way to the next leg and does not get any nearer to it: somebody stands in it, and
/// they went around.
fn is_held_up_beyond(body: &Body, spot: Vec2, next: Option<&Leg>) -> bool {
    let Some(Leg::To { spot: next, .. } | Leg::Past { spot: next, .. }) = next else {
        return false;
    };
    let near = body.pos.distance(spot) < HELD_UP_M && body.vel.length() < HELD_UP_MPS;
    near && (body.pos - spot).dot((*next - spot).unit()) > 0.2
}

impl World<'_> {
    pub fn move_bodies(&mut self) {
        let mut wishes = [Vec2::ZERO; 10];
        for (slot, wish) in wishes.iter_mut().enumerate() {
            self.wander(slot);
            *wish = if self.live && self.team_of(slot) != self.offense {
                self.duty_wish(slot)
            } else {
                self.task_wish(slot)
            };
        }
        for (slot, wish) in wishes.into_iter().enumerate() {
            let wish = self.around_others(slot, wish);
            self.bodies[slot].step(wish, self.dt_s, self.gait);
        }
    }

    /// People never stand quite still: a wander toward a goal that changes every second or two. Defenders wander farther, and
    /// play now closer, now looser.
    pub fn wander(&mut self, slot: usize) {
        if self.gait == Style::Orderly {
            return self.sway_in_place(slot);
        }
        let defends = self.live && self.team_of(slot) != self.offense;
        let (size_m, dt) = (if defends { DEFENDER_SWAY_M } else { SWAY_M }, self.dt_s);
        if self.bodies[slot].sway_left_s <= 0.0 {
            let goal = v2(self.dice.normal() * size_m, self.dice.normal() * size_m);
            let slack = (SLACK * self.dice.normal()).exp();
            let left_s = if defends {
                self.dice.between(0.8, 2.6)
            } else {
                self.dice.between(0.3, 1.2)
            };
            let body = &mut self.bodies[slot];
            (body.sway_goal, body.slack_goal, body.sway_left_s) = (goal, slack, left_s);
        }
        let body = &mut self.bodies[slot];
        body.sway_left_s -= dt;
        let share = 1.0 - (-dt / 0.7).exp();
        body.sway = body.sway.toward(body.sway_goal, share);
        body.slack += (body.slack_goal - body.slack) * share;
    }

    /// Who stands in order hardly moves, defenders neither.
    fn sway_in_place(&mut self, slot: usize) {
        let keep = (-self.dt_s / ORDERLY_SWAY_S).exp();
        let kick = SWAY_M * (1.0 - keep * keep).sqrt();
        let push = v2(self.dice.normal() * kick, self.dice.normal() * kick);
        let body = &mut self.bodies[slot];
        body.sway = body.sway * keep + push;
        body.slack = 1.0;
    }

    pub fn task_wish(&mut self, slot: usize) -> Vec2 {
        let (dt, style) = (self.dt_s, self.gait);
        let yield_m = style.pick(YIELD_M.0, YIELD_M.1);
        let handler = self.handler;
        let yields = self.live && slot != handler && slot / 5 == self.offense && !self.bodies[slot].planted;
        let from_handler = self.pos(slot) - self.pos(handler);
        // Off the ball nobody runs quite as hard as the script has it, with it some do and some do not.
        let ease = match self.gait {
            Style::Lively if self.live && slot == handler => self.handler_pace,
            Style::Lively if self.live => EASE_OFF_BALL,
            Style::Lively | Style::Orderly => 1.0,
        };
        let body = &self.bodies[slot];
        let task = &mut self.tasks[slot];
        while let Some(leg) = task.legs.front_mut() {
            match leg {
                Leg::To { spot, speed_mps } => {
                    if body.pos.distance(*spot) < 0.25 && body.vel.length() < 0.9 {
                        task.hold = *spot;
                        task.legs.pop_front();
                    } else {
                        return body.arrive(*spot, *speed_mps * ease, style);
                    }
                }
                Leg::Past { spot, speed_mps } => {
                    let (spot, speed_mps) = (*spot, *speed_mps);
                    if body.pos.distance(spot) < 0.7 || is_held_up_beyond(body, spot, task.legs.get(1)) {
                        task.legs.pop_front();
                    } else {
                        return body.pass_through(spot, speed_mps * ease);
                    }
                }
                Leg::Wait { left_s } => {
                    *left_s -= dt;
                    if *left_s <= 0.0 {
                        task.legs.pop_front();
                    } else {
                        return body.arrive(body.pos, 0.5, style);
                    }
                }
            }
        }
        if yields && from_handler.length() < yield_m {
            // Spacing: a player with nothing to do makes room for the ball.
            let room = from_handler.unit() * (yield_m - from_handler.length() + 0.3);
            return body.arrive(body.pos + room, 3.0, style);
        }
        if style == Style::Lively && self.live && slot / 5 == self.offense && !body.planted {
            return self.roam_wish(slot);
        }
        let sway = if body.planted { body.sway * 0.3 } else { body.sway };
        body.arrive(task.hold + sway, 1.2, style)
    }

    /// Nobody runs through anybody: the wish is bent around bodies in the way, and close ones push.
    pub fn around_others(&self, slot: usize, wish: Vec2) -> Vec2 {
        let me = &self.bodies[slot];
        if me.planted {
            return wish;
        }
        let mut wish = self.clear_of_ball(slot, wish);
        for (other, body) in self.bodies.iter().enumerate() {
            if other == slot {
                continue;
            }
            let away = me.pos - body.pos;
            let distance = away.length();
            if !(1e-6..=1.8).contains(&distance) {
                continue;
            }
            let out = away * (1.0 / distance);
            // What is left between them in a quarter of a second, if they go on like this.
            let approach = (body.vel - me.vel).dot(out).max(0.0);
            let left = distance - 0.25 * approach;
            // Opponents touch, but not in order; team-mates keep out of each other's way.
            let (reach, room, soft) = if self.gait == Style::Orderly {
                (1.05, 0.75, 0.5)
            } else if slot / 5 == other / 5 {
                (1.05, 0.75, 0.45)
            } else {
                (0.6, 0.32, 0.45)
            };
            let closing = -(wish - body.vel * 0.5).dot(out);
            if closing > 0.0 {
                let weight = ((reach - left) / soft).clamp(0.0, 1.0);
                let along = out.quarter_turn();
                let side = if wish.dot(along) >= 0.0 { 1.0 } else { -1.0 };
                wish += out * (closing * weight) + along * (side * closing * weight * 0.6);
            }
            if left < room {
                wish += out * ((room - left).min(0.7) * 8.0);
            }
        }
        wish
    }

    /// The player with the ball and team-mates who are on their way elsewhere run round each other at a distance: nobody brings
    /// a second defender to the ball without a reason.
    fn clear_of_ball(&self, slot: usize, wish: Vec2) -> Vec2 {
        let handler = self.handler;
        if self.gait == Style::Orderly
            || !self.live
            || slot / 5 != self.offense
            || self.offense != handler / 5
        {
            return wish;
        }
        let goal = |s: usize| match self.tasks[s].legs.front() {
            Some(Leg::To { spot, .. } | Leg::Past { spot, .. }) => *spot,
            Some(Leg::Wait { .. }) | None => self.tasks[s].hold,
        };
        let mut wish = wish;
        for mate in self
            .attackers()
            .filter(|&m| m != handler && (slot == handler || slot == m))
        {
            let other = if slot == handler { mate } else { handler };
            let away = self.pos(slot) - self.pos(other);
            let distance = away.length();
            // Who is bound for the other means to be there; who moves over does not.
            let comes = goal(handler).distance(self.pos(mate)) < MEANT_M;
            let is_meant = self.bodies[mate].planted
                || (comes && !self.is_idle(handler))
                || (!self.tasks[mate].makes_way
                    && !self.is_idle(mate)
                    && (comes || goal(mate).distance(self.pos(handler)) < MEANT_M));
            if is_meant || !(1e-6..CLEAR_M).contains(&distance) {
                continue;
            }
            let out = away * (1.0 / distance);
            let closing = -(wish - self.bodies[other].vel * 0.5).dot(out);
            if closing > 0.0 {
                let weight = ((CLEAR_M - distance) / 1.0).clamp(0.0, 1.0);
                let along = out.quarter_turn();
                let side = if wish.dot(along) >= 0.0 { 1.0 } else { -1.0 };
                wish += out * (closing * weight) + along * (side * closing * weight * 0.6);
            }
        }
        wish
    }

    pub fn move_ball(&mut self) {
        let dt = self.dt_s;
        match self.ball.state {
            BallState::Held { slot, grip } => {
                let body = &self.bodies[slot];
                let hand = match grip {
                    Grip::Dribble | Grip::Hold if self.gait == Style::Orderly => {
                        body.pos + body.facing * (0.34 + 0.07 * body.vel.length())
                    }
                    Grip::Dribble => {
                        // From hand to hand, now on this side, now on that one, and farther ahead on the run.
                        let reach = (0.355 + 0.045 * body.vel.length()) * self.reach * body.slack.powf(0.25);
                        body.pos + body.facing.turned(1.1 * (self.ball.bounce_rad * 0.37).sin()) * reach
                    }
                    Grip::Hold => {
                        body.pos
                            + body.facing.turned(0.5 * self.ball.bounce_rad.sin())
                                * (0.34 * self.reach * body.slack.powf(0.25))
                    }
                    Grip::Raise => body.pos - body.pos.unit() * 0.25,
                };
                // The hand follows: the ball does not jump when the holder turns.
                let follow = 1.0 - (-dt / 0.05).exp();
                self.ball.pos = (self.ball.pos + body.vel * dt).toward(hand, follow);
                let z = match grip {
                    Grip::Dribble => {
                        self.ball.bounce_rad += dt * std::f64::consts::PI * 1.7;
                        BALL_RADIUS_M + self.gait.pick(1.0, 0.78) * self.ball.bounce_rad.cos().abs()
                    }
                    Grip::Hold => {
                        self.ball.bounce_rad += dt * 2.0;
                        1.2
                    }
                    Grip::Raise => RELEASE_M,
                };
                let lift = 1.0 - (-dt / 0.06).exp();
                // Hands are quick, but not quicker than 7 m/s.
                self.ball.z += ((z - self.ball.z) * lift).clamp(-7.0 * dt, 7.0 * dt);
            }
            BallState::Pass {
                from,
                z0,
                to,
                elapsed_s,
                duration_s,
            } => {
                let elapsed = elapsed_s + dt;
                let body = &self.bodies[to];
                let hands = body.pos + body.facing * 0.34;
                let share = (elapsed / duration_s).min(1.0);
                self.ball.pos = from.toward(hands, share);
                self.ball.z = Flight::between(from, z0, hands, 1.3, duration_s)
                    .at(elapsed.min(duration_s))
                    .1;
                if share >= 1.0 {
                    self.give(to, Grip::Hold);
                } else {
                    self.ball.state = BallState::Pass {
                        from,
                        z0,
                        to,
                        elapsed_s: elapsed,
                        duration_s,
                    };
                }
            }
            BallState::Free(mut flight) => {
                flight.elapsed_s += dt;
                let (pos, z) = flight.at(flight.elapsed_s);
                self.ball.pos = pos;
                self.ball.z = z;
                self.ball.state = BallState::Free(flight);
                if z <= BALL_RADIUS_M && flight.rise_at(flight.elapsed_s) < 0.0 {
                    self.ball.z = BALL_RADIUS_M;
                    let up = -0.7 * flight.rise_at(flight.elapsed_s);
                    self.ball.state = if up > 0.9 {
                        let v0 = flight.v0 * 0.75;
                        BallState::Free(Flight {
                            p0: pos,
                            v0,
                            z0: BALL_RADIUS_M,
                            w0: up,
                            elapsed_s: 0.0,
                        })
                    } else {
                        BallState::Rolling { vel: flight.v0 * 0.7 }
                    };
                }
            }
            BallState::Rolling { vel } => {
                self.ball.pos += vel * dt;
                self.ball.z = BALL_RADIUS_M;
                self.ball.state = BallState::Rolling {
                    vel: vel * (-dt / 1.2).exp(),
                };
            }
            BallState::Dead | BallState::Unseen => {}
        }
    }
}
