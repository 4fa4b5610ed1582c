//! Cuts.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::judge::judge_columns;
use crate::matching::{Candidate, group_rows, pair_nearest_first};
use crate::rate::{Counts, Detection};
use crate::screen_match::{ROUNDING_S, ScreenMatch};
use crate::screens::score_links;
use crate::table::Table;
use crate::{ColumnScores, LinkScore, ScoreParams, Warning};

/// The table of cuts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CutScore {
    /// What was found.
    pub detection: Detection,
    /// Cuts off a screen; `None` when no matched label names one, or screens are not scored.
    pub screen: Option<LinkScore>,
    /// Tags and numbers of the matched cuts.
    pub columns: ColumnScores,
}

/// Pairs cuts of one game, period and player whose spans overlap by enough of the shorter, nearest middle first.
pub(crate) fn score_cuts(
    labels: &Table,
    found: &Table,
    screens: Option<&ScreenMatch<'_>>,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> CutScore {
    let kind = labels.text("cut_kind");
    let (label_start, label_end) = (labels.numbers("t_start_s"), labels.numbers("t_end_s"));
    let (found_start, found_end) = (found.numbers("t_start_s"), found.numbers("t_end_s"));
    let label_player = labels.text("player_id");
    let found_player = found.text("player_id");
    let label_groups = group_rows(labels.rows, |row| {
        Some((labels.game_period(row)?, label_player.at(row)?))
    });
    let found_groups = group_rows(found.rows, |row| {
        Some((found.game_period(row)?, found_player.at(row)?))
    });

    let mut candidates = Vec::new();
    let mut near_doubt = BTreeSet::new();
    for (key, label_rows) in &label_groups {
        let Some(found_rows) = found_groups.get(key) else {
            continue;
        };
        for label in label_rows {
            for row in found_rows {
                let spans = (
                    label_start.at(*label),
                    label_end.at(*label),
                    found_start.at(*row),
                    found_end.at(*row),
                );
                let (Some(a0_s), Some(a1_s), Some(b0_s), Some(b1_s)) = spans else {
                    continue;
                };
                let common_s = a1_s.min(b1_s) - a0_s.max(b0_s);
                let shorter_s = (a1_s - a0_s).min(b1_s - b0_s);
                if common_s <= 0.0 || common_s < params.min_cut_overlap * shorter_s - ROUNDING_S {
                    continue;
                }
                if kind.at(*label).is_some() {
                    let between_middles_s = (a0_s + a1_s - b0_s - b1_s).abs() / 2.0;
                    candidates.push(Candidate {
                        cost: between_middles_s,
                        label: *label,
                        found: *row,
                    });
                } else {
                    near_doubt.insert(*row);
                }
            }
        }
    }
    let pairs = pair_nearest_first(candidates);
    let right: BTreeSet<usize> = pairs.iter().map(|pair| pair.1).collect();
    let in_doubt = near_doubt.difference(&right).count();
    let real = (0..labels.rows).filter(|label| kind.at(*label).is_some()).count();
    let judged: Vec<(usize, Option<usize>)> = pairs.iter().map(|(label, row)| (*label, Some(*row))).collect();
    CutScore {
        detection: Detection::of(Counts {
            found: pairs.len(),
            missed: real - pairs.len(),
            doubts: labels.rows - real,
            extra: found.rows - pairs.len() - in_doubt,
            in_doubt,
            ..Counts::default()
        }),
        screen: screens.and_then(|matched| score_links(matched, labels, found, "screen_id", &pairs)),
        columns: judge_columns(labels, found, &judged, real, warnings),
    }
}
