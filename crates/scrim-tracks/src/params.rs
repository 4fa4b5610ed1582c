//! What cleaning may be told.

use serde::{Deserialize, Serialize};

use crate::TrackError;

/// How a game is cleaned. Every value without a named source is common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TrackParams {
    /// Frames a second of the uniform grid, 1 to 120. Default 25.
    pub grid_hz: f64,
    /// Longest time between two samples of a player that is filled, s. Default 3: the curve that fills it goes on from
    /// the velocities on both sides, and is off by 0.07 m after 1 s, 0.24 m after 2 s, 0.49 m after 3 s (measured on real
    /// motion). Over a second the frames count as faulty all the same.
    pub max_player_gap_s: f64,
    /// The same for the ball, s. Default 0.3: a pass is caught or bounces within that time.
    pub max_ball_gap_s: f64,
    /// Longest time for which a ball that is in somebody's hands before and after is taken to be carried, s. Default 3: so
    /// long a dribble, or a dribble and a handoff, is likelier than two passes that were not seen.
    pub max_carried_ball_s: f64,
    /// Length of the smoothing window of players at a white noise of 0.035 m and 25 samples a second, s. Default 0.46.
    /// Measured on simulated motion: the error of the velocity is least there (0.17 m/s), and flat around it.
    pub player_window_s: f64,
    /// The same for the ball, s. Default 0.2: a bounce or a catch bends its path at once.
    pub ball_window_s: f64,
    /// How the windows grow with the measured noise: length × (noise / 0.035 m)^this. 0 keeps them. Default 0.5.
    /// Theory says 2/7 (variance ∝ length⁻³, squared bias ∝ length⁴); the velocities of simulated motion were served
    /// best by 0.56, up to a noise of 0.21 m.
    pub window_growth: f64,
    /// Longest window of players, s. Default 1: a longer one hides a screener's short stop.
    pub max_player_window_s: f64,
    /// Longest window of the ball, s. Default 0.36.
    pub max_ball_window_s: f64,
    /// Longest period that is taken, s. Default 14400 (four hours): a longer one is a wrong unit of time, and its
    /// grid would eat the memory.
    pub max_period_s: f64,
    /// When play is live.
    pub live: LiveParams,
}

impl Default for TrackParams {
    fn default() -> Self {
        Self {
            grid_hz: 25.0,
            max_player_gap_s: 3.0,
            max_ball_gap_s: 0.3,
            max_carried_ball_s: 3.0,
            player_window_s: 0.46,
            ball_window_s: 0.2,
            window_growth: 0.5,
            max_player_window_s: 1.0,
            max_ball_window_s: 0.36,
            max_period_s: 14_400.0,
            live: LiveParams::default(),
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
            ("max_carried_ball_s", self.max_carried_ball_s, 0.0, 10.0),
            ("player_window_s", self.player_window_s, 0.0, 5.0),
            ("ball_window_s", self.ball_window_s, 0.0, 5.0),
            ("window_growth", self.window_growth, 0.0, 1.0),
            ("max_player_window_s", self.max_player_window_s, 0.0, 5.0),
            ("max_ball_window_s", self.max_ball_window_s, 0.0, 5.0),
            ("max_period_s", self.max_period_s, 1.0, 86_400.0),
        ];
        for (name, found, least, most) in bounds.into_iter().chain(self.live.bounds()) {
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

/// When play counts as live. Every value without a named source is common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LiveParams {
    /// A stop of the clock shorter than this is a flicker, s. Default 0.5.
    pub min_dead_s: f64,
    /// Longest throw-in that counts as live before the clock starts, s. Default 5.5: a thrower has five seconds
    /// (FIBA Official Basketball Rules, Art. 17, from memory), and the clock's hand is late by half of one.
    pub max_throw_in_s: f64,
    /// A ball outside the court, or at most this far inside its lines, may be a thrower's, metres. Default 0.4.
    pub line_margin_m: f32,
    /// Longest flight that is live after the whistle, s. Default 1.5: the air time of a long shot.
    pub max_flight_s: f64,
    /// Speed in the plane from which a ball flies, m/s. Default 4.
    pub flight_speed_mps: f32,
    /// A clock that runs longer than this without any stop is not trusted to tell dead time, s. Default 420.
    pub max_unbroken_clock_s: f64,
    /// Speed under which a player walks, m/s. Default 2.2.
    pub walking_speed_mps: f32,
    /// Speed under which a player stands, m/s. Default 1.2.
    pub standing_speed_mps: f32,
    /// Speed in the plane under which a ball idles, m/s. Default 2.5.
    pub idle_ball_speed_mps: f32,
    /// A ball whose height changes by more than this within a second is dribbled or thrown, metres. Default 0.45.
    pub dribble_height_m: f32,
    /// Shortest walk of everybody that is dead time, s. Default 4.
    pub min_walk_s: f64,
    /// The same while a player holds the ball, s. Default 7: a closely guarded one may do so for five seconds (FIBA
    /// Official Basketball Rules, Art. 27, from memory).
    pub min_held_walk_s: f64,
    /// A ball without height this near to a player may be dribbled, and counts as live, metres. Default 1.2.
    pub hand_reach_m: f32,
    /// Longest break that such a walk, or a line-up, outlives, s. Default 0.6.
    pub max_walk_break_s: f64,
    /// How far from the free-throw line's middle the shooter, and from the lane's edge the others, may stand, metres.
    /// Default 1.
    pub line_up_reach_m: f32,
    /// Shortest free-throw line-up, s. Default 1.5.
    pub min_line_up_s: f64,
}

impl Default for LiveParams {
    fn default() -> Self {
        Self {
            min_dead_s: 0.5,
            max_throw_in_s: 5.5,
            line_margin_m: 0.4,
            max_flight_s: 1.5,
            flight_speed_mps: 4.0,
            max_unbroken_clock_s: 420.0,
            walking_speed_mps: 2.2,
            standing_speed_mps: 1.2,
            idle_ball_speed_mps: 2.5,
            dribble_height_m: 0.45,
            min_walk_s: 4.0,
            min_held_walk_s: 7.0,
            hand_reach_m: 1.2,
            max_walk_break_s: 0.6,
            line_up_reach_m: 1.0,
            min_line_up_s: 1.5,
        }
    }
}

impl LiveParams {
    /// Name, value, least, most.
    fn bounds(&self) -> [(&'static str, f64, f64, f64); 16] {
        [
            ("live.min_dead_s", self.min_dead_s, 0.0, 60.0),
            ("live.max_throw_in_s", self.max_throw_in_s, 0.0, 60.0),
            ("live.line_margin_m", self.line_margin_m.into(), -5.0, 5.0),
            ("live.max_flight_s", self.max_flight_s, 0.0, 10.0),
            ("live.flight_speed_mps", self.flight_speed_mps.into(), 0.0, 100.0),
            (
                "live.max_unbroken_clock_s",
                self.max_unbroken_clock_s,
                0.0,
                86_400.0,
            ),
            (
                "live.walking_speed_mps",
                self.walking_speed_mps.into(),
                0.0,
                100.0,
            ),
            (
                "live.standing_speed_mps",
                self.standing_speed_mps.into(),
                0.0,
                100.0,
            ),
            (
                "live.idle_ball_speed_mps",
                self.idle_ball_speed_mps.into(),
                0.0,
                100.0,
            ),
            ("live.dribble_height_m", self.dribble_height_m.into(), 0.0, 10.0),
            ("live.min_walk_s", self.min_walk_s, 0.0, 600.0),
            ("live.min_held_walk_s", self.min_held_walk_s, 0.0, 600.0),
            ("live.hand_reach_m", self.hand_reach_m.into(), 0.0, 10.0),
            ("live.max_walk_break_s", self.max_walk_break_s, 0.0, 600.0),
            ("live.line_up_reach_m", self.line_up_reach_m.into(), 0.0, 10.0),
            ("live.min_line_up_s", self.min_line_up_s, 0.0, 600.0),
        ]
    }
}
