//! Rows of one entity each.

use super::places::{BallIs, Shape, TeamIs};
use super::planner::Planner;
use crate::IngestError;
use crate::chunk::ReadAs;
use crate::mapping::{Mapping, TeamFrom};
use crate::names::Names;

impl Planner<'_> {
    pub(super) fn long(&mut self, mapping: &Mapping, names: &mut Names) -> Result<Shape, IngestError> {
        let player = mapping.player.column.as_ref();
        let player = self.needed(player, "player_id", ReadAs::Id, "the player", "[player] column")?;
        let team = match mapping.team.from {
            Some(TeamFrom::PlayersTable) => TeamIs::Roster,
            None => TeamIs::Column(self.needed(
                mapping.team.column.as_ref(),
                "team_id",
                ReadAs::Id,
                "the team",
                "[team] column (or [team] from = \"players_table\"), for example column",
            )?),
        };
        let at = self.players_place(mapping)?;
        let ball = match (self.ball_place(mapping)?, &mapping.ball.column) {
            (Some(own), _) => BallIs::Own(own),
            (None, Some(column)) => {
                let (what, key) = ("what marks the ball", "[ball] column");
                BallIs::marked(
                    self.needed(Some(column), "", ReadAs::Id, what, key)?,
                    mapping,
                    names,
                )
            }
            (None, None) => BallIs::Nulls,
        };
        Ok(Shape::Long {
            team,
            player,
            at,
            ball,
        })
    }
}
