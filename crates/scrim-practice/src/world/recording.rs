//! What is kept of each instant, and the events.

use super::World;
use crate::ball::BallState;
use crate::record::{Event, Frame};
use crate::vec2::Vec2;

/// The cameras follow the ball this far beyond the lines, metres. Common practice, no source.
const SIGHT_M: f32 = 6.0;

impl World<'_> {
    /// Keeps this instant, in the court frame.
    pub fn record_frame(&mut self) {
        let (sign, hoop_x) = (self.sign(), self.hoop_x_m());
        let court = |p: Vec2| [(sign * (hoop_x - p.x)) as f32, (-sign * p.y) as f32];
        let mut frame = Frame {
            game_clock_s: self.game_clock_s as f32,
            shot_clock_s: self.shot_clock_s as f32,
            xy_m: [[0.0; 2]; 10],
            players: [0; 10],
            ball_m: None,
            holder: self.ball.holder().map(|slot| slot as u8),
            live: self.live,
            sign: sign as f32,
        };
        for (slot, body) in self.bodies.iter().enumerate() {
            frame.xy_m[slot] = court(body.pos);
            frame.players[slot] = body.player;
        }
        if !matches!(self.ball.state, BallState::Unseen) {
            let [x, y] = court(self.ball.pos);
            // A ball that has rolled away from the court is out of the cameras' sight.
            let spot = scrim_floor::Point::<scrim_floor::CourtFrame>::new(x, y);
            if self.params.court.contains(spot, SIGHT_M) {
                frame.ball_m = Some([x, y, self.ball.z as f32]);
            }
        }
        self.record.frames.push(frame);
    }

    /// An event of a team as a whole.
    pub fn team_event(&mut self, event: &'static str, team: usize) {
        let (period, t_s, game_clock_s) = (self.period, self.now_s(), self.game_clock_s);
        self.events.push(Event {
            period,
            t_s,
            game_clock_s,
            event,
            team: Some(team),
            player: None,
            points: None,
        });
    }

    /// An event of the player in `slot`, now.
    pub fn event(&mut self, event: &'static str, slot: Option<usize>, points: Option<u8>) {
        let team = slot.map(|s| self.team_of(s));
        let player = slot.map(|s| self.bodies[s].player);
        let (period, t_s, game_clock_s) = (self.period, self.now_s(), self.game_clock_s);
        self.events.push(Event {
            period,
            t_s,
            game_clock_s,
            event,
            team,
            player,
            points,
        });
    }
}
