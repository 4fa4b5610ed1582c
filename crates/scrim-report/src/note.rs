//! What a report goes without.

use scrim_season::words::Words;

/// Something that a report goes without although it is there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Note {
    /// A game's data are poor.
    PoorGame {
        /// The game.
        game_id: String,
    },
    /// A table cannot be read.
    Unreadable {
        /// The file, below the tables' folder.
        file: String,
        /// Why.
        error: String,
    },
}

impl Note {
    /// What is left out, and why.
    pub fn text(&self, words: &Words) -> String {
        match self {
            Self::PoorGame { game_id } => words.say("missing-poor-game", &[("game", game_id.into())]),
            Self::Unreadable { file, error } => {
                words.say("missing-file", &[("file", file.into()), ("error", error.into())])
            }
        }
    }
}
