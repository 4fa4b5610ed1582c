//! Voronoi cells inside a convex polygon: which part of the floor is nearer to one player than to all others.
//!
//! Each cell is the polygon cut by the perpendicular bisectors to all other sites, which is exact and, for ten players,
//! cheap: of order n² cuts of a polygon with a handful of corners. Cuts run in f64 over f32 coordinates.

use geo::{Area, Coord, LineString, Polygon};

use crate::Point;

/// The area of each site's Voronoi cell within the convex polygon `bounds`, square metres, in the order of `sites`.
///
/// `bounds`: the corners in order, either way round; fewer than three give cells of no area. A site may lie outside it.
/// A site that is not finite has no cell (`None`) and takes no floor from others. Of sites on the very same spot the
/// first has the cell, the others one of no area. So the areas always sum up to that of `bounds`, if there is a site.
///
/// Cutting a convex polygon by a half plane: I. E. Sutherland, G. W. Hodgman, "Reentrant Polygon Clipping",
/// Communications of the ACM 17(1), 1974.
pub fn voronoi_areas_m2<F>(sites: &[Point<F>], bounds: &[Point<F>]) -> Vec<Option<f32>> {
    let coord = |p: &Point<F>| Coord {
        x: f64::from(p.x_m),
        y: f64::from(p.y_m),
    };
    let bounds: Vec<Coord<f64>> = bounds.iter().map(coord).collect();
    (0..sites.len())
        .map(|place| {
            let site = sites.get(place).filter(|site| site.is_finite()).map(coord)?;
            let mut cell = bounds.clone();
            for (other_place, other) in sites.iter().enumerate() {
                if other_place == place || !other.is_finite() {
                    continue;
                }
                let other = coord(other);
                if other == site {
                    if other_place < place {
                        cell.clear();
                    }
                    continue;
                }
                cell = nearer_to(site, other, &cell);
            }
            Some(Polygon::new(LineString::new(cell), Vec::new()).unsigned_area() as f32)
        })
        .collect()
}

/// The part of a convex polygon that is no farther from `site` than from `other`.
fn nearer_to(site: Coord<f64>, other: Coord<f64>, polygon: &[Coord<f64>]) -> Vec<Coord<f64>> {
    // |p − site|² ≤ |p − other|² is linear in p: the difference below is negative on the site's side.
    let way = other - site;
    let middle = (site + other) / 2.0;
    let beyond = |p: Coord<f64>| (p.x - middle.x) * way.x + (p.y - middle.y) * way.y;
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (i, &to) in polygon.iter().enumerate() {
        let from = polygon[(i + polygon.len() - 1) % polygon.len()];
        let (from_beyond, to_beyond) = (beyond(from), beyond(to));
        if (from_beyond <= 0.0) != (to_beyond <= 0.0) {
            let share = from_beyond / (from_beyond - to_beyond);
            kept.push(from + (to - from) * share);
        }
        if to_beyond <= 0.0 {
            kept.push(to);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{AttackFrame, polygon_area_m2};
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    type P = Point<AttackFrame>;

    const HALF_COURT: [(f32, f32); 4] = [(-1.575, -7.5), (12.425, -7.5), (12.425, 7.5), (-1.575, 7.5)];

    fn points(pairs: &[(f32, f32)]) -> Vec<P> {
        pairs.iter().map(|&(x, y)| P::new(x, y)).collect()
    }

    #[test]
    fn one_player_has_the_whole_floor() {
        // 14 m by 15 m.
        let cells = voronoi_areas_m2(&points(&[(3.0, 1.0)]), &points(&HALF_COURT));
        assert_relative_eq!(cells[0].unwrap(), 210.0, max_relative = 1e-6);
    }

    #[test]
    fn two_players_share_it_at_the_bisector() {
        // x = 1 and x = 5: the line x = 3 leaves 4.575 m by 15 m to the first.
        let cells = voronoi_areas_m2(&points(&[(1.0, 0.0), (5.0, 0.0)]), &points(&HALF_COURT));
        assert_relative_eq!(cells[0].unwrap(), 68.625, max_relative = 1e-6);
        assert_relative_eq!(cells[1].unwrap(), 210.0 - 68.625, max_relative = 1e-6);
    }

    #[test]
    fn a_player_outside_the_floor_may_control_some_or_none_of_it() {
        // The bisector of x = 4 and x = −2 is x = 1: 2.575 m by 15 m; of x = 12 and x = −20, x = −4: nothing.
        let near = voronoi_areas_m2(&points(&[(4.0, 0.0), (-2.0, 0.0)]), &points(&HALF_COURT));
        assert_relative_eq!(near[1].unwrap(), 38.625, max_relative = 1e-6);
        let far = voronoi_areas_m2(&points(&[(12.0, 0.0), (-20.0, 0.0)]), &points(&HALF_COURT));
        assert_eq!(far[1], Some(0.0));
    }

    #[test]
    fn who_is_missing_has_no_cell_and_takes_none() {
        let cells = voronoi_areas_m2(
            &points(&[(1.0, 0.0), (f32::NAN, 0.0), (f32::INFINITY, 1.0)]),
            &points(&HALF_COURT),
        );
        assert_relative_eq!(cells[0].unwrap(), 210.0, max_relative = 1e-6);
        assert_eq!(cells[1..], [None, None]);
        assert!(voronoi_areas_m2(&[], &points(&HALF_COURT)).is_empty());
        assert_eq!(voronoi_areas_m2(&points(&[(1.0, 0.0)]), &[]), [Some(0.0)]);
    }

    #[test]
    fn on_one_spot_the_first_has_the_cell() {
        let cells = voronoi_areas_m2(&points(&[(1.0, 2.0); 3]), &points(&HALF_COURT));
        assert_relative_eq!(cells[0].unwrap(), 210.0, max_relative = 1e-6);
        assert_eq!(cells[1..], [Some(0.0), Some(0.0)]);
    }

    proptest! {
        #[test]
        fn the_cells_tile_the_floor(pairs in proptest::collection::vec((-6.0f32..16.0, -9.0f32..9.0), 1..12)) {
            let bounds = points(&HALF_COURT);
            let sum: f32 = voronoi_areas_m2(&points(&pairs), &bounds).iter().flatten().sum();
            prop_assert!((sum - polygon_area_m2(&bounds)).abs() < 1e-2, "{sum}");
        }

        #[test]
        fn mirrored_or_gone_round_the_other_way_the_areas_stay(
            pairs in proptest::collection::vec((-1.5f32..12.4, -7.5f32..7.5), 1..12),
        ) {
            let bounds = points(&HALF_COURT);
            let here = voronoi_areas_m2(&points(&pairs), &bounds);
            let mirrored: Vec<P> = pairs.iter().map(|&(x, y)| P::new(x, -y)).collect();
            for (here, there) in here.iter().zip(voronoi_areas_m2(&mirrored, &bounds)) {
                prop_assert!((here.unwrap() - there.unwrap()).abs() < 1e-2);
            }
            let other_way: Vec<P> = bounds.iter().rev().copied().collect();
            for (here, there) in here.iter().zip(voronoi_areas_m2(&points(&pairs), &other_way)) {
                prop_assert!((here.unwrap() - there.unwrap()).abs() < 1e-2);
            }
        }

        #[test]
        fn no_input_makes_it_panic(pairs in proptest::collection::vec((any::<f32>(), any::<f32>()), 0..9)) {
            for area_m2 in voronoi_areas_m2(&points(&pairs), &points(&HALF_COURT)).into_iter().flatten() {
                prop_assert!(area_m2 >= 0.0 || area_m2.is_nan());
            }
        }
    }
}
