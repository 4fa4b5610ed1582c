//! Token chains: the actions of a possession as text (`possessions.token_chain`, `entries.look`), written and read back, and
//! mirror images merged.

use std::fmt;

use scrim_floor::Side;

use crate::tags::{Entry, UnknownTag};

/// One action of a chain: what, and on which side of the floor. Written as `down:left`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    /// What.
    pub word: Entry,
    /// Where.
    pub side: Side,
}

/// A text that is no token.
#[derive(Debug, Clone, PartialEq)]
pub struct NoToken {
    /// The text.
    pub found: String,
    /// The word that is not known, when that is it.
    pub word: Option<UnknownTag>,
}

impl Token {
    /// The same action on the other side of the floor.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        let side = match self.side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            Side::Middle => Side::Middle,
        };
        Self {
            word: self.word,
            side,
        }
    }

    /// Reads `WORD:SIDE`.
    ///
    /// # Errors
    /// [`NoToken`].
    pub fn parse(text: &str) -> Result<Self, NoToken> {
        let not = |word| NoToken {
            found: text.into(),
            word,
        };
        let (word, side) = text.split_once(':').ok_or_else(|| not(None))?;
        let side = match side {
            "left" => Side::Left,
            "right" => Side::Right,
            "middle" => Side::Middle,
            _ => return Err(not(None)),
        };
        let word = word.parse().map_err(|unknown| not(Some(unknown)))?;
        Ok(Self { word, side })
    }

    /// Reads a chain: tokens with spaces between, in time order. A text without any is the empty chain.
    ///
    /// # Errors
    /// [`NoToken`], the first one.
    pub fn parse_chain(text: &str) -> Result<Vec<Self>, NoToken> {
        text.split_whitespace().map(Self::parse).collect()
    }
}

impl fmt::Display for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.word, self.side.as_str())
    }
}

/// Whether a chain has to be turned over for its first action on a side to be on the right: mirror images are one.
pub fn is_turned(tokens: &[Token]) -> bool {
    let mut sided = tokens
        .iter()
        .map(|token| token.side)
        .filter(|side| *side != Side::Middle);
    sided.next() == Some(Side::Left)
}

/// The chain with mirror images merged.
pub fn merged(tokens: &[Token]) -> impl Iterator<Item = Token> + '_ {
    let turned = is_turned(tokens);
    tokens
        .iter()
        .map(move |token| if turned { token.mirrored() } else { *token })
}

/// The tokens separated by spaces, as `possessions.token_chain` has them.
pub fn chain_text(tokens: impl IntoIterator<Item = Token>) -> String {
    let words: Vec<String> = tokens.into_iter().map(|token| token.to_string()).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn chain() -> impl Strategy<Value = Vec<Token>> {
        let token = (0..Entry::ALL.len(), 0..3usize).prop_map(|(word, side)| Token {
            word: Entry::ALL[word],
            side: [Side::Left, Side::Right, Side::Middle][side],
        });
        prop::collection::vec(token, 0..8)
    }

    #[test]
    fn what_is_no_token_is_refused_with_what_it_was() {
        assert_eq!(Token::parse("down").unwrap_err().found, "down");
        assert_eq!(Token::parse("down:up").unwrap_err().word, None);
        let unknown = Token::parse("upside:left").unwrap_err().word.unwrap();
        assert_eq!(unknown.found, "upside");
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(tokens in chain()) {
            let text = chain_text(tokens.iter().copied());
            prop_assert_eq!(Token::parse_chain(&text).unwrap(), tokens);
        }

        #[test]
        fn mirror_images_are_one(tokens in chain()) {
            let mirror: Vec<Token> = tokens.iter().map(|token| token.mirrored()).collect();
            prop_assert!(merged(&tokens).eq(merged(&mirror)));
            let merged: Vec<Token> = merged(&tokens).collect();
            prop_assert!(!is_turned(&merged));
        }
    }
}
