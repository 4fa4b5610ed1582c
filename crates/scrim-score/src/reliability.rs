//! Whether a stated confidence can be believed.

use serde::Serialize;

use crate::Rate;

/// Rows whose stated confidence lies in one span.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReliabilityBin {
    /// Confidence from here (itself included) …
    pub from: f64,
    /// … up to here (left out, but for the last bin).
    pub to: f64,
    /// Rows in it.
    pub n: usize,
    /// Mean of their confidences; `None` of no rows.
    pub stated: Option<f64>,
    /// Share of them that was right; `None` of no rows.
    pub right: Option<f64>,
    /// The same with its interval.
    pub right_rate: Option<Rate>,
}

/// Stated confidence against the share that was right.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reliability {
    /// Rows with a confidence.
    pub n: usize,
    /// Bins of equal width from 0 to 1.
    pub bins: Vec<ReliabilityBin>,
    /// Expected calibration error: Σ (n of the bin / n) · |right − stated|. M. P. Naeini, G. F. Cooper & M. Hauskrecht,
    /// "Obtaining well calibrated probabilities using Bayesian binning", AAAI 2015.
    pub expected_calibration_error: f64,
}

/// Confidences gathered for a [`Reliability`].
#[derive(Debug)]
pub(crate) struct Gathered {
    bins: Vec<(usize, f64, usize)>,
    /// Confidences that were not between 0 and 1.
    pub out_of_range: usize,
}

impl Gathered {
    pub(crate) fn new(bins: usize) -> Self {
        Self {
            bins: vec![(0, 0.0, 0); bins.max(1)],
            out_of_range: 0,
        }
    }

    pub(crate) fn add(&mut self, confidence: f64, is_right: bool) {
        if !(0.0..=1.0).contains(&confidence) {
            self.out_of_range += 1;
            return;
        }
        let last = self.bins.len() - 1;
        let bin = ((confidence * self.bins.len() as f64) as usize).min(last);
        let (n, stated, right) = &mut self.bins[bin];
        *n += 1;
        *stated += confidence;
        *right += usize::from(is_right);
    }

    /// `None` when no confidence was stated.
    pub(crate) fn finish(&self) -> Option<Reliability> {
        let n: usize = self.bins.iter().map(|bin| bin.0).sum();
        if n == 0 {
            return None;
        }
        let width = 1.0 / self.bins.len() as f64;
        let mut error = 0.0;
        let mut bins = Vec::with_capacity(self.bins.len());
        for (index, (rows, stated_sum, hits)) in self.bins.iter().enumerate() {
            let mean = |sum: f64| (*rows > 0).then(|| sum / *rows as f64);
            let (stated, right) = (mean(*stated_sum), mean(*hits as f64));
            if let (Some(stated), Some(right)) = (stated, right) {
                error += *rows as f64 / n as f64 * (right - stated).abs();
            }
            let from = index as f64 * width;
            bins.push(ReliabilityBin {
                from,
                to: from + width,
                n: *rows,
                stated,
                right,
                right_rate: Rate::of(*hits, *rows),
            });
        }
        Some(Reliability {
            n,
            bins,
            expected_calibration_error: error,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_calibration_error_weighs_each_bin_by_its_rows() {
        // Two bins. Below 0.5: 0.2 wrong, 0.4 right: stated 0.3, right 0.5, gap 0.2 with weight 2/5.
        // Above: 0.9, 0.8, 1.0 with two right: stated 0.9, right 2/3, gap 0.2333 with weight 3/5. Sum 0.08 + 0.14 = 0.22.
        let mut gathered = Gathered::new(2);
        for (confidence, is_right) in [(0.2, false), (0.4, true), (0.9, true), (0.8, false), (1.0, true)] {
            gathered.add(confidence, is_right);
        }
        let reliability = gathered.finish().unwrap();
        assert_abs_diff_eq!(reliability.expected_calibration_error, 0.22, epsilon = 1e-12);
        assert_eq!(
            reliability.bins.iter().map(|bin| bin.n).collect::<Vec<_>>(),
            vec![2, 3]
        );
    }

    #[test]
    fn what_is_no_confidence_is_counted_apart() {
        let mut gathered = Gathered::new(10);
        gathered.add(1.5, true);
        gathered.add(f64::NAN, true);
        assert_eq!(gathered.out_of_range, 2);
        assert_eq!(gathered.finish(), None);
    }
}
