//! The detector's parameters.

use serde::{Deserialize, Serialize};

use super::fits::OffBallWeights;

/// When a team-mate away from the ball counts as a screener, and when a screen is over. Words and values: vocabulary,
/// "Screens"; where it is silent, common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OffBallScreenParams {
    /// The user passes the screener within this, m. Default 1.6 (vocabulary).
    pub use_gap_m: f32,
    /// A pass this much wider is still looked at, m: positions are noisy, and a wide one is only less sure. Default 0.3.
    pub gap_slack_m: f32,
    /// Slower than this beside the screener nobody comes off a screen, m/s. Default 1.5.
    pub min_user_speed_mps: f32,
    /// Speed under which a screener is standing, m/s. Default 1.0 (vocabulary).
    pub max_set_speed_mps: f32,
    /// Shortest time under that speed, s. Default 0.25 (vocabulary).
    pub min_set_s: f32,
    /// A screener who does not stand must slow down to this, m/s. Default 1.8.
    pub slowed_speed_mps: f32,
    /// Who has stood longer than this at the use, stood there anyway: `set` is not known, s. Default 4.0.
    pub longest_set_s: f32,
    /// A user who passed the ball this long before the use, or less, may have come off a rub, s. Default 4.0.
    pub after_pass_s: f32,
    /// A way that fits no kind so well is no screen, 0 to 1. Default 0.25.
    pub min_kind_fit: f32,
    /// By so much a broader kind must fit better than a narrower one inside it: rub, cross, flex and zipper come before
    /// flare, back and down. Default 0.35.
    pub narrow_kind_lead: f32,
    /// The screen is over this long after the use, s. Default 2.5 (vocabulary).
    pub end_after_use_s: f32,
    /// The screen is over when both are this far from its spot, m. Default 2.5 (vocabulary).
    pub end_apart_m: f32,
    /// Two screens for one user within this are a stagger, s. Default 1.5 (vocabulary).
    pub stagger_s: f32,
    /// Two tellings of the same two within this are one screen, s. Default 2.5.
    pub same_s: f32,
    /// Of two screens of the same two in turned roles within this only the surer is one, s: a screener on his way to his
    /// spot runs by the man he will screen for. Default 4.0.
    pub reversed_s: f32,
    /// Rows less sure than this are not written. Default 0.55: a little more than an even bet.
    pub min_confidence: f32,
    /// How sure a screen is.
    pub weights: OffBallWeights,
}

impl Default for OffBallScreenParams {
    fn default() -> Self {
        Self {
            use_gap_m: 1.6,
            gap_slack_m: 0.3,
            min_user_speed_mps: 1.5,
            max_set_speed_mps: 1.0,
            min_set_s: 0.25,
            slowed_speed_mps: 1.8,
            longest_set_s: 4.0,
            after_pass_s: 4.0,
            min_kind_fit: 0.25,
            narrow_kind_lead: 0.35,
            end_after_use_s: 2.5,
            end_apart_m: 2.5,
            stagger_s: 1.5,
            same_s: 2.5,
            reversed_s: 4.0,
            min_confidence: 0.55,
            weights: OffBallWeights::default(),
        }
    }
}
