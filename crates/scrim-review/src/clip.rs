//! A clip: a ball screen or handoff of the tables, as it was shown to whoever answered.

use scrim_tables::SAME_INSTANT_S;
use scrim_tables::tags::Outcome;
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
    /// Whether it was given up for the other side; none in journals that do not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub given_up: Option<bool>,
}

/// The side that a flip gives up and the one it turns into may be used within [`SAME_INSTANT_S`]; two rows nearer than this are one all the
/// same, s.
const SAME_SIDE_S: f64 = 0.2;

/// Which screen: game, period, who screens, for whom, when, and whether it is the side that a flip gives up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Named<'a> {
    game_id: &'a str,
    period: u8,
    screener_id: &'a str,
    user_id: &'a str,
    t_use_s: f64,
    given_up: Option<bool>,
}

impl Named<'_> {
    /// Among which it is looked for.
    pub(crate) fn game_and_period(&self) -> (String, u8) {
        (self.game_id.to_owned(), self.period)
    }

    /// Whether the two are one screen, as the data contract has it: tables that were made again may give it another id and a slightly
    /// other instant. No two rows of the program's own tables are so near, but for the two sides of a flip.
    pub fn is(&self, other: &Named<'_>) -> bool {
        let apart_s = (self.t_use_s - other.t_use_s).abs();
        let is_other_side = self
            .given_up
            .zip(other.given_up)
            .is_some_and(|(one, two)| one != two);
        (self.game_id, self.period) == (other.game_id, other.period)
            && (self.screener_id, self.user_id) == (other.screener_id, other.user_id)
            && apart_s
                <= if is_other_side {
                    SAME_SIDE_S
                } else {
                    SAME_INSTANT_S
                }
    }
}

impl Clip {
    /// The program's word, or player.
    pub fn shown(&self, question: Question) -> &str {
        self.shown.get(&question).map_or("", String::as_str)
    }

    /// Which screen it is.
    pub fn named(&self) -> Named<'_> {
        self.named_between(self.shown(Question::ScreenerId), self.shown(Question::UserId))
    }

    /// The same screen, between these two.
    pub fn named_between<'a>(&'a self, screener_id: &'a str, user_id: &'a str) -> Named<'a> {
        Named {
            given_up: Some(self.shown(Question::Outcome) == Outcome::Flipped.as_str()),
            ..self.named_with(screener_id, user_id, self.t_use_s)
        }
    }

    /// Which screen one beside it is.
    pub fn named_beside<'a>(&'a self, beside: &'a Beside) -> Named<'a> {
        Named {
            given_up: beside.given_up,
            ..self.named_with(&beside.screener_id, &beside.user_id, beside.t_use_s)
        }
    }

    /// A screen of the same game and period between two players.
    pub fn named_with<'a>(&'a self, screener_id: &'a str, user_id: &'a str, t_use_s: f64) -> Named<'a> {
        Named {
            game_id: &self.game_id,
            period: self.period,
            screener_id,
            user_id,
            t_use_s,
            given_up: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::clip;

    #[test]
    fn the_two_sides_of_a_flip_are_two_screens_however_soon_one_follows_the_other() {
        let at = |t_use_s: f64, outcome: Outcome| {
            let mut one = clip(0);
            one.t_use_s = t_use_s;
            one.shown.insert(Question::Outcome, outcome.as_str().into());
            one
        };
        let (first, second) = (at(10.0, Outcome::Flipped), at(10.6, Outcome::Used));
        assert!(!first.named().is(&second.named()));
        // Tables that were made again call it another word, at nearly the same instant, or place it elsewhere.
        assert!(first.named().is(&at(10.1, Outcome::Rejected).named()));
        assert!(first.named().is(&at(10.6, Outcome::Flipped).named()));
        assert!(second.named().is(&at(11.4, Outcome::Unused).named()));
        // Who notes a screen by hand does not say which side it is.
        let by_hand = first.named_with(
            first.shown(Question::ScreenerId),
            first.shown(Question::UserId),
            10.3,
        );
        assert!(by_hand.is(&first.named()) && by_hand.is(&second.named()));
    }
}
