//! A correction of the coverage model: one additive score a word, from the model's own probabilities and some evidence.
//!
//! The score of a word is `bias + trees · ln(the model's probability of it) + Σ weight · evidence`; likelihoods are the
//! scores' softmax (multinomial logistic model: D. McFadden, "Conditional logit analysis of qualitative choice behavior",
//! in *Frontiers in Econometrics*, 1974). With bias 0, `trees` 1 and all weights 0 it *is* the model (boosted trees), so a fit
//! that has seen little stays near it. `scrim tune` fits it to a user's own labels.

use scrim_floor::parameter::{fitted, key_in};
use scrim_floor::{Definitions, Parameter, ParameterError, Parameters};
use serde::{Deserialize, Serialize};

use super::borders::{MATCHUPS_S, SWITCH_MARGIN_M};
use super::evidence::{CoverageEvidence, ScreenerDefenderEvidence, SwapEvidence};
use super::trees::{COVERAGE_WORDS, embedded_probabilities};
use crate::correction::{LARGEST_WEIGHT, LEAST_PROBABILITY, steps, weights};

/// What a decision on one screen's coverage looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoverageInputs {
    /// The natural logarithm of the coverage model's probability of each of [`COVERAGE_WORDS`], not below ln 0.002: a model
    /// that is sure of a wrong answer must be open to correction.
    pub ln_trees: [f32; 6],
    /// The evidence in the order of [`CoverageInputs::NAMES`]. Where the handler's defender stood and what became of the
    /// screen are left to the model: how often a league ices, slips or hands off would be learned with them. Each is counted
    /// from the vocabulary's border in steps that are wide against the noise of tracking, and cut off at 2 steps either way,
    /// so that what lies far out weighs no more.
    pub evidence: [f32; COVERAGE_EVIDENCE],
}

impl CoverageInputs {
    /// Gathers them.
    pub(super) fn of(
        screener_defender: &ScreenerDefenderEvidence,
        swap: &SwapEvidence,
        coverage: &CoverageEvidence,
        definitions: &Definitions,
    ) -> Self {
        Self {
            ln_trees: embedded_probabilities(coverage)
                .map(|likelihood| likelihood.max(LEAST_PROBABILITY).ln()),
            evidence: [
                steps(screener_defender.depth_m, definitions.drop_depth_m, 1.0),
                steps(
                    screener_defender
                        .beyond_on_side_m
                        .unwrap_or(f32::NEG_INFINITY)
                        .max(-10.0),
                    definitions.hedge_beyond_m,
                    0.5,
                ),
                steps(
                    screener_defender.both_close_s.unwrap_or(0.0),
                    definitions.blitz_s,
                    0.4,
                ),
                steps(screener_defender.close_s, definitions.blitz_s, 0.4),
                steps(screener_defender.stays_s(), definitions.hedge_back_s, 0.5),
                steps(swap.margin_m, SWITCH_MARGIN_M, 0.5),
                steps(swap.late_m, SWITCH_MARGIN_M, 0.5),
                steps(swap.exchanged_s, MATCHUPS_S, 0.5),
                steps(swap.handed_m, 0.0, 1.0),
                // The less was seen, the less any word is sure.
                steps(definitions.hedge_back_s, screener_defender.watched_s, 0.5).max(0.0),
            ],
        }
    }
}

weights! {
    inputs CoverageInputs;
    /// How many pieces of evidence a [`CoverageModel`] weighs.
    const COVERAGE_EVIDENCE;
    /// The weights of one word's score. All must be given: they were fitted together.
    struct CoverageWeights {
    /// How deep the screener's defender is at the use, in m from the 1.5 m of a drop.
    depth,
    /// How far beyond the screen they came on the handler's side, in half metres from the 0.6 m of a hedge.
    beyond,
    /// How long both were close, in 0.4 s from the 0.8 s of a blitz.
    both_close,
    /// How long the screener's defender was close, likewise.
    close,
    /// How long they stayed, in half seconds from the 1.3 s of a hedge.
    stays,
    /// How clearly the two exchanged attackers by their places, in half metres from 0.3 m.
    swap_margin,
    /// The same at the end of what was looked at, likewise.
    swap_late,
    /// How long the play's matchups have them exchanged, in half seconds from 0.5 s.
    swap_matchups,
    /// By how much the handler was left to the screener's defender, m.
    handed,
    /// How much less of the screener's defender was seen than a hedge takes, in half seconds.
    brief,
    }
}

/// One set of weights a word. A word that a pipeline leaves out keeps its default.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CoverageModel {
    /// `ice`
    pub ice: CoverageWeights,
    /// `switch`
    pub switch: CoverageWeights,
    /// `drop`
    pub drop: CoverageWeights,
    /// `blitz`
    pub blitz: CoverageWeights,
    /// `hedge`
    pub hedge: CoverageWeights,
    /// `level`
    pub level: CoverageWeights,
}

impl CoverageModel {
    /// The coverage model as it is: no correction.
    pub const PLAIN: Self = Self::of([CoverageWeights::PLAIN; 6]);

    /// From the weights of [`COVERAGE_WORDS`].
    pub const fn of(words: [CoverageWeights; 6]) -> Self {
        let [ice, switch, drop, blitz, hedge, level] = words;
        Self {
            ice,
            switch,
            drop,
            blitz,
            hedge,
            level,
        }
    }

    /// The weights of [`COVERAGE_WORDS`].
    pub const fn words(&self) -> [CoverageWeights; 6] {
        [
            self.ice,
            self.switch,
            self.drop,
            self.blitz,
            self.hedge,
            self.level,
        ]
    }

    /// How likely each of [`COVERAGE_WORDS`] is; they add up to 1.
    pub fn likelihoods(&self, inputs: &CoverageInputs) -> [f32; 6] {
        let words = self.words();
        let mut scores = [0.0; 6];
        for ((score, word), ln_trees) in scores.iter_mut().zip(&words).zip(inputs.ln_trees) {
            *score = word.score(ln_trees, &inputs.evidence);
        }
        // Counted from the highest, no exponential overflows.
        let highest = scores.iter().copied().fold(f32::NEG_INFINITY, f32::max);
        let mut likelihoods = scores.map(|score| (score - highest).exp());
        let sum: f32 = likelihoods.iter().sum();
        likelihoods.iter_mut().for_each(|l| *l /= sum);
        likelihoods
    }
}

impl Default for CoverageModel {
    fn default() -> Self {
        Self::PLAIN
    }
}

impl Parameters for CoverageModel {
    fn check_in(&self, section: &str) -> Result<(), ParameterError> {
        for (word, weights) in COVERAGE_WORDS.iter().zip(self.words()) {
            let section = key_in(section, word.as_str());
            weights.check_weights(&section, -LARGEST_WEIGHT..=LARGEST_WEIGHT)?;
        }
        Ok(())
    }

    fn list_in(section: &str, list: &mut Vec<Parameter>) {
        let meaning = "A correction of the coverage model, fitted to labels of your own: a section a word.";
        list.push(fitted(section, meaning));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inputs() -> CoverageInputs {
        CoverageInputs {
            ln_trees: [0.05f32, 0.1, 0.4, 0.2, 0.15, 0.1].map(f32::ln),
            evidence: [0.5; COVERAGE_EVIDENCE],
        }
    }

    #[test]
    fn a_plain_correction_leaves_the_probabilities_as_they_are() {
        let likelihoods = CoverageModel::PLAIN.likelihoods(&inputs());
        for (found, plain) in likelihoods.iter().zip([0.05, 0.1, 0.4, 0.2, 0.15, 0.1]) {
            assert!((found - plain).abs() < 1e-6, "{likelihoods:?}");
        }
    }

    #[test]
    fn a_bias_of_ln_2_doubles_the_odds_against_every_other_word() {
        let model = CoverageModel {
            drop: CoverageWeights {
                bias: std::f32::consts::LN_2,
                ..CoverageWeights::PLAIN
            },
            ..CoverageModel::PLAIN
        };
        // drop 0.4 · 2 = 0.8, the others 0.6: 0.8 / 1.4; blitz 0.2 / 1.4.
        let likelihoods = model.likelihoods(&inputs());
        assert!((likelihoods[2] - 0.8 / 1.4).abs() < 1e-6, "{likelihoods:?}");
        assert!((likelihoods[3] - 0.2 / 1.4).abs() < 1e-6, "{likelihoods:?}");
    }

    #[test]
    fn every_weight_goes_with_the_evidence_of_its_name() {
        for (place, name) in CoverageInputs::NAMES.iter().enumerate() {
            let mut weights = [0.0; COVERAGE_EVIDENCE];
            weights[place] = 3.0;
            let written = serde_json::to_value(CoverageWeights::of(0.0, 1.0, weights)).unwrap();
            assert_eq!(written[name], 3.0, "{name}");
            assert_eq!(CoverageWeights::of(0.0, 1.0, weights).evidence(), weights);
        }
    }

    #[test]
    fn the_largest_weights_that_are_accepted_still_give_likelihoods() {
        let huge = CoverageWeights::of(-1e6, 1e6, [1e6; COVERAGE_EVIDENCE]);
        let model = CoverageModel {
            ice: huge,
            ..CoverageModel::PLAIN
        };
        let sum: f32 = model.likelihoods(&inputs()).iter().sum();
        assert!((sum - 1.0).abs() < 1e-5, "{sum}");
    }
}
