//! Tags, players and numbers in words for people: the one place that decides how the digest, the demo, the report and the clip
//! lists say a thing.
//!
//! - `tags`: each tag of the vocabulary in plain words;
//! - `grammar`: articles, capitals and plurals;
//! - `looks`: looks and options, which the tables hold as text;
//! - `pay`: whether what sets a team apart pays;
//! - `players`: what a player is called;
//! - `sentences`: a screen, its defence and what came of it;
//! - `rules`: what to do about it, for the players;
//! - `standing`: what sets a team apart from its league;
//! - `sample`: how much a number can carry.

mod grammar;
mod looks;
mod pay;
mod players;
mod rules;
mod sample;
mod sentences;
mod standing;
mod tags;

pub use grammar::{a, count, day, sentence, within};
pub use looks::{look, look_text, option};
pub use pay::{Pay, pay};
pub use players::Names;
pub use rules::{noun, rule};
pub use sample::SampleSize;
pub use sentences::{defense, offense, screen_sentence, shot, with_target};
pub use standing::{Standing, number, range, standing};
pub use tags::{
    action, alignment, confidence, coverage, coverage_meaning, cut, entry, handler, helper, outcome, path,
    screen, screener, target, unclear_reason, zone,
};
