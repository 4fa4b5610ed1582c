//! Arrow data from and to Python, by the Arrow PyCapsule interface: no library of Python's is needed, and nothing is copied.
//!
//! Source: <https://arrow.apache.org/docs/format/CDataInterface/PyCapsuleInterface.html>.

use std::ffi::CStr;

use arrow::datatypes::SchemaRef;
use arrow::error::ArrowError;
use arrow::ffi_stream::{FFI_ArrowArrayStream, RecordBatchStreamReader};
use arrow::record_batch::{RecordBatch, RecordBatchIterator, RecordBatchReader};
use pyo3::prelude::*;
use pyo3::types::PyCapsule;

use crate::{ScrimError, refused};

const STREAM: &CStr = c"arrow_array_stream";

/// Whether an object gives Arrow data.
pub fn is_arrow(object: &Bound<'_, PyAny>) -> bool {
    object.hasattr("__arrow_c_stream__").unwrap_or(false)
}

/// The rows of an object that gives Arrow data; `what` is what it is to be.
pub fn stream_of(object: &Bound<'_, PyAny>, what: &str) -> PyResult<RecordBatchStreamReader> {
    if !is_arrow(object) {
        return Err(ScrimError::new_err(format!(
            "{what}: expected a path, or a table that gives Arrow data (a DataFrame of pandas or Polars, a Table of PyArrow, a relation \
             of DuckDB); found {}",
            object.get_type().name()?
        )));
    }
    let capsule = object.call_method0("__arrow_c_stream__")?;
    let capsule = capsule
        .cast::<PyCapsule>()
        .map_err(|_| ScrimError::new_err(format!("{what}: its __arrow_c_stream__ gives no capsule")))?;
    let pointer = capsule.pointer_checked(Some(STREAM))?;
    // SAFETY: a capsule of this name holds an ArrowArrayStream, by the interface that the method promises. `from_raw` takes what it
    // holds and leaves a released one behind, which the capsule's own end then leaves alone.
    #[expect(unsafe_code, reason = "the C data interface hands over a pointer")]
    let reader =
        unsafe { RecordBatchStreamReader::from_raw(pointer.cast::<FFI_ArrowArrayStream>().as_ptr()) };
    reader.map_err(|error| refused(&error))
}

/// A capsule with batches of one schema.
pub fn capsule_of<'py>(
    py: Python<'py>,
    schema: SchemaRef,
    batches: Vec<RecordBatch>,
) -> PyResult<Bound<'py, PyCapsule>> {
    let batches = batches.into_iter().map(Ok::<_, ArrowError>);
    let reader: Box<dyn RecordBatchReader + Send> = Box::new(RecordBatchIterator::new(batches, schema));
    // Whoever takes the stream leaves a released one, whose end does nothing.
    PyCapsule::new_with_value(py, FFI_ArrowArrayStream::new(reader), STREAM)
}
