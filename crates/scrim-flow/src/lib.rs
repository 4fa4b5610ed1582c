//! How a team got into its ball screens: the shape of the five, the chain of actions, the entry of each ball screen, what
//! it cost the defence, and the runs of each set.
//!
//! In: scenes and play of a game, its screens, their reads, its cuts. Out: [`Flow`], and rows of `entries` and
//! `sequences`; alignment and chain go to `possessions`. Knows `scrim-floor`, `scrim-tables`, `scrim-tracks`, `scrim-play`
//! and `scrim-actions`. What needs more than one game (surprise, disguise, lag against a median) is the season's.
//!
//! - `action`: every screen, handoff and cut of a game as one list, a cut off a screen as that screen;
//! - `alignment`: when the set begins, and the shape of the five then;
//! - [`Look`] (`look`): looks, and looks with mirror images merged;
//! - `entry`: the action that a ball screen came out of;
//! - `cost`: where the two defenders are at the set, and how late the screener's is;
//! - `sequence`: the runs of each set;
//! - `rows`: rows of the data contract.

mod action;
mod alignment;
mod chained;
mod cost;
mod entry;
mod find;
mod look;
mod params;
mod rows;
mod screen_flow;
mod sequence;
#[cfg(test)]
mod staging;

pub use action::{Action, ActionSource, find_actions, is_spacing};
pub use alignment::{Aligned, SLACK_M, Shape, Spots, classify_shape, find_alignment};
pub use cost::Cost;
pub use entry::FoundEntry;
pub use find::{Flow, FlowInput, find_flow};
pub use look::Look;
pub use params::FlowParams;
pub use rows::{entry_rows, possession_extras, sequence_rows};
pub use screen_flow::ScreenFlow;
pub use sequence::{SetRun, find_runs};
