//! The coverage model: data in `models/`, written by the fitting command, embedded here.

use std::sync::LazyLock;

use scrim_trees::{BoundModel, TreeModel};

use super::{COVERAGE_WORDS, CoverageEvidence};

/// How was a ball screen defended?
static COVERAGE: LazyLock<BoundModel> = LazyLock::new(|| {
    let text = include_str!("../../../../models/coverages.toml");
    let words = COVERAGE_WORDS.map(|word| word.as_str());
    let bound = TreeModel::from_toml(text).and_then(|model| model.bind(&words, &CoverageEvidence::NAMES));
    // A test reads it.
    bound.unwrap_or_else(|error| panic!("the embedded coverage model does not fit this program: {error}"))
});

/// How likely each of [`COVERAGE_WORDS`] is; they add up to one.
pub(super) fn coverage_probabilities(evidence: &CoverageEvidence) -> [f32; 6] {
    let mut words = [0.0; 6];
    COVERAGE.probabilities(&evidence.values(), &mut words);
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_model_fits_the_program() {
        LazyLock::force(&COVERAGE);
    }
}
