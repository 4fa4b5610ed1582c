//! How a parameter is declared: once.
//!
//! [`parameters!`](crate::parameters) declares a section of a pipeline file. For each key it takes the meaning (the doc comment),
//! name, type, default, bounds and source, and makes of them the struct, serde (a key that is left out has its default, a key that is
//! not known is refused), `Default`, the check of the bounds, and the list that `scrim pipeline --explain` and
//! `docs/parameters.md` show.

mod numbers;

use std::fmt::Display;
use std::ops::RangeInclusive;

pub use numbers::Numbers;

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

/// What the numbers of a list may be: within bounds, and in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Ordered {
    bounds: RangeInclusive<f64>,
    /// "above" where no number may be above the one before, or "below".
    than: &'static str,
}

/// Numbers of which none is above the one before.
pub const fn falling(bounds: RangeInclusive<f64>) -> Ordered {
    Ordered {
        bounds,
        than: "above",
    }
}

/// Numbers of which none is below the one before.
pub const fn rising(bounds: RangeInclusive<f64>) -> Ordered {
    Ordered {
        bounds,
        than: "below",
    }
}

impl Ordered {
    fn text(&self, count: usize) -> String {
        let (least, most) = (self.bounds.start(), self.bounds.end());
        format!(
            "{count} numbers from {least} to {most}, none {} the one before",
            self.than
        )
    }

    /// Checks the numbers of a list.
    ///
    /// # Errors
    /// [`ParameterError`].
    pub fn check(&self, section: &str, key: &str, found: &[f64]) -> Result<(), ParameterError> {
        let in_order = found.is_sorted_by(|a, b| if self.than == "above" { a >= b } else { a <= b });
        if in_order && found.iter().all(|number| self.bounds.contains(number)) {
            return Ok(());
        }
        Err(ParameterError::new(
            section,
            key,
            &format!("{found:?}"),
            self.text(found.len()),
        ))
    }
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
/// - a list of numbers in order: `name: Numbers<3> = Numbers(default), list falling(least..=most);`, or [`rising`]
/// - a choice whose type refuses what it cannot be: `name: type = default, words "what it may be";`
/// - a string that is one of some: `name: String = default, either ["one", "other"];`
/// - a section of its own: `name: type;`
///
/// with `, source "where the default comes from"` before the semicolon where it has a source. Numbers that no pipeline sets, and a
/// test may, come last: `fixed { name: type = value; }`. The doc comment is the meaning; the
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
///         fixed {
///             /// A step takes this long.
///             step_s: f32 = 0.5;
///         }
///     }
/// }
/// assert_eq!((Way::default().step_m, Way::default().step_s), (0.7, 0.5));
/// let error = Way { step_m: 0.0, ..Way::default() }.check_in("way").unwrap_err();
/// assert_eq!(error.to_string(), "parameter `way.step_m` is 0; it must be from 0.1 to 2");
/// ```
#[macro_export]
macro_rules! parameters {
    (
        constant;
        $(#[doc = $about:literal])+
        pub struct $name:ident {
            $($(#[doc = $meaning:literal])+ $key:ident: $type:ty = $default:expr, $kind:ident $values:expr $(, source $source:literal)?;)+
            $(fixed { $($(#[doc = $why:literal])+ $fixed:ident: $fixed_type:ty = $value:expr;)+ })?
        }
    ) => {
        $crate::parameters! {
            $(#[doc = $about])+
            pub struct $name {
                $($(#[doc = $meaning])+ $key: $type = $default, $kind $values $(, source $source)?;)+
                $(fixed { $($(#[doc = $why])+ $fixed: $fixed_type = $value;)+ })?
            }
        }

        impl $name {
            /// The defaults.
            pub const DEFAULT: Self = Self { $($key: $default,)+ $($($fixed: $value),+)? };
        }
    };
    (
        $(#[doc = $about:literal])+
        pub struct $name:ident {
            $($(#[doc = $meaning:literal])+ $key:ident: $type:ty $(= $default:expr, $kind:ident $values:expr $(, source $source:literal)?)?;)+
            $(fixed { $($(#[doc = $why:literal])+ $fixed:ident: $fixed_type:ty = $value:expr;)+ })?
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, PartialEq, ::serde::Serialize, ::serde::Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $meaning])+ pub $key: $type,)+
            $($($(#[doc = $why])+ #[serde(skip)] pub $fixed: $fixed_type,)+)?
        }

        impl Default for $name {
            fn default() -> Self {
                Self {
                    $($key: $crate::parameters!(@default $type $(, $default)?),)+
                    $($($fixed: $value),+)?
                }
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
    (@check $self:ident, $section:ident, $key:ident, $type:ty, list $ordered:expr) => {
        $ordered.check($section, stringify!($key), &$self.$key)?
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
    (@list $section:ident, $list:ident, $key:ident, $type:ty, $meaning:expr, list $ordered:expr, [$($source:literal)?]) => {
        $list.push($crate::parameter::list(
            $section, stringify!($key), $meaning, <$type>::default().len(), &$ordered, $crate::parameters!(@source $($source)?),
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

/// The entry of a list of numbers; [`parameters!`](crate::parameters) calls this.
pub fn list(
    section: &str,
    key: &str,
    meaning: &str,
    count: usize,
    ordered: &Ordered,
    source: &'static str,
) -> Parameter {
    Parameter {
        values: ordered.text(count),
        ..number(section, key, meaning, &ordered.bounds, source)
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
mod tests;
