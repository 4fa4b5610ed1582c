//! What a field goal is worth, by the spot.

use crate::{AttackFrame, Court, Point};

/// What a field goal from a spot is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShotValue {
    /// Two points.
    Two,
    /// Three points.
    Three,
}

impl ShotValue {
    /// The points.
    pub const fn points(self) -> u8 {
        match self {
            Self::Two => 2,
            Self::Three => 3,
        }
    }
}

impl Court {
    /// What a field goal taken at `spot` is worth: three points from beyond the outer edge of the line, two from
    /// on it or inside it. `spot` is where the shooter's feet are; a spot behind half court is worth three.
    pub fn shot_value(&self, spot: Point<AttackFrame>) -> ShotValue {
        let beyond = if spot.x_m > self.corner_break_x_m() {
            spot.distance_m(Point::origin()) > self.three_point_radius_m
        } else {
            spot.y_m.abs() > self.corner_line_y_m()
        };
        if beyond { ShotValue::Three } else { ShotValue::Two }
    }

    /// How far `spot` is behind the three-point line (positive) or inside it (negative), metres.
    pub fn beyond_arc_m(&self, spot: Point<AttackFrame>) -> f32 {
        if spot.x_m > self.corner_break_x_m() {
            spot.distance_m(Point::origin()) - self.three_point_radius_m
        } else {
            spot.y_m.abs() - self.corner_line_y_m()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::AttackDirection;
    use proptest::prelude::*;

    #[test]
    fn on_the_line_is_two_and_beyond_it_three() {
        let court = Court::fiba();
        assert_eq!(court.shot_value(Point::new(6.75, 0.0)), ShotValue::Two);
        assert_eq!(court.shot_value(Point::new(6.76, 0.0)), ShotValue::Three);
        // In the corner the line is straight: 7.5 − 0.9 = 6.6 m from the middle.
        assert_eq!(court.shot_value(Point::new(0.0, 6.59)), ShotValue::Two);
        assert_eq!(court.shot_value(Point::new(0.0, -6.61)), ShotValue::Three);
        assert_eq!(court.shot_value(Point::new(-1.0, 6.61)), ShotValue::Three);
    }

    proptest! {
        #[test]
        fn left_and_right_are_worth_the_same(x in -1.6f32..27.0, y in -8.0f32..8.0) {
            for court in [Court::fiba(), Court::nba(), Court::ncaa()] {
                let (here, there) = (Point::new(x, y), Point::new(x, -y));
                prop_assert_eq!(court.shot_value(here), court.shot_value(there));
                prop_assert_eq!(court.beyond_arc_m(here), court.beyond_arc_m(there));
            }
        }

        #[test]
        fn beyond_the_arc_is_where_three_points_are(x in -1.6f32..27.0, y in -8.0f32..8.0) {
            for court in [Court::fiba(), Court::nba(), Court::ncaa()] {
                let spot = Point::new(x, y);
                let beyond = court.beyond_arc_m(spot) > 0.0;
                prop_assert_eq!(beyond, court.shot_value(spot) == ShotValue::Three, "{} {:?}", court.name, spot);
            }
        }

        #[test]
        fn a_step_away_from_the_hoop_never_loses_a_point(
            x in -1.5f32..12.0, y in -8.0f32..8.0, stretch in 1.0f32..2.0,
        ) {
            let court = Court::fiba();
            let (near, far) = (Point::new(x, y), Point::new(x * stretch, y * stretch));
            prop_assert!(court.shot_value(near).points() <= court.shot_value(far).points());
        }

        #[test]
        fn both_teams_see_the_same_value(x in -14.0f32..14.0, y in -7.5f32..7.5) {
            // Turning the court by half a turn swaps the hoops and changes nothing else.
            let court = Court::ncaa();
            let one = court.shot_value(court.to_attack(Point::new(x, y), AttackDirection::PositiveX));
            let other = court.shot_value(court.to_attack(Point::new(-x, -y), AttackDirection::NegativeX));
            prop_assert_eq!(one, other);
        }
    }
}
