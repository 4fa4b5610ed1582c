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

/// Teams of the league.
pub(crate) const TEAMS: usize = TOWNS.len();

/// The id of team number `team`.
pub(crate) fn team_id(team: usize) -> &'static str {
    TOWNS[team].0
}

/// The number of the team called `id`.
#[cfg(test)]
pub(crate) fn team_number(id: &str) -> Option<usize> {
    TOWNS.iter().position(|t| t.0 == id)
}

/// Players in a squad; two a role slot.
pub(crate) const SQUAD: usize = 10;

/// Role of each of the five slots on the floor. The squad's second five repeat it.
pub(crate) const SLOT_ROLES: [&str; 5] = ["guard", "guard", "wing", "forward", "center"];

/// The number on the shirt of squad member `number`.
const fn jersey(team_id: &str, number: u8) -> u8 {
    2 + 3 * number + (team_id.len() as u8 % 2)
}

/// The id of squad member `number`.
pub(crate) fn player_id(team_id: &str, number: u8) -> Id {
    format!("{team_id}-{:02}", jersey(team_id, number)).into()
}

/// The two teams of a game, home first, and their squads: players 0–9 are home, 10–19 away.
#[derive(Debug, Clone)]
pub(crate) struct Fixture {
    pub team_ids: [Id; 2],
    pub players: Vec<Player>,
    pub date: String,
    pub season: String,
    /// Numbers of the two teams in the league.
    pub teams: [usize; 2],
}

impl Fixture {
    /// Game number `game_index` of the season: a round of the league table, four games a day.
    pub fn of_game(game_index: u32) -> Self {
        let count = TOWNS.len() as u32;
        let home = game_index % count;
        let away = (home + 1 + (game_index / count) % (count - 1)) % count;
        Self::of_teams([home as usize, away as usize], game_index / 4)
    }

    /// Game number `game_index` of a season in which every team plays once a day: seven days make a round, in which
    /// everybody meets everybody (the circle method; de Werra, "Scheduling in sports", 1981, from memory).
    pub fn of_season_game(game_index: u32) -> Self {
        let (day, court) = (game_index / 4, game_index as usize % 4);
        let turn = day as usize % (TEAMS - 1);
        // Team 7 stays, the others go round.
        let seat = |place: usize| {
            if place == 0 {
                TEAMS - 1
            } else {
                (turn + place - 1) % (TEAMS - 1)
            }
        };
        let (a, b) = (seat(court), seat(TEAMS - 1 - court));
        let home_first = (day as usize / (TEAMS - 1) + turn + court).is_multiple_of(2);
        Self::of_teams(if home_first { [a, b] } else { [b, a] }, day)
    }

    /// Home and away, on a day of the season.
    fn of_teams(teams: [usize; 2], day: u32) -> Self {
        let towns = teams.map(|t| TOWNS[t]);
        let mut players = Vec::with_capacity(2 * SQUAD);
        for (id, name) in towns {
            for number in 0..SQUAD {
                let jersey = jersey(id, number as u8);
                players.push(Player {
                    player_id: player_id(id, number as u8),
                    team_id: Arc::from(id),
                    jersey,
                    name: format!("{name} {jersey:02}"),
                    role: SLOT_ROLES[number % 5],
                });
            }
        }
        let date = format!("2041-{:02}-{:02}", 1 + (day / 28) % 12, 1 + day % 28);
        Self {
            team_ids: towns.map(|t| Arc::from(t.0)),
            players,
            date,
            season: "2041".into(),
            teams,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn in_seven_days_of_a_season_everybody_meets_everybody_and_nobody_plays_twice_a_day() {
        let mut pairs = BTreeSet::new();
        for day in 0..7 {
            let mut busy = BTreeSet::new();
            for court in 0..4 {
                let fixture = Fixture::of_season_game(day * 4 + court);
                let [home, away] = fixture.teams;
                assert!(busy.insert(home) && busy.insert(away));
                assert!(pairs.insert((home.min(away), home.max(away))));
                assert_eq!(fixture.date, format!("2041-01-{:02}", day + 1));
            }
        }
        // 8 · 7 / 2 pairs.
        assert_eq!(pairs.len(), 28);
    }
}
