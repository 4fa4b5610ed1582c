//! The invented league: towns that are on no map, players who are numbers.

use std::sync::Arc;

use scrim_tables::Id;

/// A player of the league.
#[derive(Debug, Clone, PartialEq)]
pub struct Player {
    /// The player's id: team and number.
    pub player_id: Id,
    /// The team.
    pub team_id: Id,
    /// Number on the shirt.
    pub jersey: u8,
    /// Town and number.
    pub name: String,
    /// `guard`, `wing`, `forward` or `center`.
    pub role: &'static str,
}

/// Towns of the league: id and name. All invented.
const TOWNS: [(&str, &str); 8] = [
    ("LKM", "Larkmere"),
    ("OSB", "Osterby Quay"),
    ("TWH", "Twelve Hollows"),
    ("BRN", "Brindlecombe"),
    ("VDE", "Vandermoor"),
    ("PTH", "Pellam Thorpe"),
    ("ASH", "Ashgrove Weir"),
    ("CQF", "Coldquarry Ford"),
];

/// Players in a squad; two a role slot.
pub(crate) const SQUAD: usize = 10;

/// Role of each of the five slots on the floor. The squad's second five repeat it.
pub(crate) const SLOT_ROLES: [&str; 5] = ["guard", "guard", "wing", "forward", "center"];

/// The two teams of a game, home first, and their squads: players 0–9 are home, 10–19 away.
#[derive(Debug, Clone)]
pub(crate) struct Fixture {
    pub team_ids: [Id; 2],
    pub players: Vec<Player>,
    pub date: String,
    pub season: String,
}

impl Fixture {
    /// Game number `game_index` of the season: a round of the league table, four games a day.
    pub fn of_game(game_index: u32) -> Self {
        let count = TOWNS.len() as u32;
        let home = game_index % count;
        let away = (home + 1 + (game_index / count) % (count - 1)) % count;
        let towns = [TOWNS[home as usize], TOWNS[away as usize]];
        let mut players = Vec::with_capacity(2 * SQUAD);
        for (id, name) in towns {
            for number in 0..SQUAD {
                let jersey = 2 + 3 * number as u8 + (id.len() as u8 % 2);
                players.push(Player {
                    player_id: format!("{id}-{jersey:02}").into(),
                    team_id: Arc::from(id),
                    jersey,
                    name: format!("{name} {jersey:02}"),
                    role: SLOT_ROLES[number % 5],
                });
            }
        }
        let day = game_index / 4;
        let date = format!("2041-{:02}-{:02}", 1 + (day / 28) % 12, 1 + day % 28);
        Self {
            team_ids: towns.map(|t| Arc::from(t.0)),
            players,
            date,
            season: "2041".into(),
        }
    }
}
