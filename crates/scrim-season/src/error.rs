//! Why a game cannot be taken into its season.

use scrim_tables::tags::UnknownTag;
use scrim_tables::{StoreError, TableError};

/// Why a game, or a season, could not be done.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SeasonError {
    /// A table of the game is not there.
    #[error(
        "game {game_id}: table `{table}` is not there; run the game again, with this version of the program"
    )]
    MissingTable {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
    },
    /// A table could not be read or written.
    #[error("game {game_id}")]
    Table {
        /// The game; `season` for a table of the season.
        game_id: String,
        /// What is wrong.
        source: TableError,
    },
    /// A token of a chain or a look is none.
    #[error(
        "game {game_id}, table `{table}`, row {row}: `{found}` is no token; a token is WORD:SIDE, as `down:left`"
    )]
    Token {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
        /// The row, from 0.
        row: usize,
        /// What was found.
        found: String,
        /// Why, when it is the word.
        source: Option<Box<UnknownTag>>,
    },
    /// A row names a row of another table that is not there.
    #[error(
        "game {game_id}, table `{table}`, row {row}: {what} {id} is not in its table; run the game again"
    )]
    Dangling {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
        /// The row, from 0.
        row: usize,
        /// What kind of id.
        what: &'static str,
        /// The id.
        id: u32,
    },
    /// Storage failed.
    #[error(transparent)]
    Store(#[from] StoreError),
}
