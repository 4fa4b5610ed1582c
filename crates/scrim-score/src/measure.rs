//! How far off a number is.

use scrim_statistics::quantile;
use serde::Serialize;

use crate::Judged;

/// Errors of one number over the rows where labels and tables both have it: table less label, in the unit of the
/// column's name.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasureScore {
    /// The column, or the name of a spot (its errors are distances, never negative).
    pub measure: String,
    /// Rows compared.
    pub n: usize,
    /// These, of the label rows that could have been compared.
    pub judged: Option<Judged>,
    /// Rows that the labels give and the tables leave empty.
    pub no_answer: usize,
    /// Middle error, with its sign: whether the tables are early or late, short or long.
    pub median: f64,
    /// Mean of the errors' sizes.
    pub mean_absolute: f64,
    /// Nine errors in ten are no larger than this.
    pub p90_absolute: f64,
}

impl MeasureScore {
    /// Of `label_rows` label rows; `None` when there is nothing to compare.
    pub(crate) fn of(measure: &str, label_rows: usize, errors: &[f64], no_answer: usize) -> Option<Self> {
        let mut signed = errors.to_vec();
        signed.sort_by(f64::total_cmp);
        let mut sizes: Vec<f64> = errors.iter().map(|error| error.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        Some(Self {
            measure: measure.to_owned(),
            n: errors.len(),
            judged: Judged::of(errors.len(), label_rows),
            no_answer,
            median: quantile(&signed, 0.5)?,
            mean_absolute: sizes.iter().sum::<f64>() / sizes.len() as f64,
            p90_absolute: quantile(&sizes, 0.9)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn median_mean_and_ninetieth_of_a_few_errors() {
        // Sorted with sign: -0.4 -0.2 0.1 0.2 0.5, middle 0.1. Sizes: 0.1 0.2 0.2 0.4 0.5, mean 1.4 / 5 = 0.28; the 90th
        // lies 0.9 · 4 = 3.6 steps in: 0.4 + 0.6 · 0.1 = 0.46.
        let score = MeasureScore::of("t_use_s", 10, &[0.5, -0.2, 0.1, -0.4, 0.2], 2).unwrap();
        assert_abs_diff_eq!(score.median, 0.1, epsilon = 1e-12);
        assert_abs_diff_eq!(score.mean_absolute, 0.28, epsilon = 1e-12);
        assert_abs_diff_eq!(score.p90_absolute, 0.46, epsilon = 1e-12);
        assert_eq!((score.n, score.no_answer), (5, 2));
        assert_eq!(score.judged, Judged::of(5, 10));
    }

    #[test]
    fn one_error_is_its_own_quantile_and_none_has_none() {
        assert_eq!(MeasureScore::of("x", 1, &[0.3], 0).unwrap().p90_absolute, 0.3);
        assert_eq!(MeasureScore::of("x", 4, &[], 4), None);
    }
}
