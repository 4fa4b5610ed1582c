//! How near is near enough.

use scrim_tables::{SAME_INSTANT_S, SAME_SPAN_SHARE};
use serde::{Deserialize, Serialize};

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

scrim_floor::parameters! {
    /// Parameters of scoring. Those of the data contract are in "Labels, for scoring".
    pub struct ScoreParams {
        /// Largest difference of `t_use_s` between a labelled screen and the found one.
        screen_tolerance_s: f64 = SAME_INSTANT_S, in 0.0..=60.0, source "contract";
        /// How far, in `t_use_s`, a screen in doubt excuses a found screen that shares its screener or its user.
        doubt_reach_s: f64 = 2.0, in 0.0..=60.0;
        /// Share of the shorter of two spans of a cut that must be common to both.
        min_cut_overlap: f64 = SAME_SPAN_SHARE, in 0.0..=1.0, source "contract";
        /// Least common time of two possessions over the time that either takes.
        min_possession_overlap: f64 = 0.7, in 0.0..=1.0;
        /// Share of a found possession that must lie in a possession in doubt to be excused.
        min_possession_doubt: f64 = 0.5, in 0.0..=1.0;
        /// Time between two looks at who guards whom; the first is half of it after the label's start. A finer look than the finest
        /// tracking has nothing to see.
        matchup_step_s: f64 = 0.2, in 0.001..=60.0;
        /// Bins of equal width in which stated confidence is set against the share that was right.
        reliability_bins: usize = 10, in 1..=1000;
        /// A labelled game without any tables.
        games_without_tables: GamesWithoutTables = GamesWithoutTables::Refuse, words "refuse, count_as_missed, leave_out";
    }
}

#[cfg(test)]
mod tests {
    use scrim_floor::Parameters;

    use super::*;

    #[test]
    fn defaults_pass_and_values_without_meaning_are_refused_by_name() {
        assert!(ScoreParams::default().check_in("").is_ok());
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
            let message = params.check_in("").unwrap_err().to_string();
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
