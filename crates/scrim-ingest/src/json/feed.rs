//! The bytes of a JSON document of any size, a stretch at a time.

use std::io::{self, BufRead, Read};

use super::tape::{Document, MAX_DEPTH, Stop, Tape, after_blank, end_of_text};

/// Bytes held at once, while no value is larger.
const STRETCH_BYTES: usize = 256 * 1024;
/// The most bytes of a value that is held as a whole: an instant, or a value that the mapping names. A moment of
/// a game has some thousand.
pub(super) const MAX_VALUE_BYTES: usize = 16 * 1024 * 1024;

/// Why a walk ended early.
#[derive(Debug)]
pub(super) enum Ended {
    /// Here the document is no JSON.
    Bad,
    /// A value of more than [`MAX_VALUE_BYTES`] begins at this byte.
    TooLong(u64),
    /// The bytes could not be read.
    Io(io::Error),
}

/// Bytes of a document from where the reading is.
pub(super) struct Feed {
    reader: Box<dyn BufRead>,
    /// Bytes taken at once.
    stretch: usize,
    bytes: Vec<u8>,
    at: usize,
    /// Whether `bytes` go up to the document's end.
    is_all: bool,
    /// Bytes of the document before `bytes`.
    before: u64,
    words: Tape,
    /// Arrays and objects that are open around the reading.
    pub depth: usize,
}

impl Feed {
    pub(super) fn new(reader: Box<dyn BufRead>) -> Self {
        Self {
            reader,
            stretch: STRETCH_BYTES,
            bytes: Vec::new(),
            at: 0,
            is_all: false,
            before: 0,
            words: Tape::default(),
            depth: 0,
        }
    }

    /// Forgets the bytes that are read and takes more; `false` when it was known that there are none.
    #[cold]
    fn more(&mut self) -> Result<bool, Ended> {
        if self.is_all {
            return Ok(false);
        }
        self.bytes.drain(..self.at);
        self.before += self.at as u64;
        self.at = 0;
        // What is left is part of a value that does not fit: then twice as much.
        let held = self.bytes.len();
        let wanted = self.stretch.max(2 * held) - held;
        let read = (&mut self.reader)
            .take(wanted as u64)
            .read_to_end(&mut self.bytes);
        let read = read.map_err(Ended::Io)?;
        self.is_all = read < wanted;
        Ok(true)
    }

    /// The next byte that is no white space; it stays unread.
    #[inline]
    pub(super) fn peek(&mut self) -> Result<u8, Ended> {
        loop {
            self.at = after_blank(&self.bytes, self.at);
            if let Some(&byte) = self.bytes.get(self.at) {
                return Ok(byte);
            }
            if !self.more()? {
                return Err(Ended::Bad);
            }
        }
    }

    /// Takes the byte that was peeked at.
    #[inline]
    pub(super) fn take(&mut self) {
        self.at += 1;
    }

    /// Takes the byte `expected`, after white space.
    #[inline]
    pub(super) fn expect(&mut self, expected: u8) -> Result<(), Ended> {
        if self.peek()? != expected {
            return Err(Ended::Bad);
        }
        self.take();
        Ok(())
    }

    /// Takes the opening byte of an array or object.
    pub(super) fn enter(&mut self) -> Result<(), Ended> {
        self.take();
        self.depth += 1;
        if self.depth > MAX_DEPTH {
            Err(Ended::Bad)
        } else {
            Ok(())
        }
    }

    /// Whether another element (or member) follows in the array or object that `close` ends; takes the comma before
    /// it, or the closing byte.
    pub(super) fn has_next(&mut self, is_first: bool, close: u8) -> Result<bool, Ended> {
        let next = self.peek()?;
        if next == close {
            self.take();
            self.depth -= 1;
            return Ok(false);
        }
        if !is_first {
            if next != b',' {
                return Err(Ended::Bad);
            }
            self.take();
        }
        Ok(true)
    }

    /// Takes a key and the colon after it.
    pub(super) fn key(&mut self, tape: &mut Tape) -> Result<String, Ended> {
        if self.peek()? != b'"' {
            return Err(Ended::Bad);
        }
        let key = self.whole(tape, |document| document.text(Document::ROOT).into_owned())?;
        self.expect(b':')?;
        Ok(key)
    }

    /// Takes a whole value and gives it to `then`.
    #[inline]
    pub(super) fn whole<T>(
        &mut self,
        tape: &mut Tape,
        then: impl FnOnce(Document<'_>) -> T,
    ) -> Result<T, Ended> {
        self.peek()?;
        let end = loop {
            let (at, depth) = (self.at, self.depth);
            // From the value's first byte, so that its places are small numbers.
            match tape.read(&self.bytes[at..], 0, self.is_all, depth) {
                Ok(length) => break at + length,
                Err(Stop::Short) if self.bytes.len() - at > MAX_VALUE_BYTES => {
                    return Err(Ended::TooLong(self.before + at as u64));
                }
                Err(Stop::Short) if self.more()? => {}
                Err(_) => return Err(Ended::Bad),
            }
        };
        let value = &self.bytes[self.at..end];
        if value.len() > MAX_VALUE_BYTES {
            return Err(Ended::TooLong(self.before + self.at as u64));
        }
        let document = tape.document(value).ok_or(Ended::Bad)?;
        let made = then(document);
        self.at = end;
        Ok(made)
    }

    /// Passes over a value of any size.
    pub(super) fn skip(&mut self) -> Result<(), Ended> {
        // Whether each open array or object is an object.
        let mut open: Vec<bool> = Vec::new();
        loop {
            match self.peek()? {
                b'"' => self.skip_text()?,
                b'{' => {
                    self.take();
                    if self.peek()? == b'}' {
                        self.take();
                    } else {
                        self.skip_key()?;
                        open.push(true);
                        continue;
                    }
                }
                b'[' => {
                    self.take();
                    if self.peek()? == b']' {
                        self.take();
                    } else {
                        open.push(false);
                        continue;
                    }
                }
                _ => self.skip_word()?,
            }
            loop {
                let Some(&is_object) = open.last() else {
                    return Ok(());
                };
                match (self.peek()?, is_object) {
                    (b',', false) => {
                        self.take();
                        break;
                    }
                    (b',', true) => {
                        self.take();
                        self.skip_key()?;
                        break;
                    }
                    (b'}', true) | (b']', false) => {
                        self.take();
                        open.pop();
                    }
                    _ => return Err(Ended::Bad),
                }
            }
        }
    }

    #[inline]
    fn skip_key(&mut self) -> Result<(), Ended> {
        if self.peek()? != b'"' {
            return Err(Ended::Bad);
        }
        self.skip_text()?;
        self.expect(b':')
    }

    #[inline]
    fn skip_text(&mut self) -> Result<(), Ended> {
        loop {
            match end_of_text(&self.bytes, self.at + 1) {
                Ok((end, is_escaped)) => {
                    if is_escaped && !has_good_escapes(&self.bytes[self.at + 1..end]) {
                        return Err(Ended::Bad);
                    }
                    self.at = end + 1;
                    return Ok(());
                }
                Err(Stop::Short) if self.bytes.len() - self.at > MAX_VALUE_BYTES => {
                    return Err(Ended::TooLong(self.before + self.at as u64));
                }
                Err(Stop::Short) if self.more()? => {}
                Err(_) => return Err(Ended::Bad),
            }
        }
    }

    /// Passes over a number, `true`, `false` or `null`.
    fn skip_word(&mut self) -> Result<(), Ended> {
        let mut tape = std::mem::take(&mut self.words);
        let passed = self.whole(&mut tape, |_| ());
        self.words = tape;
        passed
    }

    /// Whether nothing but white space is left.
    pub(super) fn is_at_end(&mut self) -> Result<bool, Ended> {
        match self.peek() {
            Ok(_) => Ok(false),
            Err(Ended::Bad) => Ok(true),
            Err(other) => Err(other),
        }
    }
}

/// Whether what stands after each backslash is an escape.
#[cold]
fn has_good_escapes(text: &[u8]) -> bool {
    let mut rest = text;
    while let Some(at) = rest.iter().position(|&byte| byte == b'\\') {
        rest = match &rest[at + 1..] {
            [b'"' | b'\\' | b'/' | b'b' | b'f' | b'n' | b'r' | b't', after @ ..] => after,
            [b'u', a, b, c, d, after @ ..] if [a, b, c, d].iter().all(|hex| hex.is_ascii_hexdigit()) => after,
            _ => return false,
        };
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn feed(text: &str, stretch: usize) -> Feed {
        let mut feed = Feed::new(Box::new(io::Cursor::new(text.to_owned().into_bytes())));
        feed.stretch = stretch;
        feed
    }

    /// The elements of the array that `text` is.
    fn elements(
        text: &str,
        stretch: usize,
        mut each: impl FnMut(usize, &mut Feed) -> Result<(), Ended>,
    ) -> bool {
        let mut feed = feed(text, stretch);
        let mut read = || -> Result<bool, Ended> {
            if feed.peek()? != b'[' {
                return Ok(false);
            }
            feed.enter()?;
            let mut at = 0;
            while feed.has_next(at == 0, b']')? {
                each(at, &mut feed)?;
                at += 1;
            }
            feed.is_at_end()
        };
        read().unwrap_or(false)
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

        #[test]
        fn values_are_whole_and_passed_over_wherever_the_bytes_are_cut(
            texts in prop::collection::vec("[a\"\\\\é]{0,6}", 0..6), stretch in 1usize..30, odd in 0usize..2,
        ) {
            let value = serde_json::json!(texts
                .iter()
                .map(|text| serde_json::json!({text.clone(): [text, 1.5e3, null, {"": [true, -7]}]}))
                .collect::<Vec<_>>());
            let text = serde_json::to_string_pretty(&value).unwrap();
            let mut tape = Tape::default();
            let mut whole = Vec::new();
            let is_read = elements(&text, stretch, |at, feed| {
                if at % 2 == odd {
                    return feed.skip();
                }
                let json = feed.whole(&mut tape, |document| document.json(Document::ROOT).to_owned())?;
                whole.push(serde_json::from_str::<serde_json::Value>(&json).unwrap());
                Ok(())
            });
            prop_assert!(is_read);
            let expected = value.as_array().unwrap().iter().enumerate().filter(|(at, _)| at % 2 != odd);
            prop_assert_eq!(whole, expected.map(|(_, value)| value.clone()).collect::<Vec<_>>());
        }

        #[test]
        fn what_is_passed_over_must_be_json_too(text in "[\\[\\]{}:,\"0-9.eu\\\\a]{0,12}", stretch in 1usize..14) {
            let text = format!("[{text}]");
            let is_passed = elements(&text, stretch, |_, feed| feed.skip());
            let is_json = serde_json::from_str::<Vec<serde::de::IgnoredAny>>(&text).is_ok();
            prop_assert_eq!(is_passed, is_json);
        }
    }
}
