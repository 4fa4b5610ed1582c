//! What a user may set of the stage.

use scrim_floor::Definitions;

scrim_floor::parameters! {
    /// Who has the ball, whose possession it is, who guards whom.
    pub struct PlayParams {
        /// A play-by-play event may be stamped this much before what it says.
        event_early_s: f64 = 2.0, in 0.0..=60.0;
        /// A play-by-play event may be stamped this much after what it says.
        event_late_s: f64 = 5.0, in 0.0..=60.0;
        /// Scatter of a defender around canonical position, on each axis: matchups rest on it.
        scatter_m: f32 = 1.4, in 0.1..=10.0;
        fixed {
            /// Farthest that the ball is from the player who controls it, in the plane. (Source: vocabulary.)
            reach_m: f32 = Definitions::CONTROL_M;
            /// Highest that a controlled ball is. (Source: vocabulary.)
            max_height_m: f32 = Definitions::CONTROL_HEIGHT_M;
            /// The two players of a handoff are within this distance at the exchange. (Source: vocabulary.)
            handoff_gap_m: f32 = Definitions::HANDOFF_GAP_M;
            /// The receiver of a handoff moves at least this fast relative to the giver. (Source: vocabulary.)
            handoff_speed_mps: f32 = Definitions::HANDOFF_SPEED_MPS;
        }
    }
}
