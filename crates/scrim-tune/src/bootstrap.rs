//! How sure a measured difference is: possessions drawn again, with a fixed seed.

/// A 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
}

/// Draws `groups` groups with replacement `times` times and gives the interval between the 2.5 % and 97.5 % points of what
/// `statistic` makes of each draw (percentile bootstrap: B. Efron & R. J. Tibshirani, *An Introduction to the Bootstrap*,
/// 1993, chapter 13). Screens of one possession are one group: they are not independent. Those of one game are not quite so
/// either, which makes the interval a little too narrow.
pub(crate) fn interval(
    groups: usize,
    times: usize,
    seed: u64,
    mut statistic: impl FnMut(&[usize]) -> f64,
) -> Interval {
    let mut numbers = SplitMix64(seed);
    let mut draw = vec![0; groups];
    let mut values: Vec<f64> = (0..times)
        .map(|_| {
            draw.iter_mut().for_each(|place| *place = numbers.below(groups));
            statistic(&draw)
        })
        .collect();
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = (share * values.len() as f64) as usize;
        values
            .get(place.min(values.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::NAN)
    };
    Interval {
        low: at(0.025),
        high: at(0.975),
    }
}

/// G. L. Steele, D. Lea & C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014, figure 16 (constants
/// from memory). The same on every machine.
struct SplitMix64(u64);

impl SplitMix64 {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 to `count` − 1. The remainder's bias is below `count` / 2⁶⁴.
    fn below(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_interval_of_a_mean_is_about_two_standard_errors_either_way() {
        // 400 values, half 0, half 1: mean 0.5, standard error 0.5 / 20 = 0.025, so 0.451 to 0.549; drawing adds some
        // thousandths.
        let mean = |draw: &[usize]| draw.iter().filter(|&&k| k % 2 == 1).count() as f64 / draw.len() as f64;
        let found = interval(400, 2000, 1, mean);
        assert_abs_diff_eq!(found.low, 0.451, epsilon = 0.006);
        assert_abs_diff_eq!(found.high, 0.549, epsilon = 0.006);
        assert_eq!(found, interval(400, 2000, 1, mean));
    }

    #[test]
    fn what_never_differs_has_an_interval_of_no_width() {
        let found = interval(5, 100, 1, |_| 0.25);
        assert_eq!((found.low, found.high), (0.25, 0.25));
    }
}
