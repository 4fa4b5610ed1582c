//! The extension module behind `import scrim`: the program's stages, called with Arrow data and giving Arrow data.
//!
//! - `arrow_data`: Arrow data from and to Python, by the PyCapsule interface.
//! - `memory`: tables that are kept in memory.
//! - `tables`: what Python code gets: tables by name.
//! - `tag`: tracking in, tables out.
//! - `work`: long work that a keyboard interrupt stops.
//!
//! The package's words for people are in `scrim/__init__.py`.

mod arrow_data;
mod memory;
mod tables;
mod tag;
mod work;

use std::ffi::OsString;
use std::path::PathBuf;

use pyo3::create_exception;
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use scrim::compare::{Output, compare_outputs};
use scrim::likeness::{LikeAnswer, index_of};
use scrim::run::workers;
use scrim_likeness::{Asked, find_like};
use scrim_score::ScoreParams;
use scrim_season::words::Words;
use scrim_tables::rows::tables as all_tables;
use scrim_tables::with_causes;

use crate::tables::{Table, Tables};
use crate::work::interruptible;

create_exception!(
    scrim,
    ScrimError,
    PyValueError,
    "Something that cannot be done; the message says what, where, what was expected and how to fix it."
);

/// The program's own words for an error.
fn refused(error: &(dyn std::error::Error + 'static)) -> PyErr {
    ScrimError::new_err(with_causes(error))
}

/// The same of an error of any kind.
fn refused_any(error: anyhow::Error) -> PyErr {
    refused(error.as_ref())
}

/// Every column of every table, or of one: table, column, type, whether null may stand there, unit, meaning, what null means.
#[pyfunction]
#[pyo3(signature = (table=None))]
fn columns(py: Python<'_>, table: Option<&str>) -> PyResult<Vec<Py<PyAny>>> {
    let names: Vec<&str> = all_tables().map(|table| table.name).collect();
    if let Some(name) = table.filter(|name| !names.contains(name)) {
        return Err(ScrimError::new_err(format!(
            "no table `{name}`; there are {}",
            names.join(", ")
        )));
    }
    let mut rows = Vec::new();
    for info in all_tables().filter(|info| table.is_none_or(|name| name == info.name)) {
        for column in info.file_columns() {
            let row = pyo3::types::PyDict::new(py);
            row.set_item("table", info.name)?;
            row.set_item("column", column.name)?;
            row.set_item("type", column.kind.name())?;
            row.set_item("nullable", column.nullable)?;
            row.set_item("unit", column.unit())?;
            row.set_item("meaning", column.meaning())?;
            row.set_item("null", column.null_meaning())?;
            rows.push(row.into_any().unbind());
        }
    }
    Ok(rows)
}

/// Tables against labels, as JSON text.
#[pyfunction]
fn score_json(py: Python<'_>, tables: PyRef<'_, Tables>, labels: PathBuf) -> PyResult<String> {
    let (folder, _kept) = tables.folder().map_err(refused_any)?;
    drop(tables);
    let report = interruptible(py, |_| {
        scrim_score::score(&folder, &labels, &ScoreParams::default())
    })?;
    let report = report.map_err(|error| refused(&error))?;
    serde_json::to_string(&report).map_err(|error| refused(&error))
}

/// Two outputs of the same games side by side, as JSON text.
#[pyfunction]
#[pyo3(signature = (a, b, by=None))]
fn compare_json(py: Python<'_>, a: &Tables, b: &Tables, by: Option<&str>) -> PyResult<String> {
    let (a, b) = (a.shared(), b.shared());
    let comparison = interruptible(py, |_| {
        let side = |name: &str, store| Output {
            place: name.into(),
            store,
        };
        compare_outputs(&side("a", a.as_ref()), &side("b", b.as_ref()), by, workers())
    })?;
    let comparison = comparison.map_err(refused_any)?;
    serde_json::to_string(&comparison).map_err(|error| refused(&error))
}

/// Drawings of a possession's ball screens: (name, SVG) pairs.
#[pyfunction]
fn draw_possession(tables: &Tables, game_id: &str, possession_id: u32) -> PyResult<Vec<(String, String)>> {
    let drawings = scrim_report::draw_possession(tables.store(), game_id, possession_id, &Words::english())
        .map_err(|error| refused(&error))?;
    Ok(drawings
        .into_iter()
        .map(|drawing| (drawing.name, drawing.svg))
        .collect())
}

/// The possessions most like one, and what could not be read, as JSON text.
#[pyfunction]
#[pyo3(signature = (tables, asked, team, last, count, index))]
fn like_json(
    py: Python<'_>,
    tables: PyRef<'_, Tables>,
    asked: (String, u32),
    team: Option<String>,
    last: Option<u32>,
    count: usize,
    index: Option<PathBuf>,
) -> PyResult<String> {
    let store = tables.shared();
    tables.check_index(index.as_ref()).map_err(refused_any)?;
    drop(tables);
    interruptible(py, |_| -> anyhow::Result<String> {
        let (index, failed) = index_of(store.as_ref(), index.as_deref(), workers())?;
        let asked = Asked {
            game_id: &asked.0,
            period: None,
            possession_id: asked.1,
            team: team.as_deref(),
            last,
            count,
        };
        let likes = find_like(&index, &asked)?;
        Ok(serde_json::to_string(&(LikeAnswer::of(&likes).alike, failed))?)
    })?
    .map_err(refused_any)
}

/// The program: its arguments without its name. The exit code.
#[pyfunction]
fn run_program(py: Python<'_>, args: Vec<OsString>) -> u8 {
    let args = std::iter::once(OsString::from("scrim")).chain(args);
    py.detach(|| scrim::entry::enter(args))
}

/// What `scrim/__init__.py` calls.
#[pymodule]
fn _scrim(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add("ScrimError", module.py().get_type::<ScrimError>())?;
    module.add("__version__", env!("CARGO_PKG_VERSION"))?;
    module.add("SCHEMA_VERSION", scrim_tables::SCHEMA_VERSION)?;
    module.add_class::<Table>()?;
    module.add_class::<Tables>()?;
    module.add_function(wrap_pyfunction!(tag::tag, module)?)?;
    module.add_function(wrap_pyfunction!(tag::season, module)?)?;
    module.add_function(wrap_pyfunction!(tag::check_pipeline, module)?)?;
    module.add_function(wrap_pyfunction!(tables::read_tables, module)?)?;
    module.add_function(wrap_pyfunction!(columns, module)?)?;
    module.add_function(wrap_pyfunction!(score_json, module)?)?;
    module.add_function(wrap_pyfunction!(compare_json, module)?)?;
    module.add_function(wrap_pyfunction!(draw_possession, module)?)?;
    module.add_function(wrap_pyfunction!(like_json, module)?)?;
    module.add_function(wrap_pyfunction!(run_program, module)?)
}
