//! Where a team-mate comes to a near stop.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Attacker, Mover, Scene};

/// A spell of near standing. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stop {
    /// The frames of near standing.
    pub frames: Range<usize>,
}

/// Slower than this a player stands, m/s (vocabulary, "Screens").
pub(crate) const STANDS_MPS: f32 = 1.0;
/// Shortest time of standing that counts as a stop, s (vocabulary, "Screens").
pub(crate) const LEAST_STOP_S: f32 = 0.25;
/// A spell of standing is broken by a step only if it is longer than this, s, or leads farther than [`SAME_SPOT_M`].
const STEP_S: f32 = 0.25;
/// Within this a shuffled foot is still the same spot, m. Common practice, no source.
const SAME_SPOT_M: f32 = 0.5;
/// Whoever shuffles farther than this from where they stopped, stands on another spot, m. Common practice, no source.
const SPOT_SIZE_M: f32 = 0.8;
/// The spot is the mean place over this time, s.
pub(crate) const SPOT_S: f32 = 0.4;

/// Who comes to stand later than this after a closest approach, stands for another one, s.
const ARRIVES_S: f32 = 1.0;
/// Nobody stands longer than this for one screen, s.
const STANDS_S: f32 = 3.0;

/// When the screener leaves the spot of a screen whose closest approach is at scene frame `at`; `at` where they never stand.
pub(super) fn leaving_frame(scene: &Scene, screener: Attacker, at: usize) -> usize {
    let arrives = at..(at + scene.frames_in(ARRIVES_S)).min(scene.frames);
    let stops = find_stops(scene, &scene.attackers[screener], arrives);
    let latest = at + scene.frames_in(STANDS_S);
    stops.first().map_or(at, |stop| stop.frames.end.clamp(at, latest))
}

/// The spells in which `mover` stands, that reach into `within`; they may begin before it.
pub(crate) fn find_stops(scene: &Scene, mover: &Mover, within: Range<usize>) -> Vec<Stop> {
    // Velocity may be known where the place is not: only who is seen can be seen to stand.
    let slow = |k: usize| mover.at(k).is_finite() && mover.speed_at(k) < STANDS_MPS;
    let step = scene.frames_in(STEP_S);
    let mut runs: Vec<Range<usize>> = Vec::new();
    let mut k = within.start;
    while k > 0 && slow(k) && slow(k - 1) {
        k -= 1;
    }
    while k < within.end {
        if !slow(k) {
            k += 1;
            continue;
        }
        let start = k;
        // A slow walk is no stop: beyond the spot's size the next stop begins.
        while k < scene.frames && slow(k) && mover.at(k).distance_m(mover.at(start)) < SPOT_SIZE_M {
            k += 1;
        }
        match runs.last_mut() {
            Some(last)
                if start - last.end <= step
                    && mover.at(start).distance_m(mover.at(last.end - 1)) < SAME_SPOT_M =>
            {
                last.end = k;
            }
            _ => runs.push(start..k),
        }
    }
    let min_set = scene.frames_in(LEAST_STOP_S);
    runs.into_iter()
        .filter(|run| run.len() >= min_set)
        .map(|frames| Stop { frames })
        .collect()
}

/// Mean place over the frames in which the mover is seen; not finite when they are seen in none.
pub(crate) fn mean_place(mover: &Mover, frames: Range<usize>) -> Point<AttackFrame> {
    let (mut x_m, mut y_m, mut seen) = (0.0, 0.0, 0.0_f32);
    for place in frames.map(|k| mover.at(k)).filter(|place| place.is_finite()) {
        x_m += place.x_m;
        y_m += place.y_m;
        seen += 1.0;
    }
    Point::new(x_m / seen, y_m / seen)
}
