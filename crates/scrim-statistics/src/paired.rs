//! The difference of two ratios of sums that are of the same clusters.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

use crate::bootstrap::{below, cut_off};
use crate::{Interval, quantile};

/// One cluster's parts in two ratios of sums: the same games, measured in two ways.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PairedPart {
    /// Above the line, before and after.
    pub above: [f64; 2],
    /// Below the line, before and after; 0 where the cluster has no part in that ratio.
    pub below: [f64; 2],
}

/// With fewer replicates than this share in which both ratios are, there are no bounds.
const LEAST_SHARE: f64 = 0.95;

/// The second ratio of sums less the first, with 95 % bounds: clusters are drawn with replacement, whole, so that both measures of
/// one stay together (the bootstrap of paired data: Efron & Tibshirani 1993, sections 8.3 and 13.3), `times` times; the bounds are
/// expanded percentiles, as in [`percentile_interval`](crate::percentile_interval). A ratio of sums lets what is below the line
/// change, too. The same `seed` gives the same bounds on every machine; those of one difference depend on no other.
///
/// The value is `None` when either ratio has nothing below the line. The bounds are `None` of fewer than two clusters, without
/// replicates, and where more than one replicate in twenty has nothing below a line: what is in so few clusters that they are often
/// not drawn at all is known too little. Replicates without a ratio are left out.
pub fn paired_ratio_difference(
    parts: &[PairedPart],
    times: u32,
    seed: u64,
) -> Option<(f64, Option<Interval>)> {
    let value = difference(parts.iter())?;
    Some((value, bounds(parts, value, times, seed)))
}

fn bounds(parts: &[PairedPart], value: f64, times: u32, seed: u64) -> Option<Interval> {
    let cut = cut_off(parts.len())?;
    let same = |part: &PairedPart| part.above[0] == part.above[1] && part.below[0] == part.below[1];
    if parts.iter().all(same) {
        // Whatever is drawn, the ratios are one.
        return Some(Interval {
            value: 0.0,
            low: 0.0,
            high: 0.0,
        });
    }
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut drawn: Vec<f64> = (0..times)
        .filter_map(|_| difference((0..parts.len()).map(|_| &parts[below(parts.len(), &mut rng)])))
        .collect();
    if (drawn.len() as f64) < LEAST_SHARE * f64::from(times) {
        return None;
    }
    drawn.sort_unstable_by(f64::total_cmp);
    Some(Interval {
        value,
        low: quantile(&drawn, cut)?,
        high: quantile(&drawn, 1.0 - cut)?,
    })
}

fn difference<'a>(parts: impl Iterator<Item = &'a PairedPart>) -> Option<f64> {
    let mut sum = PairedPart::default();
    for part in parts {
        for side in 0..2 {
            sum.above[side] += part.above[side];
            sum.below[side] += part.below[side];
        }
    }
    let ratio = |side: usize| (sum.below[side] > 0.0).then(|| sum.above[side] / sum.below[side]);
    Some(ratio(1)? - ratio(0)?)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    fn part(before: (f64, f64), after: (f64, f64)) -> PairedPart {
        PairedPart {
            above: [before.0, after.0],
            below: [before.1, after.1],
        }
    }

    #[test]
    fn the_difference_is_of_ratios_of_sums_and_what_is_below_may_change() {
        // Before (1 + 3) / (4 + 4) = 0.5, after (1 + 3) / (2 + 3) = 0.8.
        let parts = [part((1.0, 4.0), (1.0, 2.0)), part((3.0, 4.0), (3.0, 3.0))];
        let (value, _) = paired_ratio_difference(&parts, 0, 1).unwrap();
        assert_relative_eq!(value, 0.3, epsilon = 1e-12);
        // A cluster without a part in the first ratio alone: before 1/4, after (1 + 1) / (2 + 2).
        let parts = [part((1.0, 4.0), (1.0, 2.0)), part((0.0, 0.0), (1.0, 2.0))];
        let (value, _) = paired_ratio_difference(&parts, 0, 1).unwrap();
        assert_relative_eq!(value, 0.25, epsilon = 1e-12);
    }

    #[test]
    fn of_means_the_bounds_are_those_of_the_paired_t_test() {
        // With one below every line the ratios are means, and the difference is the mean of the differences: ± t s / √n, Student's
        // paired test ("The Probable Error of a Mean", Biometrika 6(1), 1908). Here d = (k mod 7) / 10 of 42 clusters, six times 0
        // to 0.6: mean 0.3, Σ(d − 0.3)² = 6 · 0.28 = 1.68, s = √(1.68 / 41) = 0.202424, s / √42 = 0.031235; t of 0.975 with
        // 41 degrees of freedom is 2.01954 (printed tables): 0.3 ± 0.06308. What each cluster has before differs much more.
        let parts: Vec<PairedPart> = (0..42)
            .map(|k| {
                let before = f64::from(k * k % 11);
                part((before, 1.0), (before + f64::from(k % 7) / 10.0, 1.0))
            })
            .collect();
        let (value, bounds) = paired_ratio_difference(&parts, 20_000, 1).unwrap();
        let bounds = bounds.unwrap();
        assert_relative_eq!(value, 0.3, epsilon = 1e-9);
        // Replicates: a quantile of 20,000 near 2 % has a standard error of about 0.02 standard errors, 0.0007.
        assert_relative_eq!(bounds.low, 0.236_92, epsilon = 0.003);
        assert_relative_eq!(bounds.high, 0.363_08, epsilon = 0.003);
    }

    #[test]
    fn nothing_that_changes_is_no_difference_for_sure() {
        let parts = [part((1.0, 3.0), (1.0, 3.0)), part((2.0, 5.0), (2.0, 5.0))];
        let (value, bounds) = paired_ratio_difference(&parts, 100, 1).unwrap();
        let bounds = bounds.unwrap();
        assert_eq!((value, bounds.low, bounds.high), (0.0, 0.0, 0.0));
    }

    #[test]
    fn what_cannot_be_told_is_none() {
        assert_eq!(paired_ratio_difference(&[], 100, 1), None);
        let never = part((0.0, 0.0), (1.0, 2.0));
        assert_eq!(paired_ratio_difference(&[never; 3], 100, 1), None);
        let once = part((1.0, 2.0), (0.0, 2.0));
        assert_eq!(paired_ratio_difference(&[once], 100, 1), Some((-0.5, None)));
        // Of two clusters only one has a first ratio: one draw in four is without it.
        assert_eq!(
            paired_ratio_difference(&[never, once], 400, 1),
            Some((0.25 - 0.5, None))
        );
    }

    #[test]
    fn the_same_seed_draws_the_same() {
        let parts: Vec<PairedPart> = (0..9)
            .map(|k| part((f64::from(k), 10.0), (f64::from(k % 4), 9.0)))
            .collect();
        assert_eq!(
            paired_ratio_difference(&parts, 500, 3),
            paired_ratio_difference(&parts, 500, 3)
        );
        assert_ne!(
            paired_ratio_difference(&parts, 500, 3),
            paired_ratio_difference(&parts, 500, 4)
        );
    }
}
