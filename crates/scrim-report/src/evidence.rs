//! Numbers with their counts, and how much they can carry.

/// Two-sided 95 % of the standard normal distribution.
const Z_95: f64 = 1.959_963_984_540_054;

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

/// A share of a count with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Share {
    pub(crate) hits: usize,
    pub(crate) n: usize,
    pub(crate) share: f64,
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Share {
    /// `hits` of `n`; `None` of nothing. The interval is the score interval of E. B. Wilson, "Probable inference, the law
    /// of succession, and statistical inference", Journal of the American Statistical Association 22 (1927), 209–212.
    pub(crate) fn of(hits: usize, n: usize) -> Option<Self> {
        if n == 0 || hits > n {
            return None;
        }
        let (count, z_sq) = (n as f64, Z_95 * Z_95);
        let share = hits as f64 / count;
        let centre = share + z_sq / (2.0 * count);
        let half = Z_95 * (share * (1.0 - share) / count + z_sq / (4.0 * count * count)).sqrt();
        let scale = 1.0 + z_sq / count;
        Some(Self {
            hits,
            n,
            share,
            low: ((centre - half) / scale).clamp(0.0, share),
            high: ((centre + half) / scale).clamp(share, 1.0),
        })
    }

    /// `62 %`
    pub(crate) fn percent(self) -> String {
        format!("{:.0}\u{a0}%", self.share * 100.0)
    }

    /// `54–70 %`
    pub(crate) fn interval(self) -> String {
        format!("{:.0}–{:.0}\u{a0}%", self.low * 100.0, self.high * 100.0)
    }

    /// `62 % (88 of 142; 54–70 %)`
    pub(crate) fn told(self) -> String {
        format!(
            "{} ({} of {}; {})",
            self.percent(),
            self.hits,
            self.n,
            self.interval()
        )
    }

    pub(crate) const fn strength(self) -> Strength {
        Strength::of(self.n)
    }
}

/// Points over trips whose points are known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Points {
    pub(crate) trips: usize,
    pub(crate) scored: usize,
    pub(crate) points: u64,
}

impl Points {
    pub(crate) fn of(points: impl IntoIterator<Item = u8>) -> Self {
        let mut sum = Self::default();
        for points in points {
            sum.trips += 1;
            sum.scored += usize::from(points > 0);
            sum.points += u64::from(points);
        }
        sum
    }

    /// Points a trip; `None` of no trip.
    pub(crate) fn per_trip(self) -> Option<f64> {
        (self.trips > 0).then(|| self.points as f64 / self.trips as f64)
    }

    /// On how many of them they scored.
    pub(crate) fn scored_share(self) -> Option<Share> {
        Share::of(self.scored, self.trips)
    }

    /// `1.08 points a trip (n = 24)`; `no trip with known points` of none.
    pub(crate) fn told(self) -> String {
        self.per_trip().map_or_else(
            || "no trip with known points".into(),
            |per_trip| format!("{per_trip:.2} points a trip (n\u{a0}=\u{a0}{})", self.trips),
        )
    }
}

/// Each value and its items, the most frequent first; of equals, the lower value.
pub(crate) fn grouped<K: Ord + Clone, T>(items: impl IntoIterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut groups = std::collections::BTreeMap::<K, Vec<T>>::new();
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
        assert_eq!(Points::of([]).told(), "no trip with known points");
    }

    #[test]
    fn groups_come_by_size_then_by_value() {
        let groups = grouped([("b", 1), ("a", 2), ("c", 3), ("c", 4)]);
        assert_eq!(groups, [("c", vec![3, 4]), ("a", vec![2]), ("b", vec![1])]);
    }

    #[test]
    fn a_share_tells_its_count_and_its_interval() {
        // R 4.3, prop.test(8, 10, correct = FALSE)$conf.int from memory: 0.490, 0.943.
        assert_eq!(
            Share::of(8, 10).unwrap().told().replace('\u{a0}', " "),
            "80 % (8 of 10; 49–94 %)"
        );
    }
}
