//! What happened, frame by frame, before any noise: the truth the labels are measured on.

use crate::vec2::Vec2;

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

/// What an event row holds.
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
