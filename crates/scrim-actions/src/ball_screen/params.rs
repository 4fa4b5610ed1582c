//! The detector's parameters.

use scrim_tables::tags::Outcome;
use serde::{Deserialize, Serialize};

/// How ball screens are found. Words and values: vocabulary, "Screens"; where it is silent, common practice, no source.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ScreenParams {
    /// When a team-mate counts as set to screen.
    pub set: SetParams,
    /// How the outcome is told.
    pub outcome: OutcomeParams,
    /// How early denials are told.
    pub denial: super::DenialParams,
    /// How handoffs are told.
    pub handoff: HandoffParams,
    /// How sure a screen is.
    pub weights: super::ScreenWeights,
}

/// When a team-mate near the handler counts as set to screen the handler's defender.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SetParams {
    /// A spell begins when handler and team-mate are this near, m. Default 3.2.
    pub near_m: f32,
    /// Speed under which a screener is standing, m/s. Default 1.0 (vocabulary).
    pub max_speed_mps: f32,
    /// Shortest time under that speed, s. Default 0.25 (vocabulary).
    pub min_set_s: f32,
    /// The handler is this near, or nearer, while the screener is set, m. Default 2.4.
    pub user_near_m: f32,
    /// The handler's defender is this near the handler, or nearer, m: nobody screens for a man whom no one guards.
    /// Default 2.6.
    pub guarded_m: f32,
    /// The handler's defender is this near the screener, or nearer, m. Default 2.4.
    pub defender_near_m: f32,
    /// A screener comes: he moved this far in the time below, m. Default 1.2.
    pub min_arrival_m: f32,
    /// The time in which a screener comes, s. Default 3.0.
    pub arrival_s: f32,
    /// Speed under which a moving screener has clearly slowed down, m/s. Default 3.0.
    pub slowed_speed_mps: f32,
    /// A clear deceleration: the share of speed lost. Default 0.2.
    pub slowed_share: f32,
    /// A screener who does not stop turns by this at least, degrees (a cutter runs on). Default 40.
    pub turned_deg: f32,
    /// Or he came up from the hoop by this, m (a cutter comes down). Default 0.5.
    pub came_up_m: f32,
}

impl Default for SetParams {
    fn default() -> Self {
        Self {
            near_m: 3.2,
            max_speed_mps: 1.0,
            min_set_s: 0.25,
            user_near_m: 2.4,
            guarded_m: 2.6,
            defender_near_m: 2.4,
            min_arrival_m: 1.2,
            arrival_s: 3.0,
            slowed_speed_mps: 3.0,
            slowed_share: 0.2,
            turned_deg: 40.0,
            came_up_m: 0.5,
        }
    }
}

/// How the outcome of a screen is told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OutcomeParams {
    /// The user passes the screener within this, m. Default 1.6 (vocabulary).
    pub use_gap_m: f32,
    /// The handler goes: he covers this in the time below, m. Default 0.9.
    pub go_m: f32,
    /// The time in which he does, s. Default 0.8.
    pub go_s: f32,
    /// Angle between the handler's way and the direction to the screener under which he uses the screen and over which
    /// he rejects it, degrees. Default 95.
    pub reject_angle_deg: f32,
    /// The screener has left: this far from his spot, m. Default 0.7.
    pub leave_m: f32,
    /// The screener has left: faster than this, m/s. Default 1.2.
    pub leave_speed_mps: f32,
    /// A screener who leaves earlier than this after he is set slips; later, the screen went unused, s. Default 1.2.
    pub slip_within_s: f32,
    /// Nobody waits longer than this for a handler, s. Default 7.0.
    pub longest_wait_s: f32,
    /// The screen is over this long after the use, s. Default 2.5 (vocabulary).
    pub end_after_use_s: f32,
    /// The screen is over when both are this far from its spot, m. Default 2.5 (vocabulary).
    pub end_apart_m: f32,
    /// A flip's second screen comes within this, s. Default 3.0 (vocabulary).
    pub flip_within_s: f32,
    /// Rows less sure than this are not written. Default 0.5: an even bet is enough.
    pub min_confidence: f32,
    /// The same for screens that were used: a team-mate whom the handler passes by chance looks most like one of these.
    /// Default 0.7.
    pub min_used_confidence: f32,
}

impl Default for OutcomeParams {
    fn default() -> Self {
        Self {
            use_gap_m: 1.6,
            go_m: 0.9,
            go_s: 0.8,
            reject_angle_deg: 95.0,
            leave_m: 0.7,
            leave_speed_mps: 1.2,
            slip_within_s: 1.2,
            longest_wait_s: 7.0,
            end_after_use_s: 2.5,
            end_apart_m: 2.5,
            flip_within_s: 3.0,
            min_confidence: 0.5,
            min_used_confidence: 0.7,
        }
    }
}

/// How handoffs are told from passes. Distance and speed: vocabulary, "Ball and possession"; the play's stage has
/// applied them already when it calls a touch ended by a handoff.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct HandoffParams {
    /// The closest approach is looked for this long before and after the exchange, s. Default 0.8.
    pub around_s: f32,
    /// The taker comes nearer the giver by this, m ... Default 0.3.
    pub coming_m: f32,
    /// ... in this time before the exchange, s. Default 0.6.
    pub coming_s: f32,
    /// A ball screen of the same two within this of a handoff is that handoff, s. Default 1.5.
    pub same_within_s: f32,
}

impl Default for HandoffParams {
    fn default() -> Self {
        Self {
            around_s: 0.8,
            coming_m: 0.3,
            coming_s: 0.6,
            same_within_s: 1.5,
        }
    }
}

impl OutcomeParams {
    /// The least confidence with which a row of this outcome is written.
    pub(super) fn least_confidence(&self, outcome: Outcome) -> f32 {
        match outcome {
            Outcome::Used => self.min_used_confidence,
            Outcome::Rejected | Outcome::Slipped | Outcome::Ghosted | Outcome::Flipped | Outcome::Unused => {
                self.min_confidence
            }
        }
    }
}
