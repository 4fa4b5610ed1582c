//! Which found row stands for which labelled row.

use std::collections::BTreeMap;

/// A labelled row and a found row that may be the same thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Candidate {
    /// How far apart they are: the smaller, the sooner they are paired.
    pub cost: f64,
    pub label: usize,
    pub found: usize,
}

/// Pairs (label, found), each row at most once, nearest first; equal costs by the rows' order, labels first. Sorted by
/// label.
pub(crate) fn pair_nearest_first(mut candidates: Vec<Candidate>) -> Vec<(usize, usize)> {
    candidates.sort_by(|a, b| {
        a.cost
            .total_cmp(&b.cost)
            .then((a.label, a.found).cmp(&(b.label, b.found)))
    });
    let mut found_of: BTreeMap<usize, usize> = BTreeMap::new();
    let mut taken = std::collections::BTreeSet::new();
    for candidate in candidates {
        if !found_of.contains_key(&candidate.label) && taken.insert(candidate.found) {
            found_of.insert(candidate.label, candidate.found);
        }
    }
    found_of.into_iter().collect()
}

/// Row numbers by key, in row order; rows without a key are left out.
pub(crate) fn group_rows<K: Ord>(rows: usize, key: impl Fn(usize) -> Option<K>) -> BTreeMap<K, Vec<usize>> {
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

    fn candidate(cost: f64, label: usize, found: usize) -> Candidate {
        Candidate { cost, label, found }
    }

    #[test]
    fn the_nearest_pair_goes_first_even_where_another_choice_would_pair_more() {
        // 0–0 at 0.1 is taken first; 0–1 and 1–0 are then spoken for, so label 1 stays alone.
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
