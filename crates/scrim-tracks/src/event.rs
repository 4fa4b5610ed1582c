//! What the scorer's table wrote down.

use scrim_tables::Id;

use crate::player::{PlayerIx, TeamSlot};

/// One event of the `events` side table.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// The period, from 1.
    pub period: u8,
    /// Real clock, from the period's first frame; `None` when only the game clock is given.
    pub t_s: Option<f64>,
    /// Game clock, remaining; `None` when only the real clock is given.
    pub game_clock_s: Option<f32>,
    /// What happened.
    pub kind: EventKind,
    /// Whose event.
    pub team: Option<TeamSlot>,
    /// Whose event.
    pub player: Option<PlayerIx>,
    /// Points scored by it.
    pub points: Option<u8>,
}

/// The event words of the contract.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EventKind {
    /// `period_start`
    PeriodStart,
    /// `period_end`
    PeriodEnd,
    /// `shot_made`: a field goal.
    ShotMade,
    /// `shot_missed`: a field goal attempt.
    ShotMissed,
    /// `free_throw_made`
    FreeThrowMade,
    /// `free_throw_missed`
    FreeThrowMissed,
    /// `rebound`
    Rebound,
    /// `turnover`
    Turnover,
    /// `steal`
    Steal,
    /// `foul`
    Foul,
    /// `substitution_in`
    SubstitutionIn,
    /// `substitution_out`
    SubstitutionOut,
    /// `timeout`
    Timeout,
    /// `violation`
    Violation,
    /// A word that the contract does not know: kept as it was, counted and reported.
    Other(Id),
}

impl EventKind {
    /// Reads an event word.
    pub fn from_word(word: &str) -> Self {
        match word {
            "period_start" => Self::PeriodStart,
            "period_end" => Self::PeriodEnd,
            "shot_made" => Self::ShotMade,
            "shot_missed" => Self::ShotMissed,
            "free_throw_made" => Self::FreeThrowMade,
            "free_throw_missed" => Self::FreeThrowMissed,
            "rebound" => Self::Rebound,
            "turnover" => Self::Turnover,
            "steal" => Self::Steal,
            "foul" => Self::Foul,
            "substitution_in" => Self::SubstitutionIn,
            "substitution_out" => Self::SubstitutionOut,
            "timeout" => Self::Timeout,
            "violation" => Self::Violation,
            other => Self::Other(other.into()),
        }
    }
}
