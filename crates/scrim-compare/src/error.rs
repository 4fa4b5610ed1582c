//! Why outputs cannot be compared.

use scrim_season::SeasonError;
use scrim_tables::{StoreError, TableError};

/// Why a comparison, or one game of it, could not be done.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum CompareError {
    /// A table of a game cannot be read.
    #[error("game {game_id}")]
    Table {
        /// The game.
        game_id: String,
        /// What is wrong.
        source: TableError,
    },
    /// One output has a table of a game that the other lacks.
    #[error("its table `{table}` is in one of the two only; run the game again where it is missing")]
    OneSided {
        /// The table.
        table: &'static str,
    },
    /// What the season needs of a game cannot be read.
    #[error(transparent)]
    Season(#[from] SeasonError),
    /// Storage failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// No table that is compared has a column of words of that name.
    #[error("no compared table has a column of tags `{column}`; those that have one: {known}")]
    NoColumn {
        /// What was asked for.
        column: String,
        /// What there is.
        known: String,
    },
}
