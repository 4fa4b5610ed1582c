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

/// Ends of names, with the least and the most that they allow. The first that fits counts. A length can be negative where
/// it is a difference (`min_back_m`), so lengths are bounded on both sides; times and speeds never are below 0.
const BOUNDS: [(&str, f64, f64); 12] = [
    ("confidence", 0.0, 1.0),
    ("share", 0.0, 1.0),
    ("fit", 0.0, 1.0),
    ("fit_lead", 0.0, 1.0),
    ("kind_lead", 0.0, 1.0),
    ("_deg", 0.0, 360.0),
    ("_mps", 0.0, 15.0),
    ("_mps2", 0.0, 30.0),
    ("_hz", 1.0, 1000.0),
    ("_ms", 0.0, 60_000.0),
    ("_s", 0.0, 60.0),
    ("_m", -30.0, 30.0),
];

/// A step of time or length must go forward.
const SHORTEST_STEP: f64 = 0.01;

/// The first parameter outside the bounds that its name tells, groups in the order of their names. Weights have none.
pub(crate) fn outside(section: &str, table: &toml::Table) -> Option<OutsideBounds> {
    table.iter().find_map(|(name, value)| {
        let key = format!("{section}.{name}");
        match value {
            toml::Value::Table(group) if name != "weights" => outside(&key, group),
            toml::Value::Float(found) => bounds_of(name).and_then(|(least, most)| {
                (!(least..=most).contains(found)).then_some(OutsideBounds {
                    key,
                    found: *found,
                    least,
                    most,
                })
            }),
            _ => None,
        }
    })
}

fn bounds_of(name: &str) -> Option<(f64, f64)> {
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
        outside("group", &text.parse().unwrap()).map(|outside| outside.to_string())
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
