//! What a user may set of the detector.

use scrim_tables::tags::ScreenKind;

use crate::ScreenCorrection;

scrim_floor::parameters! {
    /// How off-ball screens are found. What decides is the model (`models/off_ball_screens.toml`); this is the rest.
    pub struct OffBallScreenParams {
        /// Rows less sure than this are not written. With this one seven of ten plain screens of labelled real possessions are found.
        min_confidence: f32 = 0.15, in 0.0..=1.0, source "cross-validated";
        /// The same for screens over the top, exits and those without a name: no label of a real possession is called so, and there
        /// is much that looks like one. With less, simulated games that this project did not make had more of them than they hold.
        min_rare_confidence: f32 = 0.7, in 0.0..=1.0, source "simulated games of others";
        /// How the model's answers are corrected. Plain: not at all.
        correction: ScreenCorrection;
    }
}

impl OffBallScreenParams {
    /// How sure a screen of this kind must be.
    pub(super) const fn least_confidence(&self, kind: ScreenKind) -> f32 {
        match kind {
            ScreenKind::OverTop | ScreenKind::Exit | ScreenKind::Other => self.min_rare_confidence,
            ScreenKind::Down
            | ScreenKind::Back
            | ScreenKind::Rub
            | ScreenKind::Cross
            | ScreenKind::Flex
            | ScreenKind::Flare
            | ScreenKind::Zipper
            | ScreenKind::BallScreen
            | ScreenKind::Handoff => self.min_confidence,
        }
    }
}
