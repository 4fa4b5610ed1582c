//! Bounds of parameters, told by the units in their names.
//!
//! A name says what a number is: `go_s` are seconds, `min_confidence` is a share of 1. That gives every parameter bounds in
//! which it means something, whatever stage it belongs to; stages with bounds of their own check those, too.

use std::fmt;

/// A parameter outside its bounds.
#[derive(Debug, Clone, PartialEq)]
pub struct OutsideBounds {
    /// The parameter, with the names of its groups before the dots.
    pub key: String,
    /// What it is.
    pub found: f64,
    /// Its lower bound.
    pub least: f64,
    /// Its upper bound.
    pub most: f64,
}

impl fmt::Display for OutsideBounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            key,
            found,
            least,
            most,
        } = self;
        write!(
            f,
            "parameter `{key}` is {found}; it must lie between {least} and {most}"
        )
    }
}

/// The sections whose numbers have no other bounds than these; the stages of the others check their own.
const SECTIONS: [&str; 9] = [
    "screens",
    "off_ball_screens",
    "cuts",
    "motion",
    "space",
    "dilemmas",
    "pull",
    "flow",
    "track_table",
];

/// Ends of names, with the least and the most that they allow. The first that fits counts. A length can be negative where
/// it is a difference (`min_back_m`), so lengths are bounded on both sides; times and speeds never are below 0.
const BOUNDS: [(&str, f64, f64); 9] = [
    ("confidence", 0.0, 1.0),
    ("share", 0.0, 1.0),
    ("fit", 0.0, 1.0),
    ("kind_lead", 0.0, 1.0),
    ("_deg", 0.0, 360.0),
    ("_mps", 0.0, 15.0),
    ("hz", 1.0, 1000.0),
    ("_s", 0.0, 60.0),
    ("_m", -30.0, 30.0),
];

/// A step of time or length must go forward.
const SHORTEST_STEP: f64 = 0.01;

/// The first parameter of a whole pipeline's [`SECTIONS`] outside the bounds that its name tells. Weights have none.
pub(crate) fn outside(pipeline: &toml::Table) -> Option<OutsideBounds> {
    SECTIONS
        .iter()
        .filter_map(|section| Some((section, pipeline.get(*section)?.as_table()?)))
        .find_map(|(section, parameters)| outside_in(section, parameters))
}

fn outside_in(section: &str, parameters: &toml::Table) -> Option<OutsideBounds> {
    let is_outside = |key: &str, number: f64| {
        bounds_of(key).is_some_and(|(least, most)| !(least..=most).contains(&number))
    };
    let (key, found) = find_number(section, parameters, &is_outside)?;
    let (least, most) = bounds_of(&key)?;
    Some(OutsideBounds {
        key,
        found,
        least,
        most,
    })
}

/// The first floating-point parameter that `is_wanted`, with its value, groups in the order of their names. `is_wanted` has the
/// parameter with the names of its groups before the dots.
pub(crate) fn find_number(
    section: &str,
    table: &toml::Table,
    is_wanted: &dyn Fn(&str, f64) -> bool,
) -> Option<(String, f64)> {
    table.iter().find_map(|(name, value)| {
        let key = if section.is_empty() {
            name.clone()
        } else {
            format!("{section}.{name}")
        };
        match value {
            toml::Value::Float(number) if is_wanted(&key, *number) => Some((key, *number)),
            toml::Value::Table(group) => find_number(&key, group, is_wanted),
            _ => None,
        }
    })
}

/// The bounds of the parameter at `key`; `None` when its name tells none, or it is a weight.
fn bounds_of(key: &str) -> Option<(f64, f64)> {
    let (groups, name) = key.rsplit_once('.')?;
    if groups.split('.').any(|group| group == "weights") {
        return None;
    }
    let (_, least, most) = BOUNDS.iter().find(|(end, ..)| name.ends_with(end))?;
    let least = if name.starts_with("step_") {
        SHORTEST_STEP
    } else {
        *least
    };
    Some((least, *most))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found_outside(text: &str) -> Option<String> {
        outside_in("group", &text.parse().unwrap()).map(|outside| outside.to_string())
    }

    #[test]
    fn a_number_that_its_unit_does_not_allow_is_told_with_its_bounds() {
        let told = |text| found_outside(text).expect("outside");
        assert_eq!(
            told("[parted]\nconfidence = 3.0"),
            "parameter `group.parted.confidence` is 3; it must lie between 0 and 1"
        );
        assert_eq!(
            told("go_s = -1.0"),
            "parameter `group.go_s` is -1; it must lie between 0 and 60"
        );
        assert_eq!(
            told("step_s = 0.0"),
            "parameter `group.step_s` is 0; it must lie between 0.01 and 60"
        );
        assert!(told("top_mps = 40.0").contains("between 0 and 15"));
        assert!(told("grid_hz = 0.0").contains("between 1 and 1000"));
    }

    #[test]
    fn bounds_themselves_differences_below_zero_and_weights_may_be() {
        for text in [
            "confidence = 1.0",
            "go_s = 0.0",
            "back_m = -2.0",
            "[weights]\nbias_s = -90.0",
            "count = 7",
        ] {
            assert_eq!(found_outside(text), None, "{text}");
        }
    }
}
