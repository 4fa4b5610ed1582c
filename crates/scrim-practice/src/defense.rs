//! What defenders do: canonical position by default, and the jobs a ball screen gives them.

use crate::duty::Duty;
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::World;

/// Weights of the canonical position: attacker, ball, hoop (Franks, Miller, Bornn & Goldsberry 2015, as the
/// vocabulary has them). The hoop is the frame's origin, so its weight needs no term.
const CANONICAL: (f64, f64) = (0.62, 0.11);

/// How far toward the hoop from their player defenders off the ball stand, metres: always, and for each metre of the player from the
/// hoop, of the player from the ball, and of the ball from the hoop. Least squares over 448 windows of real scenes gave -0.49, 0.419, 0.18 and -0.158;
/// less here, because slack takes them nearer the hoop on average.
const DEPTH: [f64; 4] = [-0.8, 0.419, 0.18, -0.158];
/// How far to the ball's side of the line to the hoop, metres: always, and for each metre of the player from the ball. From the same scenes.
const BALLWARD: [f64; 2] = [0.191, 0.046];

/// How much nearer the hoop a defender off the ball sinks for each unit of slack, as a share. Chosen so that distances agree with real ones.
const SINK: f64 = 0.5;

impl World<'_> {
    /// Where canonical position is on the player at `player` with the ball at `ball`.
    pub fn canonical(player: Vec2, ball: Vec2) -> Vec2 {
        player * CANONICAL.0 + ball * CANONICAL.1
    }

    /// Where a defender off the ball stands, as measured in real scenes: the farther the player from the hoop and from the ball, the
    /// deeper; the nearer the ball to the hoop, the deeper too; and a step toward the ball.
    fn helping_spot(player: Vec2, ball: Vec2) -> Vec2 {
        let (from_hoop, from_ball) = (player.length(), player.distance(ball));
        let [always, by_player, by_gap, by_ball] = DEPTH;
        let depth_m = always + by_player * from_hoop + by_gap * from_ball + by_ball * ball.length();
        let inward = -player.unit();
        let aside = inward.quarter_turn();
        let to_ball = if (ball - player).dot(aside) < 0.0 {
            -1.0
        } else {
            1.0
        };
        let [always, by_gap] = BALLWARD;
        // Never behind the hoop, and hardly in front of the player.
        let depth_m = depth_m.min(from_hoop - 0.3).max(-0.5);
        player + inward * depth_m + aside * (to_ball * (always + by_gap * from_ball))
    }

    /// The wished velocity of defender `slot`.
    pub fn duty_wish(&mut self, slot: usize) -> Vec2 {
        let (target, lead, urgency) = self.duty_target(slot);
        let body = &self.bodies[slot];
        let target = target + body.sway;
        let way = target - body.pos;
        // Proportional pull plus what the player's own motion needs; far away it saturates at a run.
        let speed = body.limits.speed_mps * urgency;
        let (margin, idle_m, pull) = self.gait.pick((0.45, 0.18, 1.5), (0.55, 0.0, 3.2));
        let braking = (2.0 * margin * body.limits.decel_mps2 * way.length()).sqrt();
        lead + way.unit() * ((way.length() - idle_m).max(0.0) * pull).min(braking).min(speed)
    }

    /// Target, the velocity it moves with as far as the defender knows, and how hard to run (share of top speed).
    fn duty_target(&self, slot: usize) -> (Vec2, Vec2, f64) {
        let player = self.guards[slot];
        let (handler, handler_vel) = self.perceived(slot, self.handler);
        let (ball, _) = self.perceived(slot, 10);
        let toward_hoop = -handler.unit();
        match self.duties[slot] {
            Duty::Guard => self.guard_target(slot, player, ball),
            Duty::Sag { gap_m } => (handler + toward_hoop * gap_m, handler_vel * 0.6, 0.7),
            Duty::Over { screen, out } => {
                let along = (self.pos(slot) - screen).dot(out);
                if along < 0.15 {
                    // Up to the gate on the handler's side first, then over the top of the screen, behind the handler.
                    let up = screen.unit();
                    let is_above = (self.pos(slot) - screen).dot(up) > 0.3;
                    // In order the gate is wider: the handler comes nearer by the screener.
                    let target = if is_above {
                        screen + up * self.style.pick(0.6, 0.75) + out * 0.7
                    } else {
                        let (above_m, before_m) = self.style.pick((0.6, 0.2), (0.85, 0.35));
                        screen + up * above_m - out * before_m
                    };
                    (target, handler_vel * 0.35, 1.0)
                } else {
                    let (target, lead, _) = self.guard_target(slot, player, ball);
                    (target, lead, 1.0)
                }
            }
            Duty::Under { screen, out } => {
                let along = (self.pos(slot) - screen).dot(out);
                if along < 0.2 {
                    let below = screen - screen.unit() * self.style.pick(0.75, 0.95) + out * 0.5;
                    (below, out * 0.8, 1.0)
                } else {
                    let (target, lead, _) = self.guard_target(slot, player, ball);
                    (target, lead, 1.0)
                }
            }
            Duty::Drop { screen, depth_m } => {
                let reach = (screen.length() - depth_m).min(handler.length() - 1.3).max(0.7);
                let (roller, _) = self.perceived(slot, player);
                let line = (handler.unit() * 0.7 + roller.unit() * 0.3).unit();
                (line * reach, handler_vel * 0.3, 0.85)
            }
            Duty::Level { screen, out } => {
                // On the shoulder until the handler is round the screen, then in front, giving ground.
                let round = (handler - screen).dot(out) > 0.3;
                if round {
                    // No farther out than the screen: beyond it would be a hedge.
                    let reach = (handler.length() - 1.7).min(screen.length() - 0.1).max(0.8);
                    (handler.unit() * reach + out * 0.2, handler_vel * 0.7, 1.0)
                } else {
                    (screen + out * 0.85 - screen.unit() * 0.25, Vec2::ZERO, 0.9)
                }
            }
            Duty::Show { screen, out } => (screen + out * 0.7 - screen.unit() * 0.4, Vec2::ZERO, 1.0),
            Duty::Hedge { screen, out } => {
                let up = screen.unit();
                let line = screen + out * 1.1 + up * 1.0;
                // Into the handler's way, and along with the handler for a while.
                let beside = handler + out * 0.95 + up * 0.15;
                let round = (handler - screen).dot(out) > 0.1;
                if round {
                    (beside, handler_vel * 0.7, 1.0)
                } else {
                    (line, Vec2::ZERO, 1.0)
                }
            }
            Duty::Double { side } => (handler + side * 0.95, handler_vel * 0.8, 1.0),
            Duty::Ice { out } => (handler + out * 0.75 + toward_hoop * 0.65, handler_vel * 0.8, 1.0),
            Duty::IceLow { out } => {
                let reach = (handler.length() - 3.1).max(1.2);
                (handler.unit() * reach - out * 0.7, handler_vel * 0.4, 0.9)
            }
            Duty::Deny => {
                let (spot, vel) = self.perceived(slot, player);
                (spot + (ball - spot).unit() * 1.35, vel * 0.7, 1.0)
            }
            Duty::Tag { roller } => {
                let (spot, vel) = self.perceived(slot, roller);
                let ahead = spot + (-spot.unit()) * 0.9 + vel * 0.15;
                (ahead, vel * 0.4, 1.0)
            }
            Duty::Stay { screen, out } => {
                (screen - screen.unit() * 0.85 - out * 0.25, handler_vel * 0.1, 0.9)
            }
            Duty::Take => {
                let (spot, vel) = self.perceived(slot, player);
                (spot - spot.unit() * 0.8, vel * 0.9, 1.0)
            }
            Duty::Lane => {
                let (player_spot, _) = self.perceived(slot, player);
                (
                    v2(player_spot.x.clamp(1.4, 3.4), player_spot.y.clamp(-1.0, 1.0)),
                    Vec2::ZERO,
                    0.9,
                )
            }
            Duty::Stunt => {
                let (player_spot, _) = self.perceived(slot, player);
                (
                    player_spot.toward(handler, 0.7) + toward_hoop * 0.4,
                    Vec2::ZERO,
                    1.0,
                )
            }
            Duty::Spot { spot } => (spot, Vec2::ZERO, 0.8),
        }
    }

    fn guard_target(&self, slot: usize, player: usize, ball: Vec2) -> (Vec2, Vec2, f64) {
        let body = &self.bodies[slot];
        let (spot, vel) = self.perceived(slot, player);
        let toward_hoop = -spot.unit();
        let far = self.hoop_x_m() - 1.0;
        if player == self.handler {
            // An arm and a step away where the handler can score, more where not; in the back court only a press follows.
            let from_hoop = spot.length();
            let gap = if from_hoop < 3.0 {
                0.75
            } else {
                0.75 + self.gait.pick(0.135, 0.1) * (from_hoop - 3.0).min(9.0)
            };
            let mut target = spot + toward_hoop * (gap * body.looseness * body.slack / self.looseness.sqrt());
            if spot.x > far && !self.presses {
                target.x = target.x.min(far - 1.5);
            }
            (target, vel * 0.85, 1.0)
        } else {
            let canonical = match self.gait {
                Style::Lively => Self::helping_spot(spot, ball),
                Style::Orderly => Self::canonical(spot, ball),
            };
            // Loose defenders sink toward the hoop, tight ones deny.
            let (sunk_by_style, follows) = self.gait.pick((0.05, 0.5), (0.0, 0.6));
            let sunk =
                0.16 * (body.looseness - 1.0) + SINK * (body.slack * self.looseness - 1.0) + sunk_by_style;
            let mut target = canonical * (1.0 - sunk.clamp(-0.15, 0.6));
            if !self.presses {
                target.x = target.x.min(far - 1.5);
            }
            let hurry = if body.pos.distance(target) > 3.0 {
                0.95
            } else {
                0.8
            };
            (target, vel * follows, hurry)
        }
    }
}
