//! How players and games are called on a page.

use std::collections::BTreeMap;

use scrim_tables::Id;

use crate::GameRows;

/// Who is who, over all games: a later game's word counts.
#[derive(Debug, Default)]
pub(crate) struct Names {
    by_id: BTreeMap<Id, Called>,
}

#[derive(Debug, Clone)]
struct Called {
    jersey: Option<Id>,
    name: Option<Id>,
}

impl Names {
    pub(crate) fn of(games: &[GameRows]) -> Self {
        let mut by_id = BTreeMap::new();
        for player in games.iter().flat_map(|game| &game.players) {
            let called = Called {
                jersey: player.jersey.clone(),
                name: player.name.clone(),
            };
            by_id.insert(player.player_id.clone(), called);
        }
        Self { by_id }
    }

    /// Number and name as far as they are known, else the id.
    pub(crate) fn called(&self, player: &Id) -> String {
        let known = self.by_id.get(player);
        let jersey = known.and_then(|called| called.jersey.as_deref());
        let name = known.and_then(|called| called.name.as_deref());
        match (jersey, name) {
            // Some tables have the number in the name: once is enough.
            (Some(jersey), Some(name)) if name.contains(jersey) => name.into(),
            (Some(jersey), Some(name)) => format!("#{jersey} {name}"),
            (Some(jersey), None) => format!("#{jersey}"),
            (None, Some(name)) => name.into(),
            (None, None) => player.to_string(),
        }
    }

    /// What stands in a player's circle: his number, when it has at most two characters.
    pub(crate) fn number(&self, player: &Id) -> Option<&str> {
        self.by_id
            .get(player)
            .and_then(|called| called.jersey.as_deref())
            .filter(|jersey| !jersey.is_empty() && jersey.chars().count() <= 2)
    }
}

/// Minutes and seconds, rounded down as a scoreboard does.
pub(crate) fn minutes(seconds: f64) -> String {
    let seconds = seconds.max(0.0).floor() as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}
