//! The parameters of the season's stage.

use serde::{Deserialize, Serialize};

use crate::{PullSeasonParams, SeasonError, TaggingParams};

/// How a season is put together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SeasonParams {
    /// Longest chain of actions, before the next one, that the model of sequences knows by itself; of a longer look it knows
    /// the last so many actions. From 0 to 12. Default 5: beyond it, hardly a look comes twice in a season (no source).
    pub max_look_tokens: u32,
    /// Looks that came up less often, for a team and side, have no row in `tendencies`. Default 5 (no source): from four a
    /// 95 % interval is wider than half of all there is.
    pub min_look_n: u32,
    /// A shot with at least this distance to the nearest defender is open, m. Default 1.83 (6 ft; common practice, no source).
    pub open_shot_m: f32,
    /// Times that a team's lateness in a coverage must be known from earlier games before a defender is held against their
    /// median. Default 5 (no source).
    pub min_median_runs: u32,
    /// How the `pull` of motion is made, if at all.
    pub pull: PullSeasonParams,
    /// How often tags are right, from labelled games. Default: not known.
    pub tagging: TaggingParams,
}

impl Default for SeasonParams {
    fn default() -> Self {
        Self {
            max_look_tokens: 5,
            min_look_n: 5,
            open_shot_m: 1.83,
            min_median_runs: 5,
            pull: PullSeasonParams::default(),
            tagging: TaggingParams::default(),
        }
    }
}

/// More than that, and a season's looks fill the memory.
const MOST_LOOK_TOKENS: u32 = 12;

impl SeasonParams {
    /// Checks the bounds.
    ///
    /// # Errors
    /// [`SeasonError::Parameter`] names the first one that is outside.
    pub fn check(&self) -> Result<(), SeasonError> {
        if self.max_look_tokens > MOST_LOOK_TOKENS {
            return Err(SeasonError::Parameter {
                key: "max_look_tokens",
                found: self.max_look_tokens.to_string(),
                expected: "from 0 to 12",
            });
        }
        if !(0.0..=100.0).contains(&self.open_shot_m) {
            return Err(SeasonError::Parameter {
                key: "open_shot_m",
                found: self.open_shot_m.to_string(),
                expected: "from 0 to 100 metres",
            });
        }
        self.pull.check()?;
        self.tagging.check()
    }
}
