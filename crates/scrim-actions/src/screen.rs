//! Screens, on the ball and off it.
//!
//! The way from tracks to rows, a module a step:
//! - `common`: what is known of every screen, and what of one kind alone;
//! - `approach`: candidates, instants at which two attackers come nearest to each other;
//! - `four`: who plays which part in a candidate;
//! - `declare`, `evidence`: what the four do around that instant;
//! - `ending`: when a screen is over, and which way the user goes;
//! - `parting`: when user and screener go from each other;
//! - `models`: how sure it is that this is a screen, and what became of it, by models that are data;
//! - `correction`: what `scrim tune` fits on top of them to a user's labels;
//! - `on_ball`: ball screens and handoffs as rows;
//! - `link`: what stands twice, flips and re-screens;
//! - `stop`: where a player comes to stand;
//! - `off_ball`: screens off the ball, with steps of their own;
//! - `list`: all screens of a game in one order; `rows`: as rows of `screens`.

mod approach;
mod common;
mod correction;
pub(crate) mod declare;
mod ending;
mod evidence;
mod four;
mod link;
mod list;
pub(crate) mod models;
mod off_ball;
mod on_ball;
mod params;
mod parting;
mod rows;
mod setting_off;
pub(crate) mod stop;

pub use common::{BallScreen, OffBallScreen, Screen, ScreenEvidence};
pub use correction::{SCREEN_EVIDENCE, ScreenCorrection, ScreenInputs};
pub use evidence::PairEvidence;
pub(crate) use evidence::measure;
pub(crate) use four::Four;
pub use link::is_said_already;
pub(crate) use list::of_possession;
pub use list::{ScreenRef, Screens};
pub use models::{OUTCOME_WORDS, OutcomeProbabilities, SCREEN_WORDS};
pub use off_ball::{
    OffBallCandidate, OffBallEvidence, OffBallScreenParams, find_off_ball_screens, off_ball_candidates,
    off_ball_evidence_names,
};
pub use on_ball::{PairCandidate, ball_screen_candidates, find_ball_screens, use_after_approach_s};
pub use params::ScreenParams;
pub use rows::screen_rows;

#[cfg(test)]
pub(crate) mod tests;
