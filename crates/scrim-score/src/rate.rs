//! Shares with their intervals, and precision, recall, F1.

use scrim_statistics::wilson;
use serde::Serialize;

/// A share of a count, with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rate {
    /// How many were right.
    pub hits: usize,
    /// Of how many.
    pub n: usize,
    /// `hits / n`.
    pub share: f64,
    /// Lower end of the Wilson interval.
    pub low: f64,
    /// Upper end of the Wilson interval.
    pub high: f64,
}

impl Rate {
    /// The share of `hits` in `n`; `None` of nothing. The interval takes the trials as independent.
    pub fn of(hits: usize, n: usize) -> Option<Self> {
        if hits > n {
            return None;
        }
        let interval = wilson(u32::try_from(hits).ok()?, u32::try_from(n).ok()?)?;
        Some(Self {
            hits,
            n,
            share: interval.value,
            low: interval.low,
            high: interval.high,
        })
    }
}

/// How many label rows a figure stands on: the others leave it open, or are not there to be compared.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Judged {
    /// Label rows that were judged.
    pub rows: usize,
    /// Of how many.
    pub of: usize,
    /// `rows / of`.
    pub share: f64,
}

impl Judged {
    /// `None` of nothing.
    pub(crate) fn of(rows: usize, of: usize) -> Option<Self> {
        (of > 0).then(|| Self {
            rows,
            of,
            share: rows as f64 / of as f64,
        })
    }
}

/// What a [`Detection`] is made from.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    /// Labelled rows that were found and that were not, zones of doubt left out.
    pub found: usize,
    pub missed: usize,
    /// Of these, rows of games in which only the plain ones were labelled.
    pub plain_found: usize,
    pub plain_missed: usize,
    /// Label rows that are zones of doubt.
    pub doubts: usize,
    /// Rows of the tables that no label stands for: false, in a zone of doubt, in a game where only the plain ones were
    /// labelled.
    pub extra: usize,
    pub in_doubt: usize,
    pub not_judged: usize,
}

/// How much of what was labelled was found, and how much of what was found was labelled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Detection {
    /// Labelled rows that count.
    pub labelled: usize,
    /// These of all label rows: the others are zones of doubt. `None` when there are no label rows.
    pub judged: Option<Judged>,
    /// Labelled rows that were found.
    pub found: usize,
    /// Labelled rows that were not.
    pub missed: usize,
    /// Rows of the tables that no label stands for.
    pub extra: usize,
    /// Rows of the tables that fall in a zone of doubt: not judged.
    pub in_doubt: usize,
    /// Rows of the tables that no label stands for, in games of which only the plain ones were labelled, or outside the stretches that were
    /// looked at: not judged.
    pub not_judged: usize,
    /// Of the judged rows of the tables, those that were labelled. Rows in doubt are left out, and so are games of which
    /// only the plain ones were labelled.
    pub precision: Option<Rate>,
    /// The same with every row in doubt counted as false.
    pub precision_doubts_false: Option<Rate>,
    /// Of the labelled rows, those that were found.
    pub recall: Option<Rate>,
    /// 2·found / (2·found + extra + missed), over the games that precision counts; `None` when there was nothing to find
    /// and nothing was found.
    pub f1: Option<f64>,
}

impl Detection {
    pub(crate) fn of(counts: Counts) -> Self {
        let Counts {
            found,
            missed,
            plain_found,
            plain_missed,
            doubts,
            extra,
            in_doubt,
            not_judged,
        } = counts;
        let (full_found, full_missed) = (found - plain_found, missed - plain_missed);
        Self {
            labelled: found + missed,
            judged: Judged::of(found + missed, found + missed + doubts),
            found,
            missed,
            extra,
            in_doubt,
            not_judged,
            precision: Rate::of(full_found, full_found + extra),
            precision_doubts_false: Rate::of(full_found, full_found + extra + in_doubt),
            recall: Rate::of(found, found + missed),
            f1: f1(full_found, full_missed, extra),
        }
    }
}

/// The harmonic mean of precision and recall, from the counts.
pub(crate) fn f1(found: usize, missed: usize, extra: usize) -> Option<f64> {
    let all = 2 * found + missed + extra;
    (all > 0).then(|| 2.0 * found as f64 / all as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn wilson_intervals_are_those_of_the_printed_table() {
        // R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998),
        // table I, method 3 (values from memory, and worked out again by the formula): 4 decimals.
        for (hits, n, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let rate = Rate::of(hits, n).unwrap();
            assert_abs_diff_eq!(rate.low, low, epsilon = 5e-5);
            assert_abs_diff_eq!(rate.high, high, epsilon = 5e-5);
        }
    }

    fn detection(found: usize, missed: usize, extra: usize, in_doubt: usize) -> Detection {
        Detection::of(Counts {
            found,
            missed,
            extra,
            in_doubt,
            ..Counts::default()
        })
    }

    #[test]
    fn a_share_of_nothing_is_not_known() {
        assert_eq!(Rate::of(0, 0), None);
        assert_eq!(detection(0, 0, 0, 3).f1, None);
        assert_eq!(detection(0, 0, 0, 3).judged, None);
    }

    #[test]
    fn f1_is_the_harmonic_mean_of_precision_and_recall() {
        // 6 found, 2 missed, 4 extra: precision 0.6, recall 0.75, F1 = 2·0.6·0.75 / 1.35 = 2/3.
        let detection = detection(6, 2, 4, 0);
        assert_abs_diff_eq!(detection.precision.unwrap().share, 0.6);
        assert_abs_diff_eq!(detection.recall.unwrap().share, 0.75);
        assert_abs_diff_eq!(detection.f1.unwrap(), 2.0 / 3.0, epsilon = 1e-12);
    }

    #[test]
    fn something_labelled_and_nothing_found_is_zero_not_unknown() {
        let detection = detection(0, 5, 0, 0);
        assert_eq!(detection.f1, Some(0.0));
        assert_eq!(detection.precision, None);
    }

    #[test]
    fn doubts_count_against_the_second_precision_alone() {
        // 6 of 8 without the doubts, 6 of 12 with them.
        let detection = detection(6, 2, 2, 4);
        assert_abs_diff_eq!(detection.precision.unwrap().share, 0.75);
        assert_abs_diff_eq!(detection.precision_doubts_false.unwrap().share, 0.5);
    }

    #[test]
    fn games_with_plain_labels_alone_count_for_recall_and_for_nothing_else() {
        // In full games 3 found, 1 missed, 2 extra; in the others 5 found, 3 missed. Recall 8 of 12, precision 3 of 5,
        // F1 = 6 / (6 + 1 + 2).
        let detection = Detection::of(Counts {
            found: 8,
            missed: 4,
            plain_found: 5,
            plain_missed: 3,
            doubts: 4,
            extra: 2,
            in_doubt: 0,
            not_judged: 7,
        });
        assert_abs_diff_eq!(detection.recall.unwrap().share, 8.0 / 12.0);
        assert_abs_diff_eq!(detection.precision.unwrap().share, 0.6);
        assert_abs_diff_eq!(detection.f1.unwrap(), 6.0 / 9.0);
        assert_eq!(detection.judged, Judged::of(12, 16));
    }
}
