//! Numbers with their counts, and how much they can carry.

use std::collections::BTreeMap;

use scrim_season::stats::{Interval, Sample, mean_interval, wilson};

/// No trip gives more points: a three and a free throw, and a good deal of offensive rebounds. Bounds are brought within.
const MOST_POINTS: f64 = 6.0;

/// How much a number can carry. The steps are common practice, no source: at 25 cases a share of one half is known to
/// ± 0.18, at 10 to ± 0.26 (95 %).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Strength {
    /// Fewer than 10 cases.
    VeryThin,
    /// 10 to 24 cases.
    Thin,
    /// 25 cases and more.
    Fair,
}

impl Strength {
    /// Of so many cases.
    pub(crate) const fn of(n: usize) -> Self {
        match n {
            0..10 => Self::VeryThin,
            10..25 => Self::Thin,
            _ => Self::Fair,
        }
    }

    /// What the page says of it; nothing of fair evidence.
    pub(crate) const fn told(self) -> Option<&'static str> {
        match self {
            Self::VeryThin => Some("very thin evidence"),
            Self::Thin => Some("thin evidence"),
            Self::Fair => None,
        }
    }
}

impl Strength {
    /// The same for a table's cell.
    pub(crate) const fn short(self) -> Option<&'static str> {
        match self {
            Self::VeryThin => Some("very thin"),
            Self::Thin => Some("thin"),
            Self::Fair => None,
        }
    }
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
    pub(crate) fn told(self) -> String {
        format!(
            "{} ({} of {}; {})",
            self.percent(),
            self.hits,
            self.n,
            self.range()
        )
    }

    pub(crate) const fn strength(self) -> Strength {
        Strength::of(self.n)
    }
}

/// Points over trips whose points are known.
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

    /// How many trips.
    pub(crate) const fn trips(self) -> usize {
        self.sample.n as usize
    }

    /// Points a trip; `None` of no trip.
    pub(crate) fn per_trip(self) -> Option<f64> {
        self.sample.mean()
    }

    /// The spread of these trips, points squared; `None` of fewer than two.
    pub(crate) fn variance(self) -> Option<f64> {
        self.sample.variance()
    }

    /// Points a trip with a 95 % interval; `variance` is that of many trips, for a few that all ended without a point are
    /// no certainty.
    pub(crate) fn interval(self, variance: Option<f64>) -> Option<Interval> {
        Some(mean_interval(&self.sample, variance?)?.within(0.0, MOST_POINTS))
    }

    /// On how many of them they scored.
    pub(crate) fn scored_share(self) -> Option<Share> {
        Share::of(self.scored, self.trips())
    }

    /// `1.08 points a trip (n = 24; 0.62–1.54)`; `no trip with known points` of none.
    pub(crate) fn told(self, variance: Option<f64>) -> String {
        let Some(per_trip) = self.per_trip() else {
            return "no trip with known points".into();
        };
        let range = self
            .interval(variance)
            .map(|range| format!("; {:.2}–{:.2}", range.low, range.high))
            .unwrap_or_default();
        format!(
            "{per_trip:.2} points a trip (n\u{a0}=\u{a0}{}{range})",
            self.trips()
        )
    }
}

/// Each value and its items, the most frequent first; of equals, the lower value.
pub(crate) fn grouped<K: Ord + Clone, T>(items: impl IntoIterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut groups = BTreeMap::<K, Vec<T>>::new();
    for (key, item) in items {
        groups.entry(key).or_default().push(item);
    }
    let mut groups: Vec<_> = groups.into_iter().collect();
    groups.sort_by_key(|(_, items)| std::cmp::Reverse(items.len()));
    groups
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    #[test]
    fn points_are_over_trips_with_known_points() {
        // 0 + 2 + 3 + 0 = 5 points on 4 trips, scored on 2.
        let points = Points::of([0, 2, 3, 0]);
        assert_abs_diff_eq!(points.per_trip().unwrap(), 1.25);
        assert_eq!(points.scored_share().unwrap().hits, 2);
        assert_eq!(Points::of([]).per_trip(), None);
        assert_eq!(Points::of([]).told(Some(1.0)), "no trip with known points");
    }

    #[test]
    fn the_range_of_points_rests_on_the_spread_of_many_trips() {
        // Four trips without a point: the mean is 0, and 1.96 · √(1.44 / 4) = 1.176 with the spread of the season.
        let told = Points::of([0; 4]).told(Some(1.44)).replace('\u{a0}', " ");
        assert_eq!(told, "0.00 points a trip (n = 4; 0.00–1.18)");
        assert_eq!(
            Points::of([1]).told(None).replace('\u{a0}', " "),
            "1.00 points a trip (n = 1)"
        );
    }

    #[test]
    fn groups_come_by_size_then_by_value() {
        let groups = grouped([("b", 1), ("a", 2), ("c", 3), ("c", 4)]);
        assert_eq!(groups, [("c", vec![3, 4]), ("a", vec![2]), ("b", vec![1])]);
    }

    #[test]
    fn a_share_tells_its_count_and_its_interval() {
        // Wilson's interval by hand: (0.8 + 0.19207 ± 1.96 √(0.016 + 0.009604)) / 1.38415 = 0.4902, 0.9433.
        assert_eq!(
            Share::of(8, 10).unwrap().told().replace('\u{a0}', " "),
            "80 % (8 of 10; 49–94 %)"
        );
    }
}
