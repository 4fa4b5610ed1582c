//! Whether a player moves or stands, frame by frame.

use scrim_play::{Mover, Scene};

use super::params::PullParams;
use crate::off_ball::motion::{MotionParams, pace_mps};

/// What a player does at one frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Movement {
    /// They move, and have done or will do so for long enough.
    Moves,
    /// They stand, and have done so for long enough.
    Stands,
    /// Neither is known: a short step, the time just after a move, not seen.
    Between,
}

/// Fills `movement` with an entry a scene frame. `stretch`: see [`crate::off_ball::motion::stretch_frames`].
pub(super) fn classify_movement(
    scene: &Scene,
    mover: &Mover,
    stretch: usize,
    motion: &MotionParams,
    params: &PullParams,
    movement: &mut Vec<Movement>,
) {
    movement.clear();
    movement.resize(scene.frames, Movement::Between);
    let is_seen = |k: usize| mover.at(k).is_finite() && mover.speed_at(k).is_finite();
    let pace_mps = |k: usize| pace_mps(scene, mover, k, stretch);
    // Above: a run of moving that ends where it began would never end.
    let still_mps = params.still_mps.min(motion.moving_mps);
    let least_moving = scene.frames_in(params.min_moving_s);
    let settle = scene.frames_in(params.settle_s);
    // The first frame at which standing counts. What they did before they are seen is not known.
    let mut settled = settle;
    let mut k = 0;
    while k < scene.frames {
        if !is_seen(k) {
            k += 1;
            settled = k + settle;
            continue;
        }
        let start = k;
        let moves = pace_mps(k) > motion.moving_mps;
        let limit_mps = if moves { still_mps } else { motion.moving_mps };
        k += 1;
        while k < scene.frames && is_seen(k) && (pace_mps(k) > limit_mps) == moves {
            k += 1;
        }
        if !moves {
            let from = settled.clamp(start, k);
            movement[from..k].fill(Movement::Stands);
        } else if k - start >= least_moving {
            movement[start..k].fill(Movement::Moves);
            settled = k + settle;
        }
    }
}
