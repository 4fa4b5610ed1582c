//! How each ball screen was defended, and what the offence made of it.
//!
//! Evidence is measured in one place, decided on in another, so that rules and a fitted model are both at home:
//! - `cast`: who plays which part in a screen, where the screen is, and from when to when it is looked at;
//! - [`ReadEvidence`] (`evidence`): everything that is measured, once a screen;
//! - `borders`: the vocabulary's borders of coverages, as evidence;
//! - `decide`: the words, from the evidence alone;
//! - `models`: the coverage model, which is data, fitted to practice games and real labelled scenes;
//! - [`CoverageModel`] (`model`): a correction of it, fitted to a user's own labels;
//! - [`labelled_ball_screen`] (`labelled`): labelled screens as if they had been found, for fits;
//! - `rows`: rows of `coverages` and `options`.

mod borders;
mod cast;
mod decide;
mod evidence;
mod labelled;
mod model;
mod models;
mod params;
mod rows;
#[cfg(test)]
mod staging;
#[cfg(test)]
mod tests;

pub use decide::Decided;
pub use evidence::{
    CoverageEvidence, HandlerEvidence, HelpEvidence, OnBallEvidence, PassEvidence, ReadEvidence, SagStep,
    ScreenerDefenderEvidence, ScreenerEvidence, ShotEvidence, StuntStep, SwapEvidence, TagStep,
};
pub use labelled::labelled_ball_screen;
pub use model::{COVERAGE_EVIDENCE, COVERAGE_WORDS, CoverageInputs, CoverageModel, CoverageWeights};
pub use models::{coverage_probabilities, coverage_starts};
pub use params::ReadParams;
pub use rows::{coverage_rows, option_rows};

use scrim_floor::Definitions;
use scrim_play::{Play, Scene};
use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, PassTarget, ScreenerAction, UnclearReason,
};
use scrim_tracks::PlayerIx;

use crate::BallScreen;

/// One ball screen, read.
#[derive(Debug, Clone, PartialEq)]
pub struct BallScreenRead {
    /// What the screener's defender did.
    pub coverage: Decided<Coverage>,
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

/// Reads every ball screen and handoff of a game, in the order of `screens`.
///
/// `scenes` are the possessions' scenes, one a possession in the order of `play.possessions` ([`Scene::all`]);
/// `screens` are what [`crate::find_ball_screens`] found in them.
pub fn find_reads(
    scenes: &[Scene],
    play: &Play,
    screens: &[BallScreen],
    params: &ReadParams,
    definitions: &Definitions,
) -> Vec<BallScreenRead> {
    screens
        .iter()
        .enumerate()
        .map(|(id, screen)| {
            let scene = &scenes[screen.possession];
            match cast::Cast::of(scene, screens, id, definitions) {
                Some(cast) => {
                    let evidence = evidence::measure(&cast, play, screen);
                    decide::decide(scene, screen, evidence, params, definitions)
                }
                None => decide::nothing_to_read(),
            }
        })
        .collect()
}
