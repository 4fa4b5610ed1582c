//! Shares with their intervals, and precision, recall, F1.

use serde::Serialize;

/// Two-sided 95 % of the standard normal distribution.
const Z_95: f64 = 1.959_963_984_540_054;

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
    /// The share of `hits` in `n`; `None` of nothing. The interval is the score interval of E. B. Wilson, "Probable
    /// inference, the law of succession, and statistical inference", Journal of the American Statistical Association
    /// 22 (1927), 209–212. It takes the trials as independent.
    pub fn of(hits: usize, n: usize) -> Option<Self> {
        if n == 0 || hits > n {
            return None;
        }
        let (count, z_sq) = (n as f64, Z_95 * Z_95);
        let share = hits as f64 / count;
        let centre = share + z_sq / (2.0 * count);
        let half = Z_95 * (share * (1.0 - share) / count + z_sq / (4.0 * count * count)).sqrt();
        let scale = 1.0 + z_sq / count;
        // Rounding may put the ends a hair outside [0, 1] or past the share itself.
        let low = ((centre - half) / scale).clamp(0.0, share);
        let high = ((centre + half) / scale).clamp(share, 1.0);
        Some(Self {
            hits,
            n,
            share,
            low,
            high,
        })
    }
}

/// How much of what was labelled was found, and how much of what was found was labelled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Detection {
    /// Labelled rows that count.
    pub labelled: usize,
    /// Labelled rows that were found.
    pub found: usize,
    /// Labelled rows that were not.
    pub missed: usize,
    /// Rows of the tables that no label stands for.
    pub extra: usize,
    /// Rows of the tables that fall in a zone of doubt: not judged.
    pub in_doubt: usize,
    /// Of the judged rows of the tables, those that were labelled.
    pub precision: Option<Rate>,
    /// Of the labelled rows, those that were found.
    pub recall: Option<Rate>,
    /// 2·found / (2·found + extra + missed); `None` when there was nothing to find and nothing was found.
    pub f1: Option<f64>,
}

impl Detection {
    pub(crate) fn of(found: usize, missed: usize, extra: usize, in_doubt: usize) -> Self {
        Self {
            labelled: found + missed,
            found,
            missed,
            extra,
            in_doubt,
            precision: Rate::of(found, found + extra),
            recall: Rate::of(found, found + missed),
            f1: f1(found, missed, extra),
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

    #[test]
    fn a_share_of_nothing_is_not_known() {
        assert_eq!(Rate::of(0, 0), None);
        assert_eq!(Detection::of(0, 0, 0, 3).f1, None);
    }

    #[test]
    fn f1_is_the_harmonic_mean_of_precision_and_recall() {
        // 6 found, 2 missed, 4 extra: precision 0.6, recall 0.75, F1 = 2·0.6·0.75 / 1.35 = 2/3.
        let detection = Detection::of(6, 2, 4, 0);
        assert_abs_diff_eq!(detection.precision.unwrap().share, 0.6);
        assert_abs_diff_eq!(detection.recall.unwrap().share, 0.75);
        assert_abs_diff_eq!(detection.f1.unwrap(), 2.0 / 3.0, epsilon = 1e-12);
    }

    #[test]
    fn something_labelled_and_nothing_found_is_zero_not_unknown() {
        let detection = Detection::of(0, 5, 0, 0);
        assert_eq!(detection.f1, Some(0.0));
        assert_eq!(detection.precision, None);
    }
}
