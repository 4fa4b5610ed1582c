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

macro_rules! event_words {
    ($($(#[$doc:meta])* $kind:ident = $word:literal),+ $(,)?) => {
        /// The event words of the contract.
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum EventKind {
            $($(#[$doc])* $kind,)+
            /// A word that the contract does not know: kept as it was, counted and reported.
            Other(Id),
        }

        impl EventKind {
            /// Reads an event word.
            pub fn from_word(word: &str) -> Self {
                match word {
                    $($word => Self::$kind,)+
                    other => Self::Other(other.into()),
                }
            }

            /// The event word.
            pub fn word(&self) -> &str {
                match self {
                    $(Self::$kind => $word,)+
                    Self::Other(word) => word,
                }
            }
        }
    };
}

event_words! {
    /// `period_start`
    PeriodStart = "period_start",
    /// `period_end`
    PeriodEnd = "period_end",
    /// `shot_made`: a field goal.
    ShotMade = "shot_made",
    /// `shot_missed`: a field goal attempt.
    ShotMissed = "shot_missed",
    /// `free_throw_made`
    FreeThrowMade = "free_throw_made",
    /// `free_throw_missed`
    FreeThrowMissed = "free_throw_missed",
    /// `rebound`
    Rebound = "rebound",
    /// `turnover`
    Turnover = "turnover",
    /// `steal`
    Steal = "steal",
    /// `foul`
    Foul = "foul",
    /// `substitution_in`
    SubstitutionIn = "substitution_in",
    /// `substitution_out`
    SubstitutionOut = "substitution_out",
    /// `timeout`
    Timeout = "timeout",
    /// `violation`
    Violation = "violation",
}
