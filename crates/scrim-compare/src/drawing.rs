//! The curves of a sweep as one SVG: small multiples, a panel a measure, dark lines on white, nothing shown by colour alone.

mod axis;
mod panel;

use maud::{Markup, html};

use crate::measures::{Measure, Tally};
use crate::sweep::{SweptKey, measures_of};
use axis::Axis;
use panel::{Panel, panel_markup};

/// So many panels are drawn, of the measures that move most.
const MOST_PANELS: usize = 24;
/// With several parameters at least so many measures, however many panels that are.
const FEWEST_MEASURES: usize = 6;
/// A measure with fewer rows by every value is not drawn: one row more or less would fill its panel.
const FEWEST_ROWS: u64 = 10;
/// Panels side by side when one parameter is varied.
const COLUMNS: usize = 3;
/// A panel with its title and its axes' words, and the room above all, in the drawing's units.
const PANEL: (f64, f64) = (260.0, 190.0);
const HEAD: f64 = 58.0;

/// What of a measure is drawn.
struct Curve {
    measure: Measure,
    /// Each cell's.
    values: Vec<Option<f64>>,
    own: Option<f64>,
    unit: &'static str,
}

impl Curve {
    fn of(measure: Measure, tallies: &[Tally]) -> Self {
        let values = |of: fn(&crate::MeasureCounts) -> u64| -> Vec<Option<f64>> {
            tallies.iter().map(|tally| tally.value(&measure, of)).collect()
        };
        let changed = || {
            tallies
                .iter()
                .map(|tally| tally.get(&measure).changed_share())
                .collect()
        };
        let (values, own, unit) = match (&measure.column, &measure.word) {
            (None, _) => (
                values(|counts| counts.cell),
                values(|counts| counts.own)[0],
                "rows a game",
            ),
            // By its own values nothing is other.
            (Some(_), None) => (changed(), Some(0.0), "share changed"),
            (Some(_), Some(_)) => (
                values(|counts| counts.cell),
                values(|counts| counts.own)[0],
                "share of rows",
            ),
        };
        Self {
            measure,
            values,
            own,
            unit,
        }
    }
}

/// By how many rows a measure moves in a cell: what a reader sees in its panel. Of all words of a column together, the rows that
/// changed beyond those of the table, whose panel shows that rows come and go.
fn moved_rows(tally: &Tally, measure: &Measure) -> f64 {
    let changed = |measure: &Measure| {
        let counts = tally.get(measure);
        (counts.either - counts.both) as f64
    };
    let of_table = measure.of_table();
    let counts = tally.get(measure);
    match (&measure.column, &measure.word) {
        (None, _) => counts.cell.abs_diff(counts.own) as f64,
        (Some(_), None) => changed(measure) - changed(&of_table),
        (Some(_), Some(_)) => {
            let [cell, own]: [fn(&crate::MeasureCounts) -> u64; 2] =
                [|counts| counts.cell, |counts| counts.own];
            let shares = tally.value(measure, cell).zip(tally.value(measure, own));
            shares.map_or(0.0, |(cell, own)| {
                (cell - own).abs() * tally.get(&of_table).cell as f64
            })
        }
    }
}

/// The measures that are drawn, in the table's order: of those with rows enough, at most `most`, the ones that move most anywhere. And
/// how many move.
fn drawn(tallies: &[Tally], most: usize) -> (Vec<Measure>, usize) {
    let has_rows = |measure: &Measure| {
        let most = |tally: &Tally| tally.get(measure).own.max(tally.get(measure).cell);
        tallies.iter().any(|tally| most(tally) >= FEWEST_ROWS)
    };
    let moved = |measure: &Measure| {
        let rows = tallies.iter().map(|tally| moved_rows(tally, measure));
        rows.fold(0.0, f64::max)
    };
    let mut measures: Vec<(f64, Measure)> = measures_of(tallies)
        .into_iter()
        .filter(has_rows)
        .map(|measure| (moved(&measure), measure))
        // Less than a row is what other rows move a share by.
        .filter(|(rows, _)| *rows >= 1.0 - 1e-9)
        .collect();
    let moving = measures.len();
    measures.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut measures: Vec<Measure> = measures
        .into_iter()
        .take(most)
        .map(|(_, measure)| measure)
        .collect();
    measures.sort();
    (measures, moving)
}

/// The drawing. The first of `keys` runs along each panel; with more of them, a row of panels a measure has a panel for each
/// combination of the others' values. `tallies`: one a cell, in their order.
pub fn sweep_drawing(pipeline: &str, keys: &[SweptKey], tallies: &[Tally]) -> String {
    let (Some(first), Some(games)) = (keys.first(), tallies.first().map(|tally| tally.games)) else {
        return String::new();
    };
    let others = SweptKey::cells(&keys[1..]);
    let (measures, moving) = drawn(tallies, (MOST_PANELS / others).max(FEWEST_MEASURES));
    let columns = if others > 1 { others } else { COLUMNS };
    let curves: Vec<Curve> = measures
        .into_iter()
        .map(|measure| Curve::of(measure, tallies))
        .collect();
    let x = Axis::of(first.values.iter().copied().chain([first.own]));
    let panels = curves.len() * others;
    let width = PANEL.0 * columns as f64;
    let height = HEAD + PANEL.1 * panels.div_ceil(columns).max(1) as f64;
    let about = format!(
        "{pipeline}: {} over {games} games; measures that move: {moving}, drawn: {}",
        named(first),
        curves.len()
    );
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {width:.0} {height:.0}")) width=(format!("{width:.0}")) role="img" aria-label=(about) font-family="sans-serif" font-size="10" color="#1b2430" {
            title { (about) }
            rect width="100%" height="100%" fill="#fff" {}
            text x="12" y="20" font-size="13" font-weight="600" fill="currentColor" { (about) }
            (legend(first))
            @for (number, curve) in curves.iter().enumerate() {
                @for other in 0..others {
                    (placed(&curve_panel(keys, curve, other, others, &x), number * others + other, columns))
                }
            }
        }
    };
    let mut text = svg.into_string();
    text.push('\n');
    text
}

/// A key with its unit.
fn named(key: &SweptKey) -> String {
    if key.unit.is_empty() {
        key.key.clone()
    } else {
        format!("{} ({})", key.key, key.unit)
    }
}

fn legend(first: &SweptKey) -> Markup {
    let own = format!(
        "the pipeline's own value, {}, and what is measured with it",
        axis::short(first.own)
    );
    html! {
        g fill="none" stroke="currentColor" {
            path d="M14 40 H38" stroke-width="1.4" {}
            circle cx="26" cy="40" r="2.4" fill="currentColor" {}
            path d="M190 31 V49" stroke-dasharray="3 3" {}
            path d="M190 35 L195 40 L190 45 L185 40 Z" fill="#fff" stroke-width="1.2" {}
        }
        text x="46" y="44" fill="currentColor" { "each value of the sweep" }
        text x="202" y="44" fill="currentColor" { (own) }
    }
}

fn curve_panel<'a>(
    keys: &[SweptKey],
    curve: &'a Curve,
    other: usize,
    others: usize,
    x: &'a Axis,
) -> Panel<'a> {
    let first = &keys[0];
    // The first key varies slowest: its cells lie `others` apart.
    let points = first
        .values
        .iter()
        .enumerate()
        .filter_map(|(place, value)| Some((*value, curve.values[place * others + other]?)));
    let places = SweptKey::places(&keys[1..], other);
    let of_others = keys[1..].iter().zip(&places);
    let is_own = of_others
        .clone()
        .all(|(key, place)| key.values[*place] == key.own);
    let words = of_others.map(|(key, place)| format!("{} = {}", named(key), axis::short(key.values[*place])));
    Panel {
        title: curve.measure.to_string(),
        note: words.collect::<Vec<_>>().join(", "),
        x_words: named(first),
        y_words: curve.unit,
        points: points.collect(),
        own: (first.own, curve.own.filter(|_| is_own)),
        x,
        // One scale for all panels of a measure.
        y: Axis::of(curve.values.iter().flatten().copied().chain(curve.own)),
    }
}

fn placed(panel: &Panel<'_>, number: usize, columns: usize) -> Markup {
    let (x, y) = (
        PANEL.0 * (number % columns) as f64,
        HEAD + PANEL.1 * (number / columns) as f64,
    );
    html! { g transform=(format!("translate({x:.0} {y:.0})")) { (panel_markup(panel, PANEL)) } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MeasureCounts;

    fn tally(cell: u64, both: u64) -> Tally {
        let counts = |own: u64, cell: u64, both: u64| MeasureCounts {
            own,
            cell,
            either: own + cell - both,
            both,
        };
        let measure = |word: Option<&str>| Measure {
            table: "coverages",
            column: word.map(|_| "coverage"),
            word: word.map(Into::into),
        };
        let all = [
            (measure(None), counts(40, 40, 40)),
            (measure(Some("drop")), counts(20, cell, both)),
            (measure(Some("i<c&e")), counts(3, 4, 1)),
        ];
        Tally {
            games: 2,
            counts: all.into_iter().collect(),
        }
    }

    fn key(name: &str, values: &[f64]) -> SweptKey {
        SweptKey {
            key: name.into(),
            unit: "m",
            own: 1.5,
            values: values.to_vec(),
        }
    }

    #[test]
    fn a_panel_has_a_point_a_value_axes_with_units_and_the_own_value() {
        let keys = [key("definitions.drop_depth_m", &[1.0, 2.0, 3.0])];
        let svg = sweep_drawing("mine", &keys, &[tally(30, 20), tally(16, 15), tally(4, 4)]);
        assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>\n"));
        // What no value changes, and what is too rare, has no panel.
        assert_eq!(svg.matches("class=\"panel\"").count(), 1);
        assert!(svg.contains("coverages.coverage.drop") && svg.contains("definitions.drop_depth_m (m)"));
        assert!(svg.contains("share of rows"));
        // Three points, and the one of the legend.
        assert_eq!(svg.matches("<circle").count(), 4);
        assert_eq!(
            svg,
            sweep_drawing("mine", &keys, &[tally(30, 20), tally(16, 15), tally(4, 4)])
        );
    }

    #[test]
    fn a_grid_has_a_panel_for_each_value_of_the_other_parameter() {
        let keys = [key("a_m", &[1.0, 2.0]), key("b_m", &[1.5, 2.5, 3.5])];
        let tallies: Vec<Tally> = (0..6).map(|k| tally(10 + k, 10)).collect();
        let svg = sweep_drawing("mine", &keys, &tallies);
        assert_eq!(svg.matches("class=\"panel\"").count(), 3);
        for value in ["b_m (m) = 1.5", "b_m (m) = 2.5", "b_m (m) = 3.5"] {
            assert!(svg.contains(value), "{value}");
        }
        // Only with the other at its own value too does the own measure lie on the curve: once there, once in the legend.
        assert_eq!(svg.matches("Z\" fill=\"#fff\"").count(), 2);
    }

    #[test]
    fn text_of_others_is_no_markup() {
        let keys = [key("<b>", &[1.0, 2.0])];
        let svg = sweep_drawing("a<script>", &keys, &[tally(30, 20), tally(16, 15)]);
        assert!(!svg.contains("<script>") && !svg.contains("<b>"), "{svg}");
    }
}
