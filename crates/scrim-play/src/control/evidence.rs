//! What the ball says, at a frame, for and against each player's control.

use scrim_tracks::{Period, Track};

use crate::ControlParams;
use crate::rim::RimVisit;

/// Above this a ball is not part of a dribble, metres. Common practice, no source.
const ABOVE_DRIBBLE_M: f32 = 1.4;
/// A ball that falls faster than this is not held, m/s. Common practice, no source.
const FREE_FALL_MPS: f32 = 2.0;
/// No ball is this expensive to have: a missing player and a far one are alike.
const MAX_COST_PER_S: f32 = 60.0;

/// How far back and ahead the ball's motion against a player is looked at.
#[derive(Clone, Copy)]
pub(super) struct Window {
    frames: usize,
    seconds: f32,
}

impl Window {
    pub fn new(period: &Period, params: &ControlParams) -> Self {
        let frames = period.frames_in(params.speed_window_s);
        Self {
            frames,
            seconds: (frames as f64 / period.hz) as f32,
        }
    }
}

/// What the ball tells at a frame.
pub(super) struct BallEvidence {
    x_m: f32,
    y_m: f32,
    /// Frames a window before and after this one at which the ball is seen, and the way from there (to there).
    back: Option<(usize, f32, f32)>,
    ahead: Option<(usize, f32, f32)>,
    window_s: f32,
    /// What height and fall add to everyone's cost.
    height_cost_per_s: f32,
    /// Sign of the x of the hoop that the ball is about to be shot at; 0 when it is not.
    shot_at: f32,
}

impl BallEvidence {
    /// `None` when the ball is missing.
    pub fn at(
        period: &Period,
        frame: usize,
        window: Window,
        shot_at: f32,
        params: &ControlParams,
    ) -> Option<Self> {
        let ball = &period.ball;
        let (x_m, y_m) = (ball.x_m[frame], ball.y_m[frame]);
        if !(x_m.is_finite() && y_m.is_finite()) {
            return None;
        }
        let seen = |at: usize| ball.x_m[at].is_finite() && ball.y_m[at].is_finite();
        let back = frame
            .checked_sub(window.frames)
            .filter(|&at| seen(at))
            .map(|at| (at, x_m - ball.x_m[at], y_m - ball.y_m[at]));
        let ahead = Some(frame + window.frames)
            .filter(|&at| at < period.frames && seen(at))
            .map(|at| (at, ball.x_m[at] - x_m, ball.y_m[at] - y_m));
        let z_m = ball.z_m[frame];
        let mut height_cost_per_s = 0.0;
        if z_m.is_finite() {
            height_cost_per_s += (z_m - params.max_height_m).max(0.0) * params.height_cost_per_m_s;
            let (before, after) = (frame.saturating_sub(2), (frame + 2).min(period.frames - 1));
            let fall_mps =
                (ball.z_m[before] - ball.z_m[after]) * period.hz as f32 / (after - before).max(1) as f32;
            if z_m > ABOVE_DRIBBLE_M && fall_mps > FREE_FALL_MPS {
                height_cost_per_s += params.fall_cost_per_s;
            }
        }
        Some(Self {
            x_m,
            y_m,
            back,
            ahead,
            window_s: window.seconds,
            height_cost_per_s,
            shot_at,
        })
    }

    /// What it costs, per second, to say that a player has it. `sign`: of the x of the hoop he attacks.
    pub fn cost_per_s(&self, track: &Track, frame: usize, sign: f32, params: &ControlParams) -> f32 {
        let (x_m, y_m) = (track.x_m[frame], track.y_m[frame]);
        let gap_m = (x_m - self.x_m).hypot(y_m - self.y_m);
        if !gap_m.is_finite() {
            return MAX_COST_PER_S;
        }
        let beyond_m = (gap_m - params.reach_m).max(0.0);
        let far = params.beyond_cost_per_m_s * beyond_m;
        if far >= MAX_COST_PER_S {
            return MAX_COST_PER_S;
        }
        let near = gap_m.min(params.reach_m) / params.reach_m;
        // In flight the ball moves against the player both before and after; a catch or a release only on one side.
        let before_m = self
            .back
            .map(|(at, dx, dy)| (dx - (x_m - track.x_m[at])).hypot(dy - (y_m - track.y_m[at])));
        let after_m = self
            .ahead
            .map(|(at, dx, dy)| (dx - (track.x_m[at] - x_m)).hypot(dy - (track.y_m[at] - y_m)));
        // `min` passes over NaN: a player not seen at one end tells nothing there.
        let moved_m = before_m.unwrap_or(f32::NAN).min(after_m.unwrap_or(f32::NAN));
        let fast = (moved_m / self.window_s - params.free_speed_mps).max(0.0) * params.speed_cost_per_m;
        let retreat_mps = -sign * track.vx_mps[frame];
        let retreat = (retreat_mps - params.free_retreat_mps).max(0.0) * params.retreat_cost_per_m;
        // Nobody shoots at the hoop that he defends. Without a direction the sign is 0 and speaks against nobody.
        let own_hoop = if self.shot_at * sign < 0.0 {
            params.own_hoop_cost_per_s
        } else {
            0.0
        };
        let cost =
            params.reach_cost_per_s * near * near + far + fast + retreat + own_hoop + self.height_cost_per_s;
        cost.min(MAX_COST_PER_S)
    }
}

/// Tells, frame after frame, whether the ball is about to come to a rim.
pub(super) struct ShotAhead<'a> {
    visits: &'a [RimVisit],
    next: usize,
    frames: usize,
}

impl<'a> ShotAhead<'a> {
    pub fn new(period: &Period, visits: &'a [RimVisit], params: &ControlParams) -> Self {
        Self {
            visits,
            next: 0,
            frames: period.frames_in(params.before_shot_s),
        }
    }

    /// Sign of the x of the hoop that the ball comes to within [`ControlParams::before_shot_s`], 0 for none. Frames
    /// must be asked for in ascending order.
    pub fn sign_at(&mut self, frame: usize) -> f32 {
        while self
            .visits
            .get(self.next)
            .is_some_and(|visit| visit.frames.end <= frame)
        {
            self.next += 1;
        }
        match self.visits.get(self.next) {
            Some(visit) if frame < visit.frames.start && frame + self.frames >= visit.frames.start => {
                visit.hoop.sign()
            }
            _ => 0.0,
        }
    }
}
