//! What happened, frame by frame, before any noise: the truth the labels are measured on.

use crate::ball::BallState;
use crate::vec2::Vec2;
use crate::world::World;

/// One frame. Positions in the court frame, metres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    pub game_clock_s: f32,
    pub shot_clock_s: f32,
    pub xy_m: [[f32; 2]; 10],
    pub players: [u8; 10],
    /// Ball's x, y, z; `None` when the cameras do not see it.
    pub ball_m: Option<[f32; 3]>,
    /// Who has the ball in hand.
    pub holder: Option<u8>,
    /// Whether the ball is live.
    pub live: bool,
    /// Sign of the hoop that team `offense` attacks.
    pub sign: f32,
}

/// One period's frames.
#[derive(Debug, Clone, Default)]
pub(crate) struct PeriodRecord {
    pub frames: Vec<Frame>,
}

/// The cameras follow the ball this far beyond the lines, metres. Common practice, no source.
const SIGHT_M: f32 = 6.0;

impl PeriodRecord {
    /// Slot `slot`'s spot in the attack frame of the team that attacks the hoop at `sign`.
    pub fn spot(&self, frame: usize, slot: usize, sign: f32, hoop_x_m: f64) -> Vec2 {
        to_attack(self.frames[frame].xy_m[slot], sign, hoop_x_m)
    }
}

/// A court point in the attack frame of the hoop at `sign` · hoop_x (a turn and a shift).
pub(crate) fn to_attack(court: [f32; 2], sign: f32, hoop_x_m: f64) -> Vec2 {
    let sign = f64::from(sign);
    Vec2 {
        x: hoop_x_m - sign * f64::from(court[0]),
        y: -sign * f64::from(court[1]),
    }
}

/// What an event row tells.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Event {
    pub period: u8,
    pub t_s: f64,
    pub game_clock_s: f64,
    pub event: &'static str,
    pub team: Option<usize>,
    pub player: Option<u8>,
    pub points: Option<u8>,
}

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
