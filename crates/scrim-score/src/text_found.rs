//! The first part of the report as plain text: what was found, and what of it was labelled.

use crate::text::{interval, judged, optional, section};
use crate::text_grid::Grid;
use crate::{Report, ScreenScore, Section};

impl Report {
    pub(crate) fn write_found(&self, out: &mut String) {
        let all = [
            (
                "on-ball screens",
                map(&self.on_ball_screens, |score| &score.detection),
            ),
            (
                "off-ball screens",
                map(&self.off_ball_screens, |score| &score.detection),
            ),
            ("possessions", map(&self.possessions, |score| &score.detection)),
            ("cuts", map(&self.cuts, |score| &score.detection)),
        ];
        let mut labels = Grid::new(&["", "judged", "found", "missed", "recall [95 %]", "F1"]);
        let mut tables = Grid::new(&[
            "",
            "right",
            "extra",
            "in doubt",
            "not judged",
            "precision [95 %]",
            "doubts as extra [95 %]",
        ]);
        for (name, state) in all {
            let detection = match state {
                Section::NotLabelled => continue,
                Section::Absent => {
                    labels.row(vec![name.into(), "no table".into()]);
                    continue;
                }
                Section::Scored(detection) => detection,
            };
            labels.row(vec![
                name.into(),
                judged(detection.judged),
                detection.found.to_string(),
                detection.missed.to_string(),
                interval(detection.recall),
                optional(detection.f1),
            ]);
            tables.row(vec![
                name.into(),
                detection.precision.map_or(0, |rate| rate.hits).to_string(),
                detection.extra.to_string(),
                detection.in_doubt.to_string(),
                detection.not_judged.to_string(),
                interval(detection.precision),
                interval(detection.precision_doubts_false),
            ]);
        }
        section(out, "What of the labels was found", &labels);
        if !labels.is_empty() {
            out.push_str("  Judged: label rows that are no zone of doubt, of all label rows.\n");
        }
        section(out, "What of the tables was labelled", &tables);
        if !tables.is_empty() {
            out.push_str(
                "  In doubt: rows of the tables in a zone that the labels leave open. Precision without them, and with them as \
                 extra.\n",
            );
        }
        if has_unjudged(self) {
            out.push_str(
                "  Not judged: rows of games in which only plain off-ball screens were labelled. They have recall alone. And rows outside the \
                 stretches that were looked at: recall is that of these stretches.\n",
            );
        }
    }

    pub(crate) fn write_matchups(&self, out: &mut String) {
        let Some(score) = self.matchups.scored() else {
            return;
        };
        out.push_str("\nWho guards whom\n");
        out.push_str(&format!(
            "  right {}, nobody named {}, of {:.0} s of player-time\n",
            interval(score.right),
            interval(score.uncovered),
            score.labelled_s,
        ));
        out.push_str(
            "  The bounds are too narrow: looks that follow each other closely are taken as independent.\n",
        );
    }

    pub(crate) fn write_groups(&self, out: &mut String) {
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
                "\nCuts off a screen: {} labelled, {} linked to a screen, {} to the right one: {}\n",
                link.labelled,
                link.linked,
                link.right,
                interval(link.accuracy)
            ));
        }
    }
}

fn write_special(score: &ScreenScore, out: &mut String) {
    if let Some(early) = &score.early_denial {
        out.push_str(&format!(
            "  early denials (not counted above): {} labelled, {} found: {}, {} of them marked so\n",
            early.labelled,
            early.found,
            interval(early.recall),
            early.flagged
        ));
    }
    if let Some(link) = &score.previous_screen {
        out.push_str(&format!(
            "  follow-on screens: {} labelled and found, {} linked to a screen before, {} to the right one: {}\n",
            link.labelled,
            link.linked,
            link.right,
            interval(link.accuracy)
        ));
    }
}

fn map<'a, T, U>(section: &'a Section<T>, part: impl Fn(&'a T) -> &'a U) -> Section<&'a U> {
    match section {
        Section::NotLabelled => Section::NotLabelled,
        Section::Absent => Section::Absent,
        Section::Scored(score) => Section::Scored(part(score)),
    }
}

fn has_unjudged(report: &Report) -> bool {
    let off_ball = report.off_ball_screens.scored();
    off_ball.is_some_and(|score| score.detection.not_judged > 0)
}
