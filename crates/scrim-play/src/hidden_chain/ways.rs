//! The ways between the states of a chain, laid out so that many states are folded at once.

/// How many states' ways are folded together: their sums wait for each other's terms no more.
const LANES: usize = 4;

/// The ways of each state, first to last. A way is a place in rows of values, a row a distinct probability and a column a state: that
/// of its own probability and of the state at its other end. Behind all rows is the place of ways that are not there.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ways {
    states: usize,
    /// The most ways of a state, at least 1.
    most: usize,
    /// For each `LANES` states their first ways, their second ways, … up to the most.
    places: Vec<[u32; LANES]>,
    nowhere: u32,
}

impl Ways {
    /// Each state's ways; `nowhere` is the place of ways that are not there.
    pub(super) fn of(lists: &[Vec<u32>], nowhere: usize) -> Self {
        let nowhere = nowhere as u32;
        let most = lists.iter().map(Vec::len).fold(1, usize::max);
        let way = |list: Option<&Vec<u32>>, rank: usize| list.and_then(|list| list.get(rank)).copied();
        let places = (0..lists.len()).step_by(LANES).flat_map(|first| {
            (0..most).map(move |rank| {
                std::array::from_fn(|lane| way(lists.get(first + lane), rank).unwrap_or(nowhere))
            })
        });
        Self {
            states: lists.len(),
            most,
            places: places.collect(),
            nowhere,
        }
    }

    /// Folds the values of each state's ways, first to last, and gives each state what that makes, ascending. What is at the place of
    /// ways that are not there must not change it.
    #[inline]
    pub(super) fn fold(
        &self,
        values: &[f64],
        start: f64,
        with: impl Fn(f64, f64) -> f64,
        mut each: impl FnMut(usize, f64),
    ) {
        let firsts = (0..self.states).step_by(LANES);
        for (first, ways) in firsts.zip(self.places.chunks_exact(self.most)) {
            let mut folded = [start; LANES];
            for places in ways {
                for (folded, &place) in folded.iter_mut().zip(places) {
                    *folded = with(*folded, values[place as usize]);
                }
            }
            for (state, folded) in (first..self.states).zip(folded) {
                each(state, folded);
            }
        }
    }

    /// The places of a state's ways, first to last.
    pub(super) fn of_state(&self, state: usize) -> impl Iterator<Item = usize> {
        let first = state / LANES * self.most;
        let ways = self.places[first..first + self.most]
            .iter()
            .map(move |places| places[state % LANES]);
        ways.filter(|&place| place != self.nowhere)
            .map(|place| place as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_state_is_folded_over_its_own_ways_first_to_last() {
        // Five states, so that the second lot of lanes is not full; none, one, two and three ways.
        let lists = [vec![], vec![2], vec![0, 1], vec![3, 2, 1], vec![4, 4]];
        let ways = Ways::of(&lists, 5);
        let values = [1.0, 10.0, 100.0, 1000.0, 7.0, 0.0];
        let mut sums = Vec::new();
        ways.fold(
            &values,
            0.5,
            |sum, value| sum + value,
            |state, sum| sums.push((state, sum)),
        );
        assert_eq!(sums, [(0, 0.5), (1, 100.5), (2, 11.5), (3, 1110.5), (4, 14.5)]);
        for (state, list) in lists.iter().enumerate() {
            let places: Vec<u32> = ways.of_state(state).map(|place| place as u32).collect();
            assert_eq!(places, *list);
        }
    }
}
