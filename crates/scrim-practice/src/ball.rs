//! The ball: in a hand, on its way to one, in free flight, or out of play.

use crate::vec2::Vec2;

/// Standard acceleration of free fall, m/s² (CGPM 1901, resolution 2).
pub(crate) const GRAVITY_MPS2: f64 = 9.806_65;
/// Height of the rim above the floor (FIBA Official Basketball Rules, Equipment), metres.
pub(crate) const RIM_M: f64 = 3.05;
/// Where a shot leaves the hand, metres above the floor. Common practice, no source.
pub(crate) const RELEASE_M: f64 = 2.1;
/// The ball's radius, metres (size 7, circumference 75–77 cm by the same rules).
pub(crate) const BALL_RADIUS_M: f64 = 0.12;

/// Free flight from an instant on: `p = p0 + v0 t`, `z = z0 + w0 t − g t² / 2`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flight {
    pub p0: Vec2,
    pub v0: Vec2,
    pub z0: f64,
    pub w0: f64,
    pub elapsed_s: f64,
}

impl Flight {
    pub fn at(&self, t: f64) -> (Vec2, f64) {
        (
            self.p0 + self.v0 * t,
            self.z0 + self.w0 * t - 0.5 * GRAVITY_MPS2 * t * t,
        )
    }

    /// The flight from `(p0, z0)` that is at `(p1, z1)` after `duration_s`.
    pub fn between(p0: Vec2, z0: f64, p1: Vec2, z1: f64, duration_s: f64) -> Self {
        let v0 = (p1 - p0) * (1.0 / duration_s);
        let w0 = (z1 - z0) / duration_s + 0.5 * GRAVITY_MPS2 * duration_s;
        Self {
            p0,
            v0,
            z0,
            w0,
            elapsed_s: 0.0,
        }
    }

    /// Vertical speed after `t` seconds, up is positive.
    pub fn rise_at(&self, t: f64) -> f64 {
        self.w0 - GRAVITY_MPS2 * t
    }
}

/// How a holder has the ball.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Grip {
    /// Dribbles, standing or moving.
    Dribble,
    /// In both hands.
    Hold,
    /// Over the head, toward the hoop: about to be shot.
    Raise,
}

/// Where the ball is bound to.
#[derive(Debug, Clone, Copy)]
pub(crate) enum BallState {
    Held {
        slot: usize,
        grip: Grip,
    },
    /// To the hands of `to`; arrives there whatever the receiver does meanwhile.
    Pass {
        from: Vec2,
        z0: f64,
        to: usize,
        elapsed_s: f64,
        duration_s: f64,
    },
    /// A shot or a bounce in the air.
    Free(Flight),
    /// On the floor, slowing down.
    Rolling {
        vel: Vec2,
    },
    /// Out of play, at a spot (a referee has it, or it lies there).
    Dead,
    /// Out of play and not seen by the cameras.
    Unseen,
}

/// The ball in the attack frame.
#[derive(Debug, Clone)]
pub(crate) struct Ball {
    pub state: BallState,
    pub pos: Vec2,
    pub z: f64,
    /// Phase of the dribble, radians.
    pub bounce_rad: f64,
}

impl Ball {
    pub fn new() -> Self {
        Self {
            state: BallState::Dead,
            pos: Vec2::ZERO,
            z: 1.0,
            bounce_rad: 0.0,
        }
    }

    /// The slot that has it in hand.
    pub fn holder(&self) -> Option<usize> {
        match self.state {
            BallState::Held { slot, .. } => Some(slot),
            BallState::Pass { .. }
            | BallState::Free(_)
            | BallState::Rolling { .. }
            | BallState::Dead
            | BallState::Unseen => None,
        }
    }
}

/// Seconds a shot from `distance_m` is in the air until it is at the rim: a jump shot of middling arc.
/// Chosen so that a free throw takes 0.9 s and a three 1.15 s; common practice, no source.
pub(crate) fn shot_duration_s(distance_m: f64) -> f64 {
    (0.5 + 0.095 * distance_m).max(0.55)
}
