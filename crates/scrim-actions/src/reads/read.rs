//! What is read of one ball screen: words, each with how sure it is, and the evidence.

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, PassTarget, ScreenerAction, UnclearReason,
};
use scrim_tracks::PlayerIx;

use super::correction::CoverageInputs;
use super::evidence::ReadEvidence;

/// A word and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decided<T> {
    /// The word.
    pub word: T,
    /// How sure it is, 0 to 1.
    pub confidence: f32,
}

impl<T: Copy> Decided<T> {
    pub(super) const fn new(word: T, confidence: f32) -> Self {
        Self { word, confidence }
    }

    /// A word that nothing speaks for.
    pub(super) const fn unsure(word: T) -> Self {
        Self::new(word, 0.0)
    }

    /// The likeliest word; of equals the first.
    pub(super) fn likeliest(words: &[(T, f32)]) -> Option<Self> {
        let mut best: Option<Self> = None;
        for &(word, confidence) in words {
            if confidence.is_finite() && best.is_none_or(|b| confidence > b.confidence) {
                best = Some(Self::new(word, confidence));
            }
        }
        best
    }
}

/// One ball screen, read.
#[derive(Debug, Clone, PartialEq)]
pub struct BallScreenRead {
    /// What the screener's defender did.
    pub coverage: Decided<Coverage>,
    /// How likely each of [`COVERAGE_WORDS`](crate::COVERAGE_WORDS) is; `None` when the evidence is too thin to decide.
    pub coverages: Option<[f32; 6]>,
    /// Why the coverage is `unclear`; `None` when it is not.
    pub unclear: Option<UnclearReason>,
    /// What the decision on the coverage looked at; `None` when the evidence is too thin to decide.
    pub coverage_inputs: Option<CoverageInputs>,
    /// What the handler's defender did.
    pub on_ball_path: Decided<OnBallPath>,
    /// What the helper did.
    pub helper_action: Decided<HelperAction>,
    /// Who helped.
    pub helper: Option<PlayerIx>,
    /// What the screener did.
    pub screener_action: Decided<ScreenerAction>,
    /// What the handler did.
    pub handler_action: Decided<HandlerAction>,
    /// Whom the handler passed to; `None` when they did not pass, or the side is not known.
    pub pass_target: Option<PassTarget>,
    /// What was measured.
    pub evidence: ReadEvidence,
}

impl BallScreenRead {
    /// The reading of a screen whose players are not seen.
    pub(super) fn not_seen() -> Self {
        Self {
            coverage: Decided::unsure(Coverage::Unclear),
            coverages: None,
            unclear: Some(UnclearReason::NotSeen),
            coverage_inputs: None,
            on_ball_path: Decided::unsure(OnBallPath::Unclear),
            helper_action: Decided::unsure(HelperAction::None),
            helper: None,
            screener_action: Decided::unsure(ScreenerAction::Unclear),
            handler_action: Decided::unsure(HandlerAction::Unclear),
            pass_target: None,
            evidence: ReadEvidence::default(),
        }
    }
}
