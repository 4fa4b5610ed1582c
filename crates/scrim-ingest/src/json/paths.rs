//! JSON Pointers: their tokens, and several of them followed at once, each member of an object looked at once.

use super::tape::{Document, Kind, NOWHERE, NodeIx};

/// The tokens of a JSON Pointer, RFC 6901 section 4: `~1` is `/`, `~0` is `~`.
pub(super) fn tokens_of(pointer: &str) -> Vec<String> {
    pointer
        .split('/')
        .skip(1)
        .map(|token| token.replace("~1", "/").replace("~0", "~"))
        .collect()
}

/// Pointers from one value, as a tree of their tokens.
#[derive(Debug)]
pub(super) struct Paths {
    root: Place,
    /// How many pointers.
    len: usize,
}

/// Where some of the pointers lead.
#[derive(Debug, Default)]
struct Place {
    /// The pointers that end here, by number.
    ends: Vec<usize>,
    below: Vec<(Token, Place)>,
}

#[derive(Debug)]
struct Token {
    key: String,
    /// As a place in an array: digits without a zero in front (RFC 6901, section 4).
    index: Option<usize>,
}

impl Paths {
    pub(super) fn new<'p>(pointers: impl IntoIterator<Item = &'p str>) -> Self {
        let mut paths = Self {
            root: Place::default(),
            len: 0,
        };
        for pointer in pointers {
            let mut place = &mut paths.root;
            for key in tokens_of(pointer) {
                let known = place.below.iter().position(|(token, _)| token.key == key);
                let at = known.unwrap_or_else(|| {
                    let is_index = key == "0" || (!key.starts_with(['0', '+']) && !key.is_empty());
                    let index = if is_index { key.parse().ok() } else { None };
                    place.below.push((Token { key, index }, Place::default()));
                    place.below.len() - 1
                });
                place = &mut place.below[at].1;
            }
            place.ends.push(paths.len);
            paths.len += 1;
        }
        paths
    }

    /// Where each pointer leads from the value `at`; [`NOWHERE`] when nowhere. Of several members with one key the
    /// last one counts.
    #[inline]
    pub(super) fn follow(&self, document: Document<'_>, at: NodeIx, found: &mut Vec<NodeIx>) {
        found.clear();
        found.resize(self.len, NOWHERE);
        self.root.follow(document, at, found);
    }
}

impl Place {
    fn follow(&self, document: Document<'_>, at: NodeIx, found: &mut [NodeIx]) {
        for &end in &self.ends {
            found[end] = at;
        }
        let below = &self.below;
        if below.is_empty() {
            return;
        }
        match document.kind(at) {
            Kind::Object => {
                // Members mostly come in the order in which they are wanted, or in one that is like it.
                let mut likely = 0;
                for (key, value) in document.members(at) {
                    let (first, last) = below.split_at(likely);
                    let is_it = |(token, _): &&(Token, Self)| document.has_text(key, &token.key);
                    let Some(hit) = last
                        .iter()
                        .position(|p| is_it(&p))
                        .map(|i| i + likely)
                        .or_else(|| first.iter().position(|p| is_it(&p)))
                    else {
                        continue;
                    };
                    let place = &below[hit].1;
                    place.forget(found);
                    place.follow(document, value, found);
                    likely = if hit + 1 < below.len() { hit + 1 } else { 0 };
                }
            }
            Kind::Array => {
                let most = below.iter().filter_map(|(token, _)| token.index).max();
                let Some(most) = most else { return };
                for (i, element) in document.elements(at).enumerate().take(most.saturating_add(1)) {
                    for (_, place) in below.iter().filter(|(token, _)| token.index == Some(i)) {
                        place.follow(document, element, found);
                    }
                }
            }
            _ => {}
        }
    }

    /// Takes back what an earlier member with the same key had below it.
    fn forget(&self, found: &mut [NodeIx]) {
        for (_, place) in &self.below {
            for &end in &place.ends {
                found[end] = NOWHERE;
            }
            place.forget(found);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tape::Tape;
    use super::*;
    use serde_json::Value;

    #[test]
    fn each_pointer_leads_where_serde_json_says() {
        let text = r#" {"a": {"b": 1, "c": [10, {"x": 2}]}, "é\n": [[3]], "a": {"c": [11, 12], "": 5}, "01": 7, "z": {"0": 8}} "#;
        let value: Value = serde_json::from_str(text).unwrap();
        let mut tape = Tape::default();
        tape.read(text.as_bytes(), 0, true, 0).unwrap();
        let document = tape.document(text.as_bytes()).unwrap();
        let pointers = [
            "",
            "/a",
            "/a/b",
            "/a/c/0",
            "/a/c/1",
            "/a/c/01",
            "/a/c/+1",
            "/a/c/2",
            "/a/c/1/x",
            "/é\n/0/0",
            "/a/",
            "/01",
            "/z/0",
            "/b",
            "/a/b/c",
        ];
        let mut found = Vec::new();
        for _ in 0..2 {
            Paths::new(pointers).follow(document, Document::ROOT, &mut found);
            for (pointer, &at) in pointers.iter().zip(&found) {
                let here = (at != NOWHERE).then(|| serde_json::from_str::<Value>(document.json(at)).unwrap());
                assert_eq!(here.as_ref(), value.pointer(pointer), "{pointer}");
            }
        }
    }

    #[test]
    fn pointer_tokens_are_unescaped_in_the_order_of_the_standard() {
        // RFC 6901, section 4: first ~1, then ~0, so that ~01 is ~1 and not /.
        assert_eq!(tokens_of("/a~1b/m~0n/~01"), ["a/b", "m~n", "~1"]);
        assert_eq!(tokens_of(""), Vec::<String>::new());
        assert_eq!(tokens_of("/"), [""]);
    }
}
