//! Means of few values whose spread is known from many.

use crate::Interval;

/// Count, sum and sum of squares of values.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sample {
    /// How many.
    pub n: u32,
    /// Their sum.
    pub sum: f64,
    /// The sum of their squares.
    pub sum_of_squares: f64,
}

impl Sample {
    /// Takes in one more value.
    pub fn add(&mut self, value: f64) {
        self.n += 1;
        self.sum += value;
        self.sum_of_squares += value * value;
    }

    /// The mean; `None` of nothing.
    pub fn mean(&self) -> Option<f64> {
        (self.n > 0).then(|| self.sum / f64::from(self.n))
    }

    /// Both samples as one.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            n: self.n + other.n,
            sum: self.sum + other.sum,
            sum_of_squares: self.sum_of_squares + other.sum_of_squares,
        }
    }

    /// What is left of the sample when `part`, which is among it, is taken away.
    #[must_use]
    pub fn without(self, part: Self) -> Self {
        Self {
            n: self.n.saturating_sub(part.n),
            sum: self.sum - part.sum,
            sum_of_squares: self.sum_of_squares - part.sum_of_squares,
        }
    }

    /// The unbiased variance; `None` of fewer than two values.
    pub fn variance(&self) -> Option<f64> {
        let n = f64::from(self.n);
        (self.n > 1).then(|| ((self.sum_of_squares - self.sum * self.sum / n) / (n - 1.0)).max(0.0))
    }
}

/// The mean of `sample` ± 1.96 σ / √n, with `variance` = σ² taken from a larger whole (the season): three plays that all
/// ended without a point must not pass for certainty. `None` of an empty sample.
pub fn mean_interval(sample: &Sample, variance: f64) -> Option<Interval> {
    let mean = sample.mean()?;
    Some(Interval::normal(mean, (variance / f64::from(sample.n)).sqrt()))
}

/// The difference of two means `first − second` ± 1.96 σ √(1/n₁ + 1/n₂), σ² as in [`mean_interval`]. `None` when either is empty.
pub fn mean_difference(first: &Sample, second: &Sample, variance: f64) -> Option<Interval> {
    let value = first.mean()? - second.mean()?;
    let spread = variance * (1.0 / f64::from(first.n) + 1.0 / f64::from(second.n));
    Some(Interval::normal(value, spread.sqrt()))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    fn sample(values: &[f64]) -> Sample {
        let mut sample = Sample::default();
        for value in values {
            sample.add(*value);
        }
        sample
    }

    #[test]
    fn mean_and_variance_are_those_of_the_values() {
        // 2, 0, 3, 3: mean 2, squared distances 0 + 4 + 1 + 1 = 6, over 3 = 2.
        let four = sample(&[2.0, 0.0, 3.0, 3.0]);
        assert_eq!((four.mean(), four.variance()), (Some(2.0), Some(2.0)));
        // ± 1.959964 * sqrt(2 / 4) = 1.385904
        let mean = mean_interval(&four, 2.0).unwrap();
        assert_relative_eq!(mean.high, 3.385_904, epsilon = 1e-6);
        assert_eq!(sample(&[7.0]).variance(), None);
        assert_eq!(Sample::default().mean(), None);
    }

    #[test]
    fn two_samples_together_are_one_and_one_without_a_part_is_the_rest() {
        let whole = sample(&[1.0, 2.0, 3.0]);
        assert_eq!(sample(&[1.0]).with(sample(&[2.0, 3.0])), whole);
        assert_eq!(whole.without(sample(&[2.0, 3.0])), sample(&[1.0]));
    }

    #[test]
    fn a_difference_of_means_has_both_spreads_in_it() {
        // 1 - 0 ± 1.959964 * sqrt(4 * (1/4 + 1/4)) = 1 ± 2.771808
        let difference = mean_difference(
            &sample(&[0.0, 2.0, 0.0, 2.0]),
            &sample(&[0.0, 0.0, 0.0, 0.0]),
            4.0,
        );
        let difference = difference.unwrap();
        assert_relative_eq!(difference.low, 1.0 - 2.771_808, epsilon = 1e-6);
        assert_eq!(mean_difference(&Sample::default(), &sample(&[1.0]), 1.0), None);
    }
}
