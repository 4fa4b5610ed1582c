//! Points and vectors that carry their frame of reference in their type.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A frame of reference on the floor.
pub trait Frame: Copy + fmt::Debug + 'static {}

/// Origin at centre court, x along the length, y across, metres, right-handed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CourtFrame {}

/// Origin on the floor under the centre of the attacked hoop; +x from that hoop toward half court; +y to the
/// right of a player who stands at half court and faces that hoop; metres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AttackFrame {}

impl Frame for CourtFrame {}
impl Frame for AttackFrame {}

/// A spot on the floor, metres, in the frame `F`.
pub struct Point<F> {
    /// Along the frame's x axis, metres.
    pub x_m: f32,
    /// Along the frame's y axis, metres.
    pub y_m: f32,
    frame: PhantomData<F>,
}

/// A displacement (metres) or a velocity (metres per second), in the frame `F`.
pub struct Vector<F> {
    /// Along the frame's x axis.
    pub x: f32,
    /// Along the frame's y axis.
    pub y: f32,
    frame: PhantomData<F>,
}

// Derived impls would need the same traits of `F`; the marker has no values, so it owes none.
impl<F> Clone for Point<F> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<F> Copy for Point<F> {}
impl<F> PartialEq for Point<F> {
    fn eq(&self, other: &Self) -> bool {
        self.x_m == other.x_m && self.y_m == other.y_m
    }
}
impl<F> fmt::Debug for Point<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "({} m, {} m)", self.x_m, self.y_m)
    }
}
impl<F> Clone for Vector<F> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<F> Copy for Vector<F> {}
impl<F> PartialEq for Vector<F> {
    fn eq(&self, other: &Self) -> bool {
        self.x == other.x && self.y == other.y
    }
}
impl<F> fmt::Debug for Vector<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "[{}, {}]", self.x, self.y)
    }
}

impl<F> Point<F> {
    /// The point at (`x_m`, `y_m`), metres.
    pub const fn new(x_m: f32, y_m: f32) -> Self {
        Self {
            x_m,
            y_m,
            frame: PhantomData,
        }
    }

    /// The frame's origin.
    pub const fn origin() -> Self {
        Self::new(0.0, 0.0)
    }

    /// Distance to `other`, metres; NaN if a coordinate is.
    pub fn distance_m(self, other: Self) -> f32 {
        (self - other).length()
    }

    /// The point that lies `share` of the way to `other` (0 here, 1 there).
    pub fn toward(self, other: Self, share: f32) -> Self {
        self + (other - self) * share
    }

    /// Whether both coordinates are finite numbers.
    pub fn is_finite(self) -> bool {
        self.x_m.is_finite() && self.y_m.is_finite()
    }
}

impl<F> Vector<F> {
    /// The vector (`x`, `y`).
    pub const fn new(x: f32, y: f32) -> Self {
        Self {
            x,
            y,
            frame: PhantomData,
        }
    }

    /// The null vector.
    pub const fn zero() -> Self {
        Self::new(0.0, 0.0)
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f32 {
        self.x * other.x + self.y * other.y
    }

    /// The z component of the cross product: positive when `other` points to the left of `self` in a
    /// right-handed frame (x right, y up), negative when to the right.
    pub fn cross(self, other: Self) -> f32 {
        self.x * other.y - self.y * other.x
    }

    /// Euclidean length.
    pub fn length(self) -> f32 {
        self.dot(self).sqrt()
    }

    /// The vector of length 1 in this direction; the null vector stays null.
    pub fn unit(self) -> Self {
        let length = self.length();
        if length > f32::MIN_POSITIVE {
            self / length
        } else {
            Self::zero()
        }
    }

    /// The vector turned a quarter turn from +x toward +y.
    pub fn quarter_turn(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// Angle between the two directions, degrees, 0 to 180; `None` if either is null or not finite.
    pub fn angle_to_deg(self, other: Self) -> Option<f32> {
        let product = self.length() * other.length();
        if !(product.is_finite() && product > f32::MIN_POSITIVE) {
            return None;
        }
        Some((self.dot(other) / product).clamp(-1.0, 1.0).acos().to_degrees())
    }
}

impl<F> Sub for Point<F> {
    type Output = Vector<F>;
    fn sub(self, other: Self) -> Vector<F> {
        Vector::new(self.x_m - other.x_m, self.y_m - other.y_m)
    }
}
impl<F> Add<Vector<F>> for Point<F> {
    type Output = Self;
    fn add(self, v: Vector<F>) -> Self {
        Self::new(self.x_m + v.x, self.y_m + v.y)
    }
}
impl<F> AddAssign<Vector<F>> for Point<F> {
    fn add_assign(&mut self, v: Vector<F>) {
        *self = *self + v;
    }
}
impl<F> Sub<Vector<F>> for Point<F> {
    type Output = Self;
    fn sub(self, v: Vector<F>) -> Self {
        Self::new(self.x_m - v.x, self.y_m - v.y)
    }
}
impl<F> Add for Vector<F> {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.y + o.y)
    }
}
impl<F> Sub for Vector<F> {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.y - o.y)
    }
}
impl<F> Mul<f32> for Vector<F> {
    type Output = Self;
    fn mul(self, k: f32) -> Self {
        Self::new(self.x * k, self.y * k)
    }
}
impl<F> Div<f32> for Vector<F> {
    type Output = Self;
    fn div(self, k: f32) -> Self {
        Self::new(self.x / k, self.y / k)
    }
}
impl<F> Neg for Vector<F> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_quarter_turn_of_plus_x_is_plus_y() {
        assert_eq!(
            Vector::<CourtFrame>::new(1.0, 0.0).quarter_turn(),
            Vector::new(0.0, 1.0)
        );
    }

    #[test]
    fn the_angle_of_a_null_vector_is_unknown() {
        let east = Vector::<CourtFrame>::new(1.0, 0.0);
        assert_eq!(Vector::zero().angle_to_deg(east), None);
        assert_eq!(east.angle_to_deg(Vector::new(0.0, 2.0)), Some(90.0));
    }

    #[test]
    fn the_unit_of_a_null_vector_is_null() {
        assert_eq!(Vector::<CourtFrame>::zero().unit(), Vector::zero());
    }

    proptest! {
        #[test]
        fn a_quarter_turn_keeps_length_and_stands_square(x in -30.0f32..30.0, y in -30.0f32..30.0) {
            let v = Vector::<CourtFrame>::new(x, y);
            let turned = v.quarter_turn();
            prop_assert_eq!(turned.length(), v.length());
            prop_assert_eq!(turned.dot(v), 0.0);
            prop_assert!(v.cross(turned) >= 0.0);
            prop_assert_eq!(turned.quarter_turn(), -v);
        }

        #[test]
        fn the_angle_is_the_same_both_ways_and_fills_up_to_180(
            ax in -9.0f32..9.0, ay in -9.0f32..9.0, bx in -9.0f32..9.0, by in -9.0f32..9.0,
        ) {
            let (a, b) = (Vector::<CourtFrame>::new(ax, ay), Vector::new(bx, by));
            prop_assume!(a.length() > 0.01 && b.length() > 0.01);
            let (there, back, behind) = (a.angle_to_deg(b), b.angle_to_deg(a), a.angle_to_deg(-b));
            prop_assert_eq!(there, back);
            // Near 0 and 180 the arc cosine loses half of the digits: 2e-4 rad or 0.02 degrees and some.
            prop_assert!((there.unwrap() + behind.unwrap() - 180.0).abs() < 0.1);
        }
    }
}
