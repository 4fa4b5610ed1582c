//! Rates and differences of rates, with score intervals.

use crate::{Interval, Z_95};

/// The rate `hits / n` with its 95 % score interval; `None` when `n` is 0.
///
/// E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the American Statistical
/// Association 22 (1927), 209–212. More hits than `n` count as `n`.
pub fn wilson(hits: u32, n: u32) -> Option<Interval> {
    wilson_share(hits.into(), n)
}

/// The same for hits that need not be whole, such as a sum of probabilities. Each case then varies less than one that is a hit or none
/// (a probability between 0 and 1 has at most the variance of a coin of the same mean), so that the interval is wide enough.
pub fn wilson_share(hits: f64, n: u32) -> Option<Interval> {
    let count = f64::from(n);
    (n > 0 && hits.is_finite()).then(|| score_interval((hits / count).clamp(0.0, 1.0), count))
}

/// Wilson's interval of a rate (0 to 1) that is as sure as one of `count` cases (more than 0, need not be whole).
pub(super) fn score_interval(rate: f64, count: f64) -> Interval {
    let z2 = Z_95 * Z_95;
    let centre = rate + z2 / (2.0 * count);
    let half = Z_95 * (rate * (1.0 - rate) / count + z2 / (4.0 * count * count)).sqrt();
    let scale = 1.0 + z2 / count;
    // At no hit and at all hits a bound is 0 or 1 exactly; rounding must not put it beside.
    let low = if rate <= 0.0 { 0.0 } else { (centre - half) / scale };
    let high = if rate >= 1.0 { 1.0 } else { (centre + half) / scale };
    Interval {
        value: rate,
        low: low.clamp(0.0, rate),
        high: high.clamp(rate, 1.0),
    }
}

/// The difference `first − second` of two independent rates with its 95 % interval, from their two intervals.
///
/// R. G. Newcombe, "Interval estimation for the difference between independent proportions: comparison of eleven methods",
/// Statistics in Medicine 17 (1998), 873–890, method 10, when both are [`wilson`]; the same rule for any two intervals:
/// G. Y. Zou & A. Donner, "Construction of confidence limits about effect measures: a general approach", Statistics in
/// Medicine 27 (2008), 1693–1702.
pub fn rate_difference(first: Interval, second: Interval) -> Interval {
    let down = (first.value - first.low).hypot(second.high - second.value);
    let up = (first.high - first.value).hypot(second.value - second.low);
    let value = first.value - second.value;
    Interval {
        value,
        low: value - down,
        high: value + up,
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    use super::*;

    /// R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998),
    /// 857–872, table I, method 3 (numbers from memory; the reference check computes these with SciPy and many more).
    #[test]
    fn wilsons_interval_is_the_one_that_newcombe_prints() {
        for (hits, n, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let rate = wilson(hits, n).unwrap();
            assert_eq!(wilson_share(f64::from(hits), n), Some(rate));
            assert_abs_diff_eq!(rate.low, low, epsilon = 5e-5);
            assert_abs_diff_eq!(rate.high, high, epsilon = 5e-5);
        }
    }

    /// Newcombe 1998 (difference), table II, method 10: 56/70 − 48/80, 9/10 − 3/10, 10/10 − 0/20 (from memory).
    #[test]
    fn the_difference_of_two_rates_is_the_one_that_newcombe_prints() {
        for (a, m, b, n, low, high) in [
            (56, 70, 48, 80, 0.0524, 0.3339),
            (9, 10, 3, 10, 0.1705, 0.8090),
            (10, 10, 0, 20, 0.6791, 1.0),
        ] {
            let difference = rate_difference(wilson(a, m).unwrap(), wilson(b, n).unwrap());
            assert_abs_diff_eq!(difference.low, low, epsilon = 5e-5);
            assert_abs_diff_eq!(difference.high, high, epsilon = 5e-5);
        }
    }

    #[test]
    fn of_nothing_there_is_no_rate() {
        assert_eq!(wilson(0, 0), None);
    }

    proptest! {
        #[test]
        fn a_rate_lies_within_its_bounds_and_they_within_0_and_1(n in 1u32..2_000_000, share in 0.0..=1.0f64) {
            let rate = wilson((f64::from(n) * share) as u32, n).unwrap();
            prop_assert!(0.0 <= rate.low && rate.low <= rate.value);
            prop_assert!(rate.value <= rate.high && rate.high <= 1.0);
        }

        #[test]
        fn hits_and_misses_mirror_each_other(n in 1u32..5_000, share in 0.0..=1.0f64) {
            let hits = (f64::from(n) * share) as u32;
            let (a, b) = (wilson(hits, n).unwrap(), wilson(n - hits, n).unwrap());
            prop_assert!((a.low - (1.0 - b.high)).abs() < 1e-12);
        }
    }
}
