//! A text whose pieces may be shown with weight, and what is put into a message.

/// How a piece of a text is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// As the text around it.
    Plain,
    /// With weight.
    Strong,
    /// As where to look.
    Clip,
    /// As a name of the data.
    Code,
}

/// A text in pieces, in the order in which the language has them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Said(Vec<(Shown, String)>);

impl Said {
    /// One piece.
    pub fn piece(shown: Shown, text: impl Into<String>) -> Self {
        let mut said = Self::default();
        said.push(shown, &text.into());
        said
    }

    /// Several, with a text between each two.
    pub fn list(parts: impl IntoIterator<Item = Self>, between: &str) -> Self {
        let mut said = Self::default();
        for (place, part) in parts.into_iter().enumerate() {
            if place > 0 {
                said.push(Shown::Plain, between);
            }
            said.append(part);
        }
        said
    }

    /// Its pieces; no two plain ones stand together, and none is empty.
    pub fn pieces(&self) -> impl Iterator<Item = (Shown, &str)> {
        self.0.iter().map(|(shown, text)| (*shown, text.as_str()))
    }

    /// The text alone.
    pub fn text(self) -> String {
        match <[_; 1]>::try_from(self.0) {
            Ok([(_, text)]) => text,
            Err(pieces) => pieces.into_iter().map(|(_, text)| text).collect(),
        }
    }

    pub(super) fn push(&mut self, shown: Shown, text: &str) {
        match self.0.last_mut() {
            _ if text.is_empty() => {}
            Some((Shown::Plain, last)) if shown == Shown::Plain => last.push_str(text),
            _ => self.0.push((shown, text.to_owned())),
        }
    }

    pub(super) fn append(&mut self, other: Self) {
        for (shown, text) in other.0 {
            self.push(shown, &text);
        }
    }
}

/// With weight.
pub fn strong(text: impl Into<String>) -> Said {
    Said::piece(Shown::Strong, text)
}

/// What is put into a message.
#[derive(Debug, Clone, PartialEq)]
pub enum Arg {
    /// A text, of the data or of other messages.
    Said(Said),
    /// A number of things, by which a message may choose.
    Count(usize),
    /// A word by which a message chooses; nobody reads it.
    Word(&'static str),
}

impl From<Said> for Arg {
    fn from(said: Said) -> Self {
        Self::Said(said)
    }
}

impl From<&str> for Arg {
    fn from(text: &str) -> Self {
        Self::Said(Said::piece(Shown::Plain, text))
    }
}

impl From<String> for Arg {
    fn from(text: String) -> Self {
        Self::Said(Said::piece(Shown::Plain, text))
    }
}

impl From<&String> for Arg {
    fn from(text: &String) -> Self {
        text.as_str().into()
    }
}

impl From<usize> for Arg {
    fn from(count: usize) -> Self {
        Self::Count(count)
    }
}

impl From<u32> for Arg {
    fn from(count: u32) -> Self {
        Self::Count(count as usize)
    }
}

impl From<u8> for Arg {
    fn from(count: u8) -> Self {
        Self::Count(count.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_keeps_what_stands_out_and_joins_what_does_not() {
        let plain = |text: &str| Said::piece(Shown::Plain, text);
        let list = Said::list([plain("a"), strong("b"), plain("")], ", ");
        let pieces: Vec<_> = list.pieces().collect();
        assert_eq!(
            pieces,
            [(Shown::Plain, "a, "), (Shown::Strong, "b"), (Shown::Plain, ", ")]
        );
        assert_eq!(list.text(), "a, b, ");
        assert_eq!(Said::default().text(), "");
    }
}
