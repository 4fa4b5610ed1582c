//! One JSON value in memory: where each value in it begins and ends, and no copy of anything.
//!
//! A value is read once, strictly (RFC 8259, nesting bounded as `serde_json` bounds it); numbers and texts stay as
//! they are written until they are needed. What is wrong with a value, `serde_json` says, which is called
//! only then.

use std::borrow::Cow;

/// Place of a value on a tape.
pub(super) type NodeIx = u32;

/// No value.
pub(super) const NOWHERE: NodeIx = NodeIx::MAX;

/// So deep may arrays and objects stand in each other; `serde_json` has the same bound.
pub(super) const MAX_DEPTH: usize = 127;

/// What a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Null,
    Bool,
    Number,
    /// A text without escapes.
    Text,
    /// A text with escapes.
    Escaped,
    Array,
    Object,
}

/// A value, or an object's key.
#[derive(Debug, Clone, Copy)]
struct Node {
    /// Its first byte; of a text, the one after the quote.
    start: u32,
    /// The byte after its last; of a text, the closing quote.
    end: u32,
    /// The place after all that is in it.
    next: NodeIx,
    kind: Kind,
}

/// Why a value could not be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    /// The bytes end before the value does.
    Short,
    /// It is no JSON, or too deep.
    Bad,
}

/// Values in the order of their first bytes; an object's members are key and value in turn.
#[derive(Debug, Default)]
pub(super) struct Tape {
    nodes: Vec<Node>,
    open: Vec<NodeIx>,
}

/// A value and its text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Document<'t> {
    text: &'t str,
    nodes: &'t [Node],
}

impl Tape {
    /// Reads the value that begins in `bytes` at or after `at`; gives the byte after it. `is_all`: no more bytes come
    /// after these. `depth` arrays and objects are open around it.
    pub(super) fn read(
        &mut self,
        bytes: &[u8],
        mut at: usize,
        is_all: bool,
        depth: usize,
    ) -> Result<usize, Stop> {
        self.nodes.clear();
        self.open.clear();
        let room = MAX_DEPTH.saturating_sub(depth);
        loop {
            at = after_blank(bytes, at);
            match *bytes.get(at).ok_or(Stop::Short)? {
                b'"' => at = self.text(bytes, at)?,
                b'{' => {
                    self.begin(Kind::Object, at, room)?;
                    at = after_blank(bytes, at + 1);
                    match bytes.get(at).ok_or(Stop::Short)? {
                        b'"' => {
                            at = self.key(bytes, at)?;
                            continue;
                        }
                        b'}' => at = self.end(at),
                        _ => return Err(Stop::Bad),
                    }
                }
                b'[' => {
                    self.begin(Kind::Array, at, room)?;
                    at = after_blank(bytes, at + 1);
                    match bytes.get(at).ok_or(Stop::Short)? {
                        b']' => at = self.end(at),
                        _ => continue,
                    }
                }
                b'-' | b'0'..=b'9' => {
                    let end = after_number(bytes, at, is_all)?;
                    self.push(Kind::Number, at, end);
                    at = end;
                }
                b't' => at = self.word(bytes, at, b"true", Kind::Bool)?,
                b'f' => at = self.word(bytes, at, b"false", Kind::Bool)?,
                b'n' => at = self.word(bytes, at, b"null", Kind::Null)?,
                _ => return Err(Stop::Bad),
            }
            // A value has ended: another one follows, or what it is in ends too.
            loop {
                let Some(&open) = self.open.last() else {
                    return Ok(at);
                };
                let is_object = self.nodes[open as usize].kind == Kind::Object;
                at = after_blank(bytes, at);
                match (*bytes.get(at).ok_or(Stop::Short)?, is_object) {
                    (b',', false) => {
                        at += 1;
                        break;
                    }
                    (b',', true) => {
                        at = after_blank(bytes, at + 1);
                        match bytes.get(at).ok_or(Stop::Short)? {
                            b'"' => at = self.key(bytes, at)?,
                            _ => return Err(Stop::Bad),
                        }
                        break;
                    }
                    (b'}', true) | (b']', false) => at = self.end(at),
                    _ => return Err(Stop::Bad),
                }
            }
        }
    }

    /// What was read from `bytes`; `None` when its texts are no UTF-8.
    pub(super) fn document<'t>(&'t self, bytes: &'t [u8]) -> Option<Document<'t>> {
        Some(Document {
            text: std::str::from_utf8(bytes).ok()?,
            nodes: &self.nodes,
        })
    }

    #[inline]
    fn push(&mut self, kind: Kind, start: usize, end: usize) {
        let next = self.nodes.len() as NodeIx + 1;
        let (start, end) = (start as u32, end as u32);
        self.nodes.push(Node {
            start,
            end,
            next,
            kind,
        });
    }

    #[inline]
    fn begin(&mut self, kind: Kind, at: usize, room: usize) -> Result<(), Stop> {
        if self.open.len() >= room {
            return Err(Stop::Bad);
        }
        self.open.push(self.nodes.len() as NodeIx);
        self.push(kind, at, at);
        Ok(())
    }

    #[inline]
    fn end(&mut self, at: usize) -> usize {
        let next = self.nodes.len() as NodeIx;
        if let Some(open) = self.open.pop() {
            let node = &mut self.nodes[open as usize];
            node.end = at as u32 + 1;
            node.next = next;
        }
        at + 1
    }

    #[inline]
    fn text(&mut self, bytes: &[u8], at: usize) -> Result<usize, Stop> {
        let (end, is_escaped) = end_of_text(bytes, at + 1)?;
        if is_escaped {
            // Escapes that are none, and halves of surrogate pairs: all of it is looked at by those who know.
            serde_json::from_slice::<Cow<'_, str>>(&bytes[at..=end]).map_err(|_| Stop::Bad)?;
            self.push(Kind::Escaped, at + 1, end);
        } else {
            self.push(Kind::Text, at + 1, end);
        }
        Ok(end + 1)
    }

    /// A key and the colon after it.
    #[inline]
    fn key(&mut self, bytes: &[u8], at: usize) -> Result<usize, Stop> {
        let at = after_blank(bytes, self.text(bytes, at)?);
        match bytes.get(at).ok_or(Stop::Short)? {
            b':' => Ok(at + 1),
            _ => Err(Stop::Bad),
        }
    }

    fn word(&mut self, bytes: &[u8], at: usize, word: &[u8], kind: Kind) -> Result<usize, Stop> {
        let found = &bytes[at..bytes.len().min(at + word.len())];
        if found == word {
            self.push(kind, at, at + word.len());
            return Ok(at + word.len());
        }
        Err(if word.starts_with(found) {
            Stop::Short
        } else {
            Stop::Bad
        })
    }
}

/// The first byte from `at` on that is no white space.
#[inline]
pub(super) fn after_blank(bytes: &[u8], mut at: usize) -> usize {
    while let Some(b' ' | b'\n' | b'\r' | b'\t') = bytes.get(at) {
        at += 1;
    }
    at
}

/// The closing quote of the text whose first byte is at `at`, and whether there are escapes before it.
#[inline]
pub(super) fn end_of_text(bytes: &[u8], mut at: usize) -> Result<(usize, bool), Stop> {
    let mut is_escaped = false;
    loop {
        let rest = bytes.get(at..).ok_or(Stop::Short)?;
        let is_special = |&byte: &u8| byte == b'"' || byte == b'\\' || byte < b' ';
        at += rest.iter().position(is_special).ok_or(Stop::Short)?;
        match bytes[at] {
            b'"' => return Ok((at, is_escaped)),
            b'\\' => {
                is_escaped = true;
                at += 2;
            }
            _ => return Err(Stop::Bad),
        }
    }
}

/// The byte after the number that begins at `at`.
#[inline]
fn after_number(bytes: &[u8], at: usize, is_all: bool) -> Result<usize, Stop> {
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    // A number at the end of the bytes may go on, or lack what must come.
    let lacks = |at: usize| if at < bytes.len() { Stop::Bad } else { Stop::Short };
    let whole = at + usize::from(bytes[at] == b'-');
    let mut end = digits(whole);
    match end - whole {
        0 => return Err(lacks(end)),
        1 => {}
        _ if bytes[whole] == b'0' => return Err(Stop::Bad),
        _ => {}
    }
    if bytes.get(end) == Some(&b'.') {
        let decimals = end + 1;
        end = digits(decimals);
        if end == decimals {
            return Err(lacks(end));
        }
    }
    let has_exponent = matches!(bytes.get(end), Some(b'e' | b'E'));
    if has_exponent {
        end += 1;
        end += usize::from(matches!(bytes.get(end), Some(b'+' | b'-')));
        let exponent = end;
        end = digits(exponent);
        if end == exponent {
            return Err(lacks(end));
        }
    }
    if end == bytes.len() && !is_all {
        return Err(Stop::Short);
    }
    // Beyond what a double can hold, as `serde_json` sees it; only numbers so long or with exponents can be.
    if (has_exponent || end - at > 300)
        && serde_json::from_slice::<serde_json::Number>(&bytes[at..end]).is_err()
    {
        return Err(Stop::Bad);
    }
    Ok(end)
}

impl<'t> Document<'t> {
    /// The whole value.
    pub(super) const ROOT: NodeIx = 0;

    #[inline]
    pub(super) fn kind(&self, at: NodeIx) -> Kind {
        self.nodes[at as usize].kind
    }

    /// A number as it is written, or a text between its quotes.
    #[inline]
    pub(super) fn written(&self, at: NodeIx) -> &'t str {
        let node = self.nodes[at as usize];
        &self.text[node.start as usize..node.end as usize]
    }

    /// A text or key.
    #[inline]
    pub(super) fn text(&self, at: NodeIx) -> Cow<'t, str> {
        match self.kind(at) {
            Kind::Escaped => serde_json::from_str(self.json(at)).unwrap_or_default(),
            _ => Cow::Borrowed(self.written(at)),
        }
    }

    /// Whether a text or key is `text`.
    #[inline]
    pub(super) fn has_text(&self, at: NodeIx, text: &str) -> bool {
        match self.kind(at) {
            Kind::Escaped => *self.text(at) == *text,
            _ => self.written(at) == text,
        }
    }

    /// A value as JSON, as it is written.
    pub(super) fn json(&self, at: NodeIx) -> &'t str {
        let node = self.nodes[at as usize];
        let quote = usize::from(matches!(node.kind, Kind::Text | Kind::Escaped));
        &self.text[node.start as usize - quote..node.end as usize + quote]
    }

    /// The elements of an array; nothing for other values.
    pub(super) fn elements(self, at: NodeIx) -> impl Iterator<Item = NodeIx> + use<'t> {
        let node = self.nodes[at as usize];
        let mut next = match node.kind {
            Kind::Array => at + 1,
            _ => node.next,
        };
        std::iter::from_fn(move || {
            let element = next;
            (element < node.next).then(|| {
                next = self.nodes[element as usize].next;
                element
            })
        })
    }

    /// The keys and values of an object, as they are written; nothing for other values.
    pub(super) fn members(self, at: NodeIx) -> impl Iterator<Item = (NodeIx, NodeIx)> + use<'t> {
        let node = self.nodes[at as usize];
        let mut next = match node.kind {
            Kind::Object => at + 1,
            _ => node.next,
        };
        std::iter::from_fn(move || {
            let key = next;
            (key < node.next).then(|| {
                next = self.nodes[key as usize + 1].next;
                (key, key + 1)
            })
        })
    }

    /// The members of an object by key; of several with one key the last.
    pub(super) fn members_by_key(self, at: NodeIx) -> Vec<(Cow<'t, str>, NodeIx)> {
        let members = self.members(at).map(|(key, value)| (self.text(key), value));
        let mut members: Vec<_> = members.collect();
        members.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.cmp(&a.1)));
        members.dedup_by(|later, first| later.0 == first.0);
        members
    }
}

#[cfg(test)]
mod tests;
