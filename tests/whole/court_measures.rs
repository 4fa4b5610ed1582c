//! The built-in courts against the rule books, typed again here in the books' own units and turned into metres in
//! f64: an inch is 0.0254 m exactly (the international yard and pound agreement of 1959).

use approx::assert_abs_diff_eq;
use scrim_floor::Court;

/// A tenth of a millimetre: a hundred times what an f32 loses on a court's length, a hundredth of a line's width.
const EXACT_M: f64 = 1e-4;

/// Feet and inches as metres.
fn ft(feet: f64, inches: f64) -> f64 {
    (feet * 12.0 + inches) * 0.0254
}

fn assert_measures(court: &Court, book: [(&str, f32, f64); 8]) {
    for (measure, ours, theirs) in book {
        assert!(
            (f64::from(ours) - theirs).abs() < EXACT_M,
            "{}: {measure} is {ours}, by the rules {theirs}",
            court.name
        );
    }
}

/// FIBA Official Basketball Rules, Art. 2: court 28 by 15 m (2.1), restricted area 5.80 by 4.90 m (2.4.4), three-point
/// line 6.75 m from under the exact centre of the basket and parallel lines 0.90 m from the sideline (2.4.5), that
/// point 1.575 m from the inner edge of the end line (2.4.5), no-charge semi-circle 1.25 m (2.4.7).
#[test]
fn the_fiba_court_is_the_rule_books() {
    let court = Court::fiba();
    assert_measures(
        &court,
        [
            ("length", court.length_m, 28.0),
            ("width", court.width_m, 15.0),
            ("hoop from the end line", court.hoop_from_end_line_m, 1.575),
            ("three-point radius", court.three_point_radius_m, 6.75),
            (
                "corner line from the sideline",
                court.corner_line_from_sideline_m,
                0.90,
            ),
            ("restricted area, length", court.lane_length_m, 5.80),
            ("restricted area, width", court.lane_width_m, 4.90),
            ("no-charge radius", court.no_charge_radius_m, 1.25),
        ],
    );
}

/// NBA Official Rules, Rule 1: court 94 by 50 ft; arc 23 ft 9 in; straight pieces 3 ft from the sidelines (so 22 ft
/// from the middle); hoop centre 5 ft 3 in from the end line; lane 19 by 16 ft; restricted area 4 ft.
#[test]
fn the_nba_court_is_the_rule_books() {
    let court = Court::nba();
    assert_measures(
        &court,
        [
            ("length", court.length_m, ft(94.0, 0.0)),
            ("width", court.width_m, ft(50.0, 0.0)),
            ("hoop from the end line", court.hoop_from_end_line_m, ft(5.0, 3.0)),
            ("three-point radius", court.three_point_radius_m, ft(23.0, 9.0)),
            (
                "corner line from the sideline",
                court.corner_line_from_sideline_m,
                ft(3.0, 0.0),
            ),
            ("lane, length", court.lane_length_m, ft(19.0, 0.0)),
            ("lane, width", court.lane_width_m, ft(16.0, 0.0)),
            ("restricted radius", court.no_charge_radius_m, ft(4.0, 0.0)),
        ],
    );
    assert_abs_diff_eq!(
        f64::from(court.corner_line_y_m()),
        ft(22.0, 0.0),
        epsilon = EXACT_M
    );
}

/// NCAA Men's Basketball Rules, Rule 1: court 94 by 50 ft; arc 22 ft 1 3/4 in; hoop centre 5 ft 3 in from the end line.
/// From memory of the same rule, not from our design's list: straight pieces 3 ft 4 1/8 in from the sidelines, lane 19
/// by 12 ft, restricted area 4 ft.
#[test]
fn the_ncaa_court_is_the_rule_books() {
    let court = Court::ncaa();
    assert_measures(
        &court,
        [
            ("length", court.length_m, ft(94.0, 0.0)),
            ("width", court.width_m, ft(50.0, 0.0)),
            ("hoop from the end line", court.hoop_from_end_line_m, ft(5.0, 3.0)),
            ("three-point radius", court.three_point_radius_m, ft(22.0, 1.75)),
            (
                "corner line from the sideline",
                court.corner_line_from_sideline_m,
                ft(3.0, 4.125),
            ),
            ("lane, length", court.lane_length_m, ft(19.0, 0.0)),
            ("lane, width", court.lane_width_m, ft(12.0, 0.0)),
            ("restricted radius", court.no_charge_radius_m, ft(4.0, 0.0)),
        ],
    );
}

/// The three books draw one ring: 18 in (45 cm) wide and 6 in (15.1 cm) off a board 4 ft (1.2 m) in from the end line
/// (NBA Rule 1; FIBA's equipment rules; from memory). So the hoop's centre follows from other measures than the one typed.
#[test]
fn the_hoop_stands_where_board_and_ring_put_it() {
    let fiba_m = 1.2 + 0.151 + 0.45 / 2.0;
    assert_abs_diff_eq!(
        f64::from(Court::fiba().hoop_from_end_line_m),
        fiba_m,
        epsilon = 2e-3
    );
    let feet_m = ft(4.0, 0.0) + ft(0.0, 6.0) + ft(0.0, 18.0) / 2.0;
    for court in [Court::nba(), Court::ncaa()] {
        assert_abs_diff_eq!(f64::from(court.hoop_from_end_line_m), feet_m, epsilon = EXACT_M);
    }
}

/// FIBA's diagram of the three-point area dimensions the end of the straight piece: 2.99 m from the end line (from
/// memory). It follows from the other measures: 1.575 + √(6.75² − 6.60²) = 1.575 + 1.415.
#[test]
fn the_fiba_arc_begins_2_99_m_from_the_end_line() {
    let court = Court::fiba();
    let from_end_line_m = f64::from(court.corner_break_x_m() + court.hoop_from_end_line_m);
    assert_abs_diff_eq!(from_end_line_m, 2.99, epsilon = 0.005);
}

/// The college game took over the international line: 22 ft 1 3/4 in is 6.75 m to less than a millimetre.
#[test]
fn the_college_arc_is_the_international_one() {
    assert_abs_diff_eq!(
        Court::ncaa().three_point_radius_m,
        Court::fiba().three_point_radius_m,
        epsilon = 1e-3
    );
}

/// The free-throw line is 15 ft (NBA, NCAA) or 4.60 m (FIBA) from the plane of the backboard's face.
#[test]
fn the_free_throw_line_is_15_ft_from_the_board() {
    let from_board_m = |court: Court, board_m: f64| f64::from(court.lane_length_m) - board_m;
    assert_abs_diff_eq!(
        from_board_m(Court::nba(), ft(4.0, 0.0)),
        ft(15.0, 0.0),
        epsilon = EXACT_M
    );
    assert_abs_diff_eq!(
        from_board_m(Court::ncaa(), ft(4.0, 0.0)),
        ft(15.0, 0.0),
        epsilon = EXACT_M
    );
    assert_abs_diff_eq!(from_board_m(Court::fiba(), 1.2), 4.60, epsilon = EXACT_M);
}
