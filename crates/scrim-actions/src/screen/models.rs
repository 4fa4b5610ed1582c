//! The models that decide: data in `models/`, written by the fitting command, embedded here.

use std::sync::LazyLock;

use scrim_tables::tags::Outcome;
use scrim_trees::{BoundModel, TreeModel};

use super::evidence::PairEvidence;
use crate::{flip_evidence_names, off_ball_evidence_names};

/// What the model of ball screens decides between.
pub const SCREEN_WORDS: [&str; 2] = ["none", "screen"];
/// What the model of flips decides between.
pub const FLIP_WORDS: [&str; 2] = ["none", "flipped"];
/// What the model of outcomes decides between. `flipped` is no outcome of one screen alone: the model of flips says it.
pub const OUTCOME_WORDS: [Outcome; 5] = [
    Outcome::Used,
    Outcome::Rejected,
    Outcome::Slipped,
    Outcome::Ghosted,
    Outcome::Unused,
];

/// Is a candidate on the ball a ball screen (or handoff)?
static BALL_SCREENS: LazyLock<BoundModel> = LazyLock::new(|| {
    let text = include_str!("../../../../models/ball_screens.toml");
    embedded(text, &SCREEN_WORDS, &PairEvidence::NAMES)
});
/// What became of it?
static OUTCOMES: LazyLock<BoundModel> = LazyLock::new(|| {
    embedded(
        include_str!("../../../../models/outcomes.toml"),
        &OUTCOME_WORDS.map(|word| word.as_str()),
        &PairEvidence::NAMES,
    )
});

/// Did the screener give up the other side before?
static FLIPS: LazyLock<BoundModel> = LazyLock::new(|| {
    let text = include_str!("../../../../models/flips.toml");
    embedded(text, &FLIP_WORDS, &flip_evidence_names())
});

/// Is a candidate off the ball a screen?
static OFF_BALL_SCREENS: LazyLock<BoundModel> = LazyLock::new(|| {
    let text = include_str!("../../../../models/off_ball_screens.toml");
    embedded(text, &SCREEN_WORDS, &off_ball_evidence_names())
});

/// A model that was embedded, for these words and this evidence.
///
/// # Panics
/// If a model of the source tree does not fit this program; a test reads them all.
pub(crate) fn embedded(text: &str, words: &[&str], names: &[&str]) -> BoundModel {
    let bound = TreeModel::from_toml(text).and_then(|model| model.bind(words, names));
    bound.unwrap_or_else(|error| panic!("an embedded model does not fit this program: {error}"))
}

/// The probability of the second of two words.
fn second_word(model: &BoundModel, evidence: &[f32]) -> f32 {
    let mut words = [0.0; 2];
    model.probabilities(evidence, &mut words);
    words[1]
}

/// The probability that a candidate on the ball is a ball screen or handoff.
pub(super) fn ball_screen_probability(evidence: &[f32]) -> f32 {
    second_word(&BALL_SCREENS, evidence)
}

/// The probability that the screener gave up the other side before.
pub(super) fn flip_probability(evidence: &[f32]) -> f32 {
    second_word(&FLIPS, evidence)
}

/// The probability that a candidate off the ball is a screen.
pub(crate) fn off_ball_screen_probability(evidence: &[f32]) -> f32 {
    second_word(&OFF_BALL_SCREENS, evidence)
}

/// How likely each of [`OUTCOME_WORDS`] is; they add up to one.
pub type OutcomeProbabilities = [f32; OUTCOME_WORDS.len()];

/// What became of a ball screen.
pub(super) fn outcome_probabilities(evidence: &[f32]) -> OutcomeProbabilities {
    let mut words = [0.0; OUTCOME_WORDS.len()];
    OUTCOMES.probabilities(evidence, &mut words);
    words
}

/// The likeliest outcome; of equals the first.
pub(super) fn likeliest_outcome(words: &OutcomeProbabilities) -> Outcome {
    let mut best = 0;
    for place in 1..words.len() {
        if words[place] > words[best] {
            best = place;
        }
    }
    OUTCOME_WORDS[best]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_embedded_model_fits_the_program() {
        LazyLock::force(&BALL_SCREENS);
        LazyLock::force(&OUTCOMES);
        LazyLock::force(&FLIPS);
        LazyLock::force(&OFF_BALL_SCREENS);
    }
}
