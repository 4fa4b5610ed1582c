//! Source coordinates to the court frame.

use scrim_floor::Court;

use crate::mapping::PlaceMapping;

/// A place farther than this outside the lines is refused, m: benches, runs into the seats and a ball thrown away lie within.
const MAX_OFF_COURT_M: f64 = 10.0;
/// A height above this, or below the floor by more than 1 m, is refused, m: roofs lie within.
const MAX_HEIGHT_M: f64 = 30.0;

/// The way from a source's coordinates to the court frame, and the bounds of what can be.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ToCourt {
    /// Court x and y of the source's origin, m.
    origin_m: (f64, f64),
    /// Court x and y of one unit along the source's first coordinate, m.
    x_unit_m: (f64, f64),
    /// The same of its second.
    y_unit_m: (f64, f64),
    /// One unit of height, m.
    pub z_unit_m: f64,
    /// The largest |x| that is taken, m.
    pub max_x_m: f64,
    /// The largest |y| that is taken, m.
    pub max_y_m: f64,
    /// The largest height that is taken, m.
    pub max_z_m: f64,
}

/// The lowest height that is taken, m: a tracked ball on the floor scatters to below it.
pub(crate) const MIN_Z_M: f64 = -1.0;

impl ToCourt {
    pub(crate) fn new(place: &PlaceMapping, court: &Court) -> Self {
        let (half_length, half_width) = (f64::from(court.length_m) / 2.0, f64::from(court.width_m) / 2.0);
        let unit = place.unit.in_m();
        let scaled = |(x, y): (f64, f64)| (x * unit, y * unit);
        let (halves_x, halves_y) = place.origin.halves();
        Self {
            origin_m: (halves_x * half_length, halves_y * half_width),
            x_unit_m: scaled(place.x_points.vector()),
            y_unit_m: scaled(place.y_points().vector()),
            z_unit_m: unit,
            max_x_m: half_length + MAX_OFF_COURT_M,
            max_y_m: half_width + MAX_OFF_COURT_M,
            max_z_m: MAX_HEIGHT_M,
        }
    }

    /// Court x and y, m.
    #[inline]
    pub(crate) fn place_m(&self, x: f64, y: f64) -> (f64, f64) {
        (
            self.origin_m.0 + x * self.x_unit_m.0 + y * self.y_unit_m.0,
            self.origin_m.1 + x * self.x_unit_m.1 + y * self.y_unit_m.1,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mapping::{LengthUnit, Origin, Points};
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    fn to_court(place: PlaceMapping) -> ToCourt {
        ToCourt::new(&place, &Court::nba())
    }

    #[test]
    fn feet_from_the_bottom_left_corner_find_the_middle() {
        let place = PlaceMapping {
            unit: LengthUnit::Ft,
            origin: Origin::BottomLeft,
            ..PlaceMapping::default()
        };
        let (x, y) = to_court(place).place_m(47.0, 25.0);
        assert_abs_diff_eq!(x, 0.0, epsilon = 1e-6);
        assert_abs_diff_eq!(y, 0.0, epsilon = 1e-6);
    }

    #[test]
    fn y_down_from_the_top_left_is_turned_over() {
        let place = PlaceMapping {
            unit: LengthUnit::Ft,
            origin: Origin::TopLeft,
            y_points: Some(Points::Down),
            ..PlaceMapping::default()
        };
        // 10 ft below the upper sideline: 25 − 10 = 15 ft above the middle, 4.572 m.
        assert_abs_diff_eq!(to_court(place).place_m(47.0, 10.0).1, 4.572, epsilon = 1e-6);
    }

    #[test]
    fn a_first_coordinate_across_the_court_becomes_the_second() {
        let place = PlaceMapping {
            x_points: Points::Down,
            y_points: Some(Points::Right),
            ..PlaceMapping::default()
        };
        assert_eq!(to_court(place).place_m(1.0, 2.0), (2.0, -1.0));
    }

    proptest! {
        #[test]
        fn no_mapping_changes_a_distance(
            a in (-20.0f64..20.0, -20.0f64..20.0), b in (-20.0f64..20.0, -20.0f64..20.0),
            origin in 0usize..5, turned: bool, left: bool, down: bool,
        ) {
            let along = if left { Points::Left } else { Points::Right };
            let across = if down { Points::Down } else { Points::Up };
            let (x_points, y_points) = if turned { (across, along) } else { (along, across) };
            let place = PlaceMapping {
                origin: Origin::ALL[origin], x_points, y_points: Some(y_points), ..PlaceMapping::default()
            };
            let to_court = to_court(place);
            let (p, q) = (to_court.place_m(a.0, a.1), to_court.place_m(b.0, b.1));
            prop_assert!(((p.0 - q.0).hypot(p.1 - q.1) - (a.0 - b.0).hypot(a.1 - b.1)).abs() < 1e-9);
        }
    }
}
