//! How far and how fast a player went.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, Scene};

use super::params::{MotionParams, SpeedZones};

/// The white noise at which it has that length, m.
pub const PACE_NOISE_M: f32 = 0.035;

// How speed is read. The track's own velocity is smoothed enough for a runner; of one who stands, most of it is noise, always
// positive, and its sum over seconds is a way that nobody went. A slow player's speed is therefore read over a longer stretch:
// how far they get in it. Between the two speeds below it goes over from one to the other.
//
// The longer stretch grows with the noise as the tracks' own smoothing does (by its square root). No noise floor is taken off:
// how a player sways on the spot and how tracking wanders look alike.

/// The longer stretch at the noise below, s.
const LONGER_STRETCH_S: f32 = 0.8;
/// The longest stretch, s.
const MAX_STRETCH_S: f32 = 1.2;
/// Up to this speed over the stretch it alone counts, m/s.
const SLOW_MPS: f32 = 0.6;
/// From this speed over the stretch on the velocity alone counts, m/s.
const FAST_MPS: f32 = 2.0;

/// A player's motion over some frames.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kinematics {
    /// The way gone, m: speed, summed over the frames in which they are seen.
    pub path_m: f32,
    /// From where they were seen first to where last, m.
    pub net_m: f32,
    /// Mean speed while seen, m/s.
    pub mean_speed_mps: f32,
    /// Largest speed, m/s.
    pub peak_speed_mps: f32,
    /// Share of the time seen that they moved.
    pub moving_share: f32,
    /// Time in each of the four speed zones, slowest first, s.
    pub zones_s: [f32; 4],
}

/// Half of the longer stretch at this noise, frames.
pub(crate) fn stretch_frames(scene: &Scene, noise_m: Option<f32>) -> usize {
    let noise = noise_m.map_or(1.0, |noise_m| noise_m / PACE_NOISE_M);
    let stretch_s = (LONGER_STRETCH_S * noise.sqrt()).min(MAX_STRETCH_S);
    scene.frames_in(stretch_s / 2.0)
}

/// How a player moved over scene frames; `None` when they are seen in none. `stretch`: see [`stretch_frames`].
pub(crate) fn measure(
    scene: &Scene,
    mover: &Mover,
    frames: Range<usize>,
    stretch: usize,
    params: &MotionParams,
) -> Option<Kinematics> {
    let mut ends: Option<(Point<AttackFrame>, Point<AttackFrame>)> = None;
    let (mut seen, mut moving, mut zones) = (0_usize, 0_usize, [0_usize; 4]);
    let (mut path_m, mut peak_mps) = (0.0_f64, 0.0_f32);
    for k in frames {
        let (at, velocity_mps) = (mover.at(k), mover.speed_at(k));
        if !(at.is_finite() && velocity_mps.is_finite()) {
            continue;
        }
        let speed_mps = pace_mps(scene, mover, k, stretch);
        ends = Some((ends.map_or(at, |(first, _)| first), at));
        seen += 1;
        moving += usize::from(speed_mps > params.moving_mps);
        zones[zone_of(speed_mps, &params.zones)] += 1;
        path_m += f64::from(speed_mps) / scene.hz;
        peak_mps = peak_mps.max(speed_mps);
    }
    let (first, last) = ends?;
    Some(Kinematics {
        path_m: path_m as f32,
        net_m: first.distance_m(last),
        mean_speed_mps: path_m as f32 / scene.seconds(seen),
        peak_speed_mps: peak_mps,
        moving_share: moving as f32 / seen as f32,
        zones_s: zones.map(|frames| scene.seconds(frames)),
    })
}

/// Speed at `k`, m/s; the velocity's where the stretch of `reach` frames to both sides is not all
/// seen.
pub(crate) fn pace_mps(scene: &Scene, mover: &Mover, k: usize, reach: usize) -> f32 {
    let velocity_mps = mover.speed_at(k);
    let Some(before) = k.checked_sub(reach) else {
        return velocity_mps;
    };
    let after = k + reach;
    if after >= scene.frames {
        return velocity_mps;
    }
    let stretch_mps = mover.at(before).distance_m(mover.at(after)) * scene.hz as f32 / (2 * reach) as f32;
    if !stretch_mps.is_finite() {
        return velocity_mps;
    }
    let width_mps = FAST_MPS - SLOW_MPS;
    let share = ((stretch_mps - SLOW_MPS) / width_mps).clamp(0.0, 1.0);
    stretch_mps + (velocity_mps - stretch_mps) * share
}

fn zone_of(speed_mps: f32, zones: &SpeedZones) -> usize {
    [zones.jogging_mps, zones.running_mps, zones.high_speed_mps]
        .iter()
        .filter(|&&edge_mps| speed_mps >= edge_mps)
        .count()
}
