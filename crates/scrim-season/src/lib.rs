//! From the tables of many games to season tables.
//!
//! In: the Parquet partitions of games. Out: the season's `tendencies`, `counters`, `against_league`,
//! `disguises` and `disguise_pay`. Knows `scrim-tables`, `scrim-floor` and `scrim-statistics` only: no tracking is read, and no detector
//! is known.
//!
//! - [`read_game`] (`facts`): a few columns of one game's small tables, put together.
//! - [`build_season`] (`season`): all games of a season to its tables; the order of the games changes nothing.
//! - `walk`: disguise, game by game in date order, from the games before only.
//! - `sequence_model`: what comes next, given what was seen.
//! - `tendencies`, `counters`, `disguise_pay`: a table each.
//! - [`questions`]: what is asked of each ball screen; `against_league`: how each team's answers differ from the others'.
//! - [`pull_subjects`] (`pull`): pull of motion, from tables of their own, when the pipeline wants it.
//! - [`SeasonRates`] (`season_rates`): the rates of those tables, taken apart by game.
//! - `tagging`: how often tags are right, as far as labels show.
//! - [`PlayInGame`] (`play_in_game`): a play with its game, as it is counted.
//! - [`ball_screens`]: of which ball screens, and how many, for everything that counts them.
//! - [`ScreenTables`], [`ScreenRows`] (`screen_rows`): screens on the ball with the rows that belong to them.
//! - [`GameClock`], [`When`] (`clock`): period, game clock and video time of an instant.
//! - [`words`]: tags, players and numbers in words for people.
//! - [`describe_team`] (`digest`): what one team does, in words.
//! - [`look`]: looks, read back from the tables' text.

mod against_league;
pub mod ball_screens;
mod clock;
mod counters;
mod coverage_shares;
mod digest;
mod disguise;
mod disguise_pay;
mod error;
mod facts;
pub mod look;
mod params;
mod play_in_game;
mod pull;
pub mod questions;
mod screen_rows;
mod season;
mod season_rates;
mod sequence_model;
mod shot;
#[cfg(test)]
mod staging;
mod tagging;
mod tally;
mod teams;
mod tendencies;
mod walk;
pub mod words;

pub use against_league::{FEWEST_COMPARED, FEWEST_HITS, stands_out};
pub use clock::{GameClock, When, minutes};
pub use counters::ANY_OPTION;
pub use coverage_shares::CoverageShares;
pub use digest::describe_team;
pub use disguise::Disguise;
pub use error::SeasonError;
pub use facts::{GameFacts, Play, Possession, Run, is_poor, read_game};
pub use params::{Counting, SeasonParams};
pub use play_in_game::PlayInGame;
pub use pull::{PullGame, PullOf, PullSeasonParams, PullSubjects, pull_subjects, read_pull_game};
pub use screen_rows::{ScreenRows, ScreenTables};
pub use season::{SeasonTables, build_season};
pub use season_rates::{RateOf, SeasonRates};
pub use shot::Shot;
pub use tagging::{TagCounts, TaggingParams};
