//! A clip: a ball screen or handoff of the tables, as it was shown to whoever answered.

use scrim_tables::SAME_INSTANT_S;
use serde::{Deserialize, Serialize};

use crate::question::{Question, Words};

/// What an answer is about. It holds all that labels need, so that they can be made from answers alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clip {
    /// The season; none is not known.
    pub season: Option<String>,
    /// The game.
    pub game_id: String,
    /// The period, from 1.
    pub period: u8,
    /// Its row in the tables that were shown.
    pub screen_id: u32,
    /// Its use there, s from the period's first frame.
    pub t_use_s: f64,
    /// Whether the tables say that the way to it was taken away before it was there.
    pub early_denial: bool,
    /// The program's words.
    pub shown: Words,
    /// Other ball screens and handoffs that the tables have within the time that the clip's answer speaks of.
    pub beside: Vec<Beside>,
}

/// Another ball screen or handoff near a clip's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beside {
    /// Its row in the tables that were shown.
    pub screen_id: u32,
    /// Who screens.
    pub screener_id: String,
    /// For whom.
    pub user_id: String,
    /// Its use, s from the period's first frame.
    pub t_use_s: f64,
}

/// Which screen: game, period, who screens, for whom, when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Named<'a> {
    game_id: &'a str,
    period: u8,
    screener_id: &'a str,
    user_id: &'a str,
    t_use_s: f64,
}

impl Named<'_> {
    /// Among which it is looked for.
    pub(crate) fn game_and_period(&self) -> (String, u8) {
        (self.game_id.to_owned(), self.period)
    }

    /// Whether the two are one screen, as the data contract has it: tables that were made again may give it another id and a slightly
    /// other instant. No two rows of the program's own tables are so near.
    pub fn is(&self, other: &Named<'_>) -> bool {
        (self.game_id, self.period) == (other.game_id, other.period)
            && (self.screener_id, self.user_id) == (other.screener_id, other.user_id)
            && (self.t_use_s - other.t_use_s).abs() <= SAME_INSTANT_S
    }
}

impl Clip {
    /// The program's word, or player.
    pub fn shown(&self, question: Question) -> &str {
        self.shown.get(&question).map_or("", String::as_str)
    }

    /// Which screen it is.
    pub fn named(&self) -> Named<'_> {
        self.named_with(
            self.shown(Question::ScreenerId),
            self.shown(Question::UserId),
            self.t_use_s,
        )
    }

    /// Which screen one beside it is.
    pub fn named_beside<'a>(&'a self, beside: &'a Beside) -> Named<'a> {
        self.named_with(&beside.screener_id, &beside.user_id, beside.t_use_s)
    }

    /// A screen of the same game and period between two players.
    pub fn named_with<'a>(&'a self, screener_id: &'a str, user_id: &'a str, t_use_s: f64) -> Named<'a> {
        Named {
            game_id: &self.game_id,
            period: self.period,
            screener_id,
            user_id,
            t_use_s,
        }
    }
}
