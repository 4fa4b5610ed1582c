//! The players of a game, in their order.

use std::collections::HashSet;

use scrim_tracks::{Player, TeamSlot};

use crate::names::{NameIx, Names};

/// The players of a game, sorted by team, then id, and for each entity its place among them.
pub(crate) fn line_up(
    entities: impl IntoIterator<Item = (NameIx, NameIx)>,
    team_ids: [NameIx; 2],
    on_roster: impl IntoIterator<Item = (NameIx, NameIx)>,
    names: &Names,
) -> Vec<(Player, NameIx)> {
    let slot = |team: NameIx| match team_ids.iter().position(|&t| t == team) {
        Some(0) => Some(TeamSlot::First),
        Some(_) => Some(TeamSlot::Second),
        None => None,
    };
    let mut players: Vec<(Player, NameIx)> = Vec::new();
    let mut seen = HashSet::new();
    for (team, player) in entities.into_iter().chain(on_roster) {
        let Some(team) = slot(team) else { continue };
        if seen.insert(player) {
            let id = names.name(player).clone();
            players.push((
                Player {
                    id,
                    team,
                    jersey: None,
                    name: None,
                    role: None,
                },
                player,
            ));
        }
    }
    players.sort_by(|(a, _), (b, _)| a.team.cmp(&b.team).then_with(|| a.id.cmp(&b.id)));
    players
}
