//! The season's teams, numbered.

use std::collections::{BTreeMap, BTreeSet};

use scrim_tables::Id;

use crate::facts::GameFacts;

/// A team's place in [`Teams`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct TeamIx(pub(crate) usize);

/// All teams that have a possession, by id.
#[derive(Debug)]
pub(crate) struct Teams {
    ids: Vec<Id>,
    places: BTreeMap<Id, TeamIx>,
}

impl Teams {
    pub(crate) fn of(games: &[GameFacts]) -> Self {
        let possessions = games.iter().flat_map(|game| &game.possessions);
        let ids: BTreeSet<&Id> = possessions
            .flat_map(|possession| [&possession.offense, &possession.defense])
            .collect();
        let ids: Vec<Id> = ids.into_iter().cloned().collect();
        let places = ids
            .iter()
            .enumerate()
            .map(|(place, id)| (id.clone(), TeamIx(place)))
            .collect();
        Self { ids, places }
    }

    pub(crate) fn len(&self) -> usize {
        self.ids.len()
    }

    pub(crate) fn id(&self, team: TeamIx) -> &Id {
        &self.ids[team.0]
    }

    /// The place of a team of one of the games.
    pub(crate) fn place(&self, id: &Id) -> TeamIx {
        // `of` saw every possession.
        *self
            .places
            .get(id)
            .expect("every team of every possession is there")
    }
}
