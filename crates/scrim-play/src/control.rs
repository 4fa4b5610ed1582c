//! Who has the ball at each frame: the cheapest path through {loose, each player on the floor}.
//!
//! A ball within reach is consistent with every player near it, so nearness alone would flicker. Taking and giving up
//! control cost something; a defender who passes closer to the ball than its dribbler for a moment does not pay.

use std::ops::Range;

use scrim_tracks::{Period, PlayerIx, TeamSlot};

use crate::ControlParams;

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
/// around the rim.
pub fn find_control(period: &Period, params: &ControlParams) -> Vec<Spell> {
    let path = cheapest_path(period, params);
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
fn cheapest_path(period: &Period, params: &ControlParams) -> Vec<Option<u16>> {
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
        let ball = BallEvidence::at(period, frame, params);
        let enter = loose + params.gain_cost;
        let mut least = f32::INFINITY;
        for &at in &active {
            if enter < cost[at] {
                cost[at] = enter;
                took[frame * words + at / 64] |= 1 << (at % 64);
            }
            let track = &period.tracks[at];
            let rate = match &ball {
                Some(ball) => ball.cost_per_s(
                    track.x_m[frame],
                    track.y_m[frame],
                    track.vx_mps[frame],
                    track.vy_mps[frame],
                    params,
                ),
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

/// What the ball tells at a frame.
struct BallEvidence {
    x_m: f32,
    y_m: f32,
    vx_mps: f32,
    vy_mps: f32,
    /// What height and fall add to everyone's cost.
    height_cost_per_s: f32,
}

impl BallEvidence {
    /// `None` when the ball is missing.
    fn at(period: &Period, frame: usize, params: &ControlParams) -> Option<Self> {
        let ball = &period.ball;
        let (x_m, y_m) = (ball.x_m[frame], ball.y_m[frame]);
        if !(x_m.is_finite() && y_m.is_finite()) {
            return None;
        }
        let z_m = ball.z_m[frame];
        let mut height_cost_per_s = 0.0;
        if z_m.is_finite() {
            height_cost_per_s += (z_m - params.max_height_m).max(0.0) * params.height_cost_per_m_s;
            let back = frame.saturating_sub(2);
            let ahead = (frame + 2).min(period.frames - 1);
            let fall_mps =
                (ball.z_m[back] - ball.z_m[ahead]) * period.hz as f32 / (ahead - back).max(1) as f32;
            if z_m > ABOVE_DRIBBLE_M && fall_mps > FREE_FALL_MPS {
                height_cost_per_s += params.fall_cost_per_s;
            }
        }
        let (vx_mps, vy_mps) = (ball.vx_mps[frame], ball.vy_mps[frame]);
        Some(Self {
            x_m,
            y_m,
            vx_mps,
            vy_mps,
            height_cost_per_s,
        })
    }

    /// What it costs, per second, to say that a player at this place has it.
    fn cost_per_s(&self, x_m: f32, y_m: f32, vx_mps: f32, vy_mps: f32, params: &ControlParams) -> f32 {
        let gap_m = (x_m - self.x_m).hypot(y_m - self.y_m);
        if !gap_m.is_finite() {
            return MAX_COST_PER_S;
        }
        let near = gap_m.min(params.reach_m) / params.reach_m;
        let beyond_m = (gap_m - params.reach_m).max(0.0);
        let speed_mps = (vx_mps - self.vx_mps).hypot(vy_mps - self.vy_mps);
        // A velocity that is not known is no evidence: the comparison with NaN is false.
        let fast = if speed_mps > params.free_speed_mps {
            (speed_mps - params.free_speed_mps) * params.speed_cost_per_m
        } else {
            0.0
        };
        let cost = params.reach_cost_per_s * near * near
            + params.beyond_cost_per_m_s * beyond_m
            + fast
            + self.height_cost_per_s;
        cost.min(MAX_COST_PER_S)
    }
}
