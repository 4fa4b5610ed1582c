//! A pipeline's parameters by their keys: what each is and has, and the same pipeline with others.

use scrim_floor::{Parameter, ParameterError, Parameters};

use crate::{Pipeline, PipelineError};

/// Every parameter with its value in `pipeline`; `None` of one that is left out.
///
/// # Errors
/// As [`Pipeline::to_toml`].
pub fn parameter_values(pipeline: &Pipeline) -> Result<Vec<(Parameter, Option<toml::Value>)>, PipelineError> {
    let mut list = Vec::new();
    Pipeline::list_in("", &mut list);
    let values = tree(pipeline)?;
    let value = |key: &str| match key.split('.').try_fold(&values, |table, name| table.get(name)) {
        Some(toml::Value::Table(_)) | None => None,
        Some(value) => Some(value.clone()),
    };
    Ok(list
        .into_iter()
        .map(|parameter| {
            let value = value(&parameter.key);
            (parameter, value)
        })
        .collect())
}

/// `pipeline` with other numbers under some keys. A parameter that is a whole number is given one.
///
/// # Errors
/// [`PipelineError`] when there is no such key, or the number lies outside its bounds.
pub fn with_numbers<'k>(
    pipeline: &Pipeline,
    numbers: impl IntoIterator<Item = (&'k str, f64)>,
) -> Result<Pipeline, PipelineError> {
    let mut values = tree(pipeline)?;
    for (key, number) in numbers {
        let place = key
            .split('.')
            .try_fold(&mut values, |table, name| table.get_mut(name));
        let place = place.ok_or_else(|| PipelineError::Parameter {
            path: pipeline.name.as_str().into(),
            error: ParameterError::new("", key, &"not there", "a number of the pipeline"),
        })?;
        *place = match place {
            toml::Value::Integer(_) => toml::Value::Integer(number as i64),
            _ => toml::Value::Float(number),
        };
    }
    let text = toml::to_string(&values).map_err(|source| PipelineError::Unwritable { source })?;
    Pipeline::of_text(&text, pipeline.name.as_ref())
}

fn tree(pipeline: &Pipeline) -> Result<toml::Value, PipelineError> {
    toml::from_str(&pipeline.to_toml()?).map_err(|source| PipelineError::Content {
        path: pipeline.name.as_str().into(),
        source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_numbers_change_and_nothing_else_does() {
        let own = Pipeline {
            name: "mine".into(),
            ..Pipeline::default()
        };
        let mut expected = own.clone();
        expected.definitions.drop_depth_m = 2.3;
        expected.season.min_look_n = 7;
        let numbers = [("definitions.drop_depth_m", 2.3), ("season.min_look_n", 7.0)];
        assert_eq!(with_numbers(&own, numbers).unwrap(), expected);
        assert_eq!(with_numbers(&own, []).unwrap(), own);
        let refused = with_numbers(&own, [("definitions.drop_depth_m", 99.0)]).unwrap_err();
        assert!(
            refused.to_string().contains("definitions.drop_depth_m"),
            "{refused}"
        );
        let unknown = with_numbers(&own, [("definitions.drop_dept_m", 2.0)]).unwrap_err();
        assert!(
            unknown.to_string().contains("definitions.drop_dept_m"),
            "{unknown}"
        );
    }
}
