//! Multinomial logistic weights, drawn toward prior ones.
//!
//! Every word has its own inputs and its own weights; a word's score is their product, its likelihood the softmax of the
//! scores.

/// One observation.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Observation {
    /// The inputs of each word: as many words as there are rows of weights, as many inputs as each row has.
    pub inputs: Vec<Vec<f64>>,
    /// The place of the word that is right.
    pub right: usize,
}

/// Steps at most; a convex problem of this size takes some ten.
const MAX_STEPS: usize = 100;
/// A step smaller than this is the end: no weight is known that finely.
const SMALLEST_STEP: f64 = 1e-7;
/// A step is halved this often before it counts as no step.
const MAX_HALVINGS: usize = 30;

/// The weights that minimise the log loss plus half the ridge of each input times the squared distance from `prior`.
/// `ridge` holds one positive factor an input, the same for all words. Newton's method with halved steps; with every factor
/// above 0 the problem is strictly convex, so there is one answer.
pub(crate) fn fit(observations: &[Observation], prior: &[Vec<f64>], ridge: &[f64]) -> Vec<Vec<f64>> {
    let (words, inputs) = (prior.len(), ridge.len());
    let mut weights = prior.to_vec();
    let mut before = loss(observations, &weights, prior, ridge);
    for _ in 0..MAX_STEPS {
        let (gradient, curvature) = slopes(observations, &weights, prior, ridge);
        let step = solve(curvature, gradient);
        let mut share = 1.0;
        let mut moved = 0.0_f64;
        for _ in 0..MAX_HALVINGS {
            let next: Vec<Vec<f64>> = (0..words)
                .map(|w| {
                    (0..inputs)
                        .map(|i| weights[w][i] - share * step[w * inputs + i])
                        .collect()
                })
                .collect();
            let after = loss(observations, &next, prior, ridge);
            if after <= before {
                moved = step.iter().map(|d| (share * d).abs()).fold(0.0, f64::max);
                (weights, before) = (next, after);
                break;
            }
            share /= 2.0;
        }
        if moved < SMALLEST_STEP {
            break;
        }
    }
    weights
}

/// How likely each word is.
pub(crate) fn likelihoods(inputs: &[Vec<f64>], weights: &[Vec<f64>]) -> Vec<f64> {
    let scores = scores(inputs, weights);
    let highest = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let parts: Vec<f64> = scores.iter().map(|score| (score - highest).exp()).collect();
    let sum: f64 = parts.iter().sum();
    parts.iter().map(|part| part / sum).collect()
}

fn scores(inputs: &[Vec<f64>], weights: &[Vec<f64>]) -> Vec<f64> {
    let product = |(x, w): (&Vec<f64>, &Vec<f64>)| x.iter().zip(w).map(|(x, w)| x * w).sum();
    inputs.iter().zip(weights).map(product).collect()
}

fn loss(observations: &[Observation], weights: &[Vec<f64>], prior: &[Vec<f64>], ridge: &[f64]) -> f64 {
    let log_loss: f64 = observations
        .iter()
        .map(|observation| {
            let scores = scores(&observation.inputs, weights);
            let highest = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let sum: f64 = scores.iter().map(|score| (score - highest).exp()).sum();
            highest + sum.ln() - scores[observation.right]
        })
        .sum();
    let drawn: f64 = weights
        .iter()
        .zip(prior)
        .flat_map(|(w, p)| w.iter().zip(p).zip(ridge))
        .map(|((w, p), r)| 0.5 * r * (w - p).powi(2))
        .sum();
    log_loss + drawn
}

/// Gradient and second derivatives of the loss, words one after the other.
fn slopes(
    observations: &[Observation],
    weights: &[Vec<f64>],
    prior: &[Vec<f64>],
    ridge: &[f64],
) -> (Vec<f64>, Vec<Vec<f64>>) {
    let (words, inputs) = (prior.len(), ridge.len());
    let all = words * inputs;
    let mut gradient = vec![0.0; all];
    let mut curvature = vec![vec![0.0; all]; all];
    for w in 0..words {
        for i in 0..inputs {
            gradient[w * inputs + i] = ridge[i] * (weights[w][i] - prior[w][i]);
            curvature[w * inputs + i][w * inputs + i] = ridge[i];
        }
    }
    for observation in observations {
        let p = likelihoods(&observation.inputs, weights);
        for w in 0..words {
            let off = p[w] - f64::from(u8::from(w == observation.right));
            for (i, x) in observation.inputs[w].iter().enumerate() {
                // Nothing to add: the word that others are compared with has no inputs.
                if *x == 0.0 {
                    continue;
                }
                gradient[w * inputs + i] += off * x;
                let row = &mut curvature[w * inputs + i];
                // The lower half only; the other is its mirror image.
                for v in 0..=w {
                    let factor = x * p[w] * (f64::from(u8::from(w == v)) - p[v]);
                    let cells = &mut row[v * inputs..(v + 1) * inputs];
                    for (cell, y) in cells.iter_mut().zip(&observation.inputs[v]) {
                        *cell += factor * y;
                    }
                }
            }
        }
    }
    for i in 1..all {
        let (above, row) = curvature.split_at_mut(i);
        for (upper, cell) in above.iter_mut().zip(&row[0]) {
            upper[i] = *cell;
        }
    }
    (gradient, curvature)
}

/// Solves a symmetric positive definite system by elimination; the ridge keeps every pivot above 0.
fn solve(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let n = right.len();
    for i in 0..n {
        let pivot = matrix[i].clone();
        for k in i + 1..n {
            let factor = matrix[k][i] / pivot[i];
            if factor == 0.0 {
                continue;
            }
            for (cell, above) in matrix[k][i..].iter_mut().zip(&pivot[i..]) {
                *cell -= factor * above;
            }
            right[k] -= factor * right[i];
        }
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|j| matrix[i][j] * right[j]).sum();
        right[i] = (right[i] - known) / matrix[i][i];
    }
    right
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// Three words with a bias each; the counts are how often each is right.
    fn counts(counts: [usize; 3]) -> Vec<Observation> {
        (0..3)
            .flat_map(|right| {
                std::iter::repeat_n(
                    Observation {
                        inputs: vec![vec![1.0]; 3],
                        right,
                    },
                    counts[right],
                )
            })
            .collect()
    }

    #[test]
    fn biases_alone_give_each_word_its_share() {
        // 5, 3 and 2 of 10, with next to no ridge.
        let observations = counts([5, 3, 2]);
        let weights = fit(&observations, &vec![vec![0.0]; 3], &[1e-9]);
        let fitted = likelihoods(&observations[0].inputs, &weights);
        for (fitted, share) in fitted.iter().zip([0.5, 0.3, 0.2]) {
            assert_abs_diff_eq!(*fitted, share, epsilon = 1e-6);
        }
    }

    #[test]
    fn a_strong_ridge_keeps_the_prior_and_no_observation_does_too() {
        let prior = vec![vec![0.7], vec![-0.2], vec![0.0]];
        for (observations, ridge) in [(counts([5, 3, 2]), 1e9), (Vec::new(), 1.0)] {
            let weights = fit(&observations, &prior, &[ridge]);
            for (w, p) in weights.iter().flatten().zip(prior.iter().flatten()) {
                assert_abs_diff_eq!(w, p, epsilon = 1e-6);
            }
        }
    }

    #[test]
    fn at_the_answer_the_ridge_balances_what_the_observations_pull() {
        // Two words, one input that only the first word has: x = 1, right twice in three. With weight w from 0 and ridge 1
        // the slope is 3·(1/(1+e^−w)) − 2 + w = 0; by bisection w = 0.2867 (3·0.5712 − 2 + 0.2867 = 0.0003).
        let observation = |right| Observation {
            inputs: vec![vec![1.0], vec![0.0]],
            right,
        };
        let observations = [observation(0), observation(0), observation(1)];
        let weights = fit(&observations, &[vec![0.0], vec![0.0]], &[1.0]);
        assert_abs_diff_eq!(weights[0][0], 0.2867, epsilon = 5e-4);
        assert_abs_diff_eq!(weights[1][0], 0.0, epsilon = 1e-9);
    }

    #[test]
    fn second_derivatives_are_those_of_the_gradient() {
        let observations = [
            Observation {
                inputs: vec![vec![1.0, 0.3], vec![1.0, -0.8], vec![1.0, 1.2]],
                right: 2,
            },
            Observation {
                inputs: vec![vec![1.0, -1.3], vec![1.0, 0.4], vec![1.0, 0.2]],
                right: 0,
            },
        ];
        let prior = vec![vec![0.0, 0.0]; 3];
        let weights = vec![vec![0.1, 0.4], vec![-0.2, 0.3], vec![0.5, -0.6]];
        let ridge = [0.2, 0.7];
        let (_, curvature) = slopes(&observations, &weights, &prior, &ridge);
        let step = 1e-6;
        for place in 0..6 {
            let at = |by: f64| {
                let mut shifted = weights.clone();
                shifted[place / 2][place % 2] += by;
                slopes(&observations, &shifted, &prior, &ridge).0
            };
            for (other, row) in curvature.iter().enumerate() {
                let slope = (at(step)[other] - at(-step)[other]) / (2.0 * step);
                assert_abs_diff_eq!(row[place], slope, epsilon = 1e-6);
            }
        }
    }
}
