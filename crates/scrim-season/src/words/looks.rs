//! Looks and options, which the tables hold as text.

use scrim_tables::tags::{Alignment, Entry};

use super::tags::{action, alignment, handler, screener};
use crate::look::Look;

/// A look in words: `horns → down screen left → rub screen`.
pub fn look(look: &Look) -> String {
    let mut text = alignment(look.alignment).to_owned();
    for token in &look.tokens {
        text.push_str(" → ");
        text.push_str(&token_words(&token.to_string()));
    }
    text
}

/// A look or a set key as the tables hold it, in words. A part that is no word of the vocabulary stands as it is.
pub fn look_text(text: &str) -> String {
    let mut parts = text.split_whitespace();
    let mut words: Vec<String> = Vec::new();
    if let Some(first) = parts.next() {
        words.push(match first.parse::<Alignment>() {
            Ok(known) => alignment(known).into(),
            Err(_) => token_words(first),
        });
    }
    words.extend(parts.map(token_words));
    words.join(" → ")
}

fn token_words(token: &str) -> String {
    let (word, side) = token.split_once(':').unwrap_or((token, ""));
    let Ok(known) = word.parse::<Entry>() else {
        return token.replace('_', " ");
    };
    match side {
        "" | "middle" => action(known).into(),
        side => format!("{} {side}", action(known)),
    }
}

/// An option as `sequences` holds it, in words: `roll+pass` becomes `handler passes, screener rolls`. What is no option stands
/// as it is.
pub fn option(text: &str) -> String {
    let words = text.split_once('+').and_then(|(screener_word, handler_word)| {
        let by_handler = handler_word.parse().ok().and_then(handler)?;
        let by_screener = screener_word.parse().ok().and_then(screener)?;
        Some(format!("{by_handler}, {by_screener}"))
    });
    words.unwrap_or_else(|| text.replace('_', " "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_look_is_in_words_and_what_is_no_word_stands() {
        assert_eq!(
            look_text("horns down:left rub:middle"),
            "horns → down screen left → rub screen"
        );
        assert_eq!(look_text("five_out"), "five out");
        assert_eq!(look_text("<b> my_thing:left"), "<b> → my thing:left");
        assert_eq!(look_text(""), "");
    }

    #[test]
    fn a_parsed_look_reads_like_its_text() {
        let text = "four_out_one_in down:left ball_screen:right";
        assert_eq!(look(&Look::parse(text).unwrap()), look_text(text));
    }

    #[test]
    fn an_option_is_in_words_and_what_is_no_option_stands() {
        assert_eq!(
            option("short_roll+pull_up"),
            "handler pulls up, screener short-rolls"
        );
        assert_eq!(option("unclear+pass"), "unclear+pass");
        assert_eq!(option("any_thing"), "any thing");
    }
}
