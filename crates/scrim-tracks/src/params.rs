//! What cleaning may be told.

use serde::{Deserialize, Serialize};

use crate::TrackError;

/// How a game is cleaned. Every value without a named source is common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TrackParams {
    /// Frames a second of the uniform grid, 1 to 120. Default 25.
    pub grid_hz: f64,
    /// Longest time between two samples of a player that is filled by a straight line, s. Default 0.6: at 3 m/s² the
    /// line is then at most 3 · 0.6² / 8 = 0.14 m off.
    pub max_player_gap_s: f64,
    /// The same for the ball, s. Default 0.3: a pass is caught or bounces within that time.
    pub max_ball_gap_s: f64,
    /// Length of the smoothing window of players, s: rounded to an odd number of frames, at least 5. Default 0.44.
    pub player_window_s: f64,
    /// Length of the smoothing window of the ball, s: rounded to an odd number of frames, at least 3. Default 0.2.
    pub ball_window_s: f64,
    /// Longest period that is taken, s. Default 14400 (four hours): a longer one is a wrong unit of time, and its
    /// grid would eat the memory.
    pub max_period_s: f64,
}

impl Default for TrackParams {
    fn default() -> Self {
        Self {
            grid_hz: 25.0,
            max_player_gap_s: 0.6,
            max_ball_gap_s: 0.3,
            player_window_s: 0.44,
            ball_window_s: 0.2,
            max_period_s: 14_400.0,
        }
    }
}

impl TrackParams {
    /// Checks that every value lies within its bounds.
    ///
    /// # Errors
    /// [`TrackError::Parameter`] names the first value that does not.
    pub fn check(&self) -> Result<(), TrackError> {
        let bounds = [
            ("grid_hz", self.grid_hz, 1.0, 120.0),
            ("max_player_gap_s", self.max_player_gap_s, 0.0, 10.0),
            ("max_ball_gap_s", self.max_ball_gap_s, 0.0, 10.0),
            ("player_window_s", self.player_window_s, 0.0, 5.0),
            ("ball_window_s", self.ball_window_s, 0.0, 5.0),
            ("max_period_s", self.max_period_s, 1.0, 86_400.0),
        ];
        for (name, found, least, most) in bounds {
            if !(least..=most).contains(&found) {
                return Err(TrackError::Parameter {
                    name,
                    found,
                    least,
                    most,
                });
            }
        }
        Ok(())
    }
}
