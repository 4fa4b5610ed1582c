//! What every parameter is, from its declaration: for `scrim pipeline --explain` and `docs/parameters.md`.

use std::fmt::Write;

use scrim_floor::Parameter;

use crate::parameter_values::parameter_values;
use crate::{Pipeline, PipelineError};

/// Every parameter with its value in `pipeline`; empty of one that is left out.
fn all(pipeline: &Pipeline) -> Result<Vec<(Parameter, String)>, PipelineError> {
    let values = parameter_values(pipeline)?.into_iter();
    Ok(values
        .map(|(parameter, value)| {
            (
                parameter,
                value.map(|value| value.to_string()).unwrap_or_default(),
            )
        })
        .collect())
}

/// What every parameter of `pipeline` is, in words: key, value, unit, meaning, what it may be, where its default comes from.
///
/// # Errors
/// As [`Pipeline::to_toml`].
pub fn explain(pipeline: &Pipeline) -> Result<String, PipelineError> {
    let defaults = all(&Pipeline::default())?;
    let mut text = String::new();
    for ((of, value), (_, default)) in all(pipeline)?.iter().zip(&defaults) {
        let (key, unit) = (&of.key, of.unit);
        let value = if value.is_empty() { "(left out)" } else { value };
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!("  # {unit}")
        };
        let default = if default.is_empty() { "left out" } else { default };
        // Writing to a string does not fail.
        let _ = writeln!(
            text,
            "{key} = {value}{unit}\n    {}\n    May be: {}. Default: {default} ({}).",
            of.meaning, of.values, of.source
        );
    }
    Ok(text)
}

/// `docs/parameters.md`: the same of the defaults, as a page.
///
/// # Errors
/// As [`Pipeline::to_toml`].
pub fn parameters_page() -> Result<String, PipelineError> {
    let mut text = String::from(
        "# Parameters\n\nEvery key that a pipeline file may set. `scrim pipeline FILE --explain` prints this list with the values of a file; the \
         defaults stand in for what is left out. A value outside its bounds is refused. This page is made from the declarations.\n",
    );
    let mut last = None;
    for (of, default) in all(&Pipeline::default())? {
        let (section, key) = of.key.rsplit_once('.').unwrap_or(("", &of.key));
        if last.as_deref() != Some(section) {
            let heading = if section.is_empty() {
                "The file itself".into()
            } else {
                format!("`[{section}]`")
            };
            let _ = write!(
                text,
                "\n## {heading}\n\n| key | default | unit | may be | meaning | source |\n|---|---|---|---|---|---|\n"
            );
            last = Some(section.to_owned());
        }
        let default = if default.is_empty() {
            String::new()
        } else {
            format!("`{default}`")
        };
        let _ = writeln!(
            text,
            "| `{key}` | {default} | {} | {} | {} | {} |",
            of.unit, of.values, of.meaning, of.source
        );
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    #[test]
    fn the_page_in_docs_is_what_the_declarations_make() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/parameters.md");
        let page = parameters_page().unwrap();
        if std::env::var_os("SCRIM_WRITE_GOLDEN").is_some() {
            std::fs::write(&path, &page).unwrap();
        }
        let written = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            written == page,
            "docs/parameters.md is not what the declarations make: write it again with SCRIM_WRITE_GOLDEN=1"
        );
    }

    #[test]
    fn a_parameter_is_explained_with_value_unit_bounds_default_and_source() {
        let mut pipeline = Pipeline::default();
        pipeline.definitions.drop_depth_m = 2.0;
        let text = explain(&pipeline).unwrap();
        assert!(
            text.contains("definitions.drop_depth_m = 2.0  # m\n    `drop`: the screener's defender"),
            "{text}"
        );
        assert!(
            text.contains("May be: 0.1 to 6. Default: 1.5 (vocabulary)."),
            "{text}"
        );
        assert!(text.contains("report.teams = \"none\"\n"), "{text}");
    }
}
