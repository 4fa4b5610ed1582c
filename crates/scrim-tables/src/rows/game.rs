//! Who played, when and where, and how everyone moved: what a report or a clip list needs beside the tags.

use scrim_floor::Court;

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::Entity;

tables! {
    /// A game: its day, the teams, the court with its measures, the video's offsets.
    GameRow = "games" of Game {
        /// The game.
        game_id: Id,
        /// Its day (YYYY-MM-DD), read from what the source has (ISO 8601). Null: the source has none.
        date: Option<Id>,
        /// One team: the home team when `home_is_known`.
        home_team_id: Id,
        /// The other.
        away_team_id: Id,
        /// Whether the source says which team is at home.
        home_is_known: bool,
        /// Seconds into the video at each period's first frame, period 1 first, an element null where not known; shorter than the
        /// game (or empty) when the later periods' are not. From the source, else from what was marked (`scrim clips --sync`).
        video_offset_s: Vec<Option<f64>>,
        /// The court's name.
        court: Id,
        /// Length of the court.
        court_length_m: f32,
        /// Width of the court.
        court_width_m: f32,
        /// From the inner edge of the end line to the hoop's centre.
        hoop_from_end_line_m: f32,
        /// Radius of the three-point arc.
        three_point_radius_m: f32,
        /// From the sideline to the straight piece of the three-point line.
        corner_line_from_sideline_m: f32,
        /// Length of the lane.
        lane_length_m: f32,
        /// Width of the lane.
        lane_width_m: f32,
        /// Radius of the no-charge semicircle.
        no_charge_radius_m: f32,
    }
    /// A player of a game: team, number, name, role.
    PlayerRow = "players" of Game {
        /// The game.
        game_id: Id,
        /// The player.
        player_id: Id,
        /// The player's team.
        team_id: Id,
        /// Number on the shirt. Null: the source has none.
        jersey: Option<Id>,
        /// The player's name. Null: the source has none.
        name: Option<Id>,
        /// The player's role, as the source spells it. Null: the source has none.
        role: Option<Id>,
    }
    /// How one attacker, defender or the ball moved in a possession that got to half court or had a ball screen: sample `k` of the
    /// lists is the instant `t_start_s + k / hz` (`[track_table]` of the pipeline). All rows of a possession have one start, one rate
    /// and one length.
    TrackRow = "tracks" of Game {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Attacker, defender or ball.
        entity: Entity,
        /// The player. Null: the ball.
        player_id: Option<Id>,
        /// The first sample's instant.
        t_start_s: f64,
        /// Samples a second.
        hz: f32,
        /// x in the attack frame, an element null where the entity is not seen.
        x_cm: Vec<Option<i16>>,
        /// y in the attack frame, null at the same samples.
        y_cm: Vec<Option<i16>>,
        /// Game clock remaining, an element null where it is not known. On the ball's row only; empty on others.
        game_clock_tenths: Vec<Option<u16>>,
    }
}

impl GameRow {
    /// A game of two teams on `court`; nothing else is known of it.
    pub fn on(court: &Court, game_id: Id, [home_team_id, away_team_id]: [Id; 2]) -> Self {
        Self {
            game_id,
            date: None,
            home_team_id,
            away_team_id,
            home_is_known: false,
            video_offset_s: Vec::new(),
            court: court.name.as_str().into(),
            court_length_m: court.length_m,
            court_width_m: court.width_m,
            hoop_from_end_line_m: court.hoop_from_end_line_m,
            three_point_radius_m: court.three_point_radius_m,
            corner_line_from_sideline_m: court.corner_line_from_sideline_m,
            lane_length_m: court.lane_length_m,
            lane_width_m: court.lane_width_m,
            no_charge_radius_m: court.no_charge_radius_m,
        }
    }

    /// The court, by its measures. They may make no court, if another program wrote them: see [`Court::checked`].
    pub fn court(&self) -> Court {
        Court {
            name: self.court.to_string(),
            length_m: self.court_length_m,
            width_m: self.court_width_m,
            hoop_from_end_line_m: self.hoop_from_end_line_m,
            three_point_radius_m: self.three_point_radius_m,
            corner_line_from_sideline_m: self.corner_line_from_sideline_m,
            lane_length_m: self.lane_length_m,
            lane_width_m: self.lane_width_m,
            no_charge_radius_m: self.no_charge_radius_m,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_court_is_written_and_read_back() {
        for court in [Court::fiba(), Court::nba(), Court::ncaa()] {
            let row = GameRow::on(&court, "G".into(), ["a".into(), "b".into()]);
            assert_eq!(row.court(), court);
        }
    }
}
