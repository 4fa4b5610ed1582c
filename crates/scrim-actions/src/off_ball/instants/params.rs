//! What a user may set of the instants.

use serde::{Deserialize, Serialize};

scrim_floor::parameters! {
    /// The geometry of every instant of a ball screen: the table `instants`, and what a pass has to get past.
    pub struct InstantParams {
        /// Of which screens the table `instants` has rows.
        of: InstantsOf = InstantsOf::None, words "none, ball_screens";
        /// From one instant to the next.
        step_s: f32 = 0.2, in 0.04..=2.0;
        /// How fast a pass flies.
        pass_speed_mps: f32 = 9.0, in 1.0..=40.0, source "9.1 m/s, the mean of 600 real possessions";
        /// How far from their own place a defender touches the ball.
        reach_m: f32 = 1.0, in 0.0..=3.0, source "common practice, no source";
        /// How long after the pass a defender starts to move to it.
        reaction_s: f32 = 0.25, in 0.0..=2.0, source "simple reaction to what is seen, from memory";
    }
}

/// Of which screens the table `instants` has rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum InstantsOf {
    /// Of none: the table is empty.
    None,
    /// Of every ball screen and handoff.
    BallScreens,
}
