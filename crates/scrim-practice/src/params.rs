//! What a caller may choose about the games.

use scrim_floor::Court;
use serde::{Deserialize, Serialize};

/// Whether the tracking gives how high the ball is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BallHeight {
    /// `z_m` is given for the ball.
    Given,
    /// `z_m` is null everywhere.
    Unknown,
}

/// How the time stamps of the frames are spaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TimeStamps {
    /// Exactly one over the rate.
    Regular,
    /// Jittered by up to a third of a frame, and a few frames are sent twice.
    Irregular,
}

/// Faults of a tracking system, laid over the finished tracks. All rates are 0 by default: clean tracking.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Faults {
    /// Dropouts (an entity is missing for 0.1 to 3 s), for each entity and minute. Default 0.
    pub dropouts_per_minute: f64,
    /// Identity swaps (two close players carry each other's id for 0.3 to 4 s, one in five until the ball is next
    /// dead), in a game minute. Default 0.
    pub swaps_per_minute: f64,
    /// Spikes (one frame of an entity jumps by 2 to 8 m), for each entity and minute. Default 0.
    pub spikes_per_minute: f64,
    /// How frames are stamped. Default [`TimeStamps::Regular`].
    pub time_stamps: TimeStamps,
}

impl Default for Faults {
    fn default() -> Self {
        Self {
            dropouts_per_minute: 0.0,
            swaps_per_minute: 0.0,
            spikes_per_minute: 0.0,
            time_stamps: TimeStamps::Regular,
        }
    }
}

/// What games are played and how they are recorded.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PracticeParams {
    /// Seed of everything that is left to chance. Default 1.
    pub seed: u64,
    /// Number of games. Default 1.
    pub games: u32,
    /// Frames a second, 5 to 100. Default 25.
    pub hz: f64,
    /// Standard deviation of the position noise on each axis, metres; half of the variance is white, half is
    /// correlated in time. Default 0.05 (published errors of tracking systems lie between 0.05 and 0.30 m).
    pub noise_m: f32,
    /// Time constant of the correlated half of the noise, seconds. Default 0.6.
    pub noise_time_constant_s: f64,
    /// Periods in a game. Default 4.
    pub periods: u8,
    /// Game-clock seconds in a period. Default 720. With dead time, four of these are about 75 minutes.
    pub period_s: f64,
    /// Faults of the tracking. Default: none.
    pub faults: Faults,
    /// The court. Default FIBA.
    pub court: Court,
    /// Whether the ball's height is given. Default given.
    pub ball_height: BallHeight,
    /// Share of possessions that are played in order, 0 to 1: the handler waits for a screener who comes and stands; and, drawn
    /// by itself, share of those in which players off the ball stand at their spots. The others are played as lively as real
    /// ones. Default 0.
    pub orderly_share: f32,
    /// A shooter takes the corner away from the ball at every ball screen and, by chance, lifts out of it while the screener rolls.
    /// The share of these lifts, 0 to 1, that holds the low man, who stays with the shooter and comes over late or not at all; in
    /// all other cases they tag the roller. The weak side does nothing else then. Default: no lifts are called.
    pub lifts_hold: Option<f32>,
}

impl Default for PracticeParams {
    fn default() -> Self {
        Self {
            seed: 1,
            games: 1,
            hz: 25.0,
            noise_m: 0.05,
            noise_time_constant_s: 0.6,
            periods: 4,
            period_s: 720.0,
            faults: Faults::default(),
            court: Court::fiba(),
            ball_height: BallHeight::Given,
            orderly_share: 0.0,
            lifts_hold: None,
        }
    }
}

/// A parameter no game can be played with.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ParamsError {
    /// A number is outside its range.
    #[error("practice parameter `{name}` is {found}; it must be {expected}")]
    OutOfRange {
        /// The parameter.
        name: &'static str,
        /// What it was.
        found: f64,
        /// What it may be.
        expected: &'static str,
    },
    /// The court's measures do not add up.
    #[error("practice parameter `court` cannot be played on")]
    Court {
        /// What is wrong with it.
        source: scrim_floor::CourtError,
    },
}

impl PracticeParams {
    /// These parameters, once every number is known to lie in its range.
    ///
    /// # Errors
    /// [`ParamsError`] names the first parameter that does not.
    pub fn checked(self) -> Result<Self, ParamsError> {
        let faults = &self.faults;
        let checks = [
            ("hz", self.hz, 5.0, 100.0, "5 to 100 frames a second"),
            ("noise_m", f64::from(self.noise_m), 0.0, 2.0, "0 to 2 m"),
            (
                "noise_time_constant_s",
                self.noise_time_constant_s,
                0.01,
                60.0,
                "0.01 to 60 s",
            ),
            ("periods", f64::from(self.periods), 1.0, 12.0, "1 to 12"),
            ("period_s", self.period_s, 30.0, 3600.0, "30 to 3600 s"),
            (
                "dropouts_per_minute",
                faults.dropouts_per_minute,
                0.0,
                20.0,
                "0 to 20",
            ),
            ("swaps_per_minute", faults.swaps_per_minute, 0.0, 20.0, "0 to 20"),
            (
                "spikes_per_minute",
                faults.spikes_per_minute,
                0.0,
                60.0,
                "0 to 60",
            ),
            ("orderly_share", f64::from(self.orderly_share), 0.0, 1.0, "0 to 1"),
            (
                "lifts_hold",
                f64::from(self.lifts_hold.unwrap_or(0.0)),
                0.0,
                1.0,
                "0 to 1",
            ),
        ];
        for (name, found, low, high, expected) in checks {
            // A NaN is in no range.
            if !(low..=high).contains(&found) {
                return Err(ParamsError::OutOfRange {
                    name,
                    found,
                    expected,
                });
            }
        }
        match self.court.clone().checked() {
            Ok(_) => Ok(self),
            Err(source) => Err(ParamsError::Court { source }),
        }
    }
}
