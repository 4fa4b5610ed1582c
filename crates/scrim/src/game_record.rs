//! A game that a source gave, and what it did not give.

use scrim_tables::Partition;
use scrim_tables::tags::Verdict;
use serde::{Deserialize, Serialize};

/// A game that a source gave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct GameRecord {
    /// Its season, when it is known.
    pub season: Option<String>,
    /// The game.
    pub game_id: String,
    /// What its data are worth.
    pub verdict: Verdict,
}

impl GameRecord {
    /// Where its tables are.
    pub fn partition(&self) -> Partition {
        Partition::new(self.season.as_deref(), &self.game_id)
    }
}

/// A game, file or source that was not done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Skipped {
    /// The source's name.
    pub source: String,
    /// The season, when it is known.
    pub season: Option<String>,
    /// The game, when it is one game that failed.
    pub game_id: Option<String>,
    /// `refused` by the gate, else `skipped`.
    pub verdict: Verdict,
    /// Why, and how to fix it.
    pub reason: String,
}

impl Skipped {
    /// A file, or something else that is no game of its own.
    pub(crate) fn no_game(source: String, reason: String) -> Self {
        Self {
            source,
            season: None,
            game_id: None,
            verdict: Verdict::Skipped,
            reason,
        }
    }

    /// The game's place; `None` when it is not known which game it was.
    pub(crate) fn partition(&self) -> Option<Partition> {
        let game_id = self.game_id.as_deref()?;
        Some(Partition::new(self.season.as_deref(), game_id))
    }
}
