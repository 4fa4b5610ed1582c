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

/// With fewer clusters there are no bounds: those of 2 would hold the truth in half of all samples, of 5 in 71 to 93 %, of 8 in 85 to 95 %,
/// of 10 in 90 to 93 %, of 15 in 94 to 96 % (simulated: rates of 0.08 to 0.5 in clusters
/// of a dozen, a tenth of them changed; a test holds 10 and 20).
const FEWEST_CLUSTERS: usize = 10;

/// With fewer replicates than this share in which both ratios are, there are no bounds.
const LEAST_SHARE: f64 = 0.95;

/// The second ratio of sums less the first, with 95 % bounds: clusters are drawn with replacement, whole, so that both measures of
/// one stay together (the bootstrap of paired data: Efron & Tibshirani 1993, sections 8.3 and 13.3), `times` times; the bounds are
/// expanded percentiles, as in [`percentile_interval`](crate::percentile_interval). A ratio of sums lets what is below the line
/// change, too. The same `seed` gives the same bounds on every machine; those of one difference depend on no other.
///
/// The value is `None` when either ratio has nothing below the line. The bounds are `None` of fewer than ten clusters, without
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
    let cut = cut_off(parts.len()).filter(|_| parts.len() >= FEWEST_CLUSTERS)?;
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
        let parts = [part((1.0, 3.0), (1.0, 3.0)); 10];
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
        assert_eq!(paired_ratio_difference(&[once; 9], 100, 1), Some((-0.5, None)));
        assert!(paired_ratio_difference(&[once; 10], 100, 1).unwrap().1.is_some());
        // Of ten clusters only one has a first ratio: 0.9^10, a third of the draws, are without it.
        let mut one = [never; 10];
        one[0] = once;
        // Before 1/2, after 9/20.
        let (value, bounds) = paired_ratio_difference(&one, 400, 1).unwrap();
        assert_relative_eq!(value, 0.45 - 0.5, epsilon = 1e-12);
        assert_eq!(bounds, None);
    }

    #[test]
    fn of_ten_clusters_and_of_twenty_the_bounds_hold_the_truth_as_often_as_said() {
        // Each cluster has a dozen of which 0.4 ± 0.1 are; a fifth of those are no longer, and 0.02 of the others are now:
        // 0.4 · 0.8 + 0.6 · 0.02 = 0.332, a difference of −0.068.
        let mut rng = ChaCha8Rng::seed_from_u64(9);
        let mut chance = || f64::from(rand_chacha::rand_core::Rng::next_u32(&mut rng)) / f64::from(u32::MAX);
        for (clusters, least) in [(10, 0.89), (20, 0.92)] {
            let samples = 500;
            let mut held = 0;
            for seed in 0..samples {
                let parts: Vec<PairedPart> = (0..clusters)
                    .map(|_| {
                        let rate = 0.3 + 0.2 * chance();
                        let (mut before, mut after) = (0.0, 0.0);
                        for _ in 0..12 {
                            let is = chance() < rate;
                            let becomes = chance() < if is { 0.8 } else { 0.02 };
                            before += f64::from(u8::from(is));
                            after += f64::from(u8::from(becomes));
                        }
                        part((before, 12.0), (after, 12.0))
                    })
                    .collect();
                let bounds = paired_ratio_difference(&parts, 500, seed).unwrap().1.unwrap();
                held += i32::from(bounds.low <= -0.068 && -0.068 <= bounds.high);
            }
            let share = f64::from(held) / samples as f64;
            assert!((least..0.98).contains(&share), "{clusters} clusters: {share}");
        }
    }

    #[test]
    fn the_same_seed_draws_the_same() {
        let parts: Vec<PairedPart> = (0..12)
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
