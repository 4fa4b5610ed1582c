//! The games themselves.

use crate::column::Id;
use crate::rows::declare::tables;

tables! {
    /// One game: who, when.
    GameRow = "games" {
        /// The game.
        game_id: Id,
        /// Day of the game, ISO 8601; null when the source does not tell.
        date: Option<Id>,
        /// The season, as the source spells it; null when it does not tell.
        season: Option<Id>,
        /// The home team, when `home_is_known`; else the first by id.
        home_team_id: Id,
        /// The other team.
        away_team_id: Id,
        /// Whether the source tells who is at home.
        home_is_known: bool,
    }
}
