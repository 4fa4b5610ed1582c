//! What the ball says, at a frame, for and against each player's control.

use scrim_tracks::{Period, TeamSlot, Track};

use super::context::{ControlContext, ControlRule, EventControl};
use crate::rim::RimVisit;

/// Cost of a controlled ball at `reach_m`, per second; nearer it falls with the fourth power of the distance: within
/// arm's reach nearness says little.
const REACH_COST_PER_S: f32 = 3.0;
/// Further cost per metre beyond `reach_m`, per second.
const BEYOND_COST_PER_M_S: f32 = 15.0;
/// Cost of a player's control before a shot at the hoop that they defend, per second.
const OWN_HOOP_COST_PER_S: f32 = 3.0;
/// Cost of control while the ball is at the rim, per second.
const AT_RIM_COST_PER_S: f32 = 8.0;
/// Cost of a player's control while the events give the ball to the other team, per second.
const REPORTED_COST_PER_S: f32 = 3.0;
/// How long before the ball comes to the rim that counts, s.
const BEFORE_SHOT_S: f64 = 1.2;
/// Ball and player may differ in velocity by this, before and after, and the ball is still theirs, m/s.
const FREE_SPEED_MPS: f32 = 3.5;
/// Cost for each m/s above `free_speed_mps`, per second.
const SPEED_COST_PER_M: f32 = 4.0;
/// How far back and ahead that velocity is looked at, s.
const SPEED_WINDOW_S: f64 = 0.2;
/// A player may move toward their own hoop this fast and still have the ball, m/s.
const FREE_RETREAT_MPS: f32 = 2.0;
/// Cost for each m/s above `free_retreat_mps`, per second.
const RETREAT_COST_PER_M: f32 = 0.8;
/// Cost for each metre above `max_height_m`, per second.
const HEIGHT_COST_PER_M_S: f32 = 60.0;
/// Cost of a controlled ball that falls freely from above a dribble's height, per second.
const FALL_COST_PER_S: f32 = 8.0;

/// Above this a ball is not part of a dribble, metres. Common practice, no source.
const ABOVE_DRIBBLE_M: f32 = 1.4;
/// A ball that falls faster than this is not held, m/s. Common practice, no source.
const FREE_FALL_MPS: f32 = 2.0;
/// No ball is this expensive to have: a missing player and a far one are alike.
const MAX_COST_PER_S: f32 = 60.0;

/// Beyond the reach by this, no other evidence is looked at: most of the ten are, at every frame.
const OUT_OF_REACH_M: f32 = 1.5;

/// Beyond the reach by this, the distance alone costs the most there is; with some room for rounding.
const FARTHEST_M: f32 = 1.01 * MAX_COST_PER_S / BEYOND_COST_PER_M_S;

/// Length of a vector. Unlike `hypot` it may overflow, though not with lengths of this world, and is several times
/// faster.
fn length_m(x_m: f32, y_m: f32) -> f32 {
    (x_m * x_m + y_m * y_m).sqrt()
}

/// How far back and ahead the ball's motion against a player is looked at.
#[derive(Clone, Copy)]
pub(super) struct Window {
    frames: usize,
    seconds: f32,
}

impl Window {
    pub fn new(period: &Period) -> Self {
        let frames = period.frames_in(SPEED_WINDOW_S);
        Self {
            frames,
            seconds: (frames as f64 / period.hz) as f32,
        }
    }
}

/// What the ball shows at a frame.
pub(super) struct BallEvidence {
    x_m: f32,
    y_m: f32,
    /// Frames a window before and after this one at which the ball is seen, and the way from there (to there).
    back: Option<(usize, f32, f32)>,
    ahead: Option<(usize, f32, f32)>,
    window_s: f32,
    /// What rim, height and fall add to everyone's cost.
    height_cost_per_s: f32,
    /// What goes on around the frame.
    around: Surroundings,
}

impl BallEvidence {
    /// `None` when the ball is missing.
    pub fn at(
        period: &Period,
        frame: usize,
        window: Window,
        around: Surroundings,
        rule: &ControlRule,
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
        let mut height_cost_per_s = if around.at_rim { AT_RIM_COST_PER_S } else { 0.0 };
        if z_m.is_finite() {
            height_cost_per_s += (z_m - rule.max_height_m).max(0.0) * HEIGHT_COST_PER_M_S;
            let (before, after) = (frame.saturating_sub(2), (frame + 2).min(period.frames - 1));
            let fall_mps =
                (ball.z_m[before] - ball.z_m[after]) * period.hz as f32 / (after - before).max(1) as f32;
            if z_m > ABOVE_DRIBBLE_M && fall_mps > FREE_FALL_MPS {
                height_cost_per_s += FALL_COST_PER_S;
            }
        }
        Some(Self {
            x_m,
            y_m,
            back,
            ahead,
            window_s: window.seconds,
            height_cost_per_s,
            around,
        })
    }

    /// What it costs, per second, to say that a player has it. `sign`: of the x of the hoop they attack.
    #[inline]
    pub fn cost_per_s(&self, track: &Track, frame: usize, sign: f32, rule: &ControlRule) -> f32 {
        let (x_m, y_m) = (track.x_m[frame], track.y_m[frame]);
        let (dx_m, dy_m) = (x_m - self.x_m, y_m - self.y_m);
        // Most of the ten are so far away that how far does not matter; written so that a missing one is, too.
        let is_near = dx_m * dx_m + dy_m * dy_m < (rule.reach_m + FARTHEST_M).powi(2);
        if !is_near {
            return MAX_COST_PER_S;
        }
        let gap_m = length_m(dx_m, dy_m);
        let beyond_m = (gap_m - rule.reach_m).max(0.0);
        let far = BEYOND_COST_PER_M_S * beyond_m;
        if beyond_m >= OUT_OF_REACH_M {
            return far.min(MAX_COST_PER_S);
        }
        let within_m = gap_m.min(rule.reach_m);
        let near_cost = REACH_COST_PER_S * (within_m / rule.reach_m).powi(4);
        let cost = near_cost + far;
        let cost = self.add_motion_cost_per_s(cost, track, frame, sign);
        cost.min(MAX_COST_PER_S)
    }

    /// What a player within reach costs by motion, direction and reports, per second, added to `cost`.
    fn add_motion_cost_per_s(&self, cost: f32, track: &Track, frame: usize, sign: f32) -> f32 {
        let (x_m, y_m) = (track.x_m[frame], track.y_m[frame]);
        // In flight the ball moves against the player both before and after; a catch or a release only on one side.
        let before_m = self
            .back
            .map(|(at, dx, dy)| length_m(dx - (x_m - track.x_m[at]), dy - (y_m - track.y_m[at])));
        let after_m = self
            .ahead
            .map(|(at, dx, dy)| length_m(dx - (track.x_m[at] - x_m), dy - (track.y_m[at] - y_m)));
        // `min` passes over NaN: a player not seen at one end says nothing there.
        let moved_m = before_m.unwrap_or(f32::NAN).min(after_m.unwrap_or(f32::NAN));
        let fast = (moved_m / self.window_s - FREE_SPEED_MPS).max(0.0) * SPEED_COST_PER_M;
        let retreat_mps = -sign * track.vx_mps[frame];
        let retreat = (retreat_mps - FREE_RETREAT_MPS).max(0.0) * RETREAT_COST_PER_M;
        // Nobody shoots at the hoop that they defend. Without a direction the sign is 0 and speaks against nobody.
        let own_hoop = if self.around.shot_at * sign < 0.0 {
            OWN_HOOP_COST_PER_S
        } else {
            0.0
        };
        let reported = if self.around.reported.is_some_and(|team| team != track.team) {
            REPORTED_COST_PER_S
        } else {
            0.0
        };
        cost + fast + retreat + own_hoop + reported + self.height_cost_per_s
    }
}

/// What goes on around a frame that is not in the tracks' own samples there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Surroundings {
    /// Sign of the x of the hoop that the ball comes to within [`BEFORE_SHOT_S`]; 0 for none.
    pub shot_at: f32,
    /// Whether the ball is at a rim.
    pub at_rim: bool,
    /// The team that has the ball by the events.
    pub reported: Option<TeamSlot>,
}

/// Walks along rim visits and reported spans. Frames must come in ascending order.
pub(super) struct Follower<'a> {
    visits: &'a [RimVisit],
    reported: &'a [EventControl],
    before_shot: usize,
}

impl<'a> Follower<'a> {
    pub fn new(period: &Period, context: ControlContext<'a>) -> Self {
        Self {
            visits: context.visits,
            reported: context.reported,
            before_shot: period.frames_in(BEFORE_SHOT_S),
        }
    }

    pub fn at(&mut self, frame: usize) -> Surroundings {
        while let [visit, rest @ ..] = self.visits
            && visit.frames.end <= frame
        {
            self.visits = rest;
        }
        while let [reported, rest @ ..] = self.reported
            && reported.frames.end <= frame
        {
            self.reported = rest;
        }
        let ahead = self.visits.first();
        let at_rim = ahead.is_some_and(|visit| visit.frames.start <= frame);
        let shot_at = ahead
            .filter(|visit| !at_rim && frame + self.before_shot >= visit.frames.start)
            .map_or(0.0, |visit| visit.hoop.sign());
        let reported = self
            .reported
            .first()
            .filter(|reported| reported.frames.start <= frame)
            .map(|reported| reported.team);
        Surroundings {
            shot_at,
            at_rim,
            reported,
        }
    }
}
