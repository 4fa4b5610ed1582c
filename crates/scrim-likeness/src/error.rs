//! Why there is no answer.

use scrim_season::SeasonError;
use scrim_tables::{StoreError, TableError};

/// What cannot be found, read or compared.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LikenessError {
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
    /// A table could not be read.
    #[error("game {game_id}: a table cannot be read; run the game again")]
    Table {
        /// The game.
        game_id: String,
        /// Why.
        source: TableError,
    },
    /// What the gate says of the game could not be read.
    #[error(transparent)]
    Season(#[from] SeasonError),
    /// Storage failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// No such game.
    #[error("no game `{game_id}` in the tables; {}", nearest_words(.nearest))]
    UnknownGame {
        /// Which was asked for.
        game_id: String,
        /// Those whose ids come right before and after it in order.
        nearest: Vec<String>,
    },
    /// The game's data are poor.
    #[error(
        "game {game_id}: its data are poor (its `game_quality` says why), so its possessions are compared with none; ask for one of another game"
    )]
    PoorGame {
        /// The game.
        game_id: String,
    },
    /// No such possession.
    #[error("game {game_id} has no possession {possession_id}; {}", nearest_words(.nearest))]
    UnknownPossession {
        /// The game.
        game_id: String,
        /// Which was asked for.
        possession_id: u32,
        /// Those nearest to it that can be compared, as they are asked for.
        nearest: Vec<String>,
    },
    /// The possession is of another period.
    #[error(
        "possession {possession_id} of game {game_id} is of period {found}, not {period}; ask for {game_id}:{found}:{possession_id}"
    )]
    OtherPeriod {
        /// The game.
        game_id: String,
        /// The possession.
        possession_id: u32,
        /// The period that was asked for.
        period: u8,
        /// Its period.
        found: u8,
    },
    /// The possession cannot be compared.
    #[error("possession {possession_id} of game {game_id} cannot be compared: {why}; {}", nearest_words(.nearest))]
    NoShape {
        /// The game.
        game_id: String,
        /// The possession.
        possession_id: u32,
        /// Why.
        why: &'static str,
        /// Those nearest to it that can be, as they are asked for.
        nearest: Vec<String>,
    },
    /// No possession of the team.
    #[error("no possession of team `{team}`; the tables have {found:?}: give one of these, spelled as here")]
    UnknownTeam {
        /// Who was asked for.
        team: String,
        /// Who there is.
        found: Vec<String>,
    },
}

fn nearest_words(nearest: &[String]) -> String {
    if nearest.is_empty() {
        "there is none that can be compared".into()
    } else {
        format!("the nearest are {}", nearest.join(", "))
    }
}

/// Bytes that are no index, or none that can be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum IndexFault {
    /// They are something else.
    #[error("not an index of `scrim like`")]
    Foreign,
    /// They are an index of another version of the program.
    #[error("an index of another version")]
    OtherVersion,
    /// They are an index of this version, and not whole.
    #[error("a damaged index")]
    Damaged,
}
