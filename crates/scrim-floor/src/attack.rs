//! Which hoop a team attacks, and the way between the court frame and the attack frame.

use crate::{AttackFrame, Court, CourtFrame, Point, Vector};

/// Which hoop a team attacks, in the court frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AttackDirection {
    /// The hoop at +x.
    PositiveX,
    /// The hoop at −x.
    NegativeX,
}

impl AttackDirection {
    /// The other hoop.
    pub const fn opposite(self) -> Self {
        match self {
            Self::PositiveX => Self::NegativeX,
            Self::NegativeX => Self::PositiveX,
        }
    }

    /// +1 for the hoop at +x, −1 for the other.
    pub const fn sign(self) -> f32 {
        match self {
            Self::PositiveX => 1.0,
            Self::NegativeX => -1.0,
        }
    }
}

impl Court {
    /// A court point as seen by a team that attacks `direction`: a rotation and a shift, never a mirror.
    pub fn to_attack(&self, p: Point<CourtFrame>, direction: AttackDirection) -> Point<AttackFrame> {
        let sign = direction.sign();
        Point::new(self.hoop_x_m() - sign * p.x_m, -sign * p.y_m)
    }

    /// The inverse of [`Court::to_attack`].
    pub fn to_court(&self, p: Point<AttackFrame>, direction: AttackDirection) -> Point<CourtFrame> {
        let sign = direction.sign();
        Point::new(sign * (self.hoop_x_m() - p.x_m), -sign * p.y_m)
    }

    /// A court velocity (or displacement) in the attack frame.
    pub fn vector_to_attack(&self, v: Vector<CourtFrame>, direction: AttackDirection) -> Vector<AttackFrame> {
        let sign = direction.sign();
        Vector::new(-sign * v.x, -sign * v.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    #[test]
    fn the_right_hand_of_a_player_facing_the_hoop_is_plus_y() {
        let court = Court::fiba();
        // Facing +x in a right-handed court frame, the right hand is at −y; facing −x it is at +y.
        let right = court.to_attack(Point::new(0.0, -3.0), AttackDirection::PositiveX);
        assert_abs_diff_eq!(right.y_m, 3.0);
        let right = court.to_attack(Point::new(0.0, 3.0), AttackDirection::NegativeX);
        assert_abs_diff_eq!(right.y_m, 3.0);
    }

    proptest! {
        #[test]
        fn there_and_back_is_where_it_was(x in -16.0f32..16.0, y in -9.0f32..9.0, positive: bool) {
            let court = Court::fiba();
            let d = if positive { AttackDirection::PositiveX } else { AttackDirection::NegativeX };
            let back = court.to_court(court.to_attack(Point::new(x, y), d), d);
            prop_assert!((back.x_m - x).abs() < 1e-5 && (back.y_m - y).abs() < 1e-5);
        }

        #[test]
        fn the_way_to_the_attack_frame_turns_but_never_mirrors(
            ax in -14.0f32..14.0, ay in -7.0f32..7.0, bx in -14.0f32..14.0, by in -7.0f32..7.0, positive: bool,
        ) {
            let court = Court::nba();
            let d = if positive { AttackDirection::PositiveX } else { AttackDirection::NegativeX };
            let (a, b) = (Vector::new(ax, ay), Vector::new(bx, by));
            let turned = court.vector_to_attack(a, d).cross(court.vector_to_attack(b, d));
            prop_assert!((turned - a.cross(b)).abs() < 1e-3);
        }

        #[test]
        fn a_displacement_turns_as_the_points_do(
            ax in -14.0f32..14.0, ay in -7.0f32..7.0, bx in -14.0f32..14.0, by in -7.0f32..7.0, positive: bool,
        ) {
            let court = Court::nba();
            let d = if positive { AttackDirection::PositiveX } else { AttackDirection::NegativeX };
            let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
            let (turned, seen) = (court.vector_to_attack(b - a, d), court.to_attack(b, d) - court.to_attack(a, d));
            prop_assert!((turned - seen).length() < 1e-4);
        }
    }
}
