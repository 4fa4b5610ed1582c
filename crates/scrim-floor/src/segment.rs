//! Segments and the distance to them.

use crate::{Point, Vector};

/// A straight piece from `start` to `end`, both in the frame `F`.
#[derive(Debug)]
pub struct Segment<F> {
    /// Where it begins.
    pub start: Point<F>,
    /// Where it ends.
    pub end: Point<F>,
}

impl<F> Clone for Segment<F> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<F> Copy for Segment<F> {}

impl<F> Segment<F> {
    /// The segment from `start` to `end`.
    pub const fn new(start: Point<F>, end: Point<F>) -> Self {
        Self { start, end }
    }

    /// The vector from start to end.
    pub fn span(self) -> Vector<F> {
        self.end - self.start
    }

    /// Where the foot of `p` lies along the segment's line, as a share: 0 at the start, 1 at the end, outside
    /// that range beyond them. 0 for a segment of zero length.
    pub fn share_along(self, p: Point<F>) -> f32 {
        let along = self.span();
        // A handler right under the hoop makes the lane a point: 0/0, but for the lower bound.
        (p - self.start).dot(along) / along.dot(along).max(f32::MIN_POSITIVE)
    }
}

/// Distance in metres from `p` to the closed segment `s`.
///
/// A segment of zero length counts as the point `s.start`; a NaN coordinate gives NaN.
/// Formula: C. Ericson, *Real-Time Collision Detection* (2005), section 5.1.2.
pub fn distance_to_segment_m<F>(p: Point<F>, s: Segment<F>) -> f32 {
    p.distance_m(s.start + s.span() * s.share_along(p).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::CourtFrame;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn from_the_right_angle_of_a_3_4_5_triangle_the_distance_is_its_height() {
        // The height on the hypotenuse is 3 · 4 / 5 = 2.4.
        let lane = Segment::new(Point::<CourtFrame>::new(3.0, 0.0), Point::new(0.0, 4.0));
        assert_relative_eq!(
            distance_to_segment_m(Point::new(0.0, 0.0), lane),
            2.4,
            max_relative = 1e-6
        );
    }

    #[test]
    fn beyond_the_end_the_distance_is_to_the_end() {
        let lane = Segment::new(Point::<CourtFrame>::new(0.0, 0.0), Point::new(1.0, 0.0));
        // (4, 4) is 3 along and 4 across from the end (1, 0).
        assert_relative_eq!(
            distance_to_segment_m(Point::new(4.0, 4.0), lane),
            5.0,
            max_relative = 1e-6
        );
    }

    #[test]
    fn a_segment_of_zero_length_is_a_point() {
        let spot = Segment::new(Point::<CourtFrame>::new(1.0, 1.0), Point::new(1.0, 1.0));
        assert_relative_eq!(distance_to_segment_m(Point::new(1.0, 3.0), spot), 2.0);
    }

    #[test]
    fn a_missing_coordinate_gives_nan() {
        let lane = Segment::new(Point::<CourtFrame>::new(0.0, 0.0), Point::new(1.0, 0.0));
        assert!(distance_to_segment_m(Point::new(f32::NAN, 0.0), lane).is_nan());
    }

    proptest! {
        #[test]
        fn no_point_of_the_segment_is_nearer_than_the_distance(
            ax in -14.0f32..14.0, ay in -8.0f32..8.0, bx in -14.0f32..14.0, by in -8.0f32..8.0,
            px in -14.0f32..14.0, py in -8.0f32..8.0,
        ) {
            let p = Point::<CourtFrame>::new(px, py);
            let lane = Segment::new(Point::new(ax, ay), Point::new(bx, by));
            let found = distance_to_segment_m(p, lane);
            // Plain search: the nearest of 257 points along it. The true minimum lies within half a step of one.
            let plain = (0..=256).map(|i| p.distance_m(lane.start.toward(lane.end, i as f32 / 256.0))).fold(f32::INFINITY, f32::min);
            let half_step_m = lane.span().length() / 512.0;
            prop_assert!(found <= plain + 1e-4 && found >= plain - half_step_m - 1e-4, "{found} {plain}");
        }

        #[test]
        fn measured_from_the_other_end_the_distance_is_the_same(
            ax in -14.0f32..14.0, ay in -8.0f32..8.0, bx in -14.0f32..14.0, by in -8.0f32..8.0,
            px in -14.0f32..14.0, py in -8.0f32..8.0,
        ) {
            let p = Point::<CourtFrame>::new(px, py);
            let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
            let there = distance_to_segment_m(p, Segment::new(a, b));
            let back = distance_to_segment_m(p, Segment::new(b, a));
            prop_assert!((there - back).abs() < 1e-4);
        }
    }
}
