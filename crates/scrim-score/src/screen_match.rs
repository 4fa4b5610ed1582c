//! Which screen of the tables stands for which labelled one, for all sections.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use scrim_statistics::{Candidate, ROUNDING_S, group_rows, pair_nearest_first};

use crate::table::Table;
use crate::{ScoreParams, Warning};

/// What sets a label in doubt behind any real label, s: more than any time difference that can match.
const DOUBT_COST_S: f64 = 1e6;

/// A label's screen as other label rows name it: the folder of the labels, the game, the label's `screen_id`.
pub(crate) type LabelKey = (PathBuf, String, String);

/// The screens of labels and tables, paired once for all sections.
#[derive(Debug)]
pub(crate) struct ScreenMatch<'a> {
    pub labels: &'a Table,
    pub found: &'a Table,
    /// (label, found), labels in doubt included.
    pub pairs: Vec<(usize, usize)>,
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
                            first: *label,
                            second: *row,
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

    /// Labels of ball screens and handoffs that are no zones of doubt.
    pub(crate) fn on_ball_labels(&self) -> usize {
        let kind = self.labels.text("screen_kind");
        families(self.labels)
            .into_iter()
            .enumerate()
            .filter(|(label, family)| *family == Family::OnBall && kind.at(*label).is_some())
            .count()
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

/// The family of each row: `on_ball`, or given by the kind where that is empty.
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

/// Found rows that a zone of doubt excuses: those that stand for a label in doubt, and those that stand for no label
/// and share screener or user with a doubt close by.
pub(crate) fn rows_in_doubt(matched: &ScreenMatch<'_>, params: &ScoreParams) -> BTreeSet<usize> {
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
