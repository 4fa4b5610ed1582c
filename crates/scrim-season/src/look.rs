//! Looks and tokens, read back from the tables' text.

use std::fmt;

use scrim_floor::Side;
use scrim_tables::tags::{Alignment, Entry, UnknownTag};

/// One action of a chain: what, and on which side of the floor. Told as `down:left`.
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

    /// A number of its own below 128.
    pub(crate) const fn code(self) -> u8 {
        let side = match self.side {
            Side::Left => 0,
            Side::Right => 1,
            Side::Middle => 2,
        };
        self.word as u8 * 3 + side
    }
}

// The code of the last word on the last side fits beside the alignments'.
const _: () = assert!(Entry::ALL.len() * 3 <= ALIGNMENT_CODES as usize);

/// Alignments' codes begin here, after the tokens'.
const ALIGNMENT_CODES: u8 = 128;

/// The number of an alignment among the codes of tokens. One that is not known is told as `other`, and is one with it.
pub(crate) const fn alignment_code(alignment: Alignment) -> u8 {
    ALIGNMENT_CODES + alignment as u8
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

/// What a team looked like: the shape of the five and the actions so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// Shape of the five; one that is not known is `other`.
    pub alignment: Alignment,
    /// The chain so far.
    pub tokens: Vec<Token>,
}

impl Look {
    /// Reads `ALIGNMENT TOKEN TOKEN …`, as `entries.look` has it.
    ///
    /// # Errors
    /// [`NoToken`] when a word is neither.
    pub fn parse(text: &str) -> Result<Self, NoToken> {
        let (first, rest) = text.split_once(' ').unwrap_or((text, ""));
        let alignment = first.parse().map_err(|unknown| NoToken {
            found: first.into(),
            word: Some(unknown),
        })?;
        Ok(Self {
            alignment,
            tokens: Token::parse_chain(rest)?,
        })
    }
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
        assert!(Look::parse("down:left").is_err());
        assert!(Look::parse("").is_err());
    }

    #[test]
    fn a_look_is_an_alignment_and_a_chain() {
        let look = Look::parse("horns down:left rub:middle").unwrap();
        assert_eq!(look.alignment, Alignment::Horns);
        assert_eq!(look.tokens[1].to_string(), "rub:middle");
        assert_eq!(Look::parse("box").unwrap().tokens, vec![]);
    }

    #[test]
    fn codes_are_different() {
        let mut codes: Vec<u8> = Entry::ALL
            .iter()
            .flat_map(|&word| [Side::Left, Side::Right, Side::Middle].map(|side| Token { word, side }.code()))
            .chain(Alignment::ALL.iter().map(|&alignment| alignment_code(alignment)))
            .collect();
        let all = codes.len();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), all);
    }

    proptest! {
        #[test]
        fn what_is_told_is_read_back(tokens in chain()) {
            let told: Vec<String> = tokens.iter().map(Token::to_string).collect();
            prop_assert_eq!(Token::parse_chain(&told.join(" ")).unwrap(), tokens);
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
