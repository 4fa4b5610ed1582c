//! Numbers with their counts and intervals.

use scrim_season::words::SampleSize;
use scrim_statistics::{Interval, Sample, mean_interval, median, wilson};

/// No possession gives more points: a three and a free throw, and a good deal of offensive rebounds. Bounds are brought within.
const MOST_POINTS: f64 = 6.0;

/// The middle of the values that are known.
pub(crate) fn median_of(mut values: Vec<f32>) -> Option<f32> {
    values.retain(|value| value.is_finite());
    values.sort_by(f32::total_cmp);
    median(&values)
}

/// A share of a count with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Share {
    pub(crate) hits: usize,
    pub(crate) n: usize,
    pub(crate) interval: Interval,
}

impl Share {
    /// `hits` of `n` with Wilson's interval; `None` of nothing.
    pub(crate) fn of(hits: usize, n: usize) -> Option<Self> {
        let interval = wilson(u32::try_from(hits).ok()?, u32::try_from(n).ok()?)?;
        Some(Self { hits, n, interval })
    }

    /// `62 %`
    pub(crate) fn percent(self) -> String {
        format!("{:.0}\u{a0}%", self.interval.value * 100.0)
    }

    /// `54–70 %`
    pub(crate) fn range(self) -> String {
        format!(
            "{:.0}–{:.0}\u{a0}%",
            self.interval.low * 100.0,
            self.interval.high * 100.0
        )
    }

    /// `62 % (88 of 142; 54–70 %)`
    pub(crate) fn text(self) -> String {
        format!(
            "{} ({} of {}; {})",
            self.percent(),
            self.hits,
            self.n,
            self.range()
        )
    }

    pub(crate) const fn sample_size(self) -> SampleSize {
        SampleSize::of(self.n)
    }
}

/// Points over possessions whose points are known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Points {
    sample: Sample,
    scored: usize,
}

impl Points {
    pub(crate) fn of(points: impl IntoIterator<Item = u8>) -> Self {
        let mut sum = Self::default();
        for points in points {
            sum.sample.add(f64::from(points));
            sum.scored += usize::from(points > 0);
        }
        sum
    }

    /// How many possessions.
    pub(crate) const fn possessions(self) -> usize {
        self.sample.n as usize
    }

    /// Points per possession; `None` of no possession.
    pub(crate) fn per_possession(self) -> Option<f64> {
        self.sample.mean()
    }

    /// The spread of these possessions, points squared; `None` of fewer than two.
    pub(crate) fn variance(self) -> Option<f64> {
        self.sample.variance()
    }

    /// Points per possession with a 95 % interval; `variance` is that of many possessions, for a few that all ended without a
    /// point are no certainty.
    pub(crate) fn interval(self, variance: Option<f64>) -> Option<Interval> {
        Some(mean_interval(&self.sample, variance?)?.within(0.0, MOST_POINTS))
    }

    /// On how many of them they scored.
    pub(crate) fn scored_share(self) -> Option<Share> {
        Share::of(self.scored, self.possessions())
    }

    /// `1.08 points per possession (n = 24; 0.62–1.54)`; `no possession with known points` of none.
    pub(crate) fn text(self, variance: Option<f64>) -> String {
        let Some(per_possession) = self.per_possession() else {
            return "no possession with known points".into();
        };
        let range = self
            .interval(variance)
            .map(|range| format!("; {:.2}–{:.2}", range.low, range.high))
            .unwrap_or_default();
        format!(
            "{per_possession:.2} points per possession (n\u{a0}=\u{a0}{}{range})",
            self.possessions()
        )
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    #[test]
    fn points_are_over_possessions_with_known_points() {
        // 0 + 2 + 3 + 0 = 5 points on 4 possessions, scored on 2.
        let points = Points::of([0, 2, 3, 0]);
        assert_abs_diff_eq!(points.per_possession().unwrap(), 1.25);
        assert_eq!(points.scored_share().unwrap().hits, 2);
        assert_eq!(Points::of([]).per_possession(), None);
        assert_eq!(Points::of([]).text(Some(1.0)), "no possession with known points");
    }

    #[test]
    fn the_range_of_points_rests_on_the_spread_of_many_possessions() {
        // Four possessions without a point: the mean is 0, and 1.96 · √(1.44 / 4) = 1.176 with the spread of the season.
        let text = Points::of([0; 4]).text(Some(1.44)).replace('\u{a0}', " ");
        assert_eq!(text, "0.00 points per possession (n = 4; 0.00–1.18)");
        assert_eq!(
            Points::of([1]).text(None).replace('\u{a0}', " "),
            "1.00 points per possession (n = 1)"
        );
    }

    #[test]
    fn a_share_shows_its_count_and_its_interval() {
        // Wilson's interval by hand: (0.8 + 0.19207 ± 1.96 √(0.016 + 0.009604)) / 1.38415 = 0.4902, 0.9433.
        assert_eq!(
            Share::of(8, 10).unwrap().text().replace('\u{a0}', " "),
            "80 % (8 of 10; 49–94 %)"
        );
    }
}
