//! A logistic model with bounded weights, drawn toward a prior.

/// One observation: how well each part fits (1 for the bias stands first), and whether it was a screen.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// The inputs, as many as there are [`Term`]s.
    pub inputs: Vec<f64>,
    /// The label.
    pub is_screen: bool,
}

/// What is known of one weight beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// The value it is drawn toward.
    pub prior: f64,
    /// How strongly: the ridge's factor.
    pub ridge: f64,
    /// The least it may be.
    pub least: f64,
    /// The most it may be.
    pub most: f64,
}

/// Steps at most; a convex problem of this size takes some ten.
const MAX_STEPS: usize = 200;
/// A step smaller than this is the end.
const SMALLEST_STEP: f64 = 1e-9;
/// A step is halved this often before it counts as no step.
const MAX_HALVINGS: usize = 40;

/// The weights that minimise the log loss plus half the ridge times the squared distance from the prior, within bounds.
///
/// Method: projected Newton, D. P. Bertsekas, "Projected Newton methods for optimization problems with simple
/// constraints", SIAM Journal on Control and Optimization 20(2), 1982. `None` if the samples leave a direction without
/// any curvature (no sample and no ridge for a term).
pub fn fit(samples: &[Sample], terms: &[Term]) -> Option<Vec<f64>> {
    let mut weights: Vec<f64> = terms.iter().map(|t| t.prior.clamp(t.least, t.most)).collect();
    for _ in 0..MAX_STEPS {
        let (gradient, curvature) = slopes(samples, terms, &weights);
        // A weight that stands at its bound and is pressed against it, stays there.
        let free: Vec<usize> = (0..terms.len())
            .filter(|&i| {
                !(weights[i] <= terms[i].least && gradient[i] > 0.0
                    || weights[i] >= terms[i].most && gradient[i] < 0.0)
            })
            .collect();
        let matrix: Vec<Vec<f64>> = free
            .iter()
            .map(|&i| free.iter().map(|&j| curvature[i][j]).collect())
            .collect();
        let step = solve(matrix, free.iter().map(|&i| -gradient[i]).collect())?;
        let before = loss(samples, terms, &weights);
        let mut share = 1.0;
        let mut moved = 0.0_f64;
        for _ in 0..MAX_HALVINGS {
            let mut next = weights.clone();
            for (&i, d) in free.iter().zip(&step) {
                next[i] = (next[i] + share * d).clamp(terms[i].least, terms[i].most);
            }
            if loss(samples, terms, &next) <= before {
                moved = next
                    .iter()
                    .zip(&weights)
                    .map(|(a, b)| (a - b).abs())
                    .fold(0.0, f64::max);
                weights = next;
                break;
            }
            share /= 2.0;
        }
        if moved < SMALLEST_STEP {
            break;
        }
    }
    Some(weights)
}

/// The probability that a sample with these inputs is a screen.
pub fn probability(inputs: &[f64], weights: &[f64]) -> f64 {
    let z: f64 = inputs.iter().zip(weights).map(|(x, w)| x * w).sum();
    1.0 / (1.0 + (-z).exp())
}

fn loss(samples: &[Sample], terms: &[Term], weights: &[f64]) -> f64 {
    let log_loss: f64 = samples
        .iter()
        .map(|sample| {
            let z: f64 = sample.inputs.iter().zip(weights).map(|(x, w)| x * w).sum();
            // ln(1 + e^z) without overflow.
            let soft = z.max(0.0) + (-z.abs()).exp().ln_1p();
            if sample.is_screen { soft - z } else { soft }
        })
        .sum();
    let ridge: f64 = terms
        .iter()
        .zip(weights)
        .map(|(t, w)| 0.5 * t.ridge * (w - t.prior).powi(2))
        .sum();
    log_loss + ridge
}

/// Gradient and second derivatives of the loss.
fn slopes(samples: &[Sample], terms: &[Term], weights: &[f64]) -> (Vec<f64>, Vec<Vec<f64>>) {
    let n = terms.len();
    let mut gradient: Vec<f64> = terms
        .iter()
        .zip(weights)
        .map(|(t, w)| t.ridge * (w - t.prior))
        .collect();
    let mut curvature = vec![vec![0.0; n]; n];
    for (i, term) in terms.iter().enumerate() {
        curvature[i][i] = term.ridge;
    }
    for sample in samples {
        let p = probability(&sample.inputs, weights);
        let off = p - f64::from(u8::from(sample.is_screen));
        let rows = gradient.iter_mut().zip(&mut curvature);
        for ((slope, row), x) in rows.zip(&sample.inputs) {
            *slope += off * x;
            for (cell, y) in row.iter_mut().zip(&sample.inputs) {
                *cell += p * (1.0 - p) * x * y;
            }
        }
    }
    (gradient, curvature)
}

/// Solves a symmetric positive definite system by elimination; `None` if it is not positive definite.
fn solve(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let n = right.len();
    for i in 0..n {
        if matrix[i][i] <= 0.0 {
            return None;
        }
        let pivot = matrix[i].clone();
        for k in i + 1..n {
            let factor = matrix[k][i] / pivot[i];
            for (cell, above) in matrix[k].iter_mut().zip(&pivot) {
                *cell -= factor * above;
            }
            right[k] -= factor * right[i];
        }
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|j| matrix[i][j] * right[j]).sum();
        right[i] = (right[i] - known) / matrix[i][i];
    }
    Some(right)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FREE: Term = Term {
        prior: 0.0,
        ridge: 0.0,
        least: f64::NEG_INFINITY,
        most: f64::INFINITY,
    };

    /// Of four samples with x = 0 one is a screen, of four with x = 1 three are.
    fn four_and_four() -> Vec<Sample> {
        (0..8)
            .map(|k| Sample {
                inputs: vec![1.0, if k < 4 { 0.0 } else { 1.0 }],
                is_screen: k == 0 || k > 4,
            })
            .collect()
    }

    #[test]
    fn without_ridge_the_weights_give_each_group_its_own_share() {
        // Shares 1/4 and 3/4: log-odds ln(1/3) and ln(3), so the bias is −ln 3 and the weight 2 ln 3.
        let weights = fit(&four_and_four(), &[FREE, FREE]).unwrap();
        assert!((weights[0] + 3.0_f64.ln()).abs() < 1e-6, "{weights:?}");
        assert!((weights[1] - 2.0 * 3.0_f64.ln()).abs() < 1e-6, "{weights:?}");
    }

    #[test]
    fn a_weight_that_would_cross_its_bound_stays_on_it_and_the_others_make_the_best_of_it() {
        // With the weight held at 0, four of eight are screens: even odds, bias 0.
        let held = Term { most: 0.0, ..FREE };
        let weights = fit(&four_and_four(), &[FREE, held]).unwrap();
        assert!(weights[0].abs() < 1e-6 && weights[1].abs() < 1e-12, "{weights:?}");
    }

    #[test]
    fn a_strong_ridge_keeps_a_weight_at_its_prior() {
        let stiff = Term {
            prior: 5.0,
            ridge: 1e9,
            ..FREE
        };
        let weights = fit(&four_and_four(), &[FREE, stiff]).unwrap();
        assert!((weights[1] - 5.0).abs() < 1e-6, "{weights:?}");
    }

    #[test]
    fn a_term_that_nothing_tells_about_is_refused() {
        let silent = [Sample {
            inputs: vec![1.0, 0.0],
            is_screen: true,
        }];
        assert_eq!(fit(&silent, &[FREE, FREE]), None);
    }
}
