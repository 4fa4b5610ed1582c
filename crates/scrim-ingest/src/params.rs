//! What is refused, and how much is kept in memory.

use scrim_floor::Court;
use serde::{Deserialize, Serialize};

use crate::IngestError;

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

impl IngestParams {
    /// Whether every parameter can be.
    ///
    /// # Errors
    /// [`IngestError::Parameter`] names the first that cannot.
    pub fn check(&self) -> Result<(), IngestError> {
        let refuse = |name, found: String, expected| {
            Err(IngestError::Parameter {
                name,
                found,
                expected,
            })
        };
        for (name, found) in [
            ("max_off_court_m", f64::from(self.max_off_court_m)),
            ("max_height_m", f64::from(self.max_height_m)),
            ("max_from_middle_s", self.max_from_middle_s),
            ("max_first_instant_s", self.max_first_instant_s),
        ] {
            if !(0.0..1e6).contains(&found) {
                return refuse(name, found.to_string(), "a number from 0 to a million");
            }
        }
        if !(0.0..=1.0).contains(&self.max_refused_share) {
            return refuse(
                "max_refused_share",
                self.max_refused_share.to_string(),
                "a share from 0 to 1",
            );
        }
        if Court::by_name(&self.court).is_err() {
            return refuse("court", self.court.clone(), "fiba, nba or ncaa");
        }
        Ok(())
    }
}
