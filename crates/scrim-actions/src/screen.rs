//! Screens, on the ball and off it.
//!
//! The way from tracks to rows, a module a step:
//! - `common`: what is known of every screen, and what of one kind alone; `scene_screen`: the same in its scene's terms;
//! - `approach`: candidates, instants at which two attackers come nearest to each other;
//! - `four`: who plays which part in a candidate;
//! - `candidate`: two attackers near each other, one of them with the ball;
//! - `declare`, `evidence`: what the four do around that instant;
//! - `ending`: when a screen is over, and which way the user goes;
//! - `parting`: when user and screener go from each other;
//! - `models`: how sure it is that this is a screen, and what became of it, by models that are data;
//! - `correction`: what `scrim tune` fits on top of them to a user's labels;
//! - `ball_screen_row`: ball screens and handoffs as rows; `on_ball`: all of a game;
//! - `flip`: the side that a screener gave up before;
//! - `link`: what stands twice, re-screens and doubles;
//! - `stop`: where a player comes to stand;
//! - `off_ball`: screens off the ball, with steps of their own;
//! - `list`: all screens of a game in one order; `rows`: as rows of `screens`.

mod approach;
mod ball_screen_row;
mod candidate;
mod common;
mod correction;
pub(crate) mod declare;
mod ending;
mod evidence;
mod flip;
mod four;
mod link;
mod list;
pub(crate) mod models;
mod off_ball;
mod on_ball;
mod params;
mod parting;
mod rows;
mod scene_screen;
mod setting_off;
pub(crate) mod stop;

pub use candidate::{PairCandidate, ball_screen_candidates, outcome_and_use_s};
pub use common::{BallScreen, OffBallScreen, Screen, ScreenEvidence};
pub use correction::{SCREEN_EVIDENCE, ScreenCorrection, ScreenInputs};
pub use evidence::PairEvidence;
pub(crate) use evidence::measure;
pub use flip::{FlipEvidence, SideChangeEvidence, flip_evidence_names};
pub(crate) use four::Four;
pub use link::{SAME_SCREEN_S, is_said_already};
pub use list::{ScreenRef, Screens, of_possession};
pub(crate) use models::embedded;
pub use models::{FLIP_WORDS, OUTCOME_WORDS, OutcomeProbabilities, SCREEN_WORDS};
pub use off_ball::{
    OffBallCandidate, OffBallEvidence, OffBallScreenParams, find_off_ball_screens, off_ball_candidates,
    off_ball_evidence_names,
};
pub use on_ball::{FlipCandidate, LIKELY_FLIP, find_ball_screens, flip_candidates};
pub use params::ScreenParams;
pub use rows::screen_rows;
pub(crate) use scene_screen::SceneScreen;

#[cfg(test)]
pub(crate) mod tests;
