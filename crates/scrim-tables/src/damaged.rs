//! Parquet files that nobody vouches for: the library panics over some, and others keep it busy for hours or take all memory, where
//! an error is wanted.

use std::panic::{AssertUnwindSafe, catch_unwind};

use arrow::array::{RecordBatch, RecordBatchReader};
use arrow::datatypes::SchemaRef;
use parquet::arrow::ProjectionMask;
use parquet::arrow::arrow_reader::{ArrowReaderOptions, ParquetRecordBatchReaderBuilder};
use parquet::errors::ParquetError;
use parquet::file::reader::ChunkReader;

use crate::parquet_claims::{check_footer, check_pages};

/// Runs `read`, so that a panic of a library over damaged bytes becomes the error `damaged`.
///
/// # Errors
/// What `read` returns, or `damaged`.
pub fn guarded<T, E>(read: impl FnOnce() -> Result<T, E>, damaged: impl FnOnce() -> E) -> Result<T, E> {
    catch_unwind(AssertUnwindSafe(read)).unwrap_or_else(|_| Err(damaged()))
}

fn damaged() -> ParquetError {
    ParquetError::General("the file is damaged: what it says of its columns cannot be; write it again".into())
}

/// Opens a Parquet file, once its footer is found to be as long as what it claims to hold.
///
/// # Errors
/// [`ParquetError`] when the bytes are no Parquet, or damaged.
pub fn open_parquet<R: ChunkReader + Clone + 'static>(
    file: &R,
    options: ArrowReaderOptions,
) -> Result<ParquetRecordBatchReaderBuilder<R>, ParquetError> {
    guarded(
        || {
            check_footer(file)?;
            ParquetRecordBatchReaderBuilder::try_new_with_options(file.clone(), options)
        },
        damaged,
    )
}

/// The batches of an opened file, of the columns that `mask` chooses, once their pages are found to be what they claim; and the
/// schema of those columns.
///
/// # Errors
/// [`ParquetError`] when the file is damaged, now or at a batch.
pub fn batches_of<R: ChunkReader + Clone + 'static>(
    file: &R,
    builder: ParquetRecordBatchReaderBuilder<R>,
    mask: ProjectionMask,
) -> Result<
    (
        SchemaRef,
        impl Iterator<Item = Result<RecordBatch, ParquetError>> + use<R>,
    ),
    ParquetError,
> {
    let mut reader = guarded(
        || {
            check_pages(file, builder.metadata(), &mask)?;
            builder.with_projection(mask).build()
        },
        damaged,
    )?;
    let schema = reader.schema();
    let batches = std::iter::from_fn(move || guarded(|| Ok(reader.next().transpose()?), damaged).transpose());
    Ok((schema, batches))
}

#[cfg(test)]
mod tests {
    use bytes::Bytes;

    use super::*;

    /// A footer of a list of 2,147,483,647 booleans in no bytes, which the library would step over one by one.
    #[test]
    fn a_footer_that_claims_what_is_not_there_is_refused() {
        let mut bytes = b"PAR1".to_vec();
        let footer = [0x19, 0xf1, 0xff, 0xff, 0xff, 0xff, 0x07, 0x00];
        bytes.extend(footer);
        bytes.extend((footer.len() as u32).to_le_bytes());
        bytes.extend(b"PAR1");
        let error = open_parquet(&Bytes::from(bytes), ArrowReaderOptions::new())
            .err()
            .unwrap();
        assert!(error.to_string().contains("list of booleans"), "{error}");
    }

    #[test]
    fn a_panic_becomes_an_error() {
        let result: Result<(), ParquetError> = guarded(|| panic!("of the library"), damaged);
        assert!(result.unwrap_err().to_string().contains("damaged"));
    }
}
