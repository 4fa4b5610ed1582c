//! The coverage model: data in `models/`, written by the fitting command, embedded here.

use std::sync::LazyLock;

pub use scrim_tables::tags::COVERAGE_WORDS;
use scrim_trees::BoundModel;

use super::evidence::CoverageEvidence;
use crate::screen::embedded;

/// No definition is held to be met less than this: it must be open to correction.
const LEAST_MET: f32 = 0.002;

/// Each word's score before any tree of the coverage model, in the order of [`COVERAGE_WORDS`]: what the vocabulary's definitions
/// alone say. The trees correct it.
pub fn coverage_starts(evidence: &CoverageEvidence) -> [f32; 6] {
    evidence.definitions().map(|met| met.max(LEAST_MET).ln())
}

/// How was a ball screen defended?
static COVERAGE: LazyLock<BoundModel> = LazyLock::new(|| {
    let text = include_str!("../../../../models/coverages.toml");
    let words = COVERAGE_WORDS.map(|word| word.as_str());
    embedded(text, &words, &CoverageEvidence::NAMES)
});

/// How likely each of [`COVERAGE_WORDS`] is by the embedded model; they add up to one.
pub(super) fn embedded_probabilities(evidence: &CoverageEvidence) -> [f32; 6] {
    coverage_probabilities(&COVERAGE, evidence)
}

/// The same by any model that was fitted from [`coverage_starts`].
pub fn coverage_probabilities(model: &BoundModel, evidence: &CoverageEvidence) -> [f32; 6] {
    let mut words = [0.0; 6];
    model.probabilities(&evidence.values(), &mut words);
    // Scores add, so that probabilities multiply.
    for (word, start) in words.iter_mut().zip(coverage_starts(evidence)) {
        *word *= start.exp();
    }
    let sum: f32 = words.iter().sum();
    words.map(|word| word / sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_model_fits_the_program() {
        LazyLock::force(&COVERAGE);
    }
}
