//! What is refused, and how much is kept in memory.

use scrim_floor::Court;
use serde::{Deserialize, Serialize};

/// Parameters of reading. All defaults are common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct IngestParams {
    /// The court of a game whose `games` side table and mapping name none. Default `fiba`.
    pub court: String,
    /// A place farther than this outside the lines is refused, m. Default 10: benches, runs into the seats and a
    /// ball thrown away lie within.
    pub max_off_court_m: f32,
    /// A height above this, or below the floor by more than 1 m, is refused, m. Default 30: roofs lie within.
    pub max_height_m: f32,
    /// An instant farther than this from its period's middle one is refused, s on the real clock. Default 7200.
    pub max_from_middle_s: f64,
    /// Times that count from the period's first frame are kept as told when the first one found is not later than
    /// this (the frames before it are taken as lost); otherwise the first one found becomes 0, s. Default 5.
    pub max_first_instant_s: f64,
    /// A game is refused as a whole when a larger share of its rows is refused. Default 0.5.
    pub max_refused_share: f64,
    /// Refused rows kept a game, one by one; more are counted by reason, in a row of their own. Default 100 000.
    pub max_quarantine_rows: usize,
}

impl Default for IngestParams {
    fn default() -> Self {
        Self {
            court: Court::fiba().name,
            max_off_court_m: 10.0,
            max_height_m: 30.0,
            max_from_middle_s: 7200.0,
            max_first_instant_s: 5.0,
            max_refused_share: 0.5,
            max_quarantine_rows: 100_000,
        }
    }
}
