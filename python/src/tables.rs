//! What Python code gets: tables by name, each with its rows as Arrow data.

use std::any::Any;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use arrow::datatypes::{Schema, SchemaRef};
use arrow::record_batch::RecordBatch;
use pyo3::exceptions::PyKeyError;
use pyo3::prelude::*;
use pyo3::types::{PyCapsule, PyDict};
use scrim::command::{files_of, tables_in};
use scrim::likeness::check_place;
use scrim_objects::Location;
use scrim_tables::ledger::{Part, Snapshot};
use scrim_tables::rows::{table, tables};
use scrim_tables::{LocalStore, OutputStore, ReadStore, Scope, read_whole};

use crate::arrow_data::capsule_of;
use crate::memory::Memory;
use crate::work::interruptible;
use crate::{ScrimError, refused, refused_any};

/// Where tables are.
#[derive(Clone)]
enum Kept {
    /// In memory, as `tag` and `season` leave them.
    Here(Arc<Memory>),
    /// Where a run wrote them.
    There(Arc<dyn OutputStore>, Location),
}

/// Something that could not be done.
#[derive(Clone)]
pub struct LeftOut {
    pub source: String,
    pub season: Option<String>,
    pub game_id: Option<String>,
    pub reason: String,
}

/// The tables of some games, by name.
#[pyclass(module = "scrim", frozen, mapping)]
pub struct Tables {
    kept: Kept,
    left_out: Vec<LeftOut>,
    notes: Vec<String>,
}

impl Tables {
    pub fn in_memory(memory: Arc<Memory>, left_out: Vec<LeftOut>, notes: Vec<String>) -> Self {
        Self {
            kept: Kept::Here(memory),
            left_out,
            notes,
        }
    }

    pub fn store(&self) -> &dyn ReadStore {
        match &self.kept {
            Kept::Here(memory) => memory.as_ref(),
            Kept::There(store, _) => store.as_ref(),
        }
    }

    /// The same, to be kept.
    pub fn shared(&self) -> Arc<dyn ReadStore> {
        match &self.kept {
            Kept::Here(memory) => Arc::clone(memory) as Arc<dyn ReadStore>,
            Kept::There(store, _) => Arc::clone(store) as Arc<dyn ReadStore>,
        }
    }

    /// A folder with the tables as files, for as long as the second is held.
    pub fn folder(&self) -> anyhow::Result<(PathBuf, Box<dyn Any + Send>)> {
        match &self.kept {
            Kept::There(_, location) => {
                let (folder, mirror) = files_of(location)?;
                Ok((folder, Box::new(mirror)))
            }
            Kept::Here(memory) => {
                let folder = tempfile::tempdir()?;
                memory.copy_to(&LocalStore::new(folder.path()))?;
                Ok((folder.path().into(), Box::new(folder)))
            }
        }
    }

    /// Refuses an index that would lie among them.
    pub fn check_index(&self, index: Option<&PathBuf>) -> anyhow::Result<()> {
        match &self.kept {
            Kept::Here(_) => Ok(()),
            Kept::There(_, location) => check_place(location, index),
        }
    }

    fn has(&self, name: &str) -> PyResult<bool> {
        let names = self.store().list(name).map_err(|error| refused(&error))?;
        Ok(table(name).is_some() && names.iter().any(|name| name.ends_with(".parquet")))
    }
}

#[pymethods]
impl Tables {
    /// Names of the tables that have files, in alphabetical order.
    fn keys(&self) -> PyResult<Vec<&'static str>> {
        let names: BTreeSet<&'static str> = tables().map(|table| table.name).collect();
        let mut found = Vec::new();
        for name in names {
            if self.has(name)? {
                found.push(name);
            }
        }
        Ok(found)
    }

    fn __iter__(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        let names = self.keys()?.into_pyobject(py)?;
        Ok(names.try_iter()?.into_any().unbind())
    }

    fn __len__(&self) -> PyResult<usize> {
        Ok(self.keys()?.len())
    }

    fn __contains__(&self, name: &Bound<'_, PyAny>) -> PyResult<bool> {
        name.extract::<String>().map_or(Ok(false), |name| self.has(&name))
    }

    /// The table of this name, or `default` when there is none.
    #[pyo3(signature = (name, default=None))]
    fn get(&self, py: Python<'_>, name: &str, default: Option<Py<PyAny>>) -> PyResult<Option<Py<PyAny>>> {
        if self.has(name)? {
            Ok(Some(Py::new(py, self.__getitem__(py, name)?)?.into_any()))
        } else {
            Ok(default)
        }
    }

    /// The tables, in the order of their names.
    fn values(&self, py: Python<'_>) -> PyResult<Vec<Table>> {
        self.keys()?
            .into_iter()
            .map(|name| self.__getitem__(py, name))
            .collect()
    }

    /// Names and tables, in the order of the names.
    fn items(&self, py: Python<'_>) -> PyResult<Vec<(&'static str, Table)>> {
        Ok(self.keys()?.into_iter().zip(self.values(py)?).collect())
    }

    /// What is doubtful about the data, in words: games that are not good, and what stood beside them.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.notes.clone()
    }

    fn __getitem__(&self, py: Python<'_>, name: &str) -> PyResult<Table> {
        let Some(info) = table(name) else {
            let names: Vec<&str> = tables().map(|table| table.name).collect();
            return Err(PyKeyError::new_err(format!(
                "no table `{name}`; there are {}",
                names.join(", ")
            )));
        };
        let store = self.shared();
        let (schema, batches) = py
            .detach(|| read_batches(store.as_ref(), name))
            .map_err(|error| ScrimError::new_err(format!("{name}: {error}")))?;
        // A table without a file is one without rows.
        let schema = schema.unwrap_or_else(|| Arc::new(Schema::new(info.file_fields())));
        Ok(Table {
            name: info.name,
            schema,
            batches,
        })
    }

    /// What was skipped or refused, and why: dictionaries with `source`, `season`, `game_id` and `reason`.
    #[getter]
    fn skipped(&self, py: Python<'_>) -> PyResult<Vec<Py<PyDict>>> {
        self.left_out
            .iter()
            .map(|left_out| {
                let row = PyDict::new(py);
                row.set_item("source", &left_out.source)?;
                row.set_item("season", &left_out.season)?;
                row.set_item("game_id", &left_out.game_id)?;
                row.set_item("reason", &left_out.reason)?;
                Ok(row.unbind())
            })
            .collect()
    }

    /// Writes the tables into a folder, or to an address in an object store, as a run does.
    fn write(&self, py: Python<'_>, place: PathBuf) -> PyResult<()> {
        if place.as_os_str().is_empty() {
            return Err(ScrimError::new_err(
                "expected a folder, or an address; found no name",
            ));
        }
        match &self.kept {
            Kept::Here(memory) => {
                let location = Location::of(place).map_err(|error| refused(&error))?;
                interruptible(py, |_| write_to(memory, &location))?.map_err(refused_any)
            }
            Kept::There(_, location) => Err(ScrimError::new_err(format!(
                "these tables are in {location} already; copy that folder"
            ))),
        }
    }

    fn __repr__(&self) -> PyResult<String> {
        Ok(format!("<scrim.Tables: {}>", self.keys()?.join(", ")))
    }
}

/// A table's batches, of all its files; the schema is `None` when it has no file.
fn read_batches(store: &dyn ReadStore, name: &str) -> Result<(Option<SchemaRef>, Vec<RecordBatch>), String> {
    let words = |error: &(dyn std::error::Error + 'static)| scrim_tables::with_causes(error);
    let reader = Snapshot::new(store);
    let mut schema: Option<SchemaRef> = None;
    let mut batches = Vec::new();
    for file in store.list(name).map_err(|error| words(&error))? {
        if !file.ends_with(".parquet") {
            continue;
        }
        let path = format!("{name}/{file}");
        let Some(bytes) = reader.get(&path).map_err(|error| words(&error))? else {
            continue;
        };
        let (batch, _) = read_whole(bytes).map_err(|error| format!("{file}: {error}"))?;
        // The footer's words are the file's, not the table's.
        let common = schema.get_or_insert_with(|| Arc::new(Schema::new(batch.schema().fields().clone())));
        let batch = batch
            .with_schema(Arc::clone(common))
            .map_err(|error| format!("{file}: its columns are not those of the files before it: {error}"))?;
        batches.push(batch);
    }
    Ok((schema, batches))
}

/// Writes what is in memory to a place. A season's tables are of all its games: they are not written beside games that they do not
/// know.
fn write_to(memory: &Memory, location: &Location) -> anyhow::Result<()> {
    let store = tables_in(location)?;
    if !Part::find(memory, Scope::Season)?.is_empty() {
        let ours = Part::find(memory, Scope::Game)?;
        let others = Part::find(store.as_ref(), Scope::Game)?;
        if let Some(other) = others.iter().find(|part| !ours.contains(part)) {
            anyhow::bail!(
                "{location}: holds other games (for example {other}), which the season's tables here do not know; tag with seasons=False, write, \
                 then scrim.season(place).write(place)",
                other = other.stem(),
            );
        }
    }
    Ok(memory.copy_to(store.as_ref())?)
}

/// A table's rows. Any library that takes Arrow data takes it: `polars.DataFrame(table)`, `pyarrow.table(table)`,
/// `duckdb.from_arrow(pyarrow.table(table))`, `table.to_pandas()`.
#[pyclass(module = "scrim", frozen)]
pub struct Table {
    name: &'static str,
    schema: SchemaRef,
    batches: Vec<RecordBatch>,
}

#[pymethods]
impl Table {
    /// The Arrow PyCapsule interface: the rows as a stream, without a copy.
    #[pyo3(signature = (requested_schema=None))]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyCapsule>> {
        // The interface lets a producer leave the wish aside.
        drop(requested_schema);
        capsule_of(py, Arc::clone(&self.schema), self.batches.clone())
    }

    /// The table's name.
    #[getter]
    fn name(&self) -> &'static str {
        self.name
    }

    /// How many rows it has.
    #[getter]
    fn num_rows(&self) -> usize {
        self.batches.iter().map(RecordBatch::num_rows).sum()
    }

    /// Its columns' names, in order.
    #[getter]
    fn column_names(&self) -> Vec<String> {
        self.schema
            .fields()
            .iter()
            .map(|field| field.name().clone())
            .collect()
    }

    fn __len__(&self) -> usize {
        self.num_rows()
    }

    fn __repr__(&self) -> String {
        format!(
            "<scrim.Table {}: {} rows, {} columns>",
            self.name,
            self.num_rows(),
            self.schema.fields().len()
        )
    }

    /// As a PyArrow table.
    fn to_pyarrow<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        slf.py().import("pyarrow")?.call_method1("table", (slf,))
    }

    /// As a pandas data frame (by way of PyArrow).
    fn to_pandas<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        Self::to_pyarrow(slf)?.call_method0("to_pandas")
    }

    /// As a Polars data frame.
    fn to_polars<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        slf.py().import("polars")?.call_method1("DataFrame", (slf,))
    }
}

/// The tables of a folder that a run wrote, or of an address in an object store.
#[pyfunction]
pub fn read_tables(py: Python<'_>, place: PathBuf) -> PyResult<Tables> {
    let location = Location::of(place).map_err(|error| refused(&error))?;
    let store = interruptible(py, |_| tables_in(&location))?.map_err(refused_any)?;
    let tables = Tables {
        kept: Kept::There(Arc::from(store), location.clone()),
        left_out: Vec::new(),
        notes: Vec::new(),
    };
    if tables.keys()?.is_empty() {
        return Err(ScrimError::new_err(format!(
            "{location}: no tables here; give the folder that `scrim run` wrote to"
        )));
    }
    Ok(tables)
}
