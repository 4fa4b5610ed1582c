//! The report as plain text, to be read from top to bottom: what was found, how it was tagged, how far the numbers
//! are off, whom it named, what its confidence is worth, and which word was taken for which.

use crate::text_grid::Grid;
use crate::{ColumnScores, Judged, Rate, Reliability, Report, ScreenScore, Section, TagScore};

/// The most games that are named one by one; the JSON names all.
const MOST_NAMES: usize = 12;
/// An empty cell.
const NONE: &str = "–";

impl Report {
    /// The report as plain text, at most about 110 characters wide but for large confusion matrices.
    pub fn to_table(&self) -> String {
        let mut out = String::new();
        out.push_str(&format!(
            "Tables against labels: {} ({})\n",
            count(self.games.len(), "game"),
            names(&self.games)
        ));
        if !self.absent_tables.is_empty() {
            out.push_str(&format!(
                "Labelled, but not among the tables: {}\n",
                self.absent_tables.join(", ")
            ));
        }
        if !self.warnings.is_empty() {
            out.push_str("\nPlease note\n");
            for warning in &self.warnings {
                out.push_str(&format!("  - {warning}\n"));
            }
        }
        self.write_found(&mut out);
        self.write_matchups(&mut out);
        self.write_groups(&mut out);
        let parts = self.parts();
        write_tags(&parts, &mut out);
        write_values(&parts, &mut out);
        write_measures(&parts, &mut out);
        self.write_reliability(&mut out);
        write_confusions(&parts, &mut out);
        out
    }

    /// Every section with judged columns, under the name it has in the text.
    fn parts(&self) -> Vec<(&'static str, &ColumnScores)> {
        let linked = [
            ("coverages", &self.coverages),
            ("options", &self.options),
            ("entries", &self.entries),
            ("off-ball motion", &self.off_ball_motion),
        ];
        let mut parts = Vec::new();
        parts.extend(
            self.possessions
                .scored()
                .map(|score| ("possessions", &score.columns)),
        );
        parts.extend(
            self.on_ball_screens
                .scored()
                .map(|score| ("on-ball screens", &score.columns)),
        );
        parts.extend(
            self.off_ball_screens
                .scored()
                .map(|score| ("off-ball screens", &score.columns)),
        );
        for (name, section) in linked {
            parts.extend(section.scored().map(|score| (name, &score.columns)));
        }
        parts.extend(self.cuts.scored().map(|score| ("cuts", &score.columns)));
        parts
    }

    fn write_reliability(&self, out: &mut String) {
        let screens =
            |section: &Section<ScreenScore>| section.scored().and_then(|score| score.reliability.clone());
        let parts = [
            ("on-ball screens: is it one", screens(&self.on_ball_screens)),
            ("off-ball screens: is it one", screens(&self.off_ball_screens)),
            (
                "coverage: is it the right word",
                self.coverages
                    .scored()
                    .and_then(|score| score.reliability.clone()),
            ),
            (
                "matchups: is it the right attacker",
                self.matchups.scored().and_then(|score| score.reliability.clone()),
            ),
        ];
        for (title, reliability) in parts {
            let Some(reliability) = reliability else { continue };
            let error = reliability.expected_calibration_error;
            section(
                out,
                &format!(
                    "Confidence, {title} (expected calibration error {error:.3}, n {})",
                    reliability.n
                ),
                &reliability_grid(&reliability),
            );
        }
    }
}

fn write_tags(parts: &[(&'static str, &ColumnScores)], out: &mut String) {
    let mut grid = Grid::new(&[
        "",
        "judged",
        "right",
        "accuracy [95 %]",
        "macro-F1",
        "unclear",
        "no answer",
    ]);
    for (name, columns) in parts {
        for tag in &columns.tags {
            grid.row(vec![
                format!("{name}: {}", tag.tag),
                judged(tag.judged),
                tag.accuracy.hits.to_string(),
                interval(Some(tag.accuracy)),
                format!("{:.3}", tag.macro_f1),
                tag.unclear.to_string(),
                tag.no_answer.to_string(),
            ]);
        }
    }
    section(out, "What was said of it", &grid);
    if !grid.is_empty() {
        out.push_str(
            "  Judged, here and below: rows that were found and whose label says something, of all that are no zone of doubt.\n",
        );
    }
}

fn write_values(parts: &[(&'static str, &ColumnScores)], out: &mut String) {
    let mut grid = Grid::new(&["", "judged", "right", "accuracy [95 %]", "no answer"]);
    for (name, columns) in parts {
        for value in &columns.values {
            grid.row(vec![
                format!("{name}: {}", value.column),
                judged(value.judged),
                value.accuracy.hits.to_string(),
                interval(Some(value.accuracy)),
                value.no_answer.to_string(),
            ]);
        }
    }
    section(out, "Whom and what it named", &grid);
}

fn write_measures(parts: &[(&'static str, &ColumnScores)], out: &mut String) {
    let mut grid = Grid::new(&["", "judged", "median", "mean size", "9 in 10 within", "no answer"]);
    for (name, columns) in parts {
        for measure in &columns.measures {
            grid.row(vec![
                format!("{name}: {}", measure.measure),
                judged(measure.judged),
                format!("{:+.3}", measure.median),
                format!("{:.3}", measure.mean_absolute),
                format!("{:.3}", measure.p90_absolute),
                measure.no_answer.to_string(),
            ]);
        }
    }
    section(
        out,
        "How far off (tables less labels, in the unit of the name)",
        &grid,
    );
}

fn reliability_grid(reliability: &Reliability) -> Grid {
    let mut grid = Grid::new(&["stated", "n", "mean stated", "right [95 %]"]);
    for bin in reliability.bins.iter().filter(|bin| bin.n > 0) {
        grid.row(vec![
            format!("{:.2}–{:.2}", bin.from, bin.to),
            bin.n.to_string(),
            optional(bin.stated),
            interval(bin.right_rate),
        ]);
    }
    grid
}

fn write_confusions(parts: &[(&'static str, &ColumnScores)], out: &mut String) {
    for (name, columns) in parts {
        for tag in &columns.tags {
            let title = format!("{name}: {} (down: labels; across: tables)", tag.tag);
            section(out, &title, &confusion_grid(tag));
        }
    }
}

fn confusion_grid(tag: &TagScore) -> Grid {
    let mut header = vec![""];
    header.extend(tag.confusion.predicted.iter().map(String::as_str));
    header.push("F1");
    let mut grid = Grid::new(&header);
    for ((word, counts), class) in tag
        .confusion
        .labelled
        .iter()
        .zip(&tag.confusion.counts)
        .zip(&tag.classes)
    {
        let mut row = vec![word.clone()];
        row.extend(
            counts
                .iter()
                .map(|n| if *n == 0 { "·".to_owned() } else { n.to_string() }),
        );
        row.push(format!("{:.3}", class.f1));
        grid.row(row);
    }
    grid
}

pub(crate) fn section(out: &mut String, title: &str, grid: &Grid) {
    if !grid.is_empty() {
        out.push_str(&format!("\n{title}\n"));
        grid.write(out, 2);
    }
}

/// `150 of 270 (0.56)`.
pub(crate) fn judged(judged: Option<Judged>) -> String {
    judged.map_or_else(
        || NONE.to_owned(),
        |judged| format!("{} of {} ({:.2})", judged.rows, judged.of, judged.share),
    )
}

pub(crate) fn interval(rate: Option<Rate>) -> String {
    rate.map_or_else(
        || NONE.to_owned(),
        |rate| format!("{:.3} [{:.3}, {:.3}]", rate.share, rate.low, rate.high),
    )
}

pub(crate) fn optional(value: Option<f64>) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| format!("{value:.3}"))
}

/// Names one by one, or, when there are more than a line holds, the first and the last.
fn names(all: &[String]) -> String {
    match all {
        [first, second, .., last] if all.len() > MOST_NAMES => format!("{first}, {second}, … {last}"),
        few => few.join(", "),
    }
}

fn count(n: usize, word: &str) -> String {
    if n == 1 {
        format!("1 {word}")
    } else {
        format!("{n} {word}s")
    }
}
