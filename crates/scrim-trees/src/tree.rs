//! One tree as data.

use serde::{Deserialize, Serialize};

/// The most leaves that a tree may have: each is a bit of a number.
pub(crate) const MOST_LEAVES: usize = 32;

/// One tree.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tree {
    /// Place of the word that it speaks for.
    pub word: u16,
    /// The splits; the first is the root. A tree without splits has one leaf.
    pub splits: Vec<Split>,
    /// What each leaf adds to the word's score.
    pub leaves: Vec<f32>,
}

/// A split: evidence, limit, where to go when the value is at most the limit, where when it is above, and whether a value
/// that was not seen counts as at most the limit. Places: 0 and up a split, below 0 the leaf `-1 - place`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Split(pub u16, pub f32, pub i16, pub i16, pub bool);

/// Which leaf a place below 0 is.
pub(crate) fn leaf(place: i16) -> usize {
    (-1 - i32::from(place)) as usize
}
