//! Areas of Voronoi cells within the half court against SciPy (Qhull) and Shapely (GEOS).

use scrim_floor::{AttackFrame, Court, Point, voronoi_areas_m2};
use serde_json::json;

use crate::python::ask;
use crate::sequence::Sequence;

type P = Point<AttackFrame>;

/// Places of 1 to 12 players on and around a half court, 300 sets.
fn player_sets() -> Vec<Vec<P>> {
    let mut sequence = Sequence::new(5);
    let mut next = || sequence.next_share() as f32;
    (0..300)
        .map(|i| {
            (0..1 + i % 12)
                .map(|_| P::new(next() * 17.0 - 3.0, next() * 17.0 - 8.5))
                .collect()
        })
        .collect()
}

/// Sites on one line, in a grid (four cells meet in a point), close together.
fn awkward_sets() -> Vec<Vec<P>> {
    let set = |pairs: &[(f32, f32)]| pairs.iter().map(|&(x, y)| P::new(x, y)).collect::<Vec<_>>();
    vec![
        set(&[(1.0, 0.0), (2.0, 0.0), (4.0, 0.0), (8.0, 0.0)]),
        set(&[(2.0, -2.0), (2.0, 2.0), (6.0, -2.0), (6.0, 2.0)]),
        set(&[(5.0, 1.0), (5.0, 1.001), (5.001, 1.0), (9.0, -6.0)]),
        set(&[(-1.575, -7.5), (12.425, 7.5), (12.425, -7.5), (-1.575, 7.5)]),
    ]
}

#[test]
fn the_cells_areas_are_scipys() {
    let sets: Vec<Vec<P>> = player_sets().into_iter().chain(awkward_sets()).collect();
    let corners = Court::fiba().half_court_corners();
    let pairs = |points: &[P]| -> Vec<(f32, f32)> { points.iter().map(|p| (p.x_m, p.y_m)).collect() };
    let question = json!({
        "sets": sets.iter().map(|set| pairs(set)).collect::<Vec<_>>(),
        "bounds": pairs(&corners),
    });
    let answers: Vec<Vec<f64>> = ask("voronoi.py", &question);
    assert_eq!(answers.len(), sets.len());
    for (set, scipy) in sets.iter().zip(answers) {
        let ours = voronoi_areas_m2(set, &corners);
        assert_eq!(ours.len(), scipy.len());
        for (ours, theirs) in ours.iter().zip(scipy) {
            let ours = f64::from(ours.expect("every site is finite"));
            // Qhull's corners of sites a millimetre apart lie far off and are good to about 1e-4 m² of cell.
            assert!((ours - theirs).abs() <= 1e-3, "{set:?}: {ours} {theirs}");
        }
    }
}
