//! The words, from the evidence alone.
//!
//! Every question of a reading ("are they below the screen?") is answered softly: by a likelihood that is one half at the
//! border and grows smoothly with the distance from it. A word's confidence is the likelihood of the answers that lead
//! to it, so that the confidences of all words of a tag add up to one; the word is the likeliest one.

mod coverage;
mod handler;
mod help;
mod path;
mod screener;

use scrim_floor::{Definitions, Half};
use scrim_play::Scene;
use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, PassTarget, ScreenerAction, UnclearReason,
};

use super::borders::beyond;
use super::evidence::{PassEvidence, ReadEvidence};
use super::{BallScreenRead, ReadParams};
use crate::BallScreen;

/// A word and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decided<T> {
    /// The word.
    pub word: T,
    /// How sure it is, 0 to 1.
    pub confidence: f32,
}

/// Decides all words of a screen.
pub(super) fn decide(
    scene: &Scene,
    screen: &BallScreen,
    evidence: ReadEvidence,
    params: &ReadParams,
    definitions: &Definitions,
) -> BallScreenRead {
    let inputs = coverage::inputs(screen, &evidence, definitions);
    let (coverage, unclear) = coverage::decide(inputs.as_ref().map_err(|reason| *reason), params);
    let (helper_action, helper) = help::decide(&evidence, definitions);
    BallScreenRead {
        coverage,
        unclear,
        coverage_inputs: inputs.ok(),
        on_ball_path: path::decide(coverage, &evidence),
        helper_action,
        helper: helper.map(|place| scene.defenders[place].player),
        screener_action: screener::decide(screen, &evidence, definitions),
        handler_action: handler::decide(screen, &evidence, definitions),
        pass_target: evidence.pass.and_then(|pass| pass_target(screen, &pass)),
        evidence,
    }
}

/// Whom the handler passed to: the screener, else by the side of the floor that the receiver is on.
fn pass_target(screen: &BallScreen, pass: &PassEvidence) -> Option<PassTarget> {
    if pass.receiver == screen.screener {
        return Some(PassTarget::Screener);
    }
    let is_strong = pass.to.is_finite() && Half::of(pass.to) == pass.strong?;
    Some(if is_strong {
        PassTarget::StrongSide
    } else {
        PassTarget::WeakSide
    })
}

/// The reading of a screen whose players are not seen.
pub(super) fn nothing_to_read() -> BallScreenRead {
    let unsure = |word| Decided {
        word,
        confidence: 0.0,
    };
    BallScreenRead {
        coverage: unsure(Coverage::Unclear),
        unclear: Some(UnclearReason::NotSeen),
        coverage_inputs: None,
        on_ball_path: Decided {
            word: OnBallPath::Unclear,
            confidence: 0.0,
        },
        helper_action: Decided {
            word: HelperAction::None,
            confidence: 0.0,
        },
        helper: None,
        screener_action: Decided {
            word: ScreenerAction::Unclear,
            confidence: 0.0,
        },
        handler_action: Decided {
            word: HandlerAction::Unclear,
            confidence: 0.0,
        },
        pass_target: None,
        evidence: ReadEvidence::default(),
    }
}

/// The likeliest word; of equals the first.
fn likeliest<T: Copy>(words: &[(T, f32)]) -> Option<Decided<T>> {
    let mut best: Option<Decided<T>> = None;
    for &(word, confidence) in words {
        if confidence.is_finite() && best.is_none_or(|b| confidence > b.confidence) {
            best = Some(Decided { word, confidence });
        }
    }
    best
}
