//! A hidden Markov chain with few ways between its states: the most likely path and the posterior of each state.
//!
//! Formulas: L. R. Rabiner, "A tutorial on hidden Markov models and selected applications in speech recognition",
//! Proceedings of the IEEE 77(2), 1989: Viterbi, section III.B; forward and backward with scaling, sections III.A and V.A.

mod ways;

use ways::Ways;

/// Start and transition probabilities of a chain. Besides the listed ways into each state, a chain may have a *jump*:
/// a small, equal probability of coming from any state at all.
#[derive(Debug, Clone, PartialEq)]
pub struct HiddenChain {
    states: usize,
    start: Vec<f64>,
    /// The distinct probabilities of all ways: few, so that what a state is worth times each of them is worked out once a step and
    /// not once a way.
    probabilities: Vec<f64>,
    log_probabilities: Vec<f64>,
    /// Each state's ways from others, as they were listed.
    into: Ways,
    /// Each state's ways to others, ascending.
    out_of: Ways,
    jump: f64,
}

impl HiddenChain {
    /// A chain of `start.len()` states. `ways_into[s]` lists `(from, probability)` of the ways into state `s`;
    /// `jump` is the probability of coming from any state besides (0: none).
    ///
    /// # Panics
    /// If `ways_into` has another length than `start`, or names a state that is not there.
    pub fn new(start: Vec<f64>, ways_into: &[Vec<(usize, f64)>], jump: f64) -> Self {
        let states = start.len();
        assert_eq!(
            ways_into.len(),
            states,
            "ways_into must list the ways into each state"
        );
        let mut probabilities: Vec<f64> = Vec::new();
        let (mut into, mut out_of) = (vec![Vec::new(); states], vec![Vec::new(); states]);
        for (to, list) in ways_into.iter().enumerate() {
            for &(from, probability) in list {
                assert!(from < states, "a way comes from state {from} of {states}");
                let known = probabilities.iter().position(|known| *known == probability);
                let row = known.unwrap_or_else(|| {
                    probabilities.push(probability);
                    probabilities.len() - 1
                });
                into[to].push((row * states + from) as u32);
                out_of[from].push((row * states + to) as u32);
            }
        }
        let nowhere = probabilities.len() * states;
        Self {
            states,
            start,
            log_probabilities: probabilities.iter().map(|probability| probability.ln()).collect(),
            probabilities,
            into: Ways::of(&into, nowhere),
            out_of: Ways::of(&out_of, nowhere),
            jump,
        }
    }

    /// A chain whose transition matrix has a row a state it leaves, a column a state it enters.
    ///
    /// # Panics
    /// If the matrix is not square with `start.len()` rows.
    pub fn from_matrix(start: Vec<f64>, matrix: &[Vec<f64>]) -> Self {
        let states = start.len();
        assert_eq!(matrix.len(), states, "the matrix must have a row a state");
        let into: Vec<_> = (0..states)
            .map(|to| (0..states).map(|from| (from, matrix[from][to])).collect())
            .collect();
        Self::new(start, &into, 0.0)
    }

    /// How many states.
    pub fn states(&self) -> usize {
        self.states
    }

    /// # Panics
    /// If the rows do not hold one value a state.
    fn check(&self, log_likelihoods: &[f64]) {
        assert!(
            log_likelihoods.len().is_multiple_of(self.states),
            "rows must hold one value a state"
        );
    }

    /// A row for each distinct probability: `values` times it.
    fn multiply(&self, values: &[f64], products: &mut [f64]) {
        for (row, probability) in products.chunks_exact_mut(self.states).zip(&self.probabilities) {
            row.iter_mut()
                .zip(values)
                .for_each(|(product, value)| *product = value * probability);
        }
    }

    /// The most likely path of states (Viterbi). `log_likelihoods`: a row a step, a column a state. Of equally likely
    /// states the lower one is taken, and a listed way before a jump.
    ///
    /// # Panics
    /// If the length of `log_likelihoods` is no multiple of the number of states.
    pub fn most_likely_path(&self, log_likelihoods: &[f64]) -> Vec<usize> {
        let n = self.states;
        self.check(log_likelihoods);
        let steps = log_likelihoods.len() / n;
        if steps == 0 {
            return Vec::new();
        }
        let log_jump = self.jump.ln();
        // The scores of all steps are kept: which way each state was reached by is asked on the way back only, of one state a step.
        let mut scores = vec![0.0; steps * n];
        for ((score, p), likelihood) in scores.iter_mut().zip(&self.start).zip(log_likelihoods) {
            *score = p.ln() + likelihood;
        }
        let mut highest = vec![scores[best_of(&scores[..n])]];
        let mut sums = vec![f64::NEG_INFINITY; self.log_probabilities.len() * n + 1];
        for step in 1..steps {
            let (before, here) = scores.split_at_mut(step * n);
            let before = &before[(step - 1) * n..];
            let row = &log_likelihoods[step * n..(step + 1) * n];
            for (sums, log_probability) in sums.chunks_exact_mut(n).zip(&self.log_probabilities) {
                sums.iter_mut()
                    .zip(before)
                    .for_each(|(sum, score)| *sum = score + log_probability);
            }
            let jumped = highest[step - 1] + log_jump;
            let larger = |best: f64, value: f64| if value > best { value } else { best };
            let here = &mut here[..n];
            self.into.fold(&sums, f64::NEG_INFINITY, larger, |state, best| {
                here[state] = larger(best, jumped) + row[state];
            });
            highest.push(
                here[1..n]
                    .iter()
                    .fold(here[0], |best, &value| larger(best, value)),
            );
        }
        let mut path = vec![best_of(&scores[(steps - 1) * n..]); steps];
        for step in (1..steps).rev() {
            let before = &scores[(step - 1) * n..step * n];
            let (mut best, mut from) = (f64::NEG_INFINITY, None);
            for way in self.into.of_state(path[step]) {
                let value = before[way % n] + self.log_probabilities[way / n];
                if value > best {
                    (best, from) = (value, Some(way % n));
                }
            }
            if highest[step - 1] + log_jump > best {
                from = None;
            }
            path[step - 1] = from.unwrap_or_else(|| best_of(before));
        }
        path
    }

    /// The posterior probability of each state at each step, given all steps: a row a step, a column a state; every
    /// row adds up to 1. `log_likelihoods` as in [`HiddenChain::most_likely_path`].
    ///
    /// # Panics
    /// If the length of `log_likelihoods` is no multiple of the number of states.
    pub fn posteriors(&self, log_likelihoods: &[f64]) -> Vec<f64> {
        let n = self.states;
        self.check(log_likelihoods);
        let steps = log_likelihoods.len() / n;
        let mut likelihoods = vec![0.0; log_likelihoods.len()];
        for (row, logs) in likelihoods
            .chunks_exact_mut(n)
            .zip(log_likelihoods.chunks_exact(n))
        {
            // Only ratios within a step matter; the largest becomes 1, so that none underflows for all states.
            let largest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            for (value, log) in row.iter_mut().zip(logs) {
                *value = (log - largest).exp();
            }
        }
        // Sums are taken in the loops that make their terms: alone, each would wait for itself.
        let mut products = vec![0.0; self.probabilities.len() * n + 1];
        let mut forward = vec![0.0; steps * n];
        let mut sum_before = 0.0;
        for step in 0..steps {
            let (before, here) = forward.split_at_mut(step * n);
            let here = &mut here[..n];
            let row = &likelihoods[step * n..(step + 1) * n];
            let mut sum = 0.0;
            if step == 0 {
                for ((value, start), likelihood) in here.iter_mut().zip(&self.start).zip(row) {
                    *value = start * likelihood;
                    sum += *value;
                }
            } else {
                self.multiply(&before[(step - 1) * n..], &mut products);
                let jumped = self.jump * sum_before;
                self.into.fold(
                    &products,
                    0.0,
                    |came, product| came + product,
                    |state, came| {
                        here[state] = (came + jumped) * row[state];
                        sum += here[state];
                    },
                );
            }
            scale_to_one(here, sum);
            sum_before = here.iter().sum();
        }
        // The backward pass multiplies into the forward rows as it goes, so one buffer of a row is enough.
        let mut backward = vec![1.0; n];
        let mut weighted = vec![0.0; n];
        for step in (0..steps).rev() {
            if step + 1 < steps {
                let row = &likelihoods[(step + 1) * n..(step + 2) * n];
                let mut sum = 0.0;
                for ((weighted, backward), likelihood) in weighted.iter_mut().zip(&backward).zip(row) {
                    *weighted = backward * likelihood;
                    sum += *weighted;
                }
                let jumped = self.jump * sum;
                self.multiply(&weighted, &mut products);
                let mut sum = 0.0;
                self.out_of.fold(
                    &products,
                    jumped,
                    |went, product| went + product,
                    |state, went| {
                        backward[state] = went;
                        sum += went;
                    },
                );
                scale_to_one(&mut backward, sum);
            }
            let here = &mut forward[step * n..(step + 1) * n];
            let mut sum = 0.0;
            for (value, backward) in here.iter_mut().zip(&backward) {
                *value *= backward;
                sum += *value;
            }
            scale_to_one(here, sum);
        }
        forward
    }
}

/// The place of the largest value, the first of equals.
fn best_of(values: &[f64]) -> usize {
    let mut best = 0;
    for (place, value) in values.iter().enumerate() {
        if *value > values[best] {
            best = place;
        }
    }
    best
}

/// Divides by the sum; a row of zeros (impossible evidence) becomes uniform.
fn scale_to_one(row: &mut [f64], sum: f64) {
    if sum > 0.0 && sum.is_finite() {
        row.iter_mut().for_each(|value| *value /= sum);
    } else {
        let share = 1.0 / row.len() as f64;
        row.fill(share);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Three days of ice creams, 3 1 3, and two kinds of weather: D. Jurafsky & J. H. Martin, *Speech and Language
    /// Processing*, 3rd ed. draft, appendix A (numbers of figure A.2, after J. Eisner 2002, from memory).
    fn ice_cream() -> (HiddenChain, Vec<f64>) {
        let (hot, cold) = (0.8, 0.2);
        let chain = HiddenChain::from_matrix(vec![hot, cold], &[vec![0.6, 0.4], vec![0.5, 0.5]]);
        // P(1|H) = .2, P(2|H) = .4, P(3|H) = .4; P(1|C) = .5, P(2|C) = .4, P(3|C) = .1.
        let logs = [[0.4, 0.1], [0.2, 0.5], [0.4, 0.1]]
            .concat()
            .iter()
            .map(|p: &f64| p.ln())
            .collect();
        (chain, logs)
    }

    #[test]
    fn the_textbook_path_for_ice_creams_3_1_3_is_hot_cold_hot() {
        // v1 = (.32, .02); v2(H) = max(.32·.6, .02·.5)·.2 = .0384, v2(C) = max(.32·.4, .02·.5)·.5 = .064;
        // v3(H) = max(.0384·.6, .064·.5)·.4 = .0128 from C; v3(C) = max(.0384·.4, .064·.5)·.1 = .0032.
        // So the best path ends hot and came through cold: H C H.
        let (chain, logs) = ice_cream();
        assert_eq!(chain.most_likely_path(&logs), vec![0, 1, 0]);
    }

    #[test]
    fn posteriors_are_the_shares_of_all_eight_paths() {
        let (chain, logs) = ice_cream();
        let (start, matrix) = ([0.8, 0.2], [[0.6, 0.4], [0.5, 0.5]]);
        let mut brute = [0.0; 6];
        let mut total = 0.0;
        for path in 0..8_usize {
            let day = |d: usize| path >> d & 1;
            let p = start[day(0)]
                * matrix[day(0)][day(1)]
                * matrix[day(1)][day(2)]
                * (0..3).map(|d| logs[d * 2 + day(d)].exp()).product::<f64>();
            total += p;
            (0..3).for_each(|d| brute[d * 2 + day(d)] += p);
        }
        for (found, expected) in chain.posteriors(&logs).iter().zip(brute) {
            assert_relative_eq!(*found, expected / total, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_jump_is_a_way_from_everywhere() {
        // The same chain, once with all ways listed, once with the common part 0.1 as a jump.
        let listed = HiddenChain::from_matrix(vec![0.5, 0.5], &[vec![0.9, 0.1], vec![0.1, 0.9]]);
        let jumping = HiddenChain::new(vec![0.5, 0.5], &[vec![(0, 0.8)], vec![(1, 0.8)]], 0.1);
        let logs: Vec<f64> = [0.9, 0.2, 0.1, 0.7, 0.1, 0.6, 0.8, 0.3]
            .iter()
            .map(|p: &f64| p.ln())
            .collect();
        for (a, b) in listed.posteriors(&logs).iter().zip(jumping.posteriors(&logs)) {
            assert_relative_eq!(*a, b, max_relative = 1e-12);
        }
    }

    #[test]
    fn no_steps_give_no_path() {
        let (chain, _) = ice_cream();
        assert!(chain.most_likely_path(&[]).is_empty());
        assert!(chain.posteriors(&[]).is_empty());
    }

    #[test]
    fn impossible_evidence_is_no_panic() {
        let (chain, _) = ice_cream();
        let row = chain.posteriors(&[f64::NEG_INFINITY, f64::NEG_INFINITY]);
        assert_relative_eq!(row[0] + row[1], 1.0, max_relative = 1e-12);
    }
}
