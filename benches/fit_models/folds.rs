//! Which scenes are held out together.

use std::collections::BTreeSet;

use scrim_tables::Id;

/// Scenes are held out in this many parts.
pub const FOLDS: usize = 5;

/// The labelled scenes in order, every fifth in the same part.
pub struct Folds<'a>(Vec<&'a Id>);

impl<'a> Folds<'a> {
    /// Of the scenes of these rows.
    pub fn of(games: impl Iterator<Item = &'a Id>) -> Self {
        let games: BTreeSet<&Id> = games.collect();
        Self(games.into_iter().collect())
    }

    /// The part of a scene; 0 for one that is not among them.
    pub fn of_game(&self, game_id: &Id) -> usize {
        self.0.binary_search(&game_id).map_or(0, |at| at % FOLDS)
    }

    /// How many scenes there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
