//! Polygon areas and convex hulls against Shapely (GEOS).

use scrim_floor::{CourtFrame, Point, convex_hull, hull_area_m2, polygon_area_m2};
use serde::Deserialize;
use serde_json::json;

use crate::python::ask;
use crate::sequence::Sequence;

type P = Point<CourtFrame>;

#[derive(Deserialize)]
struct Areas {
    polygon_area: f64,
    hull_area: f64,
    hull: Vec<(f32, f32)>,
}

/// Places of 3 to 12 players on a 28 by 15 m floor, 500 sets.
fn player_sets() -> Vec<Vec<P>> {
    let mut sequence = Sequence::new(3);
    let mut next = || sequence.next_share() as f32;
    (0..500)
        .map(|i| {
            (0..3 + i % 10)
                .map(|_| P::new(next() * 28.0 - 14.0, next() * 15.0 - 7.5))
                .collect()
        })
        .collect()
}

/// Sets whose hull is thin, flat or a point, and rings that cross themselves.
fn awkward_sets() -> Vec<Vec<P>> {
    let set = |pairs: &[(f32, f32)]| pairs.iter().map(|&(x, y)| P::new(x, y)).collect::<Vec<_>>();
    vec![
        set(&[]),
        set(&[(1.0, 2.0)]),
        set(&[(1.0, 2.0), (3.0, 4.0)]),
        set(&[(1.0, 2.0), (1.0, 2.0), (1.0, 2.0), (1.0, 2.0)]),
        set(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (3.0, 3.0), (-4.0, -4.0)]),
        set(&[(0.1, 0.3), (0.2, 0.6), (0.3, 0.9), (0.4, 1.2)]),
        set(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]),
        set(&[(0.0, 0.0), (4.0, 0.0), (2.0, 2.0), (4.0, 4.0), (0.0, 4.0)]),
        set(&[
            (0.0, 0.0),
            (2.0, 0.0),
            (2.0, 0.0),
            (2.0, 2.0),
            (1.0, 1.0),
            (0.0, 2.0),
            (0.0, 1.0),
            (0.0, 0.0),
        ]),
        set(&[
            (-14.0, -7.5),
            (14.0, -7.5),
            (14.0, 7.5),
            (-14.0, 7.5),
            (0.0, 0.0),
            (0.0, 7.5),
        ]),
        set(&[(0.0, 0.0), (28.0, 1e-4), (14.0, -1e-4)]),
    ]
}

#[test]
fn areas_and_corners_are_shapelys() {
    let sets: Vec<Vec<P>> = player_sets().into_iter().chain(awkward_sets()).collect();
    let pairs: Vec<Vec<(f32, f32)>> = sets
        .iter()
        .map(|set| set.iter().map(|p| (p.x_m, p.y_m)).collect())
        .collect();
    let answers: Vec<Areas> = ask("hulls.py", &json!({ "sets": pairs }));
    assert_eq!(answers.len(), sets.len());
    for (set, shapely) in sets.iter().zip(answers) {
        // Both sum in f64; ours is then an f32, which holds 420 m² to 3e-5 m².
        let close = |ours: f32, theirs: f64| (f64::from(ours) - theirs).abs() <= 1e-6 + 1e-6 * theirs;
        assert!(
            close(polygon_area_m2(set), shapely.polygon_area),
            "polygon {set:?}: {}",
            shapely.polygon_area
        );
        assert!(
            close(hull_area_m2(set), shapely.hull_area),
            "hull {set:?}: {}",
            shapely.hull_area
        );
        let sorted = |mut corners: Vec<(f32, f32)>| {
            corners.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
            corners
        };
        let ours = convex_hull(set).into_iter().map(|p| (p.x_m, p.y_m)).collect();
        assert_eq!(sorted(ours), sorted(shapely.hull), "corners of {set:?}");
    }
}
