//! All that two outputs differ in.

use serde::Serialize;

use crate::changes::GameChanges;
use crate::rates::RateChange;

/// A parameter that the two outputs were made with different values of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ParameterChange {
    /// The key.
    pub key: String,
    /// Its value in the first output; `None` when it had none.
    pub a: Option<String>,
    /// Its value in the second.
    pub b: Option<String>,
}

/// A game that is in both outputs and could not be compared.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The game.
    pub game_id: String,
    /// Why.
    pub reason: String,
}

/// Two outputs of the same games, side by side.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Comparison {
    /// Where the first is.
    pub a: String,
    /// Where the second is.
    pub b: String,
    /// Games in both, held side by side.
    pub games: usize,
    /// Games of the first alone, left out: `SEASON GAME`.
    pub only_in_a: Vec<String>,
    /// Games of the second alone, left out.
    pub only_in_b: Vec<String>,
    /// Games of both that could not be read, left out.
    pub left_out: Vec<LeftOut>,
    /// Parameters that differ; `None` when one of the outputs does not say what it was made with.
    pub parameters: Option<Vec<ParameterChange>>,
    /// The column that counts are parted by.
    pub by: Option<String>,
    /// What changed in the games' tables.
    pub tables: GameChanges,
    /// Games held side by side that are no part of the season rates, for their data are poor in either.
    pub poor_games: usize,
    /// Every season rate of the games of both.
    pub rates: Vec<RateChange>,
}
