//! From samples to a coverage model, and how strongly it is drawn toward what was there before.

use scrim_actions::{COVERAGE_EVIDENCE, COVERAGE_WORDS, CoverageInputs, CoverageModel, CoverageWeights};
use scrim_tables::tags::Coverage;

use crate::Sample;
use crate::softmax::{self, Observation};

/// Inputs of one word: 1 for the bias, the coverage model's answer, the evidence.
const INPUTS: usize = 2 + COVERAGE_EVIDENCE;
/// A bias is drawn this much less than the weights: how often a word is right differs from league to league, what speaks for
/// it less so.
pub(crate) const BIAS_SHARE: f64 = 0.3;
/// Weights have three decimals: finer ones would say nothing.
const DECIMALS: f64 = 1e3;

/// Fits the words that `words` names, in the order of [`COVERAGE_WORDS`]; the others keep the weights of `prior`, and their
/// samples are left out: what was hardly seen cannot be fitted, and must not be learned to be impossible either.
pub(crate) fn fit_model(
    samples: &[&Sample],
    words: [bool; 6],
    prior: &CoverageModel,
    ridge: f64,
) -> CoverageModel {
    let fitted: Vec<usize> = (0..6).filter(|&word| words[word]).collect();
    let observations: Vec<Observation> = samples
        .iter()
        .filter_map(|sample| {
            let inputs = sample.inputs.as_ref()?;
            let right = place_of(sample.label)?;
            Some(Observation {
                inputs: fitted.iter().map(|&word| inputs_of(inputs, word)).collect(),
                right: fitted.iter().position(|&word| word == right)?,
            })
        })
        .collect();
    let before = prior.words().map(weights_of);
    let prior_weights: Vec<Vec<f64>> = fitted.iter().map(|&word| before[word].clone()).collect();
    let mut ridges = vec![ridge; INPUTS];
    ridges[0] = ridge * BIAS_SHARE;
    let weights = softmax::fit(&observations, &prior_weights, &ridges);
    let mut after = prior.words();
    for (&word, weights) in fitted.iter().zip(&weights) {
        after[word] = to_weights(weights);
    }
    CoverageModel::of(after)
}

/// The place of a word in [`COVERAGE_WORDS`]; `None` for `unclear`.
pub(crate) fn place_of(word: Coverage) -> Option<usize> {
    COVERAGE_WORDS.iter().position(|&other| other == word)
}

fn inputs_of(inputs: &CoverageInputs, word: usize) -> Vec<f64> {
    let mut all = vec![1.0, f64::from(inputs.ln_trees[word])];
    all.extend(inputs.evidence.map(f64::from));
    all
}

fn weights_of(weights: CoverageWeights) -> Vec<f64> {
    let mut all = vec![f64::from(weights.bias), f64::from(weights.trees)];
    all.extend(weights.evidence().map(f64::from));
    all
}

fn to_weights(weights: &[f64]) -> CoverageWeights {
    let mut evidence = [0.0; COVERAGE_EVIDENCE];
    for (to, weight) in evidence.iter_mut().zip(&weights[2..]) {
        *to = rounded(*weight);
    }
    CoverageWeights::of(rounded(weights[0]), rounded(weights[1]), evidence)
}

/// A weight as it stands in a pipeline. Adding 0 turns a −0 that rounding leaves into 0.
pub(crate) fn rounded(weight: f64) -> f32 {
    ((weight * DECIMALS).round() / DECIMALS + 0.0) as f32
}
