//! Tags, players and numbers in words for people: the one place that decides how the digest, the demo, the report and the clip
//! lists say a thing. The words themselves are messages of `words/en.ftl`, or of a translation of it.
//!
//! - `translation`: the messages of one language, with English behind them: [`Words`];
//! - `book`: one file of messages;
//! - `said`: a text whose pieces may be shown with weight, and what is put into a message;
//! - `tags`: each tag of the vocabulary in plain words;
//! - `grammar`: capitals, numbers, days and clocks;
//! - `looks`: looks and options, which the tables hold as text;
//! - `pay`: whether what sets a team apart pays;
//! - `players`: what a player is called;
//! - `sentences`: a screen, its defence and what came of it;
//! - `rules`: what to do about it, for the players;
//! - `standing`: what sets a team apart from its league;
//! - `sample`: how much a number can carry.

mod book;
#[cfg(test)]
mod every_row;
mod grammar;
mod looks;
mod pay;
mod players;
mod rules;
mod said;
mod sample;
mod sentences;
mod standing;
mod tags;
mod translation;

pub use grammar::sentence;
pub use pay::Pay;
pub use players::{Names, team_name};
pub use said::{Arg, Said, Shown, strong};
pub use sample::SampleSize;
pub use standing::Begins;
pub use translation::{ENGLISH, Translation, Words};
