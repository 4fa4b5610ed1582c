//! Rows that last from one instant to another, paired with labels by the time that they have in common.

use std::collections::BTreeSet;

use scrim_statistics::{Candidate, TwoSpans, group_rows, pair_nearest_first};

use crate::judge::judge_columns;
use crate::rate::{Counts, Detection};
use crate::table::Table;
use crate::{ColumnScores, Warning};

/// What a label and a found row that have time in common are to each other.
pub(crate) enum Match {
    /// They may be the same, at this cost: the least is paired first.
    Candidate(f64),
    /// The label is in doubt, and this found row with it.
    InDoubt,
    /// Nothing.
    None,
}

/// Labels and found rows, paired and judged.
pub(crate) struct PairedSpans {
    /// Rows of the labels and of the found.
    pub pairs: Vec<(usize, usize)>,
    pub detection: Detection,
    pub columns: ColumnScores,
}

/// Pairs spans of one group: `label_key` and `found_key` say of a row which group it is in. A label whose `tag` is empty is in
/// doubt. `compare` says of two rows with time in common what they are to each other.
pub(crate) fn pair_spans<K: Ord>(
    (labels, found): (&Table, &Table),
    tag: &str,
    label_key: impl Fn(usize) -> Option<K>,
    found_key: impl Fn(usize) -> Option<K>,
    compare: impl Fn(usize, usize, TwoSpans) -> Match,
    warnings: &mut Vec<Warning>,
) -> PairedSpans {
    let tag = labels.text(tag);
    let (label_start, label_end) = (labels.numbers("t_start_s"), labels.numbers("t_end_s"));
    let (found_start, found_end) = (found.numbers("t_start_s"), found.numbers("t_end_s"));
    let label_groups = group_rows(labels.rows, label_key);
    let found_groups = group_rows(found.rows, found_key);
    let mut candidates = Vec::new();
    let mut near_doubt = BTreeSet::new();
    for (key, label_rows) in &label_groups {
        let Some(found_rows) = found_groups.get(key) else {
            continue;
        };
        for &label in label_rows {
            for &row in found_rows {
                let spans = label_start
                    .at(label)
                    .zip(label_end.at(label))
                    .zip(found_start.at(row).zip(found_end.at(row)));
                let Some(spans) = spans.map(|(label_s, found_s)| TwoSpans::of(label_s, found_s)) else {
                    continue;
                };
                if spans.common <= 0.0 {
                    continue;
                }
                match compare(label, row, spans) {
                    Match::Candidate(cost) => candidates.push(Candidate {
                        cost,
                        first: label,
                        second: row,
                    }),
                    Match::InDoubt => {
                        near_doubt.insert(row);
                    }
                    Match::None => {}
                }
            }
        }
    }
    let pairs = pair_nearest_first(candidates);
    let right: BTreeSet<usize> = pairs.iter().map(|pair| pair.1).collect();
    let in_doubt = near_doubt.difference(&right).count();
    let real = (0..labels.rows).filter(|&label| tag.at(label).is_some()).count();
    let judged: Vec<(usize, Option<usize>)> = pairs.iter().map(|&(label, row)| (label, Some(row))).collect();
    PairedSpans {
        detection: Detection::of(Counts {
            found: pairs.len(),
            missed: real - pairs.len(),
            doubts: labels.rows - real,
            extra: found.rows - pairs.len() - in_doubt,
            in_doubt,
            ..Counts::default()
        }),
        columns: judge_columns(labels, found, &judged, real, warnings),
        pairs,
    }
}
