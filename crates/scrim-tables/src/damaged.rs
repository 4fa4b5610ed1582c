//! Parquet files that nobody vouches for: the library panics over some, and others keep it busy for hours or take all memory, where
//! an error is wanted.

use std::panic::{AssertUnwindSafe, catch_unwind};

use arrow::array::{RecordBatch, RecordBatchReader};
use arrow::datatypes::SchemaRef;
use parquet::arrow::ProjectionMask;
use parquet::arrow::arrow_reader::{ArrowReaderOptions, ParquetRecordBatchReaderBuilder};
use parquet::errors::ParquetError;
use parquet::file::reader::ChunkReader;

use crate::limits::most_unpacked;
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
            let rows = check_pages(file, builder.metadata(), builder.schema(), &mask)?;
            builder.with_batch_size(rows).with_projection(mask).build()
        },
        damaged,
    )?;
    let schema = reader.schema();
    let most_bytes = most_unpacked(file.len()) as usize;
    let mut held_bytes = 0;
    let batches = std::iter::from_fn(move || {
        let batch = guarded(|| Ok(reader.next().transpose()?), damaged).transpose()?;
        held_bytes += batch.as_ref().map_or(0, RecordBatch::get_array_memory_size);
        Some(batch.and_then(|batch| {
            if held_bytes > most_bytes {
                let what =
                    format!("its rows take more than {most_bytes} bytes, which no file of its length holds");
                return Err(ParquetError::General(what));
            }
            Ok(batch)
        }))
    });
    Ok((schema, batches))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use arrow::array::{ArrayRef, Float64Array, Int64Array, StringArray};
    use bytes::Bytes;
    use parquet::arrow::ArrowWriter;
    use parquet::basic::{Compression, Encoding};
    use parquet::file::properties::{WriterProperties, WriterVersion};

    use super::*;

    /// A footer of a list, field 9, of 2,147,483,647 booleans in no bytes, which the library would step over one by one.
    #[test]
    fn a_footer_that_claims_what_is_not_there_is_refused() {
        let error = opened(&[0x99, 0xf1, 0xff, 0xff, 0xff, 0xff, 0x07, 0x00]);
        assert!(error.contains("list of booleans"), "{error}");
    }

    /// A footer of these bytes.
    fn opened(footer: &[u8]) -> String {
        let mut bytes = b"PAR1".to_vec();
        bytes.extend(footer);
        bytes.extend((footer.len() as u32).to_le_bytes());
        bytes.extend(b"PAR1");
        let error = open_parquet(&Bytes::from(bytes), ArrowReaderOptions::new())
            .err()
            .unwrap();
        error.to_string()
    }

    /// A version, field 1, as a text of four bytes, which the library reads as a number and goes on in the text.
    #[test]
    fn a_footer_whose_fields_have_other_types_is_refused() {
        let error = opened(&[0x18, 0x04, 0x19, 0xf1, 0x07, 0x00, 0x00]);
        assert_eq!(
            error,
            "Parquet error: its footer cannot be read: field 1 of FileMetaData has the type 8"
        );
    }

    /// Groups of one element each: a list, type 9, of structures, type 12, each with field 5, its number of elements, 1.
    #[test]
    fn a_schema_of_groups_without_end_is_refused() {
        let groups = 1000_u32;
        let mut footer = vec![0x15, 0x02, 0x19, 0xfc, 0xe8, 0x07];
        for _ in 0..groups {
            footer.extend([0x55, 0x02, 0x00]);
        }
        footer.push(0x00);
        let error = opened(&footer);
        assert!(error.contains("deeper than 64"), "{error}");
    }

    /// All packings, both versions of pages, with and without dictionaries.
    #[test]
    fn files_as_they_are_written_pass() {
        let batch = RecordBatch::try_from_iter([
            (
                "id",
                Arc::new(StringArray::from_iter_values(
                    (0..3000).map(|i| format!("P{}", i % 7)),
                )) as ArrayRef,
            ),
            (
                "t",
                Arc::new(Float64Array::from_iter(
                    (0..3000).map(|i| (i % 5 > 0).then_some(f64::from(i))),
                )) as ArrayRef,
            ),
            ("n", Arc::new(Int64Array::from_iter_values(0..3000)) as ArrayRef),
        ])
        .unwrap();
        for codec in [
            Compression::UNCOMPRESSED,
            Compression::SNAPPY,
            Compression::GZIP(Default::default()),
            Compression::LZ4,
            Compression::LZ4_RAW,
            Compression::ZSTD(Default::default()),
        ] {
            for version in [WriterVersion::PARQUET_1_0, WriterVersion::PARQUET_2_0] {
                for is_dictionary in [false, true] {
                    let properties = WriterProperties::builder()
                        .set_compression(codec)
                        .set_writer_version(version)
                        .set_dictionary_enabled(is_dictionary)
                        .set_column_encoding("id".into(), Encoding::PLAIN)
                        .set_data_page_row_count_limit(500)
                        .set_max_row_group_row_count(Some(2000));
                    let mut writer =
                        ArrowWriter::try_new(Vec::new(), batch.schema(), Some(properties.build())).unwrap();
                    writer.write(&batch).unwrap();
                    let file = Bytes::from(writer.into_inner().unwrap());
                    let builder = open_parquet(&file, ArrowReaderOptions::new()).unwrap();
                    let (schema, batches) = batches_of(&file, builder, ProjectionMask::all()).unwrap();
                    let batches = batches.collect::<Result<Vec<_>, _>>().unwrap();
                    let read = arrow::compute::concat_batches(&schema, &batches).unwrap();
                    assert_eq!(read, batch, "{codec:?}, {version:?}, {is_dictionary}");
                }
            }
        }
    }

    #[test]
    fn a_panic_becomes_an_error() {
        let result: Result<(), ParquetError> = guarded(|| panic!("of the library"), damaged);
        assert!(result.unwrap_err().to_string().contains("damaged"));
    }
}
