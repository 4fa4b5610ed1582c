//! Paths of the mapping as places in nested JSON.

use super::places::{BallIs, PlaceColumns, Shape, TeamIs};
use super::planner::Planner;
use crate::IngestError;
use crate::chunk::{ReadAs, Wanted};
use crate::json::{CellFrom, EntityGroup, JsonPlan};
use crate::mapping::{Format, Mapping, NestedMapping, TeamFrom};
use crate::names::Names;
use crate::template::{Composed, pieces_of};

/// The column that marks the ball's rows, made here: no path is spelled like it.
const BALL_MARK: &str = "(the ball)";

/// Rows that are JSON objects with the columns as keys (a column with a slash in front is a pointer): one a line, or
/// the elements of the document.
pub(super) fn flat(wanted: &[Wanted], composed: &[Composed], format: Format) -> JsonPlan {
    let walk = if format == Format::JsonLines {
        Vec::new()
    } else {
        vec![String::new()]
    };
    let cell = |(at, wanted): (usize, &Wanted)| {
        if composed.iter().any(|composed| composed.at == at) {
            CellFrom::Nothing
        } else if wanted.column.starts_with('/') {
            CellFrom::Entity(wanted.column.clone())
        } else {
            CellFrom::Entity(format!(
                "/{}",
                wanted.column.replace('~', "~0").replace('/', "~1")
            ))
        }
    };
    let cells = wanted.iter().enumerate().map(cell).collect();
    JsonPlan {
        walk,
        groups: vec![EntityGroup {
            at: String::new(),
            is_one: true,
            needed: true,
            cells,
        }],
        kinds: wanted.iter().map(|w| w.read_as).collect(),
    }
}

impl Planner<'_> {
    pub(super) fn nested(
        &mut self,
        mapping: &Mapping,
        names: &mut Names,
    ) -> Result<(Shape, JsonPlan), IngestError> {
        let nested = &mapping.nested;
        let path_as =
            |given: &Option<String>, default: &str| given.clone().unwrap_or_else(|| format!("/{default}"));
        let player = self.want_path(&path_as(&mapping.player.column, "player_id"))?;
        // A team that each group names by itself has a column of its own, whatever it is called.
        let team_path = path_as(&mapping.team.column, "team_id");
        let (team, team_column) = match mapping.team.from {
            Some(TeamFrom::PlayersTable) => (TeamIs::Roster, None),
            None => {
                let column = self.want_path(&team_path)?;
                (TeamIs::Column(column), Some(column))
            }
        };
        let at = self.players_place(mapping)?;
        let ball = if nested.ball_at.is_some() {
            BallIs::Marked(self.want(BALL_MARK, ReadAs::Id), vec![names.number(BALL_MARK)])
        } else if let Some(column) = &mapping.ball.column {
            BallIs::marked(self.want(column, ReadAs::Id), mapping, names)
        } else {
            BallIs::Nulls
        };
        let cells_of_players: Vec<CellFrom> = self
            .wanted
            .iter()
            .enumerate()
            .map(|(at, w)| {
                if self.composed.iter().any(|composed| composed.at == at) {
                    return Ok(CellFrom::Nothing);
                }
                self.cell(&w.column, nested)
            })
            .collect::<Result<_, _>>()?;
        let mut groups = Vec::new();
        for group in &nested.players {
            let mut cells = cells_of_players.clone();
            if let Some(column) = team_column {
                if let Some(id) = &group.team_id {
                    cells[column] = CellFrom::Id(names.number(id));
                } else if let Some(path) = &group.team {
                    cells[column] = self.cell(path, nested)?;
                }
            }
            groups.push(EntityGroup {
                at: group.at.clone(),
                is_one: false,
                needed: true,
                cells,
            });
        }
        if nested.players.is_empty() {
            let cells = cells_of_players.clone();
            groups.push(EntityGroup {
                at: String::new(),
                is_one: true,
                needed: true,
                cells,
            });
        }
        if let (Some(ball_at), BallIs::Marked(mark, _)) = (&nested.ball_at, &ball) {
            let mut cells = cells_of_players;
            for own in [Some(player), team_column].into_iter().flatten() {
                cells[own] = CellFrom::Nothing;
            }
            cells[*mark] = CellFrom::Id(names.number(BALL_MARK));
            let PlaceColumns { x, y, z } = at;
            let own = [
                (Some(x), &mapping.ball.x),
                (Some(y), &mapping.ball.y),
                (z, &mapping.ball.z),
            ];
            for (column, path) in own {
                if let (Some(column), Some(path)) = (column, path) {
                    cells[column] = self.cell(path, nested)?;
                }
            }
            groups.push(EntityGroup {
                at: ball_at.clone(),
                is_one: true,
                needed: false,
                cells,
            });
        }
        let json = JsonPlan {
            walk: nested.walk.iter().map(|w| w.at.clone()).collect(),
            groups,
            kinds: self.wanted.iter().map(|w| w.read_as).collect(),
        };
        Ok((
            Shape::Long {
                team,
                player,
                at,
                ball,
            },
            json,
        ))
    }

    /// The place among the wanted columns of an id's path, or of a template of paths.
    fn want_path(&mut self, path: &str) -> Result<usize, IngestError> {
        match pieces_of(path) {
            Some(pieces) => {
                self.want_composed(path, pieces, |planner, path| Ok(planner.want(path, ReadAs::Id)))
            }
            None => Ok(self.want(path, ReadAs::Id)),
        }
    }

    /// The place that a path names.
    fn cell(&self, path: &str, nested: &NestedMapping) -> Result<CellFrom, IngestError> {
        if path == BALL_MARK {
            return Ok(CellFrom::Nothing);
        }
        if path == "#" {
            return Ok(CellFrom::EntityKey);
        }
        if path.is_empty() || path.starts_with('/') {
            return Ok(CellFrom::Entity(path.into()));
        }
        let problem = |problem: String| IngestError::MappingContradiction {
            path: self.path.into(),
            problem,
        };
        let Some((level, pointer)) = path.split_once(':') else {
            return Err(problem(format!(
                "the mapping's path `{path}` is neither a pointer (`/x`) nor a level and a pointer (`frame:/x`)"
            )));
        };
        let index = match level {
            "document" => 0,
            _ => nested
                .walk
                .iter()
                .position(|w| w.name == level)
                .map(|i| i + 1)
                .ok_or_else(|| {
                    let known: Vec<&str> = ["document"]
                        .into_iter()
                        .chain(nested.walk.iter().map(|w| w.name.as_str()))
                        .collect();
                    problem(format!(
                        "the mapping's path `{path}` names no level; the levels are {known:?}"
                    ))
                })?,
        };
        match pointer {
            "#" if index > 0 => Ok(CellFrom::LevelKey(index)),
            _ if pointer.is_empty() || pointer.starts_with('/') => Ok(CellFrom::Level(index, pointer.into())),
            _ => Err(problem(format!(
                "the mapping's path `{path}`: after the colon stands a pointer, empty or with `/` in front{}",
                if index > 0 { ", or `#`" } else { "" }
            ))),
        }
    }
}
