//! What a user may set of the samples for pull of motion.

use serde::{Deserialize, Serialize};

scrim_floor::parameters! {
    /// Which instants count for pull of motion, and what moving and standing are there. Speeds are read, and moving is decided, as
    /// in `[motion]`.
    pub struct PullParams {
        /// Whether the time around ball screens counts.
        ball_screens: BallScreenTime = BallScreenTime::LeftOut, words "left_out, counted, only";
        fixed {
            /// The longest time by which a defender may follow late: for the residual with that lag taken off.
            max_lag_s: f32 = 0.8;
            /// Instants at which the handler is faster do not count: a drive draws help by itself.
            max_handler_mps: f32 = 2.0;
            /// Places are read this far apart: a moment apart they repeat each other.
            step_s: f32 = 0.2;
            /// Who moves goes on moving until slower than this (hysteresis); `motion.moving_mps` stands for it where that is less.
            still_mps: f32 = 0.7;
            /// A shorter move is neither moving nor standing.
            min_moving_s: f32 = 0.4;
            /// Standing counts from this long after a move: defenders need time to come back.
            settle_s: f32 = 0.8;
            /// Instants count from this long after a player took the ball: a pass moves every canonical position at once, by up to a
            /// metre, and all defenders run to theirs.
            after_catch_s: f32 = 1.0;
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
