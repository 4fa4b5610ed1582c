//! Ids, looked up once and then known by a number.

use std::collections::HashMap;

use scrim_tables::Id;

/// Number of an id in [`Names`]; [`NO_NAME`] for a null.
pub(crate) type NameIx = u32;

/// The number of "no id": a null or an empty text.
pub(crate) const NO_NAME: NameIx = 0;

/// Places for ids that were looked up lately: a few times the players of a game.
const RECENT: usize = 256;

/// What a name takes beside its text, bytes, about.
const A_NAME_BYTES: usize = 64;
/// So much memory is set aside for names, bytes: three million ids of twenty letters. A season has some thousand.
pub(crate) const MAX_BYTES: usize = 256 * 1024 * 1024;

/// Every id that a source spelled, numbered in the order of their first appearance.
#[derive(Debug)]
pub(crate) struct Names {
    numbers: HashMap<Id, NameIx>,
    list: Vec<Id>,
    /// About how much memory the names take, bytes.
    bytes: usize,
    /// At the place of a name's [`slot_of`]: the last name there. A game's few ids come again in every row.
    recent: Vec<NameIx>,
}

impl Default for Names {
    fn default() -> Self {
        Self {
            numbers: HashMap::new(),
            list: vec!["".into()],
            bytes: 0,
            recent: vec![NO_NAME; RECENT],
        }
    }
}

impl Names {
    /// The number of `name`; white space around it does not count, and nothing but white space is no name.
    #[inline]
    pub(crate) fn number(&mut self, name: &str) -> NameIx {
        let slot = slot_of(name.as_bytes());
        let recent = self.recent[slot];
        if recent != NO_NAME && *self.list[recent as usize] == *name {
            return recent;
        }
        let number = self.look_up(name);
        self.recent[slot] = number;
        number
    }

    fn look_up(&mut self, name: &str) -> NameIx {
        let name = name.trim();
        if name.is_empty() {
            return NO_NAME;
        }
        if let Some(&known) = self.numbers.get(name) {
            return known;
        }
        let id: Id = name.into();
        let new = self.list.len() as NameIx;
        self.bytes += name.len() + A_NAME_BYTES;
        self.list.push(id.clone());
        self.numbers.insert(id, new);
        new
    }

    /// Whether there are more names than any source of games has.
    pub(crate) fn are_too_many(&self) -> bool {
        self.bytes > MAX_BYTES
    }

    /// The id of that number.
    pub(crate) fn name(&self, number: NameIx) -> &Id {
        &self.list[number as usize]
    }
}

/// A place among the recent names, by a name's length and its last bytes.
#[inline]
fn slot_of(name: &[u8]) -> usize {
    let last = name.iter().rev().take(4);
    last.fold(name.len(), |slot, &byte| {
        slot.wrapping_mul(31).wrapping_add(byte.into())
    }) % RECENT
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_has_one_number_however_it_is_spelled_and_whatever_came_between() {
        let mut names = Names::default();
        let all: Vec<String> = (0..2000).map(|i| format!("player {i}")).collect();
        for _ in 0..3 {
            for (i, name) in (1u32..).zip(&all) {
                assert_eq!(names.number(name), i);
                assert_eq!(names.number(&format!(" {name}\t")), i);
                assert_eq!(&**names.name(i), name);
            }
            assert_eq!((names.number(""), names.number("  ")), (NO_NAME, NO_NAME));
        }
    }
}
