//! Paths made legible: simplified, smoothed, or turned into a zigzag.

use geo::{LineString, Simplify};
use scrim_floor::Point;

use super::tracks::Spot;

/// How far a drawn path may lie from the one that was run, m. Common practice, no source: 0.3 m are 1.2 mm on a
/// drawing of 6 cm.
const TOLERANCE_M: f64 = 0.3;
/// From one corner of a dribble's zigzag to the next along the path, m. Common practice, no source.
const ZIGZAG_STEP_M: f32 = 0.45;
/// How far its corners stand off the path, m. Common practice, no source.
const ZIGZAG_OFF_M: f32 = 0.24;
/// Its last piece is straight, m, so that the arrow's head shows the direction. Common practice, no source.
const ZIGZAG_STRAIGHT_M: f32 = 0.8;

/// The path without what nobody sees: Douglas and Peucker, "Algorithms for the reduction of the number of points required
/// to represent a digitized line or its caricature", Cartographica 10 (1973), 112–122, as in `geo`.
pub(super) fn simplified(path: &[Spot]) -> Vec<Spot> {
    let line: LineString<f64> = path
        .iter()
        .map(|spot| (f64::from(spot.x_m), f64::from(spot.y_m)))
        .collect();
    line.simplify(TOLERANCE_M)
        .coords()
        .map(|at| Point::new(at.x as f32, at.y as f32))
        .collect()
}

/// Length of a path, m.
pub(super) fn length_m(path: &[Spot]) -> f32 {
    path.windows(2).map(|pair| pair[0].distance_m(pair[1])).sum()
}

/// The path without its first `by_m`; empty when it is not longer.
pub(super) fn without_start(path: &[Spot], by_m: f32) -> Vec<Spot> {
    let mut left_m = by_m;
    for (k, pair) in path.windows(2).enumerate() {
        let step_m = pair[0].distance_m(pair[1]);
        if step_m > left_m {
            let mut rest = vec![pair[0].toward(pair[1], left_m / step_m)];
            rest.extend_from_slice(&path[k + 1..]);
            return rest;
        }
        left_m -= step_m;
    }
    Vec::new()
}

/// A zigzag along the path, straight at its end.
pub(super) fn zigzag(path: &[Spot]) -> Vec<Spot> {
    let (Some(&first), Some(&last)) = (path.first(), path.last()) else {
        return Vec::new();
    };
    let wavy_m = length_m(path) - ZIGZAG_STRAIGHT_M;
    let mut out = vec![first];
    let (mut walked_m, mut next_m, mut sign) = (0.0, ZIGZAG_STEP_M / 2.0, 1.0);
    for pair in path.windows(2) {
        let step_m = pair[0].distance_m(pair[1]);
        let across = (pair[1] - pair[0]).unit().quarter_turn();
        while next_m < (walked_m + step_m).min(wavy_m) {
            let on_way = pair[0].toward(pair[1], (next_m - walked_m) / step_m);
            out.push(on_way + across * (ZIGZAG_OFF_M * sign));
            sign = -sign;
            next_m += ZIGZAG_STEP_M;
        }
        walked_m += step_m;
        // A bend in the straight piece at the end stays.
        if walked_m > wavy_m.max(0.0) && pair[1] != last {
            out.push(pair[1]);
        }
    }
    out.push(last);
    out
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    use super::*;

    fn path(places: &[(f32, f32)]) -> Vec<Spot> {
        places.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    #[test]
    fn a_bump_of_a_hand_is_left_out_and_a_corner_stays() {
        let run = path(&[(0.0, 0.0), (1.0, 0.1), (2.0, 0.0), (2.0, 2.0)]);
        assert_eq!(simplified(&run), path(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)]));
    }

    #[test]
    fn what_is_cut_off_at_the_start_is_measured_along_the_path() {
        // 1 m of the first piece of 2 m is left, then the second.
        let run = path(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)]);
        assert_eq!(
            without_start(&run, 1.0),
            path(&[(1.0, 0.0), (2.0, 0.0), (2.0, 2.0)])
        );
        assert_eq!(without_start(&run, 4.0), vec![]);
        assert_relative_eq!(length_m(&run), 4.0);
    }

    #[test]
    fn a_zigzag_begins_and_ends_where_the_dribble_does() {
        let run = path(&[(0.0, 0.0), (4.0, 0.0)]);
        let zigzag = zigzag(&run);
        assert_eq!((zigzag[0], *zigzag.last().unwrap()), (run[0], run[1]));
        // Corners at 0.225, 0.675, ... below 4.0 - 0.8 = 3.2: seven of them.
        assert_eq!(zigzag.len(), 2 + 7);
    }

    proptest! {
        #[test]
        fn a_zigzag_stays_beside_its_way(places in proptest::collection::vec((-8.0_f32..8.0, -8.0_f32..8.0), 0..12)) {
            let run = path(&places);
            for spot in zigzag(&run) {
                let off_m = run
                    .windows(2)
                    .map(|pair| scrim_floor::distance_to_segment_m(spot, scrim_floor::Segment::new(pair[0], pair[1])))
                    .chain(run.iter().map(|end| end.distance_m(spot)))
                    .fold(f32::INFINITY, f32::min);
                prop_assert!(off_m <= ZIGZAG_OFF_M + 1e-3, "{}", off_m);
            }
        }

        #[test]
        fn a_simplified_path_keeps_its_ends(places in proptest::collection::vec((-8.0_f32..8.0, -8.0_f32..8.0), 2..40)) {
            let run = path(&places);
            let drawn = simplified(&run);
            prop_assert_eq!(drawn.first(), run.first());
            prop_assert_eq!(drawn.last(), run.last());
        }
    }
}
