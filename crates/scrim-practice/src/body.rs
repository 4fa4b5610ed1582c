//! A player as a body: a point with limits of speed and acceleration that steers for a wished velocity.

use crate::dice::Dice;
use crate::style::Style;
use crate::vec2::Vec2;

/// What a body can do. Sizes are common sense of sprint tests, from memory: guards near 7 m/s, post players near 6.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    pub speed_mps: f64,
    /// Speeding up and turning.
    pub accel_mps2: f64,
    /// Slowing down.
    pub decel_mps2: f64,
}

/// Ceilings over every body of the league; tests hold the tracks against them.
#[cfg(test)]
pub(crate) const MAX_SPEED_MPS: f64 = 7.4;
/// Ceiling of any change of velocity.
#[cfg(test)]
pub(crate) const MAX_ACCEL_MPS2: f64 = 6.0;

/// Time in which a body takes on a wished velocity, seconds. Chosen so that accelerations agree with real tracks.
const EASE_S: f64 = 0.37;

/// A player on the floor.
#[derive(Debug, Clone)]
pub(crate) struct Body {
    /// Index into the fixture's players.
    pub player: u8,
    pub pos: Vec2,
    pub vel: Vec2,
    /// Where they face; turns with their motion.
    pub facing: Vec2,
    pub limits: Limits,
    /// Set as a screener: nobody's push moves them.
    pub planted: bool,
    /// Defensive habits: how far off they play (1 is the canonical gap), and how late they react.
    pub looseness: f64,
    pub reaction_s: f64,
    /// A slow wander around the place where the player means to be.
    pub sway: Vec2,
    /// Where the wander is bound to, how much looser than usual the player defends meanwhile (a factor), and for how long yet.
    pub sway_goal: Vec2,
    pub slack: f64,
    pub slack_goal: f64,
    pub sway_left_s: f64,
    /// What a player does who has nothing to do.
    pub roam: crate::roam::Roam,
}

impl Body {
    /// A body of slot `slot` (0 guard … 4 center) whose limits are drawn from `dice`.
    pub fn new(player: u8, slot: usize, dice: &mut Dice) -> Self {
        let (speed, accel) = [(6.9, 4.9), (6.8, 4.8), (6.6, 4.6), (6.2, 4.3), (5.9, 4.1)][slot];
        Self {
            player,
            pos: Vec2::ZERO,
            vel: Vec2::ZERO,
            facing: Vec2 { x: -1.0, y: 0.0 },
            limits: Limits {
                speed_mps: speed + dice.between(-0.25, 0.35),
                accel_mps2: accel + dice.between(-0.3, 0.3),
                decel_mps2: accel + dice.between(0.3, 0.7),
            },
            planted: false,
            looseness: dice.between(0.85, 1.25),
            reaction_s: dice.between(0.2, 0.35),
            sway: Vec2::ZERO,
            sway_goal: Vec2::ZERO,
            slack: 1.0,
            slack_goal: 1.0,
            sway_left_s: 0.0,
            roam: crate::roam::Roam::default(),
        }
    }

    /// One step of `dt_s`: the velocity moves toward `wish` as fast as the limits let it, then the spot follows.
    pub fn step(&mut self, wish: Vec2, dt_s: f64, style: Style) {
        let wish = wish.capped(self.limits.speed_mps);
        let change = wish - self.vel;
        // Against the motion a body brakes, otherwise it pushes off.
        let limit = if change.dot(self.vel) < 0.0 {
            self.limits.decel_mps2
        } else {
            self.limits.accel_mps2
        };
        // Nobody changes the velocity at once: the change takes its time, and the limits still hold. In order only the limits do.
        self.vel += match style {
            Style::Lively => (change * (1.0 / EASE_S)).capped(limit) * dt_s,
            Style::Orderly => change.capped(limit * dt_s),
        };
        self.pos += self.vel * dt_s;
        if self.vel.length() > 0.4 {
            let turn = 1.0 - (-dt_s / 0.2).exp();
            self.facing = self.facing.toward(self.vel.unit(), turn).unit();
        }
        if self.facing == Vec2::ZERO {
            self.facing = Vec2 { x: -1.0, y: 0.0 };
        }
    }

    /// The velocity that brings the body to `spot` and stops it there, moving at most at `speed_mps`.
    pub fn arrive(&self, spot: Vec2, speed_mps: f64, style: Style) -> Vec2 {
        let way = spot - self.pos;
        let distance = way.length();
        // v² = 2 a d, with a margin, and a linear end so that nobody hunts around the spot.
        let (margin, pull) = style.pick((0.45, 1.5), (0.6, 3.0));
        let braking = (2.0 * margin * self.limits.decel_mps2 * distance)
            .sqrt()
            .min(distance * pull);
        way.unit() * braking.min(speed_mps)
    }

    /// The velocity that takes the body past `spot` without slowing down.
    pub fn pass_through(&self, spot: Vec2, speed_mps: f64) -> Vec2 {
        (spot - self.pos).unit() * speed_mps
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Purpose;
    use crate::vec2::v2;

    #[test]
    fn a_body_never_breaks_its_limits_and_stops_on_its_spot() {
        let mut dice = Dice::new(7, 0, Purpose::Play);
        for (slot, style) in (0..5).flat_map(|slot| [(slot, Style::Lively), (slot, Style::Orderly)]) {
            let mut body = Body::new(0, slot, &mut dice);
            let dt = 0.04;
            for _ in 0..250 {
                let before = body.vel;
                body.step(body.arrive(v2(9.0, -4.0), 9.0, style), dt, style);
                let accel = (body.vel - before).length() / dt;
                assert!(
                    accel <= MAX_ACCEL_MPS2 && body.vel.length() <= MAX_SPEED_MPS,
                    "{accel} {:?}",
                    body.vel
                );
            }
            assert!(
                body.pos.distance(v2(9.0, -4.0)) < 0.02 && body.vel.length() < 0.05,
                "{body:?}"
            );
        }
    }
}
