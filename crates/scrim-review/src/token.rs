//! What lets a browser in: a word that nobody can guess, in the address that is printed.

use subtle::ConstantTimeEq;

use crate::ReviewError;

/// As many as a key of today's ciphers.
const BYTES: usize = 32;

/// The word.
#[derive(Clone)]
pub(crate) struct Token(String);

impl Token {
    /// A new one, from the system's random numbers.
    pub(crate) fn new() -> Result<Self, ReviewError> {
        let mut bytes = [0_u8; BYTES];
        getrandom::fill(&mut bytes).map_err(|source| ReviewError::NoChance { source })?;
        Ok(Self(bytes.iter().map(|byte| format!("{byte:02x}")).collect()))
    }

    /// As it stands in an address.
    pub(crate) fn text(&self) -> &str {
        &self.0
    }

    /// Whether this is it; the time does not say how much of it is right.
    pub(crate) fn is(&self, given: &str) -> bool {
        bool::from(self.0.as_bytes().ct_eq(given.as_bytes()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_are_alike_and_only_the_whole_is_it() {
        let (one, other) = (Token::new().unwrap(), Token::new().unwrap());
        assert_eq!(one.text().len(), 2 * BYTES);
        assert_ne!(one.text(), other.text());
        assert!(one.is(one.text()));
        assert!(!one.is(other.text()) && !one.is("") && !one.is(&one.text()[1..]));
        assert!(!one.is(&format!("{}0", one.text())));
    }
}
