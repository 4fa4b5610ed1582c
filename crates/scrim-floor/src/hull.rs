//! Areas of polygons and of the convex hull of a few points: how much floor five players span.
//!
//! The sums run in f64 over f32 coordinates. Each call allocates: these are for an instant (the alignment at the
//! start of a set, a scramble), not for the inner loop over every frame.

use geo::{Area, ConvexHull, Coord, LineString, MultiPoint, Polygon};

use crate::Point;

/// The corners of the convex hull of `points`, counter-clockwise as the frame's axes see it, without repeating the
/// first at the end. Points inside the hull, on its edges or given twice are no corners.
///
/// Empty when there is no hull with an area: fewer than three points, all on one line, or a coordinate that is not
/// finite. Algorithm: quickhull, of the crate `geo` (C. B. Barber, D. P. Dobkin and H. Huhdanpaa, "The Quickhull
/// Algorithm for Convex Hulls", ACM Transactions on Mathematical Software 22(4), 1996).
pub fn convex_hull<F>(points: &[Point<F>]) -> Vec<Point<F>> {
    if points.len() < 3 || !points.iter().all(|p| p.is_finite()) {
        return Vec::new();
    }
    let hull = points
        .iter()
        .map(|&p| geo::Point::from(coord(p)))
        .collect::<MultiPoint<f64>>()
        .convex_hull();
    if hull.unsigned_area() == 0.0 {
        return Vec::new();
    }
    let ring = hull.exterior();
    // Every corner was one of the points, so the way back to f32 is exact.
    let corner = |c: &Coord<f64>| Point::new(c.x as f32, c.y as f32);
    ring.0
        .split_last()
        .map_or(Vec::new(), |(_, corners)| corners.iter().map(corner).collect())
}

/// Area of the convex hull of `points`, square metres.
///
/// Zero for fewer than three points and for points on one line; NaN if a coordinate is not finite.
pub fn hull_area_m2<F>(points: &[Point<F>]) -> f32 {
    if !points.iter().all(|p| p.is_finite()) {
        return f32::NAN;
    }
    polygon_area_m2(&convex_hull(points))
}

/// Area of the polygon whose corners are `corners` in order (the last joins the first), square metres, whichever way
/// round they go.
///
/// Zero for fewer than three corners and for corners on one line; NaN if a coordinate is not finite. A ring that
/// crosses itself gets what the formula gives: parts that are gone round in opposite senses cancel.
/// Formula: the shoelace sum, half of |Σ (xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ)|.
pub fn polygon_area_m2<F>(corners: &[Point<F>]) -> f32 {
    if !corners.iter().all(|p| p.is_finite()) {
        return f32::NAN;
    }
    let ring = corners.iter().map(|&p| coord(p)).collect::<LineString<f64>>();
    Polygon::new(ring, Vec::new()).unsigned_area() as f32
}

fn coord<F>(p: Point<F>) -> Coord<f64> {
    Coord {
        x: f64::from(p.x_m),
        y: f64::from(p.y_m),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{AttackFrame, CourtFrame};
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    type P = Point<CourtFrame>;

    fn points(pairs: &[(f32, f32)]) -> Vec<P> {
        pairs.iter().map(|&(x, y)| P::new(x, y)).collect()
    }

    #[test]
    fn a_3_4_5_triangle_has_half_of_its_legs_product() {
        let triangle = points(&[(0.0, 0.0), (3.0, 0.0), (0.0, 4.0)]);
        assert_relative_eq!(polygon_area_m2(&triangle), 6.0);
        assert_relative_eq!(hull_area_m2(&triangle), 6.0);
    }

    #[test]
    fn a_notch_counts_for_the_polygon_and_not_for_the_hull() {
        // A 4 by 4 square with a notch from its right side to its middle: 16 less a triangle of base 4, height 2.
        let notched = points(&[(0.0, 0.0), (4.0, 0.0), (2.0, 2.0), (4.0, 4.0), (0.0, 4.0)]);
        assert_relative_eq!(polygon_area_m2(&notched), 12.0);
        assert_relative_eq!(hull_area_m2(&notched), 16.0);
        assert_eq!(convex_hull(&notched).len(), 4);
    }

    #[test]
    fn a_bow_tie_cancels() {
        // Two triangles of base 2 and height 1, gone round in opposite senses.
        let bow_tie = points(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]);
        assert_relative_eq!(polygon_area_m2(&bow_tie), 0.0);
        // Its corners are those of a 2 by 2 square.
        assert_relative_eq!(hull_area_m2(&bow_tie), 4.0);
    }

    #[test]
    fn points_that_span_nothing_have_no_area_and_no_hull() {
        let one_line: Vec<P> = (0..5).map(|i| P::new(i as f32 * 0.1, i as f32 * 0.3)).collect();
        let one_spot = vec![P::new(1.5, -2.5); 5];
        for few in [
            &[][..],
            &one_spot[..1],
            &one_line[..2],
            &one_spot,
            &points(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]),
        ] {
            assert_eq!(hull_area_m2(few), 0.0, "{few:?}");
            assert_eq!(polygon_area_m2(few), 0.0, "{few:?}");
            assert!(convex_hull(few).is_empty(), "{few:?}");
        }
        // 0.1 and 0.3 are no binary fractions, so five such steps are only almost on a line.
        assert!(hull_area_m2(&one_line) < 1e-6);
    }

    #[test]
    fn a_missing_coordinate_gives_nan_not_a_smaller_hull() {
        for missing in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY] {
            let four = points(&[(0.0, 0.0), (1.0, 0.0), (1.0, missing), (0.0, 1.0)]);
            assert!(hull_area_m2(&four).is_nan());
            assert!(polygon_area_m2(&four).is_nan());
            assert!(convex_hull(&four).is_empty());
        }
    }

    #[test]
    fn the_corners_go_from_plus_x_toward_plus_y() {
        let corners = convex_hull(&points(&[
            (0.0, 0.0),
            (0.0, 2.0),
            (2.0, 2.0),
            (2.0, 0.0),
            (1.0, 1.0),
        ]));
        assert_eq!(corners.len(), 4);
        let turn = (corners[1] - corners[0]).cross(corners[2] - corners[1]);
        assert!(turn > 0.0, "{corners:?}");
    }

    fn spots(range: std::ops::Range<usize>) -> impl Strategy<Value = Vec<(f32, f32)>> {
        proptest::collection::vec((-14.0f32..14.0, -7.5f32..7.5), range)
    }

    proptest! {
        #[test]
        fn the_order_of_the_players_does_not_matter(pairs in spots(3..12)) {
            let mut turned = points(&pairs);
            turned.reverse();
            turned.rotate_left(1);
            prop_assert!((hull_area_m2(&points(&pairs)) - hull_area_m2(&turned)).abs() < 1e-3);
        }

        #[test]
        fn shifted_turned_or_mirrored_the_area_stays(pairs in spots(3..12), dx in -5.0f32..5.0, dy in -5.0f32..5.0) {
            let here = hull_area_m2(&points(&pairs));
            let moved: Vec<Point<AttackFrame>> = pairs.iter().map(|&(x, y)| Point::new(-y + dx, x + dy)).collect();
            let mirrored: Vec<P> = pairs.iter().map(|&(x, y)| P::new(x, -y)).collect();
            // 28 m by 15 m at f32: a coordinate is off by at most 2e-6 m, an area by that times the perimeter.
            prop_assert!((hull_area_m2(&moved) - here).abs() < 1e-3);
            prop_assert!((hull_area_m2(&mirrored) - here).abs() < 1e-3);
        }

        #[test]
        fn a_point_between_two_others_adds_nothing(pairs in spots(3..12), share in 0.0f32..1.0) {
            let mut with_one_more = points(&pairs);
            let before = hull_area_m2(&with_one_more);
            with_one_more.push(with_one_more[0].toward(with_one_more[1], share));
            prop_assert!((hull_area_m2(&with_one_more) - before).abs() < 1e-3);
        }

        #[test]
        fn one_more_player_never_makes_the_hull_smaller(pairs in spots(4..12)) {
            let all = points(&pairs);
            prop_assert!(hull_area_m2(&all) >= hull_area_m2(&all[1..]) - 1e-3);
        }

        #[test]
        fn every_point_is_left_of_every_edge_of_the_hull(pairs in spots(3..12)) {
            // The plain definition of a convex hull, gone round counter-clockwise.
            let all = points(&pairs);
            let corners = convex_hull(&all);
            for (i, &from) in corners.iter().enumerate() {
                let edge = corners[(i + 1) % corners.len()] - from;
                for &p in &all {
                    prop_assert!(edge.cross(p - from) >= -1e-3, "{p:?} outside the edge from {from:?}");
                }
            }
        }

        #[test]
        fn no_input_makes_it_panic(pairs in proptest::collection::vec((any::<f32>(), any::<f32>()), 0..9)) {
            let any = points(&pairs);
            let (hull, polygon) = (hull_area_m2(&any), polygon_area_m2(&any));
            prop_assert!(hull.is_nan() || hull >= 0.0);
            prop_assert!(polygon.is_nan() || polygon >= 0.0);
        }
    }
}
