//! Times and clocks: what their columns count, from where and which way.

use serde::{Deserialize, Serialize};

/// Which instant.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TimeMapping {
    /// The column. Default `t_s`.
    pub column: Option<String>,
    /// What it counts. Default seconds.
    pub unit: TimeUnit,
    /// Frames a second: needed with `unit = "frame"`, and only then.
    pub rate_hz: Option<f64>,
    /// Where it counts from. Default: the period's start for `s`, `ms` and `clock`, anywhere for the others.
    pub counts_from: Option<CountsFrom>,
}

/// What a column of times counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TimeUnit {
    /// Seconds (also since an epoch, and Arrow time stamps).
    #[default]
    S,
    /// Milliseconds (also since an epoch).
    Ms,
    /// Microseconds.
    Us,
    /// Nanoseconds.
    Ns,
    /// Frame numbers, with `rate_hz`.
    Frame,
    /// Text such as `11:58.4` or `1:02:03.25`.
    Clock,
    /// Text such as `2031-06-18T19:30:00.04Z` (ISO 8601 date and time).
    Iso,
}

/// Where times count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CountsFrom {
    /// The period's first frame is 0: times are kept as they are.
    PeriodStart,
    /// Anything else: the period's first instant becomes 0.
    Anywhere,
}

/// A clock.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ClockMapping {
    /// The column. Default `game_clock_s` or `shot_clock_s`, when there is one.
    pub column: Option<String>,
    /// What it counts. Default seconds.
    pub unit: ClockUnit,
    /// Which way. Default down (time that remains).
    pub counts: ClockSense,
    /// What it counts up to, s; needed with `counts = "up"`, and only then.
    pub length_s: Option<f32>,
    /// The same in overtime, s. Default `length_s`.
    pub overtime_length_s: Option<f32>,
    /// How many periods come before overtime. Default 4.
    pub regular_periods: Option<u8>,
}

/// What a clock counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClockUnit {
    /// Seconds.
    #[default]
    S,
    /// Milliseconds.
    Ms,
    /// Minutes.
    Min,
    /// Text such as `11:58.4`.
    Clock,
}

/// Which way a clock runs.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClockSense {
    /// It shows what remains.
    #[default]
    Down,
    /// It shows what has gone.
    Up,
}
