//! Screens, on the ball and off it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use serde::Serialize;

use crate::judge::judge_columns;
use crate::matching::{Candidate, group_rows, pair_nearest_first};
use crate::rate::Detection;
use crate::reliability::Gathered;
use crate::table::Table;
use crate::{ColumnScores, Rate, Reliability, ScoreParams, Warning};

/// A time read at 1e-9 s from a limit lies on it: 12.3 − 11.3 is a hair more than 1.
pub(crate) const ROUNDING_S: f64 = 1e-9;
/// What sets a label in doubt behind any real label, s: more than any time difference that can match.
const DOUBT_COST_S: f64 = 1e6;

/// Labels of screens denied before they were there. They are told apart, for many a labeller leaves them out: to find
/// one counts neither for nor against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EarlyDenialScore {
    /// Rows labelled `early_denial`.
    pub labelled: usize,
    /// Those found as a screen.
    pub found: usize,
    /// Those found and marked `early_denial`.
    pub flagged: usize,
}

/// How much of one group was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupRecall {
    /// On the ball: the outcome of a ball screen, or `handoff`. Off the ball: the kind. `(none)` where the label does
    /// not tell.
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

/// A label's screen as other label rows name it: the folder of the labels, the game, the label's `screen_id`.
pub(crate) type LabelKey = (PathBuf, String, String);

/// The screens of labels and tables, paired once for all sections.
#[derive(Debug)]
pub(crate) struct ScreenMatch<'a> {
    labels: &'a Table,
    found: &'a Table,
    /// (label, found), labels in doubt included.
    pairs: Vec<(usize, usize)>,
    /// The found row of a label that is no zone of doubt.
    by_label: BTreeMap<LabelKey, usize>,
    /// All labels that can be named.
    named: BTreeSet<LabelKey>,
}

impl<'a> ScreenMatch<'a> {
    /// Pairs screens of one game, period, screener and user whose `t_use_s` is near enough; real labels before labels in
    /// doubt, then nearest first.
    pub(crate) fn new(
        labels: &'a Table,
        found: &'a Table,
        params: &ScoreParams,
        warnings: &mut Vec<Warning>,
    ) -> Self {
        let group = |table: &'a Table| {
            let (screener, user) = (table.text("screener_id"), table.text("user_id"));
            group_rows(table.rows, move |row| {
                Some((table.game_period(row)?, screener.at(row)?, user.at(row)?))
            })
        };
        let (label_groups, found_groups) = (group(labels), group(found));
        let (label_t_s, found_t_s) = (labels.numbers("t_use_s"), found.numbers("t_use_s"));
        let kind = labels.text("screen_kind");
        let mut candidates = Vec::new();
        for (key, label_rows) in &label_groups {
            let Some(found_rows) = found_groups.get(key) else {
                continue;
            };
            for label in label_rows {
                for row in found_rows {
                    let (Some(a_s), Some(b_s)) = (label_t_s.at(*label), found_t_s.at(*row)) else {
                        continue;
                    };
                    let apart_s = (a_s - b_s).abs();
                    if apart_s <= params.screen_tolerance_s + ROUNDING_S {
                        let doubt_s = if kind.at(*label).is_none() {
                            DOUBT_COST_S
                        } else {
                            0.0
                        };
                        candidates.push(Candidate {
                            cost: apart_s + doubt_s,
                            label: *label,
                            found: *row,
                        });
                    }
                }
            }
        }
        let pairs = pair_nearest_first(candidates);

        let mut named = BTreeSet::new();
        for label in 0..labels.rows {
            let Some(key) = label_key(labels, "screen_id", label) else {
                continue;
            };
            if named.contains(&key) {
                let repeated = Warning::RepeatedScreenId {
                    game_id: key.1.clone(),
                    screen_id: key.2.clone(),
                };
                if !warnings.contains(&repeated) {
                    warnings.push(repeated);
                }
            }
            named.insert(key);
        }
        let by_label = pairs
            .iter()
            .filter(|(label, _)| kind.at(*label).is_some())
            .filter_map(|(label, row)| Some((label_key(labels, "screen_id", *label)?, *row)))
            .collect();
        Self {
            labels,
            found,
            pairs,
            by_label,
            named,
        }
    }

    /// The table's screen that stands for a label's, by the label's name for it.
    pub(crate) fn found_for(&self, key: &LabelKey) -> Option<usize> {
        self.by_label.get(key).copied()
    }

    /// Whether the labels hold a screen of that name.
    pub(crate) fn is_labelled(&self, key: &LabelKey) -> bool {
        self.named.contains(key)
    }

    /// The tables' screens.
    pub(crate) fn found(&self) -> &'a Table {
        self.found
    }
}

/// How a label row names the screen in its column `column`.
pub(crate) fn label_key(labels: &Table, column: &str, row: usize) -> Option<LabelKey> {
    let game = labels.text("game_id").at(row)?.to_owned();
    let screen = labels.text(column).at(row)?.to_owned();
    Some((labels.folder(row), game, screen))
}

/// One of the two families.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Family {
    OnBall,
    OffBall,
}

/// The family of each row: `on_ball`, or told by the kind where that is empty.
pub(crate) fn families(table: &Table) -> Vec<Family> {
    let (on_ball, kind) = (table.flags("on_ball"), table.text("screen_kind"));
    (0..table.rows)
        .map(|row| {
            let by_kind = || matches!(kind.at(row), Some("ball_screen" | "handoff"));
            if on_ball.at(row).unwrap_or_else(by_kind) {
                Family::OnBall
            } else {
                Family::OffBall
            }
        })
        .collect()
}

/// Scores one family.
pub(crate) fn score_screens(
    matched: &ScreenMatch<'_>,
    family: Family,
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
    let (mut extra, mut excused) = (0, 0);
    for row in (0..found.rows).filter(|row| found_families[*row] == family) {
        let is_right = right.contains(&row);
        if !is_right && in_doubt.contains(&row) {
            excused += 1;
            continue;
        }
        extra += usize::from(!is_right);
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
    let (mut hits, mut missed) = (0, 0);
    let mut early = EarlyDenialScore {
        labelled: 0,
        found: 0,
        flagged: 0,
    };
    for label in (0..labels.rows).filter(|label| counts(*label)) {
        let is_hit = hit.contains(&label);
        if is_early(label) {
            early.labelled += 1;
            early.found += usize::from(is_hit);
            continue;
        }
        hits += usize::from(is_hit);
        missed += usize::from(!is_hit);
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

    let judged: Vec<(usize, Option<usize>)> = pairs.iter().map(|(label, row)| (*label, Some(*row))).collect();
    ScreenScore {
        detection: Detection::of(hits, missed, extra, excused),
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
        columns: judge_columns(labels, found, &judged, warnings),
        reliability: confidence.finish(),
    }
}

/// Found rows that a zone of doubt excuses: those that stand for a label in doubt, and those that stand for no label
/// and share screener or user with a doubt close by.
fn rows_in_doubt(matched: &ScreenMatch<'_>, params: &ScoreParams) -> BTreeSet<usize> {
    let (labels, found) = (matched.labels, matched.found);
    let kind = labels.text("screen_kind");
    let paired: BTreeSet<usize> = matched.pairs.iter().map(|pair| pair.1).collect();
    let mut excused: BTreeSet<usize> = matched
        .pairs
        .iter()
        .filter(|(label, _)| kind.at(*label).is_none())
        .map(|pair| pair.1)
        .collect();
    let doubts = group_rows(labels.rows, |row| match kind.at(row) {
        None => labels.game_period(row),
        Some(_) => None,
    });
    let (label_t_s, found_t_s) = (labels.numbers("t_use_s"), found.numbers("t_use_s"));
    let (label_screener, found_screener) = (labels.text("screener_id"), found.text("screener_id"));
    let (label_user, found_user) = (labels.text("user_id"), found.text("user_id"));
    for row in (0..found.rows).filter(|row| !paired.contains(row)) {
        let near = found
            .game_period(row)
            .and_then(|key| doubts.get(&key))
            .is_some_and(|near| {
                near.iter().any(|doubt| {
                    let (Some(a_s), Some(b_s)) = (label_t_s.at(*doubt), found_t_s.at(row)) else {
                        return false;
                    };
                    let shares_one = label_screener.at(*doubt) == found_screener.at(row)
                        || label_user.at(*doubt) == found_user.at(row);
                    shares_one && (a_s - b_s).abs() <= params.doubt_reach_s
                })
            });
        if near {
            excused.insert(row);
        }
    }
    excused
}

/// Judges a column that points to a screen. `pairs` are rows of `labels` and `found`; `None` when no label points.
pub(crate) fn score_links(
    matched: &ScreenMatch<'_>,
    labels: &Table,
    found: &Table,
    column: &str,
    pairs: &[(usize, usize)],
) -> Option<LinkScore> {
    let told = found.text(column);
    let screen_id = matched.found.text("screen_id");
    let screen_game = matched.found.text("game_id");
    let game = found.text("game_id");
    let mut score = LinkScore {
        labelled: 0,
        linked: 0,
        right: 0,
    };
    for (label, row) in pairs {
        let Some(key) = label_key(labels, column, *label) else {
            continue;
        };
        score.labelled += 1;
        let Some(told) = told.at(*row) else { continue };
        score.linked += 1;
        score.right += usize::from(matched.found_for(&key).is_some_and(|screen| {
            screen_id.at(screen) == Some(told) && screen_game.at(screen) == game.at(*row)
        }));
    }
    (score.labelled > 0).then_some(score)
}
