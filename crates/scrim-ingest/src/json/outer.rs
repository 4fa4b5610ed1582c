//! What a mapping reads outside of the instants: values of the document and of the elements on the way.

use serde_json::Value;

use super::paths::tokens_of;

/// What is wanted of each level above the instants, and what has been found of it.
#[derive(Debug, Clone)]
pub(super) struct Outer {
    /// Of each level (0 is the document, then the elements of all walks but the last): the tokens of each pointer.
    wanted: Vec<Vec<Vec<String>>>,
    /// Of each level: its elements so far, each with a value a pointer. Unless `is_kept`, the last element alone.
    found: Vec<Vec<Vec<Option<Value>>>>,
    /// Of each level: how many elements have begun in this pass.
    begun: Vec<usize>,
    /// Whether elements are kept when the next one begins.
    is_kept: bool,
}

/// Pointers from a level: each one's number, and the tokens that are still to go.
pub(super) type Pending<'o> = Vec<(usize, &'o [String])>;

impl Outer {
    /// Nothing has been found yet. `pointers`: of each level.
    pub(super) fn new(pointers: &[Vec<String>]) -> Self {
        let level = |level: &Vec<String>| level.iter().map(|pointer| tokens_of(pointer)).collect();
        Self {
            wanted: pointers.iter().map(level).collect(),
            found: vec![Vec::new(); pointers.len()],
            begun: vec![0; pointers.len()],
            is_kept: false,
        }
    }

    /// As [`Self::new`], with every element kept.
    pub(super) fn keeping(&self) -> Self {
        let levels = self.wanted.len();
        Self {
            wanted: self.wanted.clone(),
            found: vec![Vec::new(); levels],
            begun: vec![0; levels],
            is_kept: true,
        }
    }

    /// Takes what a pass over the whole document has found; this pass goes on where it is.
    pub(super) fn complete(&mut self, whole: Self) {
        self.found = whole.found;
        self.is_kept = true;
    }

    /// All pointers of a level.
    pub(super) fn pending<'w>(wanted: &'w [Vec<Vec<String>>], level: usize) -> Pending<'w> {
        let pointers = wanted.get(level).map_or(&[][..], Vec::as_slice);
        pointers.iter().map(Vec::as_slice).enumerate().collect()
    }

    /// The tokens of all pointers.
    pub(super) fn wanted(&self) -> &[Vec<Vec<String>>] {
        &self.wanted
    }

    /// An element of the level begins.
    pub(super) fn begin(&mut self, level: usize) {
        let Some(wanted) = self.wanted.get(level) else {
            return;
        };
        let found = &mut self.found[level];
        self.begun[level] += 1;
        if !self.is_kept {
            found.clear();
        }
        if !self.is_kept || found.len() < self.begun[level] {
            found.push(vec![None; wanted.len()]);
        }
    }

    /// The place of a level's element that has begun last.
    fn last(&self, level: usize) -> Option<usize> {
        if self.is_kept {
            self.begun[level].checked_sub(1)
        } else {
            Some(0)
        }
    }

    /// The values of a level's element that has begun last.
    pub(super) fn here(&self, level: usize) -> &[Option<Value>] {
        let here = self.last(level).and_then(|at| self.found[level].get(at));
        here.map_or(&[], Vec::as_slice)
    }

    /// Puts a value in its place.
    pub(super) fn put(&mut self, level: usize, pointer: usize, value: Value) {
        let last = self.last(level);
        let here = last.and_then(|at| self.found[level].get_mut(at));
        if let Some(place) = here.and_then(|here| here.get_mut(pointer)) {
            *place = Some(value);
        }
    }

    /// Whether all that is wanted of the elements around here has been found, or never will be.
    pub(super) fn is_complete(&self) -> bool {
        self.is_kept || (0..self.wanted.len()).all(|level| self.here(level).iter().all(Option::is_some))
    }

    /// How many levels there are above the instants.
    pub(super) fn levels(&self) -> usize {
        self.wanted.len()
    }
}

/// The pointers that go on through the member `key`.
pub(super) fn below<'o>(pending: &[(usize, &'o [String])], key: &str) -> Pending<'o> {
    let split = pending
        .iter()
        .filter_map(|(pointer, tokens)| Some((*pointer, tokens.split_first()?)));
    split
        .filter(|(_, (first, _))| *first == key)
        .map(|(pointer, (_, rest))| (pointer, rest))
        .collect()
}

/// What the tokens lead to in a value (array places as in RFC 6901, section 4).
pub(super) fn value_at(value: &Value, tokens: &[String]) -> Option<Value> {
    let pointer: String = tokens
        .iter()
        .map(|token| format!("/{}", token.replace('~', "~0").replace('/', "~1")))
        .collect();
    value.pointer(&pointer).cloned()
}
