//! How near is near enough.

use serde::{Deserialize, Serialize};

use crate::ScoreError;

/// What to do with a labelled game for which there are no tables at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GamesWithoutTables {
    /// Refuse to score: most often the wrong folder was given.
    Refuse,
    /// Count everything labelled in it as missed.
    CountAsMissed,
    /// Leave the game out, with a warning in the report.
    LeaveOut,
}

/// Parameters of scoring. The defaults are the data contract's ("Labels, for scoring") where it gives one; the others
/// are common practice with no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ScoreParams {
    /// Largest difference of `t_use_s` between a labelled screen and the found one, s. Default 1.0 (contract).
    pub screen_tolerance_s: f64,
    /// How far, in `t_use_s`, a screen in doubt excuses a found screen that shares its screener or its user, s.
    /// Default 2.0 (no source).
    pub doubt_reach_s: f64,
    /// Share of the shorter of two spans of a cut that must be common to both, 0 to 1. Default 0.5 (contract).
    pub min_cut_overlap: f64,
    /// Least common time of two possessions over the time that either takes, 0 to 1. Default 0.7 (no source).
    pub min_possession_overlap: f64,
    /// Share of a found possession that must lie in a possession in doubt to be excused, 0 to 1. Default 0.5 (no
    /// source).
    pub min_possession_doubt: f64,
    /// Time between two looks at who guards whom, s; the first is half of it after the label's start. Default 0.2.
    pub matchup_step_s: f64,
    /// Bins of equal width in which stated confidence is set against the share that was right. Default 10.
    pub reliability_bins: usize,
    /// A labelled game without any tables. Default [`GamesWithoutTables::Refuse`].
    pub games_without_tables: GamesWithoutTables,
}

impl Default for ScoreParams {
    fn default() -> Self {
        Self {
            screen_tolerance_s: 1.0,
            doubt_reach_s: 2.0,
            min_cut_overlap: 0.5,
            min_possession_overlap: 0.7,
            min_possession_doubt: 0.5,
            matchup_step_s: 0.2,
            reliability_bins: 10,
            games_without_tables: GamesWithoutTables::Refuse,
        }
    }
}

/// More bins than this say nothing that fewer would not, and would fill the memory before the page.
const MAX_BINS: usize = 1000;
/// A finer look than the finest tracking has nothing to see.
const MIN_STEP_S: f64 = 0.001;

impl ScoreParams {
    /// Refuses values that have no meaning.
    pub(crate) fn check(&self) -> Result<(), ScoreError> {
        let bad = |name, found: String, expected| {
            Err(ScoreError::Parameter {
                name,
                found,
                expected,
            })
        };
        for (name, value) in [
            ("screen_tolerance_s", self.screen_tolerance_s),
            ("doubt_reach_s", self.doubt_reach_s),
        ] {
            if !(value.is_finite() && value >= 0.0) {
                return bad(name, value.to_string(), "seconds, 0 or more");
            }
        }
        for (name, value) in [
            ("min_cut_overlap", self.min_cut_overlap),
            ("min_possession_overlap", self.min_possession_overlap),
            ("min_possession_doubt", self.min_possession_doubt),
        ] {
            if !(0.0..=1.0).contains(&value) {
                return bad(name, value.to_string(), "a share, 0 to 1");
            }
        }
        if !(self.matchup_step_s.is_finite() && self.matchup_step_s >= MIN_STEP_S) {
            return bad(
                "matchup_step_s",
                self.matchup_step_s.to_string(),
                "seconds, 0.001 or more",
            );
        }
        if !(1..=MAX_BINS).contains(&self.reliability_bins) {
            return bad(
                "reliability_bins",
                self.reliability_bins.to_string(),
                "a count, 1 to 1000",
            );
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn defaults_pass_and_values_without_meaning_are_refused_by_name() {
        assert!(ScoreParams::default().check().is_ok());
        let refused = [
            ScoreParams {
                screen_tolerance_s: f64::NAN,
                ..Default::default()
            },
            ScoreParams {
                doubt_reach_s: -1.0,
                ..Default::default()
            },
            ScoreParams {
                min_cut_overlap: 1.5,
                ..Default::default()
            },
            ScoreParams {
                matchup_step_s: 0.0,
                ..Default::default()
            },
            ScoreParams {
                reliability_bins: 0,
                ..Default::default()
            },
        ];
        let names = [
            "screen_tolerance_s",
            "doubt_reach_s",
            "min_cut_overlap",
            "matchup_step_s",
            "reliability_bins",
        ];
        for (params, name) in refused.iter().zip(names) {
            let message = params.check().unwrap_err().to_string();
            assert!(message.contains(name), "{message}");
        }
    }

    #[test]
    fn a_misspelt_parameter_is_refused() {
        assert!(serde_json::from_str::<ScoreParams>(r#"{"screen_tolerance": 2.0}"#).is_err());
        let params: ScoreParams = serde_json::from_str(r#"{"screen_tolerance_s": 2.0}"#).unwrap();
        assert_eq!(
            params,
            ScoreParams {
                screen_tolerance_s: 2.0,
                ..Default::default()
            }
        );
    }
}
