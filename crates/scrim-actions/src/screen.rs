//! Screens, on the ball and off it.
//!
//! The way from tracks to rows, a module a step:
//! - `common`: what is known of every screen, and what of one kind alone;
//! - `approach`: candidates, instants at which two attackers come nearest to each other;
//! - `four`: who plays which part in a candidate;
//! - `declare`, `evidence`: what the four do around that instant;
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
pub(crate) use params::{END_AFTER_USE_S, END_APART_M};
pub use rows::screen_rows;

use scrim_floor::{AttackFrame, Point};
use scrim_play::Scene;

/// When a screen used at scene frame `at` is over: both (user and screener) are farther than `apart_m` from its spot, or
/// `after_use_s` have gone.
pub(crate) fn end_frame(
    scene: &Scene,
    both: [usize; 2],
    spot: Point<AttackFrame>,
    at: usize,
    after_use_s: f32,
    apart_m: f32,
) -> usize {
    let latest = (at + scene.frames_in(after_use_s)).min(scene.frames.saturating_sub(1));
    let is_away = |k: usize| {
        both.iter()
            .all(|&place| scene.attackers[place].at(k).distance_m(spot) > apart_m)
    };
    (at..latest).find(|&k| is_away(k)).unwrap_or(latest)
}

/// The user's path after scene frame `k` against the direction to the hoop, degrees; `None` where it is not seen.
pub(crate) fn path_angle_deg(scene: &Scene, user: usize, k: usize) -> Option<f32> {
    let u = &scene.attackers[user];
    let later = (k + scene.frames_in(PATH_S)).min(scene.frames.checked_sub(1)?);
    (u.at(later) - u.at(k)).angle_to_deg(Point::origin() - u.at(k))
}

/// The user's path is looked at this long after the use, s.
const PATH_S: f32 = 0.8;

#[cfg(test)]
pub(crate) mod tests;
