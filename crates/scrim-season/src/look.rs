//! Looks, read back from the tables' text, and the numbers of what they are made of.

use scrim_floor::Side;
use scrim_tables::chain::{NoToken, Token};
use scrim_tables::tags::{Alignment, Entry};

/// A token's number, below those of alignments.
pub(crate) const fn token_code(token: Token) -> u8 {
    let side = match token.side {
        Side::Left => 0,
        Side::Right => 1,
        Side::Middle => 2,
    };
    token.word as u8 * 3 + side
}

// The code of the last word on the last side fits beside the alignments'.
const _: () = assert!(Entry::ALL.len() * 3 <= ALIGNMENT_CODES as usize);

/// Alignments' codes begin here, after the tokens'.
const ALIGNMENT_CODES: u8 = 128;

/// The number of an alignment among the codes of tokens. One that is not known is written as `other`, and is one with it.
pub(crate) const fn alignment_code(alignment: Alignment) -> u8 {
    ALIGNMENT_CODES + alignment as u8
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

    /// The last action of the chain; [`Entry::None`] where there is none.
    pub fn last(&self) -> Entry {
        self.tokens.last().map_or(Entry::None, |token| token.word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_look_is_refused() {
        assert!(Look::parse("down:left").is_err());
        assert!(Look::parse("").is_err());
    }

    #[test]
    fn a_look_is_an_alignment_and_a_chain() {
        let look = Look::parse("horns down:left rub:middle").unwrap();
        assert_eq!(look.alignment, Alignment::Horns);
        assert_eq!(look.tokens[1].to_string(), "rub:middle");
        assert_eq!(look.last(), Entry::Rub);
        let box_alone = Look::parse("box").unwrap();
        assert_eq!((box_alone.last(), box_alone.tokens), (Entry::None, vec![]));
    }

    #[test]
    fn codes_are_different() {
        let mut codes: Vec<u8> = Entry::ALL
            .iter()
            .flat_map(|&word| {
                [Side::Left, Side::Right, Side::Middle].map(|side| token_code(Token { word, side }))
            })
            .chain(Alignment::ALL.iter().map(|&alignment| alignment_code(alignment)))
            .collect();
        let all = codes.len();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), all);
    }
}
