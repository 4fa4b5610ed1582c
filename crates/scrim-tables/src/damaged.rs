//! Parquet files that may be damaged: the library panics over some, where an error is wanted.

use std::panic::{AssertUnwindSafe, catch_unwind};

use arrow::array::RecordBatch;
use arrow::error::ArrowError;
use parquet::errors::ParquetError;

/// Runs `read`, so that a panic of the Parquet library over damaged bytes becomes an error.
///
/// # Errors
/// What `read` returns, or that the file is damaged.
pub fn guarded<T>(read: impl FnOnce() -> Result<T, ParquetError>) -> Result<T, ParquetError> {
    catch_unwind(AssertUnwindSafe(read)).unwrap_or_else(|_| {
        Err(ParquetError::General(
            "the file is damaged: what it says of its columns cannot be; write it again".into(),
        ))
    })
}

/// The batches of a reader, each read in the same way.
pub fn guarded_batches(
    mut reader: impl Iterator<Item = Result<RecordBatch, ArrowError>>,
) -> impl Iterator<Item = Result<RecordBatch, ParquetError>> {
    std::iter::from_fn(move || guarded(|| Ok(reader.next().transpose()?)).transpose())
}
