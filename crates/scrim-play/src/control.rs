//! Who has the ball at each frame: the cheapest path through {loose, each player on the floor}.
//!
//! A ball within reach is consistent with every player near it, so nearness alone would flicker. Taking and giving up
//! control cost something; a defender who passes closer to the ball than its dribbler for a moment does not pay.

use std::ops::Range;

use scrim_tracks::{Period, PlayerIx, TeamSlot, Track};

use crate::{ControlParams, PeriodDirection};

/// One player's unbroken control of the ball.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spell {
    /// Who.
    pub player: PlayerIx,
    /// His place in [`Period::tracks`].
    pub track: usize,
    /// His team.
    pub team: TeamSlot,
    /// Frames of the period.
    pub frames: Range<usize>,
}

/// Above this a ball is not part of a dribble, metres. Common practice, no source.
const ABOVE_DRIBBLE_M: f32 = 1.4;
/// A ball that falls faster than this is not held, m/s. Common practice, no source.
const FREE_FALL_MPS: f32 = 2.0;
/// No ball is this expensive to have: a missing player and a far one are alike.
const MAX_COST_PER_S: f32 = 60.0;
/// The loose state as its own predecessor.
const STAYED_LOOSE: u16 = u16::MAX;

/// Spells of control in a period, in time order; they do not overlap. Works without ball height, with less to go by
/// around the rim. `direction`, when known, speaks against a player who carries the ball toward his own hoop: a
/// defender who runs beside a drive is often nearer to the ball than the driver.
pub fn find_control(
    period: &Period,
    direction: Option<PeriodDirection>,
    params: &ControlParams,
) -> Vec<Spell> {
    let path = cheapest_path(period, direction, params);
    let min_frames = period.frames_in(params.min_control_s);
    let mut spells = Vec::new();
    let mut start = 0;
    for frame in 1..=path.len() {
        if frame < path.len() && path[frame] == path[start] {
            continue;
        }
        if let Some(track) = path[start]
            && frame - start >= min_frames
        {
            let of = &period.tracks[usize::from(track)];
            spells.push(Spell {
                player: of.player,
                track: usize::from(track),
                team: of.team,
                frames: start..frame,
            });
        }
        start = frame;
    }
    spells
}

/// The state at each frame: a place in [`Period::tracks`], or `None` for a loose ball.
fn cheapest_path(
    period: &Period,
    direction: Option<PeriodDirection>,
    params: &ControlParams,
) -> Vec<Option<u16>> {
    let (frames, tracks) = (period.frames, period.tracks.len().min(usize::from(STAYED_LOOSE)));
    if frames == 0 || tracks == 0 {
        return vec![None; frames];
    }
    let dt = (1.0 / period.hz) as f32;
    // For each frame, which players took control at it (a bit each), and whom the loose ball came from.
    let words = tracks.div_ceil(64);
    let mut took = vec![0u64; frames * words];
    let mut came_from = vec![STAYED_LOOSE; frames];
    let mut cost = vec![f32::INFINITY; tracks];
    let mut loose = 0.0f32;
    let mut active = Vec::with_capacity(tracks);
    let mut span_end = 0;
    // +1 for a team that attacks the hoop at +x, 0 when that is not known.
    let sign = TeamSlot::BOTH.map(|team| direction.map_or(0.0, |known| known.of(team).sign()));
    let window = Window::new(period, params);
    let missing_cost = (params.gain_cost + params.lose_cost) / params.keep_missing_s;

    for frame in 0..frames {
        if frame >= span_end {
            let was = std::mem::replace(&mut cost, vec![f32::INFINITY; tracks]);
            active.clear();
            match period.lineup_at(frame) {
                Some(span) => {
                    active.extend(span.on_floor.iter().flatten().copied().filter(|&at| at < tracks));
                    span_end = span.end.max(frame + 1);
                }
                None => {
                    active.extend(0..tracks);
                    span_end = frames;
                }
            }
            // Whoever stays on the floor keeps his cost; who left hands the ball to nobody.
            for &at in &active {
                cost[at] = was[at];
            }
            for (at, &left) in was.iter().enumerate() {
                if left + params.lose_cost < loose && cost[at].is_infinite() {
                    loose = left + params.lose_cost;
                    came_from[frame] = at as u16;
                }
            }
        }
        for &at in &active {
            if cost[at] + params.lose_cost < loose {
                loose = cost[at] + params.lose_cost;
                came_from[frame] = at as u16;
            }
        }
        let ball = BallEvidence::at(period, frame, window, params);
        let enter = loose + params.gain_cost;
        let mut least = f32::INFINITY;
        for &at in &active {
            if enter < cost[at] {
                cost[at] = enter;
                took[frame * words + at / 64] |= 1 << (at % 64);
            }
            let track = &period.tracks[at];
            let rate = match &ball {
                Some(ball) => ball.cost_per_s(track, frame, sign[track.team.index()], params),
                None => missing_cost,
            };
            cost[at] += rate * dt;
            least = least.min(cost[at]);
        }
        if ball.is_some() {
            loose += params.loose_cost_per_s * dt;
        }
        // Costs are taken against the least: over an hour an f32 sum would lose the small differences.
        let least = least.min(loose);
        loose -= least;
        for &at in &active {
            cost[at] -= least;
        }
    }

    let mut path = vec![None; frames];
    let mut state = (0..tracks)
        .filter(|&at| cost[at] < loose)
        .min_by(|&a, &b| cost[a].total_cmp(&cost[b]));
    for frame in (0..frames).rev() {
        path[frame] = state.map(|at| at as u16);
        // Within a frame control is first given up, then taken: walk back in the opposite order.
        if let Some(at) = state
            && took[frame * words + at / 64] >> (at % 64) & 1 == 1
        {
            state = None;
        }
        if state.is_none() && came_from[frame] != STAYED_LOOSE {
            state = Some(usize::from(came_from[frame]));
        }
    }
    path
}

/// How far back and ahead the ball's motion against a player is looked at.
#[derive(Clone, Copy)]
struct Window {
    frames: usize,
    seconds: f32,
}

impl Window {
    fn new(period: &Period, params: &ControlParams) -> Self {
        let frames = period.frames_in(params.speed_window_s);
        Self {
            frames,
            seconds: (frames as f64 / period.hz) as f32,
        }
    }
}

/// What the ball tells at a frame.
struct BallEvidence {
    x_m: f32,
    y_m: f32,
    /// Frames a window before and after this one at which the ball is seen, and the way from there (to there).
    back: Option<(usize, f32, f32)>,
    ahead: Option<(usize, f32, f32)>,
    window_s: f32,
    /// What height and fall add to everyone's cost.
    height_cost_per_s: f32,
}

impl BallEvidence {
    /// `None` when the ball is missing.
    fn at(period: &Period, frame: usize, window: Window, params: &ControlParams) -> Option<Self> {
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
        })
    }

    /// What it costs, per second, to say that a player has it. `sign`: of the x of the hoop he attacks.
    fn cost_per_s(&self, track: &Track, frame: usize, sign: f32, params: &ControlParams) -> f32 {
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
        let cost = params.reach_cost_per_s * near * near + far + fast + retreat + self.height_cost_per_s;
        cost.min(MAX_COST_PER_S)
    }
}
