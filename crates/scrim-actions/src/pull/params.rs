//! The parameters of the samples for pull of motion.

use serde::{Deserialize, Serialize};

/// Which instants count for pull of motion, and what moving and standing are there. Speeds are read, and moving is told, as
/// in [`crate::MotionParams`]. Every value is common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PullParams {
    /// Places are read this far apart, s: a moment apart they repeat each other. Default 0.2.
    pub step_s: f32,
    /// Who moves goes on moving until he is slower than this, m/s (hysteresis); no more than
    /// `motion.moving_mps`, which stands for it where it is less. Default 0.7.
    pub still_mps: f32,
    /// A shorter move is neither moving nor standing, s. Default 0.4.
    pub min_moving_s: f32,
    /// Standing counts from this long after a move, s: defenders need time to come back. Default 0.8.
    pub settle_s: f32,
    /// The longest time by which a defender may follow late, s: for the residual with that lag taken off. Default 0.8.
    pub max_lag_s: f32,
    /// Instants count from this long after a player took the ball, s: a pass moves every canonical position at once, by up to a
    /// metre, and all defenders run to theirs. Default 1.0.
    pub after_catch_s: f32,
    /// Instants at which the handler is faster do not count, m/s: a drive draws help by itself. Default 2.0.
    pub max_handler_mps: f32,
    /// Whether the time around ball screens counts. Default [`BallScreenTime::LeftOut`].
    pub ball_screens: BallScreenTime,
}

impl Default for PullParams {
    fn default() -> Self {
        Self {
            step_s: 0.2,
            still_mps: 0.7,
            min_moving_s: 0.4,
            settle_s: 0.8,
            max_lag_s: 0.8,
            after_catch_s: 1.0,
            max_handler_mps: 2.0,
            ball_screens: BallScreenTime::LeftOut,
        }
    }
}

/// Whether the windows of ball screens and handoffs (those of off-ball motion) count. Inside one, the screener, the user and
/// their defenders never count: the screen moves them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BallScreenTime {
    /// They do not count: help on a ball screen is not owed to the one who moves at the same time.
    LeftOut,
    /// They count as all other time.
    Counted,
    /// Nothing else counts.
    Only,
}
