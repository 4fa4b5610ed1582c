//! The simulator's own plane vector: f64, metres (or m/s), attack frame of the team that has the ball.

use std::ops::{Add, AddAssign, Mul, Neg, Sub};

/// A spot, a displacement or a velocity.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Vec2 {
    pub x: f64,
    pub y: f64,
}

/// Shorthand constructor: scripts are full of spots.
pub(crate) const fn v2(x: f64, y: f64) -> Vec2 {
    Vec2 { x, y }
}

impl Vec2 {
    pub const ZERO: Self = v2(0.0, 0.0);

    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    pub fn distance(self, other: Self) -> f64 {
        (self - other).length()
    }

    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Length one in the same direction; the zero vector stays zero.
    pub fn unit(self) -> Self {
        let length = self.length();
        if length > 1e-9 {
            self * (1.0 / length)
        } else {
            Self::ZERO
        }
    }

    /// Turned by +90 degrees.
    pub fn quarter_turn(self) -> Self {
        v2(-self.y, self.x)
    }

    /// Turned by `angle_rad`.
    pub fn turned(self, angle_rad: f64) -> Self {
        let (sin, cos) = angle_rad.sin_cos();
        v2(self.x * cos - self.y * sin, self.x * sin + self.y * cos)
    }

    /// The same direction, at most `limit` long.
    pub fn capped(self, limit: f64) -> Self {
        let length = self.length();
        if length > limit {
            self * (limit / length)
        } else {
            self
        }
    }

    /// The spot `share` of the way from here to `other`.
    pub fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }
}

impl Add for Vec2 {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        v2(self.x + o.x, self.y + o.y)
    }
}
impl AddAssign for Vec2 {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}
impl Sub for Vec2 {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        v2(self.x - o.x, self.y - o.y)
    }
}
impl Mul<f64> for Vec2 {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        v2(self.x * k, self.y * k)
    }
}
impl Neg for Vec2 {
    type Output = Self;
    fn neg(self) -> Self {
        v2(-self.x, -self.y)
    }
}
