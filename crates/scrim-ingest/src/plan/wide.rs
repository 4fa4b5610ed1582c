//! Columns by pattern: which columns belong to whom.

use super::places::{PlaceColumns, Shape, TeamIs, WideEntity, WidePlayerIs};
use super::planner::{Found, Planner};
use crate::IngestError;
use crate::chunk::ReadAs;
use crate::mapping::{Mapping, WidePlayers};
use crate::names::Names;
use crate::template::{filled, pieces_of};

/// A pattern such as `{team}_{player}_x`, as pieces of text and placeholders in turn.
#[derive(Debug, PartialEq)]
struct Pattern {
    /// Text before the first placeholder.
    prefix: String,
    /// Each placeholder's name and the text after it.
    holders: Vec<(String, String)>,
}

impl Pattern {
    fn new(text: &str) -> Self {
        let mut parts = text.split('{');
        let prefix = parts.next().unwrap_or_default().into();
        let holders = parts.map(|part| {
            let (name, after) = part.split_once('}').unwrap_or((part, ""));
            (name.into(), after.into())
        });
        Self {
            prefix,
            holders: holders.collect(),
        }
    }

    /// What each placeholder stands for in `column`; `None` when the column is not of the pattern.
    fn read(&self, column: &str) -> Option<Vec<(String, String)>> {
        let mut rest = column.strip_prefix(&self.prefix)?;
        let mut values = Vec::new();
        for (i, (name, after)) in self.holders.iter().enumerate() {
            let is_last = i + 1 == self.holders.len();
            // As little as possible, but something; the last one's text must be the column's end.
            let first = rest.chars().next()?.len_utf8();
            let end = if is_last {
                rest.len()
                    .checked_sub(after.len())
                    .filter(|&end| end >= first && rest.ends_with(after))?
            } else {
                first + rest.get(first..)?.find(after)?
            };
            values.push((name.clone(), rest[..end].into()));
            rest = &rest[end + after.len()..];
        }
        rest.is_empty().then_some(values)
    }

    /// The column of the pattern with these values.
    fn write(&self, values: &[(String, String)]) -> String {
        let mut column = self.prefix.clone();
        for (name, after) in &self.holders {
            let value = values
                .iter()
                .find(|(n, _)| n == name)
                .map_or("", |(_, v)| v.as_str());
            column.push_str(value);
            column.push_str(after);
        }
        column
    }
}

impl Planner<'_> {
    pub(super) fn wide(&mut self, mapping: &Mapping, names: &mut Names) -> Result<Shape, IngestError> {
        let found = match self.found {
            Found::Columns(found) | Found::Keys(found) => found,
            Found::Paths => &[],
        };
        let mut players = Vec::new();
        for group in &mapping.wide.players {
            let before = players.len();
            let pattern = Pattern::new(&group.x);
            for values in found.iter().filter_map(|column| pattern.read(column)) {
                players.push(self.wide_entity(group, &values, names)?);
            }
            if players.len() == before {
                return Err(self.missing("the players' first coordinates", &group.x, "[[wide.players]] x"));
            }
        }
        let ball = self.ball_place(mapping)?;
        Ok(Shape::Wide { players, ball })
    }

    fn wide_entity(
        &mut self,
        group: &WidePlayers,
        values: &[(String, String)],
        names: &mut Names,
    ) -> Result<WideEntity, IngestError> {
        let value = |holder: &str| {
            values
                .iter()
                .find(|(name, _)| name == holder)
                .map(|(_, v)| v.as_str())
        };
        let mut column = |pattern: &str, read_as, key| {
            let column = Pattern::new(pattern).write(values);
            self.needed(Some(&column), "", read_as, "a player", key)
        };
        let at = PlaceColumns {
            x: column(&group.x, ReadAs::Number, "[[wide.players]] x")?,
            y: column(&group.y, ReadAs::Number, "[[wide.players]] y")?,
            z: group
                .z
                .as_ref()
                .map(|z| column(z, ReadAs::Number, "[[wide.players]] z"))
                .transpose()?,
        };
        let player = match (value("player"), &group.player_in) {
            (Some(player), _) => {
                let team = value("team").or(group.team_id.as_deref()).unwrap_or_default();
                let id = group.player_id.as_deref().unwrap_or("{player}");
                let id = pieces_of(id).and_then(|pieces| {
                    filled(&pieces, |column| {
                        Some(if column == "team" { team } else { player })
                    })
                });
                WidePlayerIs::Fixed(names.number(id.as_deref().unwrap_or(player)))
            }
            (None, given) => {
                let pattern = given.as_deref().unwrap_or_default();
                WidePlayerIs::Column(column(pattern, ReadAs::Id, "[[wide.players]] player_in")?)
            }
        };
        let team = match (value("team"), &group.team_id) {
            (Some(team), _) => TeamIs::Fixed(names.number(team)),
            (None, Some(team)) => TeamIs::Fixed(names.number(team)),
            (None, None) => TeamIs::Roster,
        };
        Ok(WideEntity { team, player, at })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn values(pattern: &str, column: &str) -> Option<Vec<String>> {
        Pattern::new(pattern)
            .read(column)
            .map(|v| v.into_iter().map(|(_, value)| value).collect())
    }

    #[test]
    fn a_placeholder_takes_as_little_as_it_can() {
        assert_eq!(values("{team}_{player}_x", "SM_12_x").unwrap(), ["SM", "12"]);
        assert_eq!(values("{team}_{player}_x", "SM_a_b_x").unwrap(), ["SM", "a_b"]);
        assert_eq!(values("x{player}", "x7").unwrap(), ["7"]);
        assert_eq!(values("{player}.x", "é.x").unwrap(), ["é"]);
        for other in ["SM_12_y", "_12_x", "SM__x", "SM_x", "x"] {
            assert_eq!(values("{team}_{player}_x", other), None, "{other}");
        }
    }

    proptest! {
        #[test]
        fn no_column_makes_a_pattern_panic(pattern in "\\PC{0,12}", column in "\\PC{0,20}") {
            let pattern = Pattern::new(&pattern);
            if let Some(values) = pattern.read(&column) {
                let _ = pattern.write(&values);
            }
        }

        #[test]
        fn what_a_pattern_writes_it_reads(team in "[a-z]{1,4}", player in "[0-9]{1,4}") {
            let pattern = Pattern::new("p-{team}-{player}:x");
            let values = vec![("team".to_string(), team), ("player".to_string(), player)];
            prop_assert_eq!(pattern.read(&pattern.write(&values)), Some(values));
        }
    }
}
