//! Paths and posteriors of a hidden Markov chain against two textbook examples and against hmmlearn.

use scrim_play::HiddenChain;
use serde::Deserialize;
use serde_json::{Value, json};

use crate::python::ask;
use crate::sequence::Sequence;

/// A chain with symbols: what hmmlearn calls a categorical one.
struct Example {
    start: Vec<f64>,
    matrix: Vec<Vec<f64>>,
    /// A row a state, a column a symbol.
    emission: Vec<Vec<f64>>,
    symbols: Vec<usize>,
}

#[derive(Deserialize)]
struct Answer {
    path: Vec<usize>,
    log_probability: f64,
    posteriors: Vec<Vec<f64>>,
}

impl Example {
    fn question(&self) -> Value {
        json!({
            "start": self.start, "matrix": self.matrix, "emission": self.emission, "symbols": self.symbols,
        })
    }

    fn chain(&self) -> HiddenChain {
        HiddenChain::from_matrix(self.start.clone(), &self.matrix)
    }

    fn log_likelihoods(&self) -> Vec<f64> {
        self.symbols
            .iter()
            .flat_map(|symbol| self.emission.iter().map(|row| row[*symbol].ln()))
            .collect()
    }

    /// Logarithm of the probability of `path` and the symbols together.
    fn log_probability(&self, path: &[usize]) -> f64 {
        let seen: f64 = path
            .iter()
            .zip(&self.symbols)
            .map(|(state, symbol)| self.emission[*state][*symbol].ln())
            .sum();
        let moved: f64 = path
            .windows(2)
            .map(|pair| self.matrix[pair[0]][pair[1]].ln())
            .sum();
        self.start[path[0]].ln() + moved + seen
    }
}

/// Hot and cold days by ice creams eaten: D. Jurafsky & J. H. Martin, *Speech and Language Processing*, 3rd ed. draft,
/// appendix A (numbers from memory of its figure A.2). States: 0 hot, 1 cold; symbols: ice creams less one.
fn ice_creams() -> Example {
    Example {
        start: vec![0.8, 0.2],
        matrix: vec![vec![0.6, 0.4], vec![0.5, 0.5]],
        emission: vec![vec![0.2, 0.4, 0.4], vec![0.5, 0.4, 0.1]],
        symbols: vec![2, 0, 2],
    }
}

/// The doctor's patient, healthy or with a fever, who feels normal, cold, dizzy: the worked example of the encyclopedia
/// article "Viterbi algorithm" (numbers from memory). States: 0 healthy, 1 fever.
fn healthy_or_fever() -> Example {
    Example {
        start: vec![0.6, 0.4],
        matrix: vec![vec![0.7, 0.3], vec![0.4, 0.6]],
        emission: vec![vec![0.5, 0.4, 0.1], vec![0.1, 0.3, 0.6]],
        symbols: vec![0, 1, 2],
    }
}

/// A row of shares that add up to one.
fn distribution(sequence: &mut Sequence, length: usize) -> Vec<f64> {
    let row: Vec<f64> = (0..length).map(|_| 0.02 + sequence.next_share()).collect();
    let sum: f64 = row.iter().sum();
    row.into_iter().map(|value| value / sum).collect()
}

/// Chains of 2 to 9 states and 1 to 400 steps. Each step has a symbol of its own: with few symbols, the same moves in
/// another order are equally likely, and there would be no one path to agree on.
fn invented() -> Vec<Example> {
    let mut sequence = Sequence::new(2);
    (0..24)
        .map(|k| {
            let (states, steps) = (2 + k % 8, [1, 2, 50, 400][k % 4]);
            Example {
                start: distribution(&mut sequence, states),
                matrix: (0..states).map(|_| distribution(&mut sequence, states)).collect(),
                emission: (0..states).map(|_| distribution(&mut sequence, steps)).collect(),
                symbols: (0..steps).collect(),
            }
        })
        .collect()
}

#[test]
fn the_textbooks_paths_are_found_with_the_textbooks_probabilities() {
    // Ice creams 3 1 3: hot, cold, hot; .8·.4 · .4·.5 · .5·.4 = .0128.
    // Normal, cold, dizzy: healthy, healthy, fever; .6·.5 · .7·.4 · .3·.6 = .01512.
    for (example, path, probability) in [
        (ice_creams(), [0, 1, 0], 0.0128),
        (healthy_or_fever(), [0, 0, 1], 0.01512),
    ] {
        assert_eq!(example.chain().most_likely_path(&example.log_likelihoods()), path);
        assert!((example.log_probability(&path).exp() - probability).abs() < 1e-12);
    }
}

#[test]
fn paths_and_posteriors_are_hmmlearns() {
    let examples: Vec<Example> = [ice_creams(), healthy_or_fever()]
        .into_iter()
        .chain(invented())
        .collect();
    let questions: Vec<Value> = examples.iter().map(Example::question).collect();
    let answers: Vec<Answer> = ask("hidden_chain.py", &json!({ "chains": questions }));
    assert_eq!(answers.len(), examples.len());
    for (example, hmmlearn) in examples.iter().zip(answers) {
        let (chain, logs) = (example.chain(), example.log_likelihoods());
        let path = chain.most_likely_path(&logs);
        assert_eq!(path, hmmlearn.path);
        // Sums of up to 800 logarithms of up to 10 each.
        assert!((example.log_probability(&path) - hmmlearn.log_probability).abs() < 1e-9);
        let theirs: Vec<f64> = hmmlearn.posteriors.concat();
        let ours = chain.posteriors(&logs);
        assert_eq!(ours.len(), theirs.len());
        for (ours, theirs) in ours.iter().zip(&theirs) {
            assert!((ours - theirs).abs() < 1e-9, "{ours}, hmmlearn {theirs}");
        }
    }
}
