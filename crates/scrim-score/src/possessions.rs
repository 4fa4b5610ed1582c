//! Possessions.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::judge::judge_columns;
use crate::matching::{Candidate, group_rows, pair_nearest_first};
use crate::rate::{Counts, Detection};
use crate::table::Table;
use crate::{ColumnScores, ScoreParams, Warning};

/// The table of possessions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PossessionScore {
    /// What was found.
    pub detection: Detection,
    /// Tags, teams and times of the matched possessions.
    pub columns: ColumnScores,
}

/// Pairs possessions of one game, period and offence by the time they have in common over the time that either takes,
/// largest share first.
pub(crate) fn score_possessions(
    labels: &Table,
    found: &Table,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> PossessionScore {
    let phase = labels.text("phase");
    let (label_start, label_end) = (labels.numbers("t_start_s"), labels.numbers("t_end_s"));
    let (found_start, found_end) = (found.numbers("t_start_s"), found.numbers("t_end_s"));
    let (label_team, found_team) = (labels.text("offense_team_id"), found.text("offense_team_id"));
    let label_groups = group_rows(labels.rows, |row| labels.game_period(row));
    let found_groups = group_rows(found.rows, |row| found.game_period(row));

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
                if common_s <= 0.0 {
                    continue;
                }
                if phase.at(*label).is_none() {
                    if common_s > params.min_possession_doubt * (b1_s - b0_s) {
                        near_doubt.insert(*row);
                    }
                    continue;
                }
                let overlap = common_s / (a1_s.max(b1_s) - a0_s.min(b0_s));
                if overlap >= params.min_possession_overlap && label_team.at(*label) == found_team.at(*row) {
                    candidates.push(Candidate {
                        cost: 1.0 - overlap,
                        label: *label,
                        found: *row,
                    });
                }
            }
        }
    }
    let pairs = pair_nearest_first(candidates);
    let right: BTreeSet<usize> = pairs.iter().map(|pair| pair.1).collect();
    let in_doubt = near_doubt.difference(&right).count();
    let real = (0..labels.rows)
        .filter(|label| phase.at(*label).is_some())
        .count();
    let judged: Vec<(usize, Option<usize>)> = pairs.iter().map(|(label, row)| (*label, Some(*row))).collect();
    PossessionScore {
        detection: Detection::of(Counts {
            found: pairs.len(),
            missed: real - pairs.len(),
            doubts: labels.rows - real,
            extra: found.rows - pairs.len() - in_doubt,
            in_doubt,
            ..Counts::default()
        }),
        columns: judge_columns(labels, found, &judged, real, warnings),
    }
}
