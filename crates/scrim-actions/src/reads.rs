//! How each ball screen was defended, and what the offence made of it.
//!
//! Evidence is measured in one place, decided on in another, so that rules and a fitted model are both at home:
//! - `cast`: who plays which part in a screen, where the screen is, and from when to when it is looked at;
//! - [`ReadEvidence`] (`evidence`): everything that is measured, once a screen;
//! - `borders`: the vocabulary's borders of coverages, as evidence;
//! - `decide`: the words, from the evidence alone; [`BallScreenRead`] (`read`): what comes of it;
//! - `trees`: the coverage model, which is data, fitted to practice games and real labelled scenes;
//! - [`CoverageModel`] (`correction`): a correction of it, fitted to a user's own labels;
//! - [`labelled_ball_screen`] (`labelled`): labelled screens as if they had been found, for fits;
//! - `rows`: rows of `coverages` and `options`.

mod borders;
mod cast;
mod correction;
mod decide;
mod evidence;
mod labelled;
mod params;
mod read;
mod rows;
#[cfg(test)]
mod staging;
#[cfg(test)]
mod tests;
mod trees;

pub use correction::{COVERAGE_EVIDENCE, CoverageInputs, CoverageModel, CoverageWeights};
pub use evidence::{
    CoverageEvidence, HandlerEvidence, HelpEvidence, OnBallEvidence, PassEvidence, ReadEvidence, SagStep,
    ScreenerDefenderEvidence, ScreenerEvidence, ShotEvidence, StuntStep, SwapEvidence, TagStep,
};
pub use labelled::labelled_ball_screen;
pub use params::ReadParams;
pub use read::{BallScreenRead, Decided};
pub use rows::{coverage_rows, option_rows};
pub use trees::{COVERAGE_WORDS, coverage_probabilities, coverage_starts};

use scrim_floor::Definitions;
use scrim_play::{Play, Scene};

use crate::BallScreen;

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
                None => BallScreenRead::not_seen(),
            }
        })
        .collect()
}
