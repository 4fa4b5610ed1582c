//! What is varied: `KEY=FROM..TO[:STEPS]`, read against the declarations of the parameters.

use std::str::FromStr;

use scrim_compare::SweptKey;
use scrim_floor::ParameterError;

use crate::parameter_values::{parameter_values, with_numbers};
use crate::stages::Stage;
use crate::{Pipeline, PipelineError};

/// Values of a parameter that has no whole number and of which no number of steps was given.
const STEPS: usize = 5;
/// A parameter takes at most so many values.
const MOST_STEPS: usize = 200;
/// A grid has at most so many cells: each is all later stages of every game once more.
const MOST_CELLS: usize = 500;

/// A parameter and the values that it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Vary {
    /// Its key.
    pub key: String,
    unit: &'static str,
    /// The values, ascending.
    pub values: Vec<f64>,
    /// The first stage that it has a say in.
    pub first: Stage,
}

/// Why a parameter cannot be varied so.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum VaryError {
    /// It is not written as it must be.
    #[error("`{0}` is not KEY=FROM..TO or KEY=FROM..TO:STEPS, as definitions.drop_depth_m=1..3:5")]
    Form(String),
    /// No parameter has that key.
    #[error("no parameter has the key `{key}`{near}; `scrim pipeline --explain` lists every key")]
    NoKey {
        /// The key.
        key: String,
        /// What may be meant, in words; empty for nothing.
        near: String,
    },
    /// It is no number.
    #[error("parameter `{key}` is no number ({values}), and only numbers are varied")]
    NoNumber {
        /// The key.
        key: String,
        /// What it may be.
        values: String,
    },
    /// Nothing that a sweep counts depends on it.
    #[error("no tag of a game depends on `{0}`: a sweep would show nothing")]
    NoSay(String),
    /// A value lies outside its bounds.
    #[error(transparent)]
    Bounds(#[from] ParameterError),
    /// The values do not ascend.
    #[error(
        "`{key}` goes from {from} to {to}; the second must be more than the first, by enough that each step is another number"
    )]
    Order {
        /// The key.
        key: String,
        /// Where it begins.
        from: f64,
        /// Where it ends.
        to: f64,
    },
    /// So many values are none, or too many.
    #[error("`{key}` would take {steps} values; it must be from 2 to {MOST_STEPS}")]
    Steps {
        /// The key.
        key: String,
        /// How many.
        steps: usize,
    },
    /// A whole number would have to be a broken one.
    #[error("`{key}` is a whole number, and {value} is none; give steps that fall on whole numbers")]
    Whole {
        /// The key.
        key: String,
        /// The value.
        value: f64,
    },
    /// A key comes twice.
    #[error("`{0}` is varied twice; give it once")]
    Twice(String),
    /// The grid is too large.
    #[error("the grid has {0} cells; at most {MOST_CELLS} are run: give fewer steps")]
    Cells(usize),
    /// The defaults, or the pipeline, cannot be read back.
    #[error("{0}")]
    Pipeline(String),
}

impl From<PipelineError> for VaryError {
    fn from(error: PipelineError) -> Self {
        Self::Pipeline(scrim_tables::with_causes(&error))
    }
}

impl FromStr for Vary {
    type Err = VaryError;

    fn from_str(text: &str) -> Result<Self, VaryError> {
        let form = || VaryError::Form(text.into());
        let (key, range) = text.split_once('=').ok_or_else(form)?;
        let (range, steps) = match range.split_once(':') {
            Some((range, steps)) => (range, Some(steps.trim().parse::<usize>().map_err(|_| form())?)),
            None => (range, None),
        };
        let (from, to) = range.split_once("..").ok_or_else(form)?;
        let number = |text: &str| text.trim().parse::<f64>().map_err(|_| form());
        Self::of(key.trim(), number(from)?, number(to)?, steps)
    }
}

impl Vary {
    fn of(key: &str, from: f64, to: f64, steps: Option<usize>) -> Result<Self, VaryError> {
        let parameters = parameter_values(&Pipeline::default())?;
        let Some((parameter, default)) = parameters.iter().find(|(parameter, _)| parameter.key == key) else {
            let last = |key: &str| key.rsplit('.').next().unwrap_or_default().to_owned();
            let near: Vec<String> = parameters
                .iter()
                .filter(|(parameter, _)| last(&parameter.key) == last(key))
                .map(|(parameter, _)| format!("`{}`", parameter.key))
                .collect();
            return Err(VaryError::NoKey {
                key: key.into(),
                near: if near.is_empty() {
                    String::new()
                } else {
                    format!(" (is {} meant?)", near.join(" or "))
                },
            });
        };
        let Some((least, most)) = parameter.bounds else {
            return Err(VaryError::NoNumber {
                key: key.into(),
                values: parameter.values.clone(),
            });
        };
        let section = key.split('.').next().unwrap_or_default();
        let first = Stage::of_section(section).ok_or_else(|| VaryError::NoSay(key.into()))?;
        for value in [from, to] {
            if !(least..=most).contains(&value) {
                let expected = format!("from {}", parameter.values);
                return Err(ParameterError::new("", key, &value, expected).into());
            }
        }
        let not_in_order = || VaryError::Order {
            key: key.into(),
            from,
            to,
        };
        if from >= to {
            return Err(not_in_order());
        }
        let is_whole = matches!(default, Some(toml::Value::Integer(_)));
        let steps = steps.unwrap_or(if is_whole { (to - from) as usize + 1 } else { STEPS });
        if !(2..=MOST_STEPS).contains(&steps) {
            return Err(VaryError::Steps {
                key: key.into(),
                steps,
            });
        }
        let values: Vec<f64> = (0..steps).map(|step| value_at(from, to, step, steps)).collect();
        // Parameters hold 32 bits.
        if values.windows(2).any(|two| two[0] as f32 >= two[1] as f32) {
            return Err(not_in_order());
        }
        if let Some(&value) = values.iter().find(|value| is_whole && value.fract() != 0.0) {
            return Err(VaryError::Whole {
                key: key.into(),
                value,
            });
        }
        Ok(Self {
            key: key.into(),
            unit: parameter.unit,
            values,
            first,
        })
    }
}

/// The so-manyeth of evenly spread values, to nine digits: 1.7, as somebody would write it into a pipeline, not 1.7000000000000002.
fn value_at(from: f64, to: f64, step: usize, steps: usize) -> f64 {
    let exact = from + (to - from) * step as f64 / (steps - 1) as f64;
    format!("{exact:.8e}").parse().unwrap_or(exact)
}

/// What a sweep varies, and the pipelines of its cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// The parameters.
    pub keys: Vec<SweptKey>,
    /// The pipeline of each cell.
    pub cells: Vec<Pipeline>,
    /// The first stage that any of them has a say in.
    pub first: Stage,
}

impl Grid {
    /// Every value of each parameter with every value of the others.
    ///
    /// # Errors
    /// [`VaryError`] when a key comes twice, the grid is too large, or a cell is no pipeline.
    pub fn of(own: &Pipeline, vary: &[Vary]) -> Result<Self, VaryError> {
        let own_values = parameter_values(own)?;
        let own_value = |key: &str| {
            let value = own_values.iter().find(|(parameter, _)| parameter.key == key);
            match value {
                Some((_, Some(toml::Value::Float(value)))) => *value,
                Some((_, Some(toml::Value::Integer(value)))) => *value as f64,
                // A number is never left out.
                _ => f64::NAN,
            }
        };
        let keys: Vec<SweptKey> = vary
            .iter()
            .map(|vary| SweptKey {
                key: vary.key.clone(),
                unit: vary.unit,
                own: own_value(&vary.key),
                values: vary.values.clone(),
            })
            .collect();
        for (place, key) in keys.iter().enumerate() {
            if keys[..place].iter().any(|other| other.key == key.key) {
                return Err(VaryError::Twice(key.key.clone()));
            }
        }
        let cells = SweptKey::cells(&keys);
        if cells > MOST_CELLS {
            return Err(VaryError::Cells(cells));
        }
        let cell = |cell: usize| {
            let places = SweptKey::places(&keys, cell);
            let numbers = keys
                .iter()
                .zip(places)
                .map(|(key, place)| (key.key.as_str(), key.values[place]));
            with_numbers(own, numbers)
        };
        Ok(Self {
            cells: (0..cells).map(cell).collect::<Result<_, _>>()?,
            // A sweep of nothing is none: the last stage.
            first: vary.iter().map(|vary| vary.first).min().unwrap_or(Stage::Flow),
            keys,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(text: &str) -> String {
        text.parse::<Vary>().unwrap_err().to_string()
    }

    #[test]
    fn values_are_evenly_spread_and_as_people_write_them() {
        let vary: Vary = "definitions.drop_depth_m=1.1..2.3:5".parse().unwrap();
        assert_eq!(vary.values, [1.1, 1.4, 1.7, 2.0, 2.3]);
        assert_eq!((vary.unit, vary.first), ("m", Stage::Actions));
        let vary: Vary = "screens.min_confidence=0.4..0.6".parse().unwrap();
        assert_eq!(vary.values, [0.4, 0.45, 0.5, 0.55, 0.6]);
        assert_eq!(vary.first, Stage::BallScreens);
    }

    #[test]
    fn what_cannot_be_varied_is_refused_with_what_could() {
        for (text, parts) in [
            (
                "definitions.drop_depth_m",
                &["KEY=FROM..TO", "drop_depth_m=1..3:5"][..],
            ),
            ("definitions.drop_depth_m=1..x", &["KEY=FROM..TO"]),
            (
                "drop_depth_m=1..3",
                &["no parameter", "is `definitions.drop_depth_m` meant?"],
            ),
            ("definitions.drop_depth_m=1..99", &["is 99", "from 0.1 to 6"]),
            ("definitions.drop_depth_m=NaN..2", &["is NaN"]),
            ("definitions.drop_depth_m=3..1", &["from 3 to 1"]),
            (
                "definitions.drop_depth_m=1..3:1",
                &["would take 1 values", "from 2 to 200"],
            ),
            ("court=1..3", &["is no number"]),
            ("season.min_look_n=1..3", &["no tag of a game depends on"]),
        ] {
            let message = refused(text);
            for part in parts {
                assert!(message.contains(part), "{text}: no `{part}` in {message}");
            }
        }
    }

    #[test]
    fn a_grid_is_a_pipeline_for_each_combination() {
        let own = Pipeline {
            name: "mine".into(),
            ..Pipeline::default()
        };
        let vary = |text: &str| text.parse::<Vary>().unwrap();
        let depth = vary("definitions.drop_depth_m=1..2:2");
        let confidence = vary("screens.min_confidence=0.4..0.6:3");
        let grid = Grid::of(&own, &[depth.clone(), confidence]).unwrap();
        assert_eq!((grid.cells.len(), grid.first), (6, Stage::BallScreens));
        let of = |cell: &Pipeline| (cell.definitions.drop_depth_m, cell.screens.min_confidence);
        assert_eq!(of(&grid.cells[0]), (1.0, 0.4));
        assert_eq!(of(&grid.cells[4]), (2.0, 0.5));
        assert_eq!(grid.keys[0].own, f64::from(own.definitions.drop_depth_m));
        let twice = Grid::of(&own, &[depth.clone(), depth]).unwrap_err();
        assert!(twice.to_string().contains("twice"));
        let fine = vary("definitions.drop_depth_m=1..2:40");
        let also = vary("screens.min_confidence=0.1..0.9:20");
        assert_eq!(Grid::of(&own, &[fine, also]), Err(VaryError::Cells(800)));
    }
}
