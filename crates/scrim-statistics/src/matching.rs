//! Which item of one list stands for which of another: tags for labels, one output's rows for another's.

use std::collections::BTreeMap;

/// An item of each list that may be the same thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// How far apart they are: the smaller, the sooner they are paired.
    pub cost: f64,
    /// The place in the first list.
    pub first: usize,
    /// The place in the second.
    pub second: usize,
}

/// Pairs (first, second), each item at most once, nearest first; equal costs by the lists' order, the first list's before. Sorted by
/// the first.
pub fn pair_nearest_first(mut candidates: Vec<Candidate>) -> Vec<(usize, usize)> {
    candidates.sort_by(|a, b| {
        a.cost
            .total_cmp(&b.cost)
            .then((a.first, a.second).cmp(&(b.first, b.second)))
    });
    let mut second_of: BTreeMap<usize, usize> = BTreeMap::new();
    let mut taken = std::collections::BTreeSet::new();
    for candidate in candidates {
        if !second_of.contains_key(&candidate.first) && taken.insert(candidate.second) {
            second_of.insert(candidate.first, candidate.second);
        }
    }
    second_of.into_iter().collect()
}

/// How the times of two spans lie to each other, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoSpans {
    /// The time in common; zero or less when there is none.
    pub common: f64,
    /// How long the first lasts.
    pub first: f64,
    /// How long the second lasts.
    pub second: f64,
    /// Between their middles.
    pub apart: f64,
    /// The time that either takes.
    pub either: f64,
}

impl TwoSpans {
    /// Of two spans, each from its start to its end.
    pub fn of((a0, a1): (f64, f64), (b0, b1): (f64, f64)) -> Self {
        Self {
            common: a1.min(b1) - a0.max(b0),
            first: a1 - a0,
            second: b1 - b0,
            apart: (a0 + a1 - b0 - b1).abs() / 2.0,
            either: a1.max(b1) - a0.min(b0),
        }
    }

    /// Whether at least `share` of the shorter is common to both. A span without length within the other is.
    pub fn share_at_least(&self, share: f64) -> bool {
        self.common >= share * self.first.min(self.second) - ROUNDING_S
    }
}

/// A time read at 1e-9 s from a limit lies on it: 12.3 − 11.3 is a hair more than 1.
pub const ROUNDING_S: f64 = 1e-9;

/// Row numbers by key, in row order; rows without a key are left out.
pub fn group_rows<K: Ord>(rows: usize, key: impl Fn(usize) -> Option<K>) -> BTreeMap<K, Vec<usize>> {
    let mut groups: BTreeMap<K, Vec<usize>> = BTreeMap::new();
    for row in 0..rows {
        if let Some(key) = key(row) {
            groups.entry(key).or_default().push(row);
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn candidate(cost: f64, first: usize, second: usize) -> Candidate {
        Candidate { cost, first, second }
    }

    #[test]
    fn the_nearest_pair_goes_first_even_where_another_choice_would_pair_more() {
        // 0–0 at 0.1 is taken first; 0–1 and 1–0 are then spoken for, so 1 of the first list stays alone.
        let pairs = pair_nearest_first(vec![
            candidate(0.2, 0, 1),
            candidate(0.3, 1, 0),
            candidate(0.1, 0, 0),
        ]);
        assert_eq!(pairs, vec![(0, 0)]);
    }

    #[test]
    fn equal_costs_go_by_row_order() {
        let pairs = pair_nearest_first(vec![
            candidate(0.5, 1, 0),
            candidate(0.5, 0, 1),
            candidate(0.5, 0, 0),
        ]);
        assert_eq!(pairs, vec![(0, 0)]);
    }

    proptest! {
        #[test]
        fn the_order_of_the_candidates_does_not_matter(
            costs in prop::collection::vec((0_u8..6, 0_usize..5, 0_usize..5), 0..25),
        ) {
            let forward: Vec<_> = costs.iter().map(|(c, l, f)| candidate(f64::from(*c), *l, *f)).collect();
            let backward: Vec<_> = forward.iter().rev().copied().collect();
            let pairs = pair_nearest_first(forward);
            prop_assert_eq!(&pairs, &pair_nearest_first(backward));
            let mut found: Vec<_> = pairs.iter().map(|pair| pair.1).collect();
            found.sort_unstable();
            found.dedup();
            prop_assert_eq!(found.len(), pairs.len());
        }
    }
}
