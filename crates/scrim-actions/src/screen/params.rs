//! What a user may set of the detector.

use serde::{Deserialize, Serialize};

use super::ScreenCorrection;

/// How ball screens and handoffs are found. What decides is the models (`models/*.toml`); these are the rest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ScreenParams {
    /// Rows less sure than this are not written, 0 to 1. Default 0.35: where precision and recall on labelled real
    /// possessions and practice games are best together (cross-validated).
    pub min_confidence: f32,
    /// The same for a handoff that the touches show: the ball has gone from hand to hand. Default 0.15.
    pub min_handoff_confidence: f32,
    /// The screen is over this long after the use, s. Default 2.5 (vocabulary, "Screens").
    pub end_after_use_s: f32,
    /// The screen is over when both are this far from its spot, m. Default 2.5 (vocabulary, "Screens").
    pub end_apart_m: f32,
    /// A flip's second screen comes within this, s. Default 3.0 (vocabulary, "Screens").
    pub flip_within_s: f32,
    /// How the model's answers are corrected; `scrim tune` fits it to labels. Default: not at all.
    pub correction: ScreenCorrection,
}

impl Default for ScreenParams {
    fn default() -> Self {
        Self {
            min_confidence: 0.35,
            min_handoff_confidence: 0.15,
            end_after_use_s: 2.5,
            end_apart_m: 2.5,
            flip_within_s: 3.0,
            correction: ScreenCorrection::PLAIN,
        }
    }
}
