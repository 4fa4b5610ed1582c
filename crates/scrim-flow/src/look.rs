//! Looks, and looks with mirror images merged.

use std::fmt;

use scrim_tables::chain::{Token, merged};
use scrim_tables::tags::Alignment;

/// What a team looked like: the shape of the five and the actions so far, in time order.
///
/// Written as `horns down:left rub:right`; an alignment that is not known is written as `other`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look<'a> {
    /// Shape of the five; `None` when not known.
    pub alignment: Option<Alignment>,
    /// The chain so far.
    pub tokens: &'a [Token],
}

impl Look<'_> {
    /// The look with mirror images merged: the one of the two whose first token on a side is on the right.
    pub fn set_key(&self) -> String {
        self.text(merged(self.tokens))
    }

    fn text(&self, tokens: impl Iterator<Item = Token>) -> String {
        let mut text = self.alignment.unwrap_or(Alignment::Other).as_str().to_owned();
        for token in tokens {
            text.push(' ');
            text.push_str(&token.to_string());
        }
        text
    }
}

impl fmt::Display for Look<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text(self.tokens.iter().copied()))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use scrim_floor::Side;
    use scrim_tables::chain::chain_text;
    use scrim_tables::tags::Entry;

    use super::*;

    const fn token(word: Entry, side: Side) -> Token {
        Token { word, side }
    }

    #[test]
    fn a_look_is_the_alignment_and_the_tokens_with_spaces() {
        let tokens = [token(Entry::Down, Side::Left), token(Entry::Rub, Side::Right)];
        let look = Look {
            alignment: Some(Alignment::Horns),
            tokens: &tokens,
        };
        assert_eq!(look.to_string(), "horns down:left rub:right");
        assert_eq!(look.set_key(), "horns down:right rub:left");
        assert_eq!(chain_text(tokens), "down:left rub:right");
    }

    #[test]
    fn an_alignment_that_is_not_known_counts_as_other() {
        let look = Look {
            alignment: None,
            tokens: &[],
        };
        assert_eq!(
            (look.to_string(), look.set_key()),
            ("other".into(), "other".into())
        );
    }

    #[test]
    fn tokens_in_the_middle_decide_nothing_and_stay() {
        let tokens = [token(Entry::Rub, Side::Middle), token(Entry::Flash, Side::Left)];
        let look = Look {
            alignment: Some(Alignment::FiveOut),
            tokens: &tokens,
        };
        assert_eq!(look.set_key(), "five_out rub:middle flash:right");
    }

    fn tokens() -> impl Strategy<Value = Vec<Token>> {
        let word = proptest::sample::select(Entry::ALL);
        let side = proptest::sample::select(vec![Side::Left, Side::Right, Side::Middle]);
        let one = (word, side).prop_map(|(word, side)| Token { word, side });
        proptest::collection::vec(one, 0..8)
    }

    proptest! {
        #[test]
        fn mirror_images_have_one_set_key(tokens in tokens(), place in 0..Alignment::ALL.len()) {
            let alignment = Some(Alignment::ALL[place]);
            let mirrored: Vec<Token> = tokens.iter().map(|token| token.mirrored()).collect();
            let key = Look { alignment, tokens: &tokens }.set_key();
            prop_assert_eq!(&key, &Look { alignment, tokens: &mirrored }.set_key());
            // It is one of the two looks, and its first sided token is on the right.
            let looks = [&tokens, &mirrored].map(|tokens| Look { alignment, tokens }.to_string());
            prop_assert!(looks.contains(&key));
            let first = [key.find(":left"), key.find(":right")];
            prop_assert!(first[0].is_none() || first[1] < first[0] && first[1].is_some());
        }
    }
}
