//! Ids, looked up once and then told apart by a number.

use std::collections::HashMap;

use scrim_tables::Id;

/// Number of an id in [`Names`]; [`NO_NAME`] for a null.
pub(crate) type NameIx = u32;

/// The number of "no id": a null or an empty text.
pub(crate) const NO_NAME: NameIx = 0;

/// Every id that a source spelled, numbered in the order of their first appearance.
#[derive(Debug)]
pub(crate) struct Names {
    numbers: HashMap<Id, NameIx>,
    list: Vec<Id>,
}

impl Default for Names {
    fn default() -> Self {
        Self {
            numbers: HashMap::new(),
            list: vec!["".into()],
        }
    }
}

impl Names {
    /// The number of `name`; white space around it does not count, and nothing but white space is no name.
    pub(crate) fn number(&mut self, name: &str) -> NameIx {
        let name = name.trim();
        if name.is_empty() {
            return NO_NAME;
        }
        if let Some(&known) = self.numbers.get(name) {
            return known;
        }
        let id: Id = name.into();
        let new = self.list.len() as NameIx;
        self.list.push(id.clone());
        self.numbers.insert(id, new);
        new
    }

    /// The id of that number.
    pub(crate) fn name(&self, number: NameIx) -> &Id {
        &self.list[number as usize]
    }
}
