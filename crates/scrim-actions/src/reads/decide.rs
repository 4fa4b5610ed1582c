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
use scrim_tables::tags::PassTarget;

use super::ReadParams;
use super::evidence::{PassEvidence, ReadEvidence};
use super::read::BallScreenRead;
use crate::BallScreen;

/// Decides all words of a screen.
pub(super) fn decide(
    scene: &Scene,
    screen: &BallScreen,
    evidence: ReadEvidence,
    params: &ReadParams,
    definitions: &Definitions,
) -> BallScreenRead {
    let inputs = coverage::inputs(screen, &evidence, definitions);
    let coverages = inputs
        .as_ref()
        .map(|inputs| params.coverage_model.likelihoods(inputs))
        .map_err(|reason| *reason);
    let (coverage, unclear) = coverage::decide(coverages, params);
    let (helper_action, helper) = help::decide(&evidence, definitions);
    BallScreenRead {
        coverage,
        coverages: coverages.ok(),
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
