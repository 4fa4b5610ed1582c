//! How a parameter is declared: once.
//!
//! [`parameters!`](crate::parameters) declares a section of a pipeline file. For each key it takes the meaning (the doc comment),
//! name, type, default, bounds and source, and makes of them the struct, serde (a key that is left out has its default, a key that is
//! not known is refused), `Default`, the check of the bounds, and the list that `scrim pipeline --explain` and
//! `docs/parameters.md` show.

use std::fmt::Display;
use std::ops::RangeInclusive;

/// A value that a parameter cannot have.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("parameter `{key}` is {found}; it must be {expected}")]
pub struct ParameterError {
    /// The key, with the names of its sections before the dots.
    pub key: String,
    /// Its value.
    pub found: String,
    /// What it may be.
    pub expected: String,
}

impl ParameterError {
    /// An error at `key` of `section`.
    pub fn new(section: &str, key: &str, found: &dyn Display, expected: impl Into<String>) -> Self {
        Self {
            key: key_in(section, key),
            found: found.to_string(),
            expected: expected.into(),
        }
    }
}

/// What a parameter is, for people.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameter {
    /// The key, with the names of its sections before the dots.
    pub key: String,
    /// Its unit; empty where it has none.
    pub unit: &'static str,
    /// What it may be.
    pub values: String,
    /// Least and most, of a number.
    pub bounds: Option<(f64, f64)>,
    /// What it means.
    pub meaning: String,
    /// Where its default comes from.
    pub source: &'static str,
}

/// A section of parameters.
pub trait Parameters {
    /// Whether every parameter is within its bounds. `section`: the names of the sections that this one is in, with dots; empty for
    /// the file itself.
    ///
    /// # Errors
    /// [`ParameterError`] for the first that is not.
    fn check_in(&self, section: &str) -> Result<(), ParameterError>;

    /// Adds what each parameter is to `list`, in the order of their declaration.
    fn list_in(section: &str, list: &mut Vec<Parameter>);
}

/// The source of a default that names none.
pub const COMMON_PRACTICE: &str = "common practice, no source";

/// `key` after the names of its sections.
pub fn key_in(section: &str, key: &str) -> String {
    if section.is_empty() {
        key.into()
    } else {
        format!("{section}.{key}")
    }
}

/// Checks that a number lies within its bounds; one that is not a number does not.
///
/// # Errors
/// [`ParameterError`].
pub fn check_bounds<T: PartialOrd + Display>(
    section: &str,
    key: &str,
    found: T,
    bounds: RangeInclusive<T>,
) -> Result<(), ParameterError> {
    if bounds.contains(&found) {
        return Ok(());
    }
    let expected = format!("from {} to {}", bounds.start(), bounds.end());
    Err(ParameterError::new(section, key, &found, expected))
}

/// Checks that a string is one of `values`.
///
/// # Errors
/// [`ParameterError`].
pub fn check_either(section: &str, key: &str, found: &str, values: &[&str]) -> Result<(), ParameterError> {
    if values.contains(&found) {
        return Ok(());
    }
    let expected = format!("one of {}", values.join(", "));
    Err(ParameterError::new(section, key, &found, expected))
}

/// Ends of names, and the units that they say.
const UNITS: [(&str, &str); 8] = [
    ("_per_s", "1/s"),
    ("_mps", "m/s"),
    ("_s", "s"),
    ("_m", "m"),
    ("_deg", "degrees"),
    ("hz", "1/s"),
    ("share", "share of 1"),
    ("confidence", "share of 1"),
];

/// The unit that a parameter's name says; empty where it says none.
pub fn unit_of(key: &str) -> &'static str {
    UNITS
        .iter()
        .find(|(end, _)| key.ends_with(end))
        .map_or("", |(_, unit)| unit)
}

/// Declares a section of parameters.
///
/// Each key is one of
/// - a number: `name: type = default, in least..=most;`
/// - a choice whose type refuses what it cannot be: `name: type = default, words "what it may be";`
/// - a string that is one of some: `name: String = default, either ["one", "other"];`
/// - a section of its own: `name: type;`
///
/// with `, source "where the default comes from"` before the semicolon where it has a source. The doc comment is the meaning; the
/// unit is in the name ([`unit_of`]). `constant;` in front also makes the constant `DEFAULT`.
///
/// ```
/// use scrim_floor::Parameters;
///
/// scrim_floor::parameters! {
///     /// How far somebody goes.
///     pub struct Way {
///         /// Length of a step.
///         step_m: f32 = 0.7, in 0.1..=2.0;
///     }
/// }
/// assert_eq!(Way::default().step_m, 0.7);
/// let error = Way { step_m: 0.0 }.check_in("way").unwrap_err();
/// assert_eq!(error.to_string(), "parameter `way.step_m` is 0; it must be from 0.1 to 2");
/// ```
#[macro_export]
macro_rules! parameters {
    (
        constant;
        $(#[doc = $about:literal])+
        pub struct $name:ident {
            $($(#[doc = $meaning:literal])+ $key:ident: $type:ty = $default:expr, $kind:ident $values:expr $(, source $source:literal)?;)+
        }
    ) => {
        $crate::parameters! {
            $(#[doc = $about])+
            pub struct $name {
                $($(#[doc = $meaning])+ $key: $type = $default, $kind $values $(, source $source)?;)+
            }
        }

        impl $name {
            /// The defaults.
            pub const DEFAULT: Self = Self { $($key: $default),+ };
        }
    };
    (
        $(#[doc = $about:literal])+
        pub struct $name:ident {
            $($(#[doc = $meaning:literal])+ $key:ident: $type:ty $(= $default:expr, $kind:ident $values:expr $(, source $source:literal)?)?;)+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, PartialEq, ::serde::Serialize, ::serde::Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $meaning])+ pub $key: $type,)+
        }

        impl Default for $name {
            fn default() -> Self {
                Self { $($key: $crate::parameters!(@default $type $(, $default)?)),+ }
            }
        }

        impl $crate::Parameters for $name {
            fn check_in(&self, section: &str) -> Result<(), $crate::ParameterError> {
                $($crate::parameters!(@check self, section, $key, $type $(, $kind $values)?);)+
                Ok(())
            }

            fn list_in(section: &str, list: &mut Vec<$crate::Parameter>) {
                $($crate::parameters!(
                    @list section, list, $key, $type, concat!($($meaning),+) $(, $kind $values, [$($source)?])?
                );)+
            }
        }
    };

    (@default $type:ty) => { <$type>::default() };
    (@default $type:ty, $default:expr) => { $default };

    (@check $self:ident, $section:ident, $key:ident, $type:ty) => {
        $crate::Parameters::check_in(&$self.$key, &$crate::parameter::key_in($section, stringify!($key)))?
    };
    (@check $self:ident, $section:ident, $key:ident, $type:ty, in $bounds:expr) => {
        $crate::parameter::check_bounds($section, stringify!($key), $self.$key, $bounds)?
    };
    (@check $self:ident, $section:ident, $key:ident, $type:ty, words $values:expr) => {};

    (@check $self:ident, $section:ident, $key:ident, $type:ty, either $values:expr) => {
        $crate::parameter::check_either($section, stringify!($key), &$self.$key, &$values)?
    };

    (@list $section:ident, $list:ident, $key:ident, $type:ty, $meaning:expr) => {
        <$type as $crate::Parameters>::list_in(&$crate::parameter::key_in($section, stringify!($key)), $list)
    };
    (@list $section:ident, $list:ident, $key:ident, $type:ty, $meaning:expr, in $bounds:expr, [$($source:literal)?]) => {
        $list.push($crate::parameter::number(
            $section, stringify!($key), $meaning, &{ let bounds: ::std::ops::RangeInclusive<$type> = $bounds; bounds },
            $crate::parameters!(@source $($source)?),
        ))
    };
    (@list $section:ident, $list:ident, $key:ident, $type:ty, $meaning:expr, words $values:expr, [$($source:literal)?]) => {
        $list.push($crate::parameter::words(
            $section, stringify!($key), $meaning, $values, $crate::parameters!(@source $($source)?),
        ))
    };

    (@list $section:ident, $list:ident, $key:ident, $type:ty, $meaning:expr, either $values:expr, [$($source:literal)?]) => {
        $list.push($crate::parameter::words(
            $section, stringify!($key), $meaning, &$values.join(", "), $crate::parameters!(@source $($source)?),
        ))
    };

    (@source) => { $crate::parameter::COMMON_PRACTICE };
    (@source $source:literal) => { $source };
}

/// A number's entry in the list; [`parameters!`](crate::parameters) calls this.
pub fn number<T: Display>(
    section: &str,
    key: &str,
    meaning: &str,
    bounds: &RangeInclusive<T>,
    source: &'static str,
) -> Parameter {
    let (least, most) = (bounds.start().to_string(), bounds.end().to_string());
    Parameter {
        unit: unit_of(key),
        bounds: least.parse().ok().zip(most.parse().ok()),
        values: format!("{least} to {most}"),
        ..words(section, key, meaning, "", source)
    }
}

/// A choice's entry in the list; [`parameters!`](crate::parameters) calls this.
pub fn words(section: &str, key: &str, meaning: &str, values: &str, source: &'static str) -> Parameter {
    Parameter {
        key: key_in(section, key),
        unit: "",
        values: values.into(),
        bounds: None,
        meaning: meaning.trim().into(),
        source,
    }
}

/// A section that `scrim tune` writes as a whole, in the list.
pub fn fitted(section: &str, meaning: &str) -> Parameter {
    Parameter {
        key: section.into(),
        ..words(
            section,
            "",
            meaning,
            "what `scrim tune` writes",
            "fitted to labels",
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    parameters! {
        /// How far somebody goes.
        pub struct Walk {
            /// Length of a step,
            /// on the level.
            step_m: f32 = 0.7, in 0.1..=2.0, source "measured";
            /// How many.
            steps: u32 = 10, in 1..=1000;
            /// Where to.
            to: String = "home".into(), either ["home", "away"];
            /// In what weather.
            weather: Weather;
        }
    }

    parameters! {
        constant;
        /// The weather.
        pub struct Weather {
            /// Share of the way in the rain.
            wet_share: f64 = 0.25, in 0.0..=1.0;
        }
    }

    fn refused(walk: &Walk) -> String {
        walk.check_in("walk").unwrap_err().to_string()
    }

    #[test]
    fn defaults_are_within_their_bounds_and_bounds_may_be_reached() {
        assert_eq!(Walk::default().check_in(""), Ok(()));
        assert_eq!(Weather::DEFAULT, Weather::default());
        for step_m in [0.1, 2.0] {
            let walk = Walk {
                step_m,
                ..Walk::default()
            };
            assert_eq!(walk.check_in(""), Ok(()));
        }
    }

    #[test]
    fn a_value_out_of_bounds_is_refused_with_its_whole_key_itself_and_the_bounds() {
        let mut walk = Walk {
            steps: 0,
            ..Walk::default()
        };
        assert_eq!(
            refused(&walk),
            "parameter `walk.steps` is 0; it must be from 1 to 1000"
        );
        walk = Walk::default();
        walk.weather.wet_share = -0.5;
        assert_eq!(
            refused(&walk),
            "parameter `walk.weather.wet_share` is -0.5; it must be from 0 to 1"
        );
        walk.weather.wet_share = f64::NAN;
        assert!(refused(&walk).contains("is NaN"));
        walk.to = "nowhere".into();
        assert_eq!(
            refused(&walk),
            "parameter `walk.to` is nowhere; it must be one of home, away"
        );
    }

    #[test]
    fn the_list_has_every_key_with_unit_bounds_meaning_and_source() {
        let mut list = Vec::new();
        Walk::list_in("walk", &mut list);
        let keys: Vec<&str> = list.iter().map(|parameter| parameter.key.as_str()).collect();
        assert_eq!(
            keys,
            ["walk.step_m", "walk.steps", "walk.to", "walk.weather.wet_share"]
        );
        let step = &list[0];
        assert_eq!(
            (
                step.unit,
                step.values.as_str(),
                step.meaning.as_str(),
                step.source
            ),
            ("m", "0.1 to 2", "Length of a step, on the level.", "measured")
        );
        assert_eq!(step.bounds, Some((0.1, 2.0)));
        assert_eq!(
            (list[2].values.as_str(), list[2].source),
            ("home, away", COMMON_PRACTICE)
        );
        assert_eq!(list[3].unit, "share of 1");
    }
}
