//! Rows of `games`, `players` and `tracks`: what a page or a clip list needs beside the tags.

use scrim_tables::rows::{GameRow, PlayerRow, TrackRow};
use scrim_tables::tags::{Entity, Phase};
use scrim_tracks::Game;

use crate::{Mover, Play, Scene};

scrim_floor::parameters! {
    /// Which part of which possessions goes into `tracks`, and how finely.
    pub struct TrackTableParams {
        /// Samples a second; at most the grid's rate is used. A player at 7 m/s goes 0.7 m between two of ten a second.
        hz: f64 = 10.0, in 1.0..=120.0;
        fixed {
            /// A half-court possession is kept from this long before ball and four attackers are past half court.
            half_court_lead_s: f64 = 1.0;
        }
    }
}

/// Any possession with a ball screen is kept from this long before its first one is set, s: an entry lies up to 5 s before.
const SCREEN_LEAD_S: f64 = 6.0;

/// The row of `games`.
pub fn game_row(game: &Game) -> GameRow {
    let info = &game.info;
    GameRow {
        date: info.date.clone(),
        home_is_known: info.home_is_known,
        video_offset_s: info.video_offset_s.clone(),
        ..GameRow::on(&info.court, info.game_id.clone(), info.team_ids.clone())
    }
}

/// The rows of `players`, by team, then id.
pub fn player_rows(game: &Game) -> Vec<PlayerRow> {
    game.players
        .iter()
        .map(|player| PlayerRow {
            game_id: game.info.game_id.clone(),
            player_id: player.id.clone(),
            team_id: game.team_id(player.team).clone(),
            jersey: player.jersey.clone(),
            name: player.name.clone(),
            role: player.role.clone(),
        })
        .collect()
}

/// The rows of `tracks`, by possession: attackers, defenders, the ball. `first_screen_s` says, for each possession,
/// when its first ball screen is set; half-court possessions and those with a ball screen are kept.
pub fn track_rows(
    game: &Game,
    play: &Play,
    scenes: &[Scene],
    first_screen_s: &[Option<f64>],
    params: &TrackTableParams,
) -> Vec<TrackRow> {
    let mut rows = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        let from_half_court = possession
            .half_court
            .filter(|_| possession.phase == Phase::HalfCourt)
            .map(|frame| game.periods[possession.period].t_s(frame) - params.half_court_lead_s);
        let from_screen = first_screen_s
            .get(id)
            .copied()
            .flatten()
            .map(|t_s| t_s - SCREEN_LEAD_S);
        let Some(from_s) = [from_half_court, from_screen]
            .into_iter()
            .flatten()
            .min_by(f64::total_cmp)
        else {
            continue;
        };
        let first = (from_s * scene.hz).ceil().max(0.0) as usize;
        let first = first.saturating_sub(scene.first_frame);
        if first >= scene.frames {
            continue;
        }
        let sampling = Sampling::new(scene, first, params.hz);
        let row = |entity, player: Option<&Mover>, x_cm, y_cm, clock| TrackRow {
            game_id: game.info.game_id.clone(),
            period: game.periods[scene.period].number,
            possession_id: id as u32,
            entity,
            player_id: player.map(|mover| game.player(mover.player).id.clone()),
            t_start_s: scene.t_s(first),
            hz: sampling.hz as f32,
            x_cm,
            y_cm,
            game_clock_tenths: clock,
        };
        let sides = [
            (Entity::Offense, scene.attackers.iter()),
            (Entity::Defense, scene.defenders.iter()),
        ];
        for (entity, movers) in sides {
            for mover in movers {
                let (x_cm, y_cm) = sampling.places(&mover.x_m, &mover.y_m);
                rows.push(row(entity, Some(mover), x_cm, y_cm, Vec::new()));
            }
        }
        let (x_cm, y_cm) = sampling.places(&scene.ball_x_m, &scene.ball_y_m);
        let clock_s = &game.periods[scene.period].game_clock_s[scene.first_frame..][..scene.frames];
        rows.push(row(Entity::Ball, None, x_cm, y_cm, sampling.tenths(clock_s)));
    }
    rows
}

/// Which instants of a scene are sampled: a frame and how far it is on to the next, 0 to 1.
struct Sampling {
    hz: f64,
    at: Vec<(usize, f32)>,
}

impl Sampling {
    fn new(scene: &Scene, first: usize, hz: f64) -> Self {
        // A rate that is no rate is the grid's own.
        let hz = if hz > 0.0 && hz < scene.hz { hz } else { scene.hz };
        let step = scene.hz / hz;
        let samples = ((scene.frames - 1 - first) as f64 / step).floor() as usize + 1;
        let at = (0..samples)
            .map(|k| {
                let place = first as f64 + k as f64 * step;
                let frame = (place.floor() as usize).min(scene.frames - 1);
                (frame, (place - frame as f64) as f32)
            })
            .collect();
        Self { hz, at }
    }

    /// Between two frames on the straight line; missing when either is.
    fn value(values: &[f32], (frame, share): (usize, f32)) -> f32 {
        if share <= f32::EPSILON || frame + 1 >= values.len() {
            return values[frame];
        }
        values[frame] + (values[frame + 1] - values[frame]) * share
    }

    fn places(&self, x_m: &[f32], y_m: &[f32]) -> (Vec<Option<i16>>, Vec<Option<i16>>) {
        self.at
            .iter()
            .map(|&at| {
                let spot = (
                    centimetres(Self::value(x_m, at)),
                    centimetres(Self::value(y_m, at)),
                );
                // Both or neither: half a place is none.
                match spot {
                    (Some(x), Some(y)) => (Some(x), Some(y)),
                    (None, _) | (_, None) => (None, None),
                }
            })
            .unzip()
    }

    /// The clock at the frame, not between two: it may have been set anew there.
    fn tenths(&self, clock_s: &[f32]) -> Vec<Option<u16>> {
        self.at
            .iter()
            .map(|&(frame, _)| {
                let tenths = (clock_s[frame] * 10.0).round();
                (0.0..=f32::from(u16::MAX))
                    .contains(&tenths)
                    .then_some(tenths as u16)
            })
            .collect()
    }
}

/// Whole centimetres; `None` for what is not a number, or farther off than 327 m.
fn centimetres(metres: f32) -> Option<i16> {
    let cm = (metres * 100.0).round();
    (f32::from(i16::MIN)..=f32::from(i16::MAX))
        .contains(&cm)
        .then_some(cm as i16)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Guards, Movers};

    fn scene(hz: f64, x_m: Vec<f32>) -> Scene {
        let frames = x_m.len();
        Scene {
            period: 0,
            first_frame: 0,
            frames,
            hz,
            half_court_x_m: 12.425,
            attackers: Movers::default(),
            defenders: Movers::default(),
            ball_y_m: x_m.clone(),
            ball_z_m: vec![f32::NAN; frames],
            ball_x_m: x_m,
            strong: vec![None; frames],
            handler: vec![None; frames],
            guard: vec![Guards::default(); frames],
        }
    }

    #[test]
    fn between_two_frames_a_sample_lies_on_the_straight_line() {
        // 25 frames a second to 10 samples a second: samples at frames 0, 2.5, 5. x is 0.1 m a frame.
        let scene = scene(25.0, vec![0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
        let sampling = Sampling::new(&scene, 0, 10.0);
        let (x_cm, _) = sampling.places(&scene.ball_x_m, &scene.ball_y_m);
        assert_eq!(x_cm, [Some(0), Some(25), Some(50)]);
    }

    #[test]
    fn a_sample_beside_a_missing_frame_is_missing() {
        let scene = scene(25.0, vec![0.0, 0.1, f32::NAN, 0.3, 0.4, 0.5]);
        let sampling = Sampling::new(&scene, 0, 10.0);
        let (x_cm, y_cm) = sampling.places(&scene.ball_x_m, &scene.ball_y_m);
        assert_eq!(x_cm, [Some(0), None, Some(50)]);
        assert_eq!(x_cm, y_cm);
    }

    #[test]
    fn a_rate_above_the_grids_is_the_grids() {
        let scene = scene(25.0, vec![0.0; 5]);
        for hz in [100.0, 0.0, -1.0, f64::NAN] {
            let sampling = Sampling::new(&scene, 0, hz);
            assert_eq!((sampling.hz, sampling.at.len()), (25.0, 5), "{hz}");
        }
    }

    #[test]
    fn a_place_too_far_for_the_table_is_missing() {
        assert_eq!(centimetres(327.67), Some(i16::MAX));
        assert_eq!(centimetres(328.0), None);
        assert_eq!(centimetres(f32::NAN), None);
        assert_eq!(centimetres(-1.004), Some(-100));
    }
}
