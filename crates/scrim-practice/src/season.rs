//! Practice seasons: a league of eight invented teams whose habits are known, so that what an estimator finds in the
//! games can be held against what made them.
//!
//! A team has four looks. A look is an alignment and the tokens (screens and cuts) that follow on it; then comes the next
//! action, by the look's own probabilities. When that is a ball screen, the offence runs one of its options and the
//! defence one of its coverages. Both remember, within a game, the last ball screen out of the same look: each changes
//! what it does with a probability that depends on the coverage and on who had the better of it.
//!
//! - `habits`: the league, drawn from a seed.
//! - `planted`: a league of teams that are alike but for a few habits;
//! - `look`: how a possession runs its look.
//! - `terms`: what a look, an action and an option are.
//! - `truth`: the tables beside the games.

mod habits;
mod look;
mod planted;
mod terms;
mod truth;

pub use habits::Season;
#[cfg(test)]
pub(crate) use habits::TeamHabits;
pub(crate) use look::{LookRun, Playbook, result_of};
pub use terms::{Look, LookRunRow, NextAction, PlayOption, RunResult, Screener, Token};
pub use truth::write_season_truth;
