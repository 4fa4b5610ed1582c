//! The bootstrap for a ratio of sums, of independent clusters.

use rand_chacha::rand_core::Rng;
use statrs::distribution::{ContinuousCDF, Normal};

use super::{Interval, Z_95};

/// One cluster's part in a ratio of sums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioPart {
    /// Its part of the sum above the line.
    pub above: f64,
    /// Its part of the sum below, more than 0.
    pub below: f64,
}

/// The ratio of the sums; `None` of nothing.
pub fn ratio_of_sums(parts: &[RatioPart]) -> Option<f64> {
    let (above, below) = sums(parts);
    (!parts.is_empty()).then(|| above / below)
}

fn sums(parts: &[RatioPart]) -> (f64, f64) {
    parts.iter().fold((0.0, 0.0), |(above, below), part| {
        (above + part.above, below + part.below)
    })
}

/// The ratio of sums of `resamples` samples of as many clusters, drawn from `parts` with replacement: a bootstrap
/// distribution (B. Efron, R. Tibshirani, *An Introduction to the Bootstrap* (1993), chapter 6). In the order drawn; empty when
/// `parts` is.
pub fn bootstrap_ratios(parts: &[RatioPart], resamples: u32, rng: &mut impl Rng) -> Vec<f64> {
    if parts.is_empty() {
        return Vec::new();
    }
    let n = parts.len() as u64;
    // The upper half of a product of 32 and 32 bits: of n clusters each is drawn with probability 1/n, but for a part in 2³²/n.
    let mut draw = || parts[((u64::from(rng.next_u32()) * n) >> 32) as usize];
    (0..resamples)
        .map(|_| {
            let (mut above, mut below) = (0.0, 0.0);
            for _ in 0..n {
                let part = draw();
                above += part.above;
                below += part.below;
            }
            above / below
        })
        .collect()
}

/// The 95 % interval of a ratio of sums from its bootstrap distribution, bias-corrected and accelerated (BCa: B. Efron, "Better
/// Bootstrap Confidence Intervals", Journal of the American Statistical Association 82(397), 1987, 171–185; formulas as in Efron
/// & Tibshirani 1993, section 14.3, acceleration from the jackknife, equation 14.15).
///
/// `replicates` is sorted. `None` when the interval cannot be told: no replicate, fewer than two clusters, or all replicates to
/// one side of the estimate. Where every cluster has the same ratio, its bounds are the estimate.
pub fn bca_interval(parts: &[RatioPart], replicates: &mut [f64]) -> Option<Interval> {
    let value = ratio_of_sums(parts)?;
    if replicates.is_empty() || parts.len() < 2 {
        return None;
    }
    replicates.sort_unstable_by(f64::total_cmp);
    let Some(acceleration) = acceleration(parts) else {
        return Some(Interval {
            value,
            low: value,
            high: value,
        });
    };
    let normal = Normal::standard();
    // Half of those that are equal count as below.
    let below = replicates.partition_point(|&replicate| replicate < value);
    let not_above = replicates.partition_point(|&replicate| replicate <= value);
    let share = (below + not_above) as f64 / (2 * replicates.len()) as f64;
    if share <= 0.0 || share >= 1.0 {
        return None;
    }
    let bias = normal.inverse_cdf(share);
    let bound = |z: f64| {
        let moved = bias + z;
        quantile(
            replicates,
            normal.cdf(bias + moved / (1.0 - acceleration * moved)),
        )
    };
    Some(Interval {
        value,
        low: bound(-Z_95),
        high: bound(Z_95),
    })
}

/// A sixth of the skewness of the jackknife's values; `None` when they are all the same.
fn acceleration(parts: &[RatioPart]) -> Option<f64> {
    let (above, below) = sums(parts);
    let without = |part: &RatioPart| (above - part.above) / (below - part.below);
    let mean = parts.iter().map(without).sum::<f64>() / parts.len() as f64;
    let (mut squares, mut cubes) = (0.0_f64, 0.0_f64);
    for part in parts {
        let off = mean - without(part);
        squares += off * off;
        cubes += off * off * off;
    }
    // Rounding alone makes differences of a few units in the last place.
    let scatter = (squares / parts.len() as f64).sqrt();
    let is_flat = scatter <= 64.0 * f64::EPSILON * mean.abs();
    (!is_flat && scatter > 0.0).then(|| cubes / (6.0 * squares.powf(1.5)))
}

/// The `share` quantile of sorted values, straight between neighbours (R. Hyndman, Y. Fan, "Sample Quantiles in Statistical
/// Packages", The American Statistician 50(4), 1996, definition 7).
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len() - 1;
    let at = share.clamp(0.0, 1.0) * last as f64;
    let below = (at as usize).min(last);
    let above = (below + 1).min(last);
    sorted[below] + (sorted[above] - sorted[below]) * (at - below as f64)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::SeedableRng;

    use super::*;

    fn parts(pairs: &[(f64, f64)]) -> Vec<RatioPart> {
        let part = |&(above, below): &(f64, f64)| RatioPart { above, below };
        pairs.iter().map(part).collect()
    }

    #[test]
    fn the_ratio_is_of_the_sums_not_of_the_parts() {
        // (1 + 6) / (1 + 3) = 1.75; the mean of 1 and 2 would be 1.5.
        assert_eq!(ratio_of_sums(&parts(&[(1.0, 1.0), (6.0, 3.0)])), Some(1.75));
        assert_eq!(ratio_of_sums(&[]), None);
    }

    #[test]
    fn quantiles_lie_straight_between_neighbours() {
        // Of 0, 10, 20, 30: at 0.5 half way from the second to the third, at 0.1 at 0.3 of the first gap.
        let values = [0.0, 10.0, 20.0, 30.0];
        assert_eq!(quantile(&values, 0.5), 15.0);
        assert_relative_eq!(quantile(&values, 0.1), 3.0, epsilon = 1e-12);
        assert_eq!((quantile(&values, 0.0), quantile(&values, 1.0)), (0.0, 30.0));
        assert_eq!(quantile(&[7.0], 0.3), 7.0);
    }

    #[test]
    fn without_skew_and_bias_the_interval_is_the_percentiles() {
        // Symmetric parts of equal weight: the jackknife's values are symmetric too, acceleration 0. Replicates 0..=200 in
        // hundredths about the estimate 1: bias 0, so the bounds are the 2.5 % and 97.5 % points, 0.05 and 1.95.
        let symmetric = parts(&[(0.0, 1.0), (2.0, 1.0), (1.0, 1.0)]);
        let mut replicates: Vec<f64> = (0..=200).map(|k| f64::from(k) / 100.0).rev().collect();
        let interval = bca_interval(&symmetric, &mut replicates).unwrap();
        assert_eq!(interval.value, 1.0);
        assert_relative_eq!(interval.low, 0.05, epsilon = 1e-9);
        assert_relative_eq!(interval.high, 1.95, epsilon = 1e-9);
    }

    #[test]
    fn acceleration_is_a_sixth_of_the_jackknifes_skewness() {
        // Parts 0, 0, 3 over 1 each: without one of them 1.5, 1.5, 0; mean 1; off by −0.5, −0.5, 1. Cubes sum to 0.75, squares
        // to 1.5: 0.75 / (6 · 1.5^1.5) = 0.068041.
        let skew = acceleration(&parts(&[(0.0, 1.0), (0.0, 1.0), (3.0, 1.0)])).unwrap();
        assert_relative_eq!(skew, 0.068_041, epsilon = 1e-6);
    }

    #[test]
    fn what_cannot_be_told_is_none_and_one_ratio_for_all_has_no_width() {
        let two = parts(&[(0.0, 1.0), (2.0, 1.0)]);
        assert_eq!(bca_interval(&two, &mut []), None);
        assert_eq!(bca_interval(&two[..1], &mut [0.0]), None);
        assert_eq!(bca_interval(&two, &mut [1.5, 1.7]), None);
        let same = parts(&[(0.1, 1.0), (0.3, 3.0), (0.7, 7.0)]);
        let mut replicates = bootstrap_ratios(&same, 50, &mut ChaCha8Rng::seed_from_u64(1));
        let interval = bca_interval(&same, &mut replicates).unwrap();
        assert_eq!((interval.low, interval.high), (interval.value, interval.value));
    }

    #[test]
    fn the_same_seed_draws_the_same_and_every_cluster_is_drawn() {
        let many: Vec<RatioPart> = (0..40)
            .map(|k| RatioPart {
                above: f64::from(k),
                below: 1.0,
            })
            .collect();
        let draw = |seed| bootstrap_ratios(&many, 400, &mut ChaCha8Rng::seed_from_u64(seed));
        assert_eq!(draw(3), draw(3));
        assert_ne!(draw(3), draw(4));
        // Mean 19.5 and standard deviation √((40² − 1)/12) = 11.54; of means of 40: 1.825. The mean of 400 such is within
        // 4 · 1.825/20 = 0.365 of 19.5, their standard deviation within 4 · 1.825/√800 = 0.26 of 1.825.
        let drawn = draw(5);
        let mean = drawn.iter().sum::<f64>() / 400.0;
        let spread = (drawn.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / 399.0).sqrt();
        assert!((mean - 19.5).abs() < 0.365, "{mean}");
        assert!((spread - 1.825).abs() < 0.26, "{spread}");
    }
}
