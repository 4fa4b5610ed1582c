//! What changes when a definition changes.
//!
//! In: two outputs of the same games, or a game's tables by one pipeline and by others. Out: which rows appear, vanish or change a
//! word, and where to look at them; every season rate before and after with an interval for the difference; and, of a sweep, the
//! table `sweep` and its drawing. Knows `scrim-tables`, `scrim-season` and `scrim-statistics`, and no detector.
//!
//! Which tables are held side by side, how their rows are placed and which columns are words comes from the tables' declarations:
//! no table and no column is named here but those that carry screens and possessions.
//!
//! - [`ComparedTables`] (`compared_tables`): one game's tables that are compared; `columns`: their columns.
//! - [`pair_game`] (`pairing`): which row of one output stands for which of the other.
//! - `split`: by which word the counts are parted.
//! - [`GameChanges`] (`changes`): what changed in one game; [`Spot`] (`spot`): where to look at it.
//! - [`RateChange`] (`rates`): season rates, before and after.
//! - [`Comparison`] (`comparison`): all of it; `text`: the same for people.
//! - [`Tally`] (`measures`): what a sweep counts; [`sweep_rows`] (`sweep`): the table; [`sweep_drawing`] (`drawing`): the curves.

mod changes;
mod columns;
mod compared_tables;
mod comparison;
mod drawing;
mod error;
mod measures;
mod pairing;
mod rates;
mod split;
mod spot;
#[cfg(test)]
mod staging;
mod sweep;
mod text;

pub use changes::{GameChanges, Move, Split, TableChanges, TagChanges, compare_game};
pub use compared_tables::{ComparedTables, GameSide, compared_tables};
pub use comparison::{Comparison, LeftOut, ParameterChange};
pub use drawing::sweep_drawing;
pub use error::CompareError;
pub use measures::{Measure, MeasureCounts, Tally};
pub use pairing::{TablePairs, pair_game};
pub use rates::{RateChange, rate_change, rates_of_both};
pub use split::SplitBy;
pub use spot::Spot;
pub use sweep::{SweptKey, sweep_rows};
