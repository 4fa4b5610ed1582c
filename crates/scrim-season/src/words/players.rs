//! What a player is called.

use std::collections::BTreeMap;

use scrim_tables::Id;
use scrim_tables::rows::PlayerRow;

/// Numbers and names by player. Of a player with several rows the last one counts.
#[derive(Debug, Default)]
pub struct Names {
    by_id: BTreeMap<Id, Known>,
}

#[derive(Debug, Clone)]
struct Known {
    jersey: Option<Id>,
    name: Option<Id>,
}

impl Names {
    /// From rows of `players`, of one game or of many.
    pub fn of<'a>(players: impl IntoIterator<Item = &'a PlayerRow>) -> Self {
        let known = players.into_iter().map(|player| {
            let known = Known {
                jersey: player.jersey.clone(),
                name: player.name.clone(),
            };
            (player.player_id.clone(), known)
        });
        Self {
            by_id: known.collect(),
        }
    }

    /// Number and name as far as they are known, else the id.
    pub fn called(&self, player: &Id) -> String {
        let known = self.by_id.get(player);
        let jersey = known.and_then(|known| known.jersey.as_deref());
        let name = known.and_then(|known| known.name.as_deref());
        match (jersey, name) {
            // Some tables have the number in the name: once is enough.
            (Some(jersey), Some(name)) if name.contains(jersey) => name.into(),
            (Some(jersey), Some(name)) => format!("#{jersey} {name}"),
            (Some(jersey), None) => format!("#{jersey} ({player})"),
            (None, Some(name)) => name.into(),
            (None, None) => player.to_string(),
        }
    }

    /// The number to write in a player's circle, when it has one or two characters.
    pub fn number(&self, player: &Id) -> Option<&str> {
        self.by_id
            .get(player)
            .and_then(|known| known.jersey.as_deref())
            .filter(|jersey| (1..=2).contains(&jersey.chars().count()))
    }
}

/// A team's name, where each of its players is called by it and a number: `Twelve Hollows` of `Twelve Hollows 15`.
pub fn team_name<'a>(players: impl IntoIterator<Item = &'a PlayerRow>) -> Option<&'a str> {
    let mut of_all = None;
    for player in players {
        let (name, jersey) = (player.name.as_deref()?, player.jersey.as_deref()?);
        // 3 and 03 are one number.
        let (of_this, number) = name.rsplit_once(' ')?;
        if of_this.is_empty() || number.trim_start_matches('0') != jersey.trim_start_matches('0') {
            return None;
        }
        if *of_all.get_or_insert(of_this) != of_this {
            return None;
        }
    }
    of_all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_player_is_called_by_what_is_known() {
        let player = |id: &str, jersey: Option<&str>, name: Option<&str>| PlayerRow {
            game_id: "G".into(),
            player_id: id.into(),
            team_id: "T".into(),
            jersey: jersey.map(Into::into),
            name: name.map(Into::into),
            role: None,
        };
        let names = Names::of(&[
            player("a", Some("4"), Some("Harrowby")),
            player("b", Some("12"), None),
            player("c", Some("7"), Some("Towerby 7")),
            player("d", None, None),
        ]);
        let called = ["a", "b", "c", "d", "e"].map(|id| names.called(&id.into()));
        assert_eq!(called, ["#4 Harrowby", "#12 (b)", "Towerby 7", "d", "e"]);
        assert_eq!(names.number(&"b".into()), Some("12"));
        assert_eq!(names.number(&"d".into()), None);
    }

    #[test]
    fn a_team_has_the_name_that_all_its_players_begin_with() {
        let player = |jersey: &str, name: &str| PlayerRow {
            game_id: "G".into(),
            player_id: jersey.into(),
            team_id: "T".into(),
            jersey: Some(jersey.into()),
            name: Some(name.into()),
            role: None,
        };
        let of = |names: [&str; 2]| {
            let players = [player("4", names[0]), player("15", names[1])];
            team_name(&players).map(str::to_owned)
        };
        assert_eq!(of(["Low Mill 04", "Low Mill 15"]), Some("Low Mill".to_owned()));
        for names in [
            ["Low Mill 4", "High Mill 15"],
            ["Harrowby", "Low Mill 15"],
            ["4", "15"],
        ] {
            assert_eq!(of(names), None);
        }
    }
}
