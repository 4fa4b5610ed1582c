//! What a user may set of the detector.

use super::correction::ScreenCorrection;

/// A screen is over this long after the use, s.
pub(crate) const END_AFTER_USE_S: f32 = 2.5;
/// A screen is over when both are this far from its spot, m.
pub(crate) const END_APART_M: f32 = 2.5;

scrim_floor::parameters! {
    /// How ball screens and handoffs are found. What decides is the models (`models/*.toml`); these are the rest.
    pub struct ScreenParams {
        /// Rows less sure than this are not written. With this one precision and recall on labelled real possessions and practice
        /// games are best together.
        min_confidence: f32 = 0.35, in 0.0..=1.0, source "cross-validated";
        /// The same for a handoff that the touches show: the ball has gone from hand to hand.
        min_handoff_confidence: f32 = 0.15, in 0.0..=1.0;
        /// How the model's answers are corrected; `scrim tune` fits it to labels. Plain: not at all.
        correction: ScreenCorrection;
        fixed {
            /// The screen is over this long after the use. (Source: vocabulary.)
            end_after_use_s: f32 = END_AFTER_USE_S;
            /// The screen is over when both are this far from its spot. (Source: vocabulary.)
            end_apart_m: f32 = END_APART_M;
            /// A flip's second screen comes within this time. (Source: vocabulary.)
            flip_within_s: f32 = 3.0;
        }
    }
}
