//! The court's lines. One metre is ten units; the basket is at the top, left and right as for one who faces it.

use maud::{Markup, html};
use scrim_floor::Court;

use super::tracks::Spot;

/// Units a metre.
pub(super) const UNITS: f32 = 10.0;
/// Room around the court, units.
const MARGIN: f32 = 3.0;
/// Backboard's front before the end line and its width, m (FIBA Official Basketball Rules, Equipment; from memory).
const BOARD_FROM_END_M: f32 = 1.2;
const BOARD_WIDTH_M: f32 = 1.8;
/// Radius of the ring, m (likewise: inner diameter 0.45 m).
const RING_M: f32 = 0.23;
/// Radius of the free-throw circle, m (likewise).
const CIRCLE_M: f32 = 1.8;

/// Units with one decimal, and no minus before a zero.
pub(super) fn number(units: f32) -> String {
    let tenths = (units * 10.0).round() as i64;
    let sign = if tenths < 0 { "-" } else { "" };
    let tenths = tenths.abs();
    if tenths % 10 == 0 {
        format!("{sign}{}", tenths / 10)
    } else {
        format!("{sign}{}.{}", tenths / 10, tenths % 10)
    }
}

/// Where a spot of the attack frame is on the drawing.
pub(super) fn place(court: &Court, spot: Spot) -> (f32, f32) {
    (
        (spot.y_m + court.width_m / 2.0) * UNITS,
        (spot.x_m + court.hoop_from_end_line_m) * UNITS,
    )
}

/// `viewBox` of a drawing that reaches `depth_m` from the end line, at most to half court.
pub(crate) fn view_box(court: &Court, depth_m: f32) -> String {
    let depth_m = depth_m.min(court.length_m / 2.0);
    format!(
        "{} {} {} {}",
        number(-MARGIN),
        number(-MARGIN),
        number(court.width_m * UNITS + 2.0 * MARGIN),
        number(depth_m * UNITS + 2.0 * MARGIN)
    )
}

/// The lines of the attacked half.
pub(crate) fn floor_markup(court: &Court) -> Markup {
    let width = court.width_m * UNITS;
    let middle = width / 2.0;
    let half = court.length_m / 2.0 * UNITS;
    let hoop = court.hoop_from_end_line_m * UNITS;
    let lane = court.lane_width_m * UNITS / 2.0;
    let free_throw = court.lane_length_m * UNITS;
    let circle = CIRCLE_M.min(court.lane_width_m / 2.0) * UNITS;
    let corner = court.corner_line_y_m() * UNITS;
    let turn = hoop + court.corner_break_x_m() * UNITS;
    let arc = court.three_point_radius_m * UNITS;
    let no_charge = court.no_charge_radius_m * UNITS;
    let board = BOARD_FROM_END_M * UNITS;
    let n = number;
    let outline = format!("M0 0H{}V{}H0Z", n(width), n(half));
    let paint = format!("M{} 0V{}H{}V0", n(middle - lane), n(free_throw), n(middle + lane));
    let half_circle = |radius: f32, down: f32| {
        let (r, across) = (n(radius), n(2.0 * radius));
        format!("M{} {}a{r} {r} 0 0 0 {across} 0", n(middle - radius), n(down))
    };
    let top = half_circle(circle, free_throw);
    let three = format!(
        "M{} 0V{}A{r} {r} 0 0 0 {} {}V0",
        n(middle - corner),
        n(turn),
        n(middle + corner),
        n(turn),
        r = n(arc)
    );
    let charge = half_circle(no_charge, hoop);
    let backboard = format!(
        "M{} {}h{}",
        n(middle - BOARD_WIDTH_M / 2.0 * UNITS),
        n(board),
        n(BOARD_WIDTH_M * UNITS)
    );
    html! {
        g fill="none" stroke="currentColor" stroke-opacity="0.38" stroke-width="0.7" {
            path d=(format!("{outline}{paint}{top}{three}{charge}")) {}
            path d=(backboard) stroke-width="1.2" {}
            circle cx=(n(middle)) cy=(n(hoop)) r=(n(RING_M * UNITS)) {}
        }
    }
}

/// The lines of each court once, hidden, to be used by their places: `#court-0`.
pub(crate) fn courts_markup(courts: &[Court]) -> Markup {
    html! {
        svg.courts width="0" height="0" aria-hidden="true" {
            @for (k, court) in courts.iter().enumerate() {
                symbol id=(format!("court-{k}")) overflow="visible" { (floor_markup(court)) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_one_decimal_at_most_and_no_minus_zero() {
        assert_eq!([12.34, -0.04, -7.25, 3.0].map(number), ["12.3", "0", "-7.3", "3"]);
    }

    #[test]
    fn left_stays_left_and_the_basket_is_at_the_top() {
        let court = Court::fiba();
        // Under the hoop: 7.5 m from either sideline, 1.575 m from the end line.
        assert_eq!(place(&court, Spot::origin()), (75.0, 15.75));
        let (x, y) = place(&court, Spot::new(5.0, -2.0));
        assert!(x < 75.0 && y > 15.75);
    }
}
