//! An answer, and its line in the journal.

use scrim_tables::tags::ScreenKind;
use serde::{Deserialize, Serialize};

use crate::clip::Clip;
use crate::question::Question;

/// Why a clip was picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Picked {
    /// The program is unsure of it, and much hangs on it.
    Doubt,
    /// By chance alone.
    Chance,
    /// Another labeller had answered it.
    Second,
}

/// What a person says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case", deny_unknown_fields)]
pub enum Answer {
    /// It is a screen, and all is right but for the words given before. Ends the clip.
    Right,
    /// There is no such screen. Ends the clip.
    NotAScreen,
    /// Nobody can say from these tracks. Ends the clip.
    CannotTell,
    /// The program's word is wrong.
    Word {
        /// Which.
        question: Question,
        /// The right one (or the right player); none where nobody can say.
        word: Option<String>,
    },
    /// Another screen, which the program does not have.
    Missed {
        /// Who screens.
        screener_id: String,
        /// For whom.
        user_id: String,
        /// Ball screen or handoff.
        screen_kind: ScreenKind,
        /// When, s from the period's first frame.
        t_use_s: f64,
    },
    /// An earlier line does not count.
    TakenBack {
        /// Its number.
        line: u64,
    },
}

impl Answer {
    /// Whether the next clip follows.
    pub fn ends_clip(&self) -> bool {
        matches!(self, Self::Right | Self::NotAScreen | Self::CannotTell)
    }
}

/// A line of the journal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Its number, from 1.
    pub number: u64,
    /// When it was written, UTC (RFC 3339).
    pub at: String,
    /// Seconds since the clip was shown.
    pub seconds: f64,
    /// Keys pressed since then.
    pub keys: u32,
    /// Why the clip was picked.
    pub picked: Picked,
    /// The answer.
    pub answer: Answer,
    /// What it is about.
    pub clip: Clip,
}
