//! The parameters of off-ball motion.

use serde::{Deserialize, Serialize};

/// How off-ball motion is measured and named. Words and values: vocabulary, "Off-ball motion"; where it is silent, common
/// practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct MotionParams {
    /// The window begins this long before the screener is set (before the use, if he never is), s. Default 1.0
    /// (vocabulary).
    pub before_set_s: f32,
    /// The window ends this long after the screen does, s. Default 1.5 (vocabulary).
    pub after_end_s: f32,
    /// Who is never farther than this from his mean place is stationary, m. Default 1.2 (vocabulary).
    pub stationary_m: f32,
    /// A cut counts for the window when this much of it lies inside, s (or half of it, if it is short). Default 0.6.
    pub cut_inside_s: f32,
    /// Speed over which a player moves, m/s. Default 1.0 (contract, `moving_share`).
    pub moving_mps: f32,
    /// How speed is read where it is low.
    pub pace: PaceParams,
    /// The speed zones.
    pub zones: SpeedZones,
}

impl Default for MotionParams {
    fn default() -> Self {
        Self {
            before_set_s: 1.0,
            after_end_s: 1.5,
            stationary_m: 1.2,
            cut_inside_s: 0.6,
            moving_mps: 1.0,
            pace: PaceParams::default(),
            zones: SpeedZones::default(),
        }
    }
}

/// How speed is read. The track's own velocity is smoothed enough for a runner; of one who stands, most of it is noise,
/// always positive, and its sum over seconds is a way that he never went. A slow player's speed is therefore read over
/// a longer stretch: how far he gets in it. Between the two speeds below it goes over from one to the other.
///
/// The longer stretch grows with the noise as the tracks' own smoothing does (by its square root). No noise floor is
/// taken off: how a player sways on the spot and how tracking wanders look alike.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PaceParams {
    /// The longer stretch at the noise below, s. Default 0.8.
    pub stretch_s: f32,
    /// The white noise at which it has that length, m. Default 0.035.
    pub at_noise_m: f32,
    /// The longest stretch, s. Default 1.2.
    pub max_stretch_s: f32,
    /// Up to this speed over the stretch it alone counts, m/s. Default 0.6.
    pub slow_mps: f32,
    /// From this speed over the stretch on the velocity alone counts, m/s. Default 2.0.
    pub fast_mps: f32,
}

impl Default for PaceParams {
    fn default() -> Self {
        Self {
            stretch_s: 0.8,
            at_noise_m: 0.035,
            max_stretch_s: 1.2,
            slow_mps: 0.6,
            fast_mps: 2.0,
        }
    }
}

/// The lower edges of three of four speed zones: standing and walking, jogging, running, high-speed running. The zones
/// are those of C. Sosa et al., "Specific Absolute Velocity Thresholds during Male Basketball Games Using Local
/// Positional System; Differences between Age Categories", Applied Sciences 11(10):4390 (2021); the values, 6, 12 and
/// 18 km/h, are from memory.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SpeedZones {
    /// From here on he jogs, m/s. Default 1.67 (6 km/h, from memory).
    pub jogging_mps: f32,
    /// From here on he runs, m/s. Default 3.33 (12 km/h, from memory).
    pub running_mps: f32,
    /// From here on it is high-speed running, m/s. Default 5.0 (18 km/h, from memory).
    pub high_speed_mps: f32,
}

impl Default for SpeedZones {
    fn default() -> Self {
        Self {
            jogging_mps: 1.67,
            running_mps: 3.33,
            high_speed_mps: 5.0,
        }
    }
}
