//! Numbers with their counts and intervals.

use scrim_season::words::{SampleSize, Words};
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
    pub(crate) fn percent(self, words: &Words) -> String {
        words.percent(self.interval.value * 100.0, 0)
    }

    /// `54–70 %`
    pub(crate) fn range(self, words: &Words) -> String {
        words.percent_range(self.interval.low * 100.0, self.interval.high * 100.0)
    }

    /// `88 of 142; 54–70 %`
    pub(crate) fn count(self, words: &Words) -> String {
        words.say(
            "hits-of",
            &[
                ("hits", self.hits.into()),
                ("n", self.n.into()),
                ("range", self.range(words).into()),
            ],
        )
    }

    /// `62 % (88 of 142; 54–70 %)`
    pub(crate) fn text(self, words: &Words) -> String {
        words.say(
            "share",
            &[
                ("percent", self.percent(words).into()),
                ("hits", self.hits.into()),
                ("n", self.n.into()),
                ("range", self.range(words).into()),
            ],
        )
    }

    /// How the most frequent of several is called: `mostly` only where it is more than half of all.
    pub(crate) const fn often(self) -> &'static str {
        if self.hits * 2 > self.n {
            "mostly"
        } else {
            "most-often"
        }
    }

    pub(crate) const fn sample_size(self) -> SampleSize {
        SampleSize::of(self.n)
    }
}

/// Whether one number is above another by more than their 95 % intervals: only then is one called more, or the most.
pub(crate) fn is_above(one: Interval, other: Interval) -> bool {
    one.low > other.high
}

/// What comes up most of several things, as far as that can be said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Most<K> {
    /// The most frequent.
    pub(crate) first: (K, Share),
    /// The next; `None` of one thing alone.
    pub(crate) second: Option<(K, Share)>,
    /// Whether the first is clearly more frequent: what was never seen counts as a second thing, with none of them.
    pub(crate) is_clear: bool,
}

impl<K: Clone> Most<K> {
    /// Of groups, the most frequent first, among `n`.
    pub(crate) fn of<T>(groups: &[(K, Vec<T>)], n: usize) -> Option<Self> {
        let share = |group: &(K, Vec<T>)| Some((group.0.clone(), Share::of(group.1.len(), n)?));
        let first = share(groups.first()?)?;
        let second = groups.get(1).and_then(share);
        let next = second.as_ref().map_or(Share::of(0, n)?, |(_, share)| *share);
        Some(Self {
            is_clear: is_above(first.1.interval, next.interval),
            first,
            second,
        })
    }

    /// The most frequent and its share, where it clearly is.
    pub(crate) fn clear(self) -> Option<(K, Share)> {
        self.is_clear.then_some(self.first)
    }
}

/// Points over possessions whose points are known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Points {
    sample: Sample,
}

impl Points {
    pub(crate) fn of(points: impl IntoIterator<Item = u8>) -> Self {
        let mut sum = Self::default();
        for points in points {
            sum.sample.add(f64::from(points));
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

    /// `n = 24; 0.62–1.54`
    pub(crate) fn sample(self, variance: Option<f64>, words: &Words) -> String {
        let sample = words.say("sample", &[("n", self.possessions().into())]);
        match self.interval(variance) {
            Some(range) => {
                let [low, high] = [range.low, range.high].map(|bound| words.decimal(bound, 2));
                format!("{sample}; {low}–{high}")
            }
            None => sample,
        }
    }

    /// `1.08 points per possession (n = 24; 0.62–1.54)`; `no possession with known points` of none.
    pub(crate) fn text(self, variance: Option<f64>, words: &Words) -> String {
        let Some(per_possession) = self.per_possession() else {
            return words.text("points-per-possession-none").to_owned();
        };
        words.say(
            "points-per-possession",
            &[
                ("number", words.decimal(per_possession, 2).into()),
                ("sample", self.sample(variance, words).into()),
            ],
        )
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    #[test]
    fn mostly_is_more_than_half() {
        let of = |hits| Share::of(hits, 10).unwrap().often();
        assert_eq!([4, 5, 6].map(of), ["most-often", "most-often", "mostly"]);
    }

    #[test]
    fn points_are_over_possessions_with_known_points() {
        // 0 + 2 + 3 + 0 = 5 points on 4 possessions.
        let points = Points::of([0, 2, 3, 0]);
        assert_abs_diff_eq!(points.per_possession().unwrap(), 1.25);
        assert_eq!(Points::of([]).per_possession(), None);
        assert_eq!(
            Points::of([]).text(Some(1.0), &Words::english()),
            "no possession with known points"
        );
    }

    #[test]
    fn the_range_of_points_rests_on_the_spread_of_many_possessions() {
        // Four possessions without a point: the mean is 0, and 1.96 · √(1.44 / 4) = 1.176 with the spread of the season.
        let words = Words::english();
        let text = Points::of([0; 4]).text(Some(1.44), &words).replace('\u{a0}', " ");
        assert_eq!(text, "0.00 points per possession (n = 4; 0.00–1.18)");
        assert_eq!(
            Points::of([1]).text(None, &words).replace('\u{a0}', " "),
            "1.00 points per possession (n = 1)"
        );
    }

    #[test]
    fn the_most_frequent_is_named_where_the_intervals_do_not_overlap() {
        let groups = |first: usize, second: usize| [("a", vec![(); first]), ("b", vec![(); second])];
        // Wilson: 60 of 100 is 50.2 to 69.1 %, 40 is 30.9 to 49.8 %; 60 of 101 is 49.7 to 68.5 %, 41 is 31.5 to 50.3 %.
        let clear = Most::of(&groups(60, 40), 100).unwrap().clear().unwrap();
        assert_eq!((clear.0, clear.1.hits), ("a", 60));
        let alike = Most::of(&groups(60, 41), 101).unwrap();
        assert_eq!(
            (alike.clear(), alike.second.map(|(name, _)| name)),
            (None, Some("b"))
        );
        // Three of three are 44 to 100 %, none of three 0 to 56 %; four of four 51 to 100 %, none of four 0 to 49 %.
        let alone = |n| Most::of(&groups(n, 0)[..1], n).unwrap().is_clear;
        assert_eq!([alone(3), alone(4)], [false, true]);
        assert_eq!(Most::<&str>::of::<()>(&[], 0), None);
    }

    #[test]
    fn a_share_shows_its_count_and_its_interval() {
        // Wilson's interval by hand: (0.8 + 0.19207 ± 1.96 √(0.016 + 0.009604)) / 1.38415 = 0.4902, 0.9433.
        assert_eq!(
            Share::of(8, 10)
                .unwrap()
                .text(&Words::english())
                .replace('\u{a0}', " "),
            "80 % (8 of 10; 49–94 %)"
        );
    }
}
