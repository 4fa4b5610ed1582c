//! Whether the parameters of the reads make sense.

use super::{COVERAGE_WORDS, CoverageInputs, ReadParams};

/// A parameter that makes no sense.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// A parameter lies outside its bounds.
    #[error("parameter `{name}` is {found}; it must lie between {least} and {most}")]
    Parameter {
        /// The parameter, with the names of its groups before the dots.
        name: String,
        /// What it is.
        found: f32,
        /// Its lower bound.
        least: f32,
        /// Its upper bound.
        most: f32,
    },
}

/// No window is longer, s: a possession takes half a minute.
const LONGEST_S: f32 = 60.0;
/// No distance on a floor is longer, m.
const LONGEST_M: f32 = 30.0;
/// A border without any softness would make every word certain.
const LEAST_SOFTNESS: f32 = 0.001;
/// Nobody runs faster, m/s.
const FASTEST_MPS: f32 = 15.0;
/// No weight is larger, either way: it would drown all others.
const LARGEST_WEIGHT: f32 = 100.0;

impl ReadParams {
    /// Whether every parameter is a number within its bounds.
    ///
    /// # Errors
    /// [`ReadError::Parameter`] for the first that is not.
    pub fn check(&self) -> Result<(), ReadError> {
        for (name, found, (least, most)) in self.bounds() {
            // The inverted test catches NaN, too.
            if !(found >= least && found <= most) {
                return Err(ReadError::Parameter {
                    name,
                    found,
                    least,
                    most,
                });
            }
        }
        Ok(())
    }

    /// Every number with its name and bounds.
    fn bounds(&self) -> Vec<(String, f32, (f32, f32))> {
        let (w, c, p, h, o) = (&self.window, &self.coverage, &self.path, &self.help, &self.option);
        let (seconds, metres, share) = ((0.0, LONGEST_S), (0.0, LONGEST_M), (0.0, 1.0));
        let softness = (LEAST_SOFTNESS, LONGEST_M);
        let mut all: Vec<(String, f32, (f32, f32))> = [
            ("window.min_after_s", w.min_after_s, seconds),
            ("window.stagger_s", w.stagger_s, seconds),
            ("window.min_seen_share", w.min_seen_share, share),
            ("window.go_speed_mps", w.go_speed_mps, (0.0, FASTEST_MPS)),
            ("window.longest_go_s", w.longest_go_s, seconds),
            ("window.past_s", w.past_s, seconds),
            ("window.before_s", w.before_s, seconds),
            ("window.show_before_s", w.show_before_s, seconds),
            ("window.show_after_s", w.show_after_s, seconds),
            ("window.both_after_s", w.both_after_s, seconds),
            ("window.swap_from_s", w.swap_from_s, seconds),
            ("window.swap_after_s", w.swap_after_s, seconds),
            ("window.path_before_s", w.path_before_s, seconds),
            ("window.path_after_s", w.path_after_s, seconds),
            ("window.help_after_s", w.help_after_s, seconds),
            ("window.screener_after_s", w.screener_after_s, seconds),
            ("window.handler_after_s", w.handler_after_s, seconds),
            ("window.unused_before_s", w.unused_before_s, seconds),
            ("window.space_after_s", w.space_after_s, seconds),
            ("window.shot_after_s", w.shot_after_s, seconds),
            ("coverage.min_confidence", c.min_confidence, share),
            ("path.above_softness_m", p.above_softness_m, softness),
            ("help.tag_m", h.tag_m, metres),
            ("help.tag_came_m", h.tag_came_m, metres),
            ("help.roll_came_m", h.roll_came_m, metres),
            ("help.sag_m", h.sag_m, metres),
            ("help.stunt_step_m", h.stunt_step_m, metres),
            ("help.stunt_within_s", h.stunt_within_s, seconds),
            ("help.stunt_reach_m", h.stunt_reach_m, metres),
            ("help.softness_m", h.softness_m, softness),
            ("option.roll_m", o.roll_m, metres),
            ("option.short_roll_m", o.short_roll_m, metres),
            ("option.roll_came_m", o.roll_came_m, metres),
            ("option.stay_m", o.stay_m, metres),
            ("option.min_seen_s", o.min_seen_s, seconds),
            ("option.drive_shot_m", o.drive_shot_m, metres),
            ("option.drive_m", o.drive_m, metres),
            ("option.pull_up_s", o.pull_up_s, seconds),
            ("option.step_back_m", o.step_back_m, metres),
            ("option.step_back_softness_m", o.step_back_softness_m, softness),
            ("option.split_s", o.split_s, seconds),
            ("option.split_depth_m", o.split_depth_m, (-LONGEST_M, LONGEST_M)),
            ("option.pass_s", o.pass_s, seconds),
            ("option.reset_s", o.reset_s, seconds),
            ("option.reset_back_m", o.reset_back_m, metres),
            ("option.unused_pass_s", o.unused_pass_s, seconds),
            ("option.softness_m", o.softness_m, softness),
            ("option.softness_s", o.softness_s, softness),
        ]
        .into_iter()
        .map(|(name, value, bounds)| (name.to_owned(), value, bounds))
        .collect();
        let weight = (-LARGEST_WEIGHT, LARGEST_WEIGHT);
        for (word, weights) in COVERAGE_WORDS.iter().zip(self.coverage_model.words()) {
            let named = CoverageInputs::NAMES.iter().zip(weights.evidence());
            let both = [(&"bias", weights.bias), (&"trees", weights.trees)];
            for (name, value) in both.into_iter().chain(named) {
                all.push((format!("coverage_model.{word}.{name}"), value, weight));
            }
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::Value;

    use super::*;
    use crate::{CoverageParams, WindowParams};

    #[test]
    fn the_defaults_are_within_their_bounds() {
        assert_eq!(ReadParams::default().check(), Ok(()));
    }

    #[test]
    fn every_number_of_a_pipeline_is_checked() {
        fn numbers(value: &Value, at: &str, found: &mut BTreeSet<String>) {
            match value {
                Value::Object(inner) => {
                    for (key, value) in inner {
                        let at = if at.is_empty() {
                            key.clone()
                        } else {
                            format!("{at}.{key}")
                        };
                        numbers(value, &at, found);
                    }
                }
                Value::Number(_) => {
                    found.insert(at.to_owned());
                }
                _ => {}
            }
        }
        let params = ReadParams::default();
        let mut told = BTreeSet::new();
        numbers(&serde_json::to_value(&params).unwrap(), "", &mut told);
        let checked: BTreeSet<String> = params.bounds().into_iter().map(|(name, ..)| name).collect();
        assert_eq!(checked, told);
    }

    #[test]
    fn a_parameter_out_of_bounds_is_named() {
        let told = |params: ReadParams| params.check().unwrap_err().to_string();
        let window = WindowParams {
            show_after_s: -1.0,
            ..Default::default()
        };
        assert_eq!(
            told(ReadParams {
                window,
                ..Default::default()
            }),
            "parameter `window.show_after_s` is -1; it must lie between 0 and 60"
        );
        let coverage = CoverageParams {
            min_confidence: f32::NAN,
        };
        let told_nan = told(ReadParams {
            coverage,
            ..Default::default()
        });
        assert!(told_nan.contains("coverage.min_confidence"), "{told_nan}");
        let mut params = ReadParams::default();
        params.coverage_model.hedge.swap_late = 101.0;
        assert!(told(params).contains("coverage_model.hedge.swap_late"));
    }
}
