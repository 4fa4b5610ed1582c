//! The report as plain text, to be read from top to bottom: what was found, what was said of it, how far the numbers
//! are off, whom it named, what its confidence is worth, and which word was taken for which.

use crate::rate::Detection;
use crate::text_grid::Grid;
use crate::{ColumnScores, Rate, Reliability, Report, ScreenScore, Section, TagScore};

/// An empty cell.
const NONE: &str = "–";

impl Report {
    /// The report as plain text, at most about 110 characters wide but for large confusion matrices.
    pub fn to_table(&self) -> String {
        let mut out = String::new();
        out.push_str(&format!(
            "Tables against labels: {} ({})\n",
            count(self.games.len(), "game"),
            self.games.join(", ")
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

    fn write_found(&self, out: &mut String) {
        let mut grid = Grid::new(&[
            "",
            "labelled",
            "found",
            "missed",
            "extra",
            "in doubt",
            "precision [95 %]",
            "recall [95 %]",
            "F1",
        ]);
        let mut line = |name: &str, state: Section<&Detection>| match state {
            Section::NotLabelled => {}
            Section::Absent => grid.row(vec![name.into(), "no table".into()]),
            Section::Scored(detection) => grid.row(vec![
                name.into(),
                detection.labelled.to_string(),
                detection.found.to_string(),
                detection.missed.to_string(),
                detection.extra.to_string(),
                detection.in_doubt.to_string(),
                interval(detection.precision),
                interval(detection.recall),
                optional(detection.f1),
            ]),
        };
        line(
            "on-ball screens",
            map(&self.on_ball_screens, |score| &score.detection),
        );
        line(
            "off-ball screens",
            map(&self.off_ball_screens, |score| &score.detection),
        );
        line("possessions", map(&self.possessions, |score| &score.detection));
        line("cuts", map(&self.cuts, |score| &score.detection));
        section(out, "What was found", &grid);
        if !grid.is_empty() {
            out.push_str(
                "  In doubt: rows of the tables in a zone that the labels leave open; not judged.\n",
            );
        }
    }

    fn write_matchups(&self, out: &mut String) {
        let Some(score) = self.matchups.scored() else {
            return;
        };
        out.push_str("\nWho guards whom\n");
        out.push_str(&format!(
            "  right {}, nobody named {}, of {:.0} s of player-time\n",
            optional(score.right.map(|rate| rate.share)),
            optional(score.uncovered.map(|rate| rate.share)),
            score.labelled_s,
        ));
    }

    fn write_groups(&self, out: &mut String) {
        for (title, score) in [
            ("On-ball screens found, by outcome", self.on_ball_screens.scored()),
            ("Off-ball screens found, by kind", self.off_ball_screens.scored()),
        ] {
            let Some(score) = score else { continue };
            let mut grid = Grid::new(&["", "found", "labelled", "recall [95 %]"]);
            for group in &score.recall_by_group {
                let rate = group.recall;
                grid.row(vec![
                    group.group.clone(),
                    rate.hits.to_string(),
                    rate.n.to_string(),
                    interval(Some(rate)),
                ]);
            }
            section(out, title, &grid);
            write_special(score, out);
        }
        if let Some(link) = self.cuts.scored().and_then(|score| score.screen.as_ref()) {
            out.push_str(&format!(
                "\nCuts off a screen: {} labelled, {} linked to a screen, {} to the right one\n",
                link.labelled, link.linked, link.right
            ));
        }
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

fn write_special(score: &ScreenScore, out: &mut String) {
    if let Some(early) = &score.early_denial {
        out.push_str(&format!(
            "  early denials: {} labelled, {} found, {} of them marked so (not counted above)\n",
            early.labelled, early.found, early.flagged
        ));
    }
    if let Some(link) = &score.previous_screen {
        out.push_str(&format!(
            "  follow-on screens: {} labelled and found, {} linked to a screen before, {} to the right one\n",
            link.labelled, link.linked, link.right
        ));
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
                tag.accuracy.n.to_string(),
                tag.accuracy.hits.to_string(),
                interval(Some(tag.accuracy)),
                format!("{:.3}", tag.macro_f1),
                tag.unclear.to_string(),
                tag.no_answer.to_string(),
            ]);
        }
    }
    section(out, "What was said of it", &grid);
}

fn write_values(parts: &[(&'static str, &ColumnScores)], out: &mut String) {
    let mut grid = Grid::new(&["", "judged", "right", "accuracy [95 %]", "no answer"]);
    for (name, columns) in parts {
        for value in &columns.values {
            grid.row(vec![
                format!("{name}: {}", value.column),
                value.accuracy.n.to_string(),
                value.accuracy.hits.to_string(),
                interval(Some(value.accuracy)),
                value.no_answer.to_string(),
            ]);
        }
    }
    section(out, "Whom and what it named", &grid);
}

fn write_measures(parts: &[(&'static str, &ColumnScores)], out: &mut String) {
    let mut grid = Grid::new(&[
        "",
        "compared",
        "median",
        "mean size",
        "9 in 10 within",
        "no answer",
    ]);
    for (name, columns) in parts {
        for measure in &columns.measures {
            grid.row(vec![
                format!("{name}: {}", measure.measure),
                measure.n.to_string(),
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
    let mut grid = Grid::new(&["stated", "n", "mean stated", "right"]);
    for bin in reliability.bins.iter().filter(|bin| bin.n > 0) {
        grid.row(vec![
            format!("{:.2}–{:.2}", bin.from, bin.to),
            bin.n.to_string(),
            optional(bin.stated),
            optional(bin.right),
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
    header.extend(tag.confusion.told.iter().map(String::as_str));
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

fn section(out: &mut String, title: &str, grid: &Grid) {
    if !grid.is_empty() {
        out.push_str(&format!("\n{title}\n"));
        grid.write(out, 2);
    }
}

fn map<'a, T, U>(section: &'a Section<T>, part: impl Fn(&'a T) -> &'a U) -> Section<&'a U> {
    match section {
        Section::NotLabelled => Section::NotLabelled,
        Section::Absent => Section::Absent,
        Section::Scored(score) => Section::Scored(part(score)),
    }
}

fn interval(rate: Option<Rate>) -> String {
    rate.map_or_else(
        || NONE.to_owned(),
        |rate| format!("{:.3} [{:.3}, {:.3}]", rate.share, rate.low, rate.high),
    )
}

fn optional(value: Option<f64>) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| format!("{value:.3}"))
}

fn count(n: usize, word: &str) -> String {
    if n == 1 {
        format!("1 {word}")
    } else {
        format!("{n} {word}s")
    }
}
