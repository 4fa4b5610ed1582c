//! Inputs made from committed ones: random bytes alone never come past a file's first four.

use std::fmt;

use bolero::{Driver, ValueGenerator};

use crate::harness::Door;

/// Longer inputs say no more.
const MOST_BYTES: usize = 64 * 1024;
/// Where footers are, which claim what the file holds.
const TAIL_BYTES: usize = 1024;

/// What readers of text stumble over: odd numbers, marks, half characters.
const WORDS: [&[u8]; 32] = [
    b"NaN",
    b"inf",
    b"-1",
    b"-0",
    b"0",
    b"1e308",
    b"-1e400",
    b"5e-324",
    b"255",
    b"256",
    b"65536",
    b"18446744073709551616",
    b"9007199254740993",
    b"0.1.2",
    b"1:60",
    b"\0",
    b"\"",
    b"\\u0000",
    b"\n",
    b"\r\n",
    b",",
    b";",
    b"\xef\xbb\xbf",
    b"\xff",
    b"\xf0\x9f",
    b"{",
    b"[",
    b"}",
    b"]",
    b"null",
    b"true",
    b"\x1e",
];

/// An input, shown by its length: the harness keeps its bytes.
pub struct Input(pub Vec<u8>);

impl fmt::Debug for Input {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes", self.0.len())
    }
}

/// Takes a committed input and changes it in a few places.
pub struct Changed {
    seeds: Vec<Vec<u8>>,
}

impl Changed {
    /// Changes of the door's committed inputs.
    pub fn of(door: &Door) -> Self {
        Self {
            seeds: door.inputs().into_iter().map(|(_, bytes)| bytes).collect(),
        }
    }
}

impl ValueGenerator for Changed {
    type Output = Input;

    fn generate<D: Driver>(&self, driver: &mut D) -> Option<Input> {
        let mut bytes = self.seeds[below(self.seeds.len(), driver)?].clone();
        for _ in 0..=below(5, driver)? {
            self.change(&mut bytes, driver)?;
        }
        bytes.truncate(MOST_BYTES);
        Some(Input(bytes))
    }
}

impl Changed {
    fn change<D: Driver>(&self, bytes: &mut Vec<u8>, driver: &mut D) -> Option<()> {
        let at = place(bytes.len(), driver)?;
        match below(8, driver)? {
            0 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= 1 << below(8, driver)?;
                }
            }
            1 => {
                // A length, a count or an offset, as binary formats write them.
                let width = 1 << below(4, driver)?;
                let len = bytes.len() as u64;
                let number = [
                    0,
                    1,
                    len,
                    len + 1,
                    u64::MAX,
                    i64::MAX as u64,
                    i32::MAX as u64,
                    1 << 24,
                ][below(8, driver)?];
                let end = (at + width).min(bytes.len());
                bytes.splice(at..end, number.to_le_bytes().into_iter().take(width));
            }
            2 => bytes.truncate(at),
            3 => {
                bytes.drain(stretch(at, bytes.len(), driver)?);
            }
            4 => {
                let again = bytes[stretch(at, bytes.len(), driver)?].to_vec();
                let times = [1, 2, 20, 400][below(4, driver)?].min(MOST_BYTES / again.len().max(1));
                bytes.splice(at..at, again.repeat(times));
            }
            5 => {
                let other = &self.seeds[below(self.seeds.len(), driver)?];
                let from = place(other.len(), driver)?;
                let taken = other[stretch(from, other.len(), driver)?].to_vec();
                bytes.splice(stretch(at, bytes.len(), driver)?, taken);
            }
            // Twice: what most changes of a text should be.
            _ => {
                let word = WORDS[below(WORDS.len(), driver)?];
                bytes.splice(cell(bytes, at), word.iter().copied());
            }
        }
        Some(())
    }
}

fn below<D: Driver>(end: usize, driver: &mut D) -> Option<usize> {
    (0..end.max(1)).generate(driver)
}

/// A place in so many bytes, every other time close to their end.
fn place<D: Driver>(len: usize, driver: &mut D) -> Option<usize> {
    let tail = if below(2, driver)? == 0 { TAIL_BYTES } else { len };
    Some(len - below(len.min(tail) + 1, driver)?)
}

/// From there on a few bytes, or many.
fn stretch<D: Driver>(at: usize, len: usize, driver: &mut D) -> Option<std::ops::Range<usize>> {
    let most = if below(2, driver)? == 0 { 16 } else { len };
    Some(at..at + below((len - at).min(most) + 1, driver)?)
}

/// The letters and digits around a place: a cell, a number, a name; none between two marks.
fn cell(bytes: &[u8], at: usize) -> std::ops::Range<usize> {
    let is_word = |byte: &&u8| byte.is_ascii_alphanumeric() || b"._-".contains(byte);
    let before = bytes[..at].iter().rev().take_while(is_word).count();
    let after = bytes[at..].iter().take_while(is_word).count();
    at - before..at + after
}
