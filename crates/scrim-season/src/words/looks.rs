//! Looks and options, which the tables hold as text.

use scrim_tables::tags::{Alignment, Entry};

use super::translation::Words;
use crate::look::Look;

impl Words {
    /// A look in words: `horns → down screen left → rub screen`.
    pub fn look(&self, look: &Look) -> String {
        let mut text = self.alignment(look.alignment).to_owned();
        for token in &look.tokens {
            text.push_str(" → ");
            text.push_str(&self.token(&token.to_string()));
        }
        text
    }

    /// A look or a set key as the tables hold it, in words. A part that is no word of the vocabulary stands as it is.
    pub fn look_text(&self, text: &str) -> String {
        let mut parts = text.split_whitespace();
        let mut words: Vec<String> = Vec::new();
        if let Some(first) = parts.next() {
            words.push(match first.parse::<Alignment>() {
                Ok(known) => self.alignment(known).into(),
                Err(_) => self.token(first),
            });
        }
        words.extend(parts.map(|token| self.token(token)));
        words.join(" → ")
    }

    /// A set key in words, mirror images merged: the first side stands for both, each later one is the same or the other:
    /// `horns → down screen (both sides) → rub screen (other side)`.
    pub fn set_text(&self, text: &str) -> String {
        let mut first = None;
        let mut parts = Vec::new();
        for part in text.split_whitespace() {
            let sided = part
                .split_once(':')
                .filter(|(word, side)| matches!(*side, "left" | "right") && word.parse::<Entry>().is_ok());
            let Some((word, side)) = sided else {
                parts.push(self.look_text(part));
                continue;
            };
            let key = match first {
                None => "action-both-sides",
                Some(first) if first == side => "action-same-side",
                Some(_) => "action-other-side",
            };
            first.get_or_insert(side);
            parts.push(self.say(key, &[("action", self.token(word).into())]));
        }
        parts.join(" → ")
    }

    fn token(&self, token: &str) -> String {
        let (word, side) = token.split_once(':').unwrap_or((token, ""));
        let Ok(known) = word.parse::<Entry>() else {
            return token.replace('_', " ");
        };
        let action = self.action(known);
        match side {
            "" | "middle" => action.into(),
            side => self.say(
                "action-side",
                &[("action", action.into()), ("side", self.side(side).into())],
            ),
        }
    }

    /// An option as `sequences` holds it, in words: `roll+pass` becomes `handler passes, screener rolls`. What is no option stands
    /// as it is.
    pub fn option(&self, text: &str) -> String {
        let words = text.split_once('+').and_then(|(screener, handler)| {
            let handler = handler.parse().ok().and_then(|word| self.handler(word))?;
            let screener = screener.parse().ok().and_then(|word| self.screener(word))?;
            Some(self.say(
                "option",
                &[("handler", handler.into()), ("screener", screener.into())],
            ))
        });
        words.unwrap_or_else(|| text.replace('_', " "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_look_is_in_words_and_what_is_no_word_stands() {
        let words = Words::english();
        assert_eq!(
            words.look_text("horns down:left rub:middle"),
            "horns → down screen left → rub screen"
        );
        assert_eq!(words.look_text("five_out"), "five out");
        assert_eq!(words.look_text("<b> my_thing:left"), "<b> → my thing:left");
        assert_eq!(words.look_text("down:up"), "down screen up");
        assert_eq!(words.look_text(""), "");
    }

    #[test]
    fn a_set_is_of_both_sides() {
        let words = Words::english();
        assert_eq!(
            words.set_text("box zipper:right"),
            "box → zipper screen (both sides)"
        );
        assert_eq!(
            words.set_text("horns cross:middle down:right rub:left flash:right"),
            "horns → cross screen → down screen (both sides) → rub screen (other side) → flash (same side)"
        );
        assert_eq!(words.set_text("stack my_thing:left"), "stack → my thing:left");
    }

    #[test]
    fn a_parsed_look_reads_like_its_text() {
        let words = Words::english();
        let text = "four_out_one_in down:left ball_screen:right";
        assert_eq!(words.look(&Look::parse(text).unwrap()), words.look_text(text));
    }

    #[test]
    fn an_option_is_in_words_and_what_is_no_option_stands() {
        let words = Words::english();
        assert_eq!(
            words.option("short_roll+pull_up"),
            "handler pulls up, screener short-rolls"
        );
        assert_eq!(words.option("unclear+pass"), "unclear+pass");
        assert_eq!(words.option("any_thing"), "any thing");
    }
}
