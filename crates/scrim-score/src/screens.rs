//! Screens, on the ball and off it.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::judge::judge_columns;
use crate::rate::{Counts, Detection};
use crate::reliability::Gathered;
use crate::screen_match::{Family, ScreenMatch, families, label_key, rows_in_doubt};
use crate::table::Table;
use crate::windows::Windows;
use crate::{ColumnScores, Rate, Reliability, ScoreParams, Warning};

/// Labels of screens denied before they were there. They are counted apart, for many a labeller leaves them out: to find
/// one counts neither for nor against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EarlyDenialScore {
    /// Rows labelled `early_denial`.
    pub labelled: usize,
    /// Those found as a screen.
    pub found: usize,
    /// Those found and marked `early_denial`.
    pub flagged: usize,
    /// Found of labelled.
    pub recall: Option<Rate>,
}

/// How much of one group was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupRecall {
    /// On the ball: the outcome of a ball screen, or `handoff`. Off the ball: the kind. `(none)` where the label does
    /// not know.
    pub group: String,
    /// Found of labelled.
    pub recall: Rate,
}

/// Rows that point to another row: re-screens, flips, staggers; the screen of a cut.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkScore {
    /// Matched rows whose label points to another.
    pub labelled: usize,
    /// Those that point anywhere in the tables.
    pub linked: usize,
    /// Those that point to the very row that stands for the label's.
    pub right: usize,
    /// Right of labelled.
    pub accuracy: Option<Rate>,
}

/// One family of screens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScreenScore {
    /// What was found. Early denials are left out.
    pub detection: Detection,
    /// Labels of early denial; `None` when there are none.
    pub early_denial: Option<EarlyDenialScore>,
    /// What was found, group by group.
    pub recall_by_group: Vec<GroupRecall>,
    /// `previous_screen_id`; `None` when no matched label has one.
    pub previous_screen: Option<LinkScore>,
    /// Tags, players and times of the matched rows, early denials included.
    pub columns: ColumnScores,
    /// Confidence that the row is a screen, over the rows that precision counts; `None` when none is stated.
    pub reliability: Option<Reliability>,
}

/// What nobody looked at, so that a screen found there is not known to be false.
pub(crate) struct Unseen<'a> {
    /// Games in which the family's labels are not all that there was to label.
    pub plain_only: &'a BTreeSet<String>,
    /// Of games of which only some stretches were looked at, these.
    pub windows: &'a Windows,
}

/// Scores one family.
pub(crate) fn score_screens(
    matched: &ScreenMatch<'_>,
    family: Family,
    unseen: &Unseen<'_>,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> ScreenScore {
    let (labels, found) = (matched.labels, matched.found);
    let (label_families, found_families) = (families(labels), families(found));
    let (kind, outcome) = (labels.text("screen_kind"), labels.text("outcome"));
    let (label_early, found_early) = (labels.flags("early_denial"), found.flags("early_denial"));
    let is_real = |label: usize| kind.at(label).is_some();
    let counts = |label: usize| is_real(label) && label_families[label] == family;
    let is_early = |label: usize| label_early.at(label) == Some(true);
    let (label_game, found_game) = (labels.text("game_id"), found.text("game_id"));
    let is_plain = |game_id: Option<&str>| game_id.is_some_and(|game_id| unseen.plain_only.contains(game_id));

    // A screen of the other family that took the label is a miss here and one too many there.
    let pairs: Vec<(usize, usize)> = matched
        .pairs
        .iter()
        .copied()
        .filter(|(label, row)| counts(*label) && found_families[*row] == family)
        .collect();
    let hit: BTreeSet<usize> = pairs.iter().map(|pair| pair.0).collect();
    let right: BTreeSet<usize> = pairs.iter().map(|pair| pair.1).collect();
    let early_rows: BTreeSet<usize> = pairs
        .iter()
        .filter(|pair| is_early(pair.0))
        .map(|pair| pair.1)
        .collect();
    let in_doubt = rows_in_doubt(matched, params);

    let mut confidence = Gathered::new(params.reliability_bins);
    let stated = found.numbers("confidence");
    let mut tally = Counts::default();
    for row in (0..found.rows).filter(|row| found_families[*row] == family) {
        let is_right = right.contains(&row);
        if is_plain(found_game.at(row)) {
            tally.not_judged += usize::from(!is_right);
            continue;
        }
        if !is_right && !unseen.windows.hold_row(found, row) {
            tally.not_judged += 1;
            continue;
        }
        if !is_right && in_doubt.contains(&row) {
            tally.in_doubt += 1;
            continue;
        }
        tally.extra += usize::from(!is_right);
        if let Some(stated) = stated.at(row)
            && !early_rows.contains(&row)
        {
            confidence.add(stated, is_right);
        }
    }
    if confidence.out_of_range > 0 {
        warnings.push(Warning::ConfidenceOutOfRange {
            table: "screens",
            rows: confidence.out_of_range,
        });
    }

    let mut groups: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut early = EarlyDenialScore {
        labelled: 0,
        found: 0,
        flagged: 0,
        recall: None,
    };
    for label in (0..labels.rows).filter(|label| counts(*label)) {
        let is_hit = hit.contains(&label);
        if is_early(label) {
            early.labelled += 1;
            early.found += usize::from(is_hit);
            continue;
        }
        tally.found += usize::from(is_hit);
        tally.missed += usize::from(!is_hit);
        if is_plain(label_game.at(label)) {
            tally.plain_found += usize::from(is_hit);
            tally.plain_missed += usize::from(!is_hit);
        }
        let group = match (family, kind.at(label)) {
            (Family::OnBall, Some("ball_screen")) => {
                outcome.at(label).unwrap_or(crate::class_score::NO_ANSWER)
            }
            (Family::OnBall | Family::OffBall, other) => other.unwrap_or(crate::class_score::NO_ANSWER),
        };
        let (group_hits, group_n) = groups.entry(group).or_default();
        *group_hits += usize::from(is_hit);
        *group_n += 1;
    }
    early.flagged = pairs
        .iter()
        .filter(|(label, row)| is_early(*label) && found_early.at(*row) == Some(true))
        .count();
    early.recall = Rate::of(early.found, early.labelled);
    let label_on_ball = labels.flags("on_ball");
    tally.doubts = (0..labels.rows)
        .filter(|label| !is_real(*label))
        // A doubt that names no family is one of both.
        .filter(|label| {
            label_on_ball
                .at(*label)
                .is_none_or(|on_ball| on_ball == (family == Family::OnBall))
        })
        .count();
    let real = (0..labels.rows).filter(|label| counts(*label)).count();

    let judged: Vec<(usize, Option<usize>)> = pairs.iter().map(|(label, row)| (*label, Some(*row))).collect();
    ScreenScore {
        detection: Detection::of(tally),
        early_denial: (early.labelled > 0).then_some(early),
        recall_by_group: groups
            .into_iter()
            .filter_map(|(group, (hits, n))| {
                Some(GroupRecall {
                    group: group.to_owned(),
                    recall: Rate::of(hits, n)?,
                })
            })
            .collect(),
        previous_screen: score_links(matched, labels, found, "previous_screen_id", &pairs),
        columns: judge_columns(labels, found, &judged, real, warnings),
        reliability: confidence.finish(),
    }
}

/// Judges a column that points to a screen. `pairs` are rows of `labels` and `found`; `None` when no label points.
pub(crate) fn score_links(
    matched: &ScreenMatch<'_>,
    labels: &Table,
    found: &Table,
    column: &str,
    pairs: &[(usize, usize)],
) -> Option<LinkScore> {
    let predicted = found.text(column);
    let screen_id = matched.found.text("screen_id");
    let screen_game = matched.found.text("game_id");
    let game = found.text("game_id");
    let mut score = LinkScore {
        labelled: 0,
        linked: 0,
        right: 0,
        accuracy: None,
    };
    for (label, row) in pairs {
        let Some(key) = label_key(labels, column, *label) else {
            continue;
        };
        score.labelled += 1;
        let Some(predicted) = predicted.at(*row) else {
            continue;
        };
        score.linked += 1;
        score.right += usize::from(matched.found_for(&key).is_some_and(|screen| {
            screen_id.at(screen) == Some(predicted) && screen_game.at(screen) == game.at(*row)
        }));
    }
    score.accuracy = Rate::of(score.right, score.labelled);
    (score.labelled > 0).then_some(score)
}
