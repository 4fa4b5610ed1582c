//! A correction of a screen model: its own answer and some evidence, weighed.
//!
//! The log-odds of a candidate are `bias + trees · ln(p / (1 − p)) + Σ weight · evidence`, where p is the model's own
//! probability (recalibration: D. R. Cox, "Two further applications of a model for binary regression", Biometrika 45, 1958).
//! With bias 0, `trees` 1 and all weights 0 it *is* the model, so a fit that has seen little stays near it. `scrim tune` fits
//! it to a user's own labels.

use scrim_floor::parameter::fitted;
use scrim_floor::{Parameter, ParameterError, Parameters};

use super::evidence::PairEvidence;
use crate::correction::{LARGEST_WEIGHT, LEAST_PROBABILITY, steps, weights};

/// What a correction of one candidate looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenInputs {
    /// The model's own probability.
    pub probability: f32,
    /// Its log-odds, cut off at those of 0.002 and 0.998: a model that is sure of a wrong answer must be open to correction.
    pub ln_odds: f32,
    /// The evidence in the order of [`ScreenInputs::NAMES`]: each in steps from a middling value, cut off at 2 steps either
    /// way; 0 where it was not seen.
    pub evidence: [f32; SCREEN_EVIDENCE],
}

impl ScreenInputs {
    /// Gathers them. Middling values and steps are about the median and half of the spread of labelled ball screens.
    pub(crate) fn of(probability: f32, evidence: &PairEvidence) -> Self {
        let inner = probability.clamp(LEAST_PROBABILITY, 1.0 - LEAST_PROBABILITY);
        Self {
            probability,
            ln_odds: (inner / (1.0 - inner)).ln(),
            evidence: [
                steps(evidence.gap_m, 1.2, 0.5),
                steps(evidence.defender_gap_m, 0.8, 0.5),
                steps(evidence.way_taken_s, 0.4, 0.3),
                steps(evidence.slow_s, 0.6, 0.4),
                steps(evidence.user_high_mps, 3.5, 1.0),
                steps(evidence.user_from_hoop_m, 8.0, 1.5),
            ],
        }
    }
}

weights! {
    inputs ScreenInputs;
    /// How many pieces of evidence a [`ScreenCorrection`] weighs.
    const SCREEN_EVIDENCE;
    /// The weights of a correction. All must be given: they were fitted together.
    struct ScreenCorrection {
        /// How far user and screener stay apart, in half metres from 1.2 m.
        user_gap,
        /// How far the user's defender and the screener stay apart, in half metres from 0.8 m.
        defender_gap,
        /// How long the screener is in the defender's way, in 0.3 s from 0.4 s.
        in_way,
        /// How long the screener is slower than 1 m/s, in 0.4 s from 0.6 s.
        slow,
        /// How fast the user goes, in m/s from 3.5 m/s.
        user_speed,
        /// How far from the hoop the user is, in 1.5 m from 8 m.
        far_out,
    }
}

impl ScreenCorrection {
    /// How likely a candidate is a screen, 0 to 1.
    pub fn probability(&self, inputs: &ScreenInputs) -> f32 {
        if *self == Self::PLAIN {
            return inputs.probability;
        }
        1.0 / (1.0 + (-self.score(inputs.ln_odds, &inputs.evidence)).exp())
    }
}

impl Default for ScreenCorrection {
    fn default() -> Self {
        Self::PLAIN
    }
}

impl Parameters for ScreenCorrection {
    fn check_in(&self, section: &str) -> Result<(), ParameterError> {
        // A model must not be turned round.
        self.check_weights(section, 0.0..=LARGEST_WEIGHT)
    }

    fn list_in(section: &str, list: &mut Vec<Parameter>) {
        let meaning = "How the model's answers are corrected: bias, weight of the model itself, weights of six pieces of evidence.";
        list.push(fitted(section, meaning));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inputs(probability: f32, step: f32) -> ScreenInputs {
        ScreenInputs {
            probability,
            ln_odds: (probability / (1.0 - probability)).ln(),
            evidence: [step; SCREEN_EVIDENCE],
        }
    }

    #[test]
    fn a_plain_correction_leaves_the_models_answer_to_the_bit() {
        for probability in [0.0, 1e-6, 0.37, 0.999_999, 1.0] {
            let inputs = inputs(probability, 1.5);
            assert_eq!(ScreenCorrection::PLAIN.probability(&inputs), probability);
        }
    }

    #[test]
    fn a_bias_of_ln_3_trebles_the_odds() {
        let three = ScreenCorrection {
            bias: 3.0_f32.ln(),
            ..ScreenCorrection::PLAIN
        };
        // Odds 1 to 4 become 3 to 4.
        assert!((three.probability(&inputs(0.2, 0.0)) - 3.0 / 7.0).abs() < 1e-6);
    }

    #[test]
    fn every_weight_goes_with_the_evidence_of_its_name() {
        for (place, name) in ScreenInputs::NAMES.iter().enumerate() {
            let mut weights = [0.0; SCREEN_EVIDENCE];
            weights[place] = 3.0;
            let correction = ScreenCorrection::of(0.0, 1.0, weights);
            assert_eq!(serde_json::to_value(correction).unwrap()[name], 3.0, "{name}");
            assert_eq!(correction.evidence(), weights);
        }
    }

    #[test]
    fn a_weight_that_is_no_number_or_too_large_or_turns_the_model_round_is_named() {
        assert_eq!(ScreenCorrection::PLAIN.check_in("c"), Ok(()));
        for (correction, name) in [
            (
                ScreenCorrection {
                    slow: f32::NAN,
                    ..ScreenCorrection::PLAIN
                },
                "slow",
            ),
            (
                ScreenCorrection {
                    bias: 101.0,
                    ..ScreenCorrection::PLAIN
                },
                "bias",
            ),
            (
                ScreenCorrection {
                    trees: -1.0,
                    ..ScreenCorrection::PLAIN
                },
                "trees",
            ),
        ] {
            let error = correction.check_in("screens.correction").unwrap_err();
            assert_eq!(error.key, format!("screens.correction.{name}"));
        }
    }
}
