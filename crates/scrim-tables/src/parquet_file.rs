//! Rows to the bytes of one Parquet file, and back.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, LazyLock};

use arrow::array::{ArrayRef, RecordBatch, StringArray};
use arrow::datatypes::{FieldRef, Schema, SchemaRef};
use bytes::Bytes;
use parquet::arrow::arrow_reader::ArrowReaderOptions;
use parquet::arrow::arrow_writer::ArrowWriterOptions;
use parquet::arrow::{
    ArrowSchemaConverter, ArrowWriter, ProjectionMask, add_encoded_arrow_schema_to_metadata,
};
use parquet::basic::{Compression, Encoding, ZstdLevel};
use parquet::errors::ParquetError;
use parquet::file::metadata::{FileMetaData, KeyValue};
use parquet::file::properties::{EnabledStatistics, WriterProperties};
use parquet::schema::types::{ColumnPath, SchemaDescriptor};
use serde::de::DeserializeOwned;

use crate::column::{Kind, LIST_ELEMENT};
use crate::damaged::{batches_of, open_parquet};
use crate::metadata::{Footer, OtherSchemaVersion, check_footer};
use crate::partition::UNKNOWN_SEASON;
use crate::rows::tables;
use crate::{Row, RunInfo, Scope, Table};

/// A table that could not be written or read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// Rows and schema do not fit.
    #[error("table `{table}`: its rows do not fit its columns")]
    Rows {
        /// The table.
        table: &'static str,
        /// What did not fit.
        source: Box<serde_arrow::Error>,
    },
    /// The Parquet library refused.
    #[error("table `{table}`: not a Parquet file that can be read or written")]
    Parquet {
        /// The table.
        table: &'static str,
        /// Why.
        source: ParquetError,
    },
    /// The file is of another schema version.
    #[error(transparent)]
    Version(#[from] OtherSchemaVersion),
}

/// Bytes of a Parquet file that holds `rows`, under the table's columns: zstd from [`LEAST_COMPRESSED_ROWS`] rows on, dictionaries for tags and ids, statistics of
/// every column, the run's footer. Every row is of `season`; `None` is the season of games that have none. A table of runs
/// carries its seasons itself. The same rows and run give the same bytes.
///
/// # Errors
/// [`TableError`] when the rows do not fit the table's columns; no input row causes that.
pub fn write_rows<R: Row>(rows: &[R], season: Option<&str>, run: &RunInfo) -> Result<Vec<u8>, TableError> {
    write_with_footer(rows, season, &run.footer(R::INFO.scope))
}

/// The same under a footer.
pub(crate) fn write_with_footer<R: Row>(
    rows: &[R],
    season: Option<&str>,
    footer: &Footer,
) -> Result<Vec<u8>, TableError> {
    let parquet = |source| TableError::Parquet {
        table: R::TABLE,
        source,
    };
    let layout = Layout::of(R::INFO);
    let declared = batch_of_rows(rows)?;
    let mut columns: Vec<ArrayRef> = Vec::with_capacity(layout.schema.fields().len());
    if R::INFO.scope != Scope::Run {
        let season = std::iter::repeat_n(season.unwrap_or(UNKNOWN_SEASON), rows.len());
        columns.push(Arc::new(StringArray::from_iter_values(season)));
    }
    columns.extend(declared.columns().iter().cloned());
    let batch =
        RecordBatch::try_new(layout.schema.clone(), columns).map_err(|error| parquet(error.into()))?;
    let options = ArrowWriterOptions::new()
        .with_properties(layout.properties(rows.len(), footer))
        .with_parquet_schema(layout.parquet_schema.clone())
        .with_skip_arrow_metadata(true);
    let mut writer =
        ArrowWriter::try_new_with_options(Vec::new(), layout.schema.clone(), options).map_err(parquet)?;
    writer.write(&batch).map_err(parquet)?;
    writer.into_inner().map_err(parquet)
}

/// Rows as one batch of the columns that they declare.
///
/// # Errors
/// [`TableError::Rows`]; no rows of the program cause that.
pub fn batch_of_rows<R: Row>(rows: &[R]) -> Result<RecordBatch, TableError> {
    serde_arrow::to_record_batch(&Layout::of(R::INFO).declared, &rows).map_err(|source| TableError::Rows {
        table: R::TABLE,
        source: Box::new(source),
    })
}

/// A table of fewer rows is not compressed: each column would want a compressor of its own, which costs more than it saves.
const LEAST_COMPRESSED_ROWS: usize = 128;

/// What all files of a table have in common: worked out once, for a season has thousands of them.
struct Layout {
    /// The columns of its rows, without what they mean.
    declared: Vec<FieldRef>,
    /// The columns of its files.
    schema: SchemaRef,
    parquet_schema: SchemaDescriptor,
    /// How files are written, with the Arrow schema in their footer.
    properties: WriterProperties,
}

static LAYOUTS: LazyLock<BTreeMap<&'static str, Layout>> =
    LazyLock::new(|| tables().map(|table| (table.name, Layout::new(table))).collect());

impl Layout {
    fn of(table: &Table) -> &'static Self {
        &LAYOUTS[table.name]
    }

    fn new(table: &Table) -> Self {
        let plain = |field: FieldRef| Arc::new(field.as_ref().clone().with_metadata(HashMap::new()));
        let schema = Schema::new(table.file_fields());
        let mut properties = properties(table);
        add_encoded_arrow_schema_to_metadata(&schema, &mut properties);
        let parquet_schema = ArrowSchemaConverter::new().convert(&schema);
        Self {
            declared: table.fields().into_iter().map(plain).collect(),
            schema: Arc::new(schema),
            // A test writes every table.
            parquet_schema: parquet_schema.unwrap_or_else(|error| panic!("table `{}`: {error}", table.name)),
            properties,
        }
    }

    /// How a file of so many rows is written.
    fn properties(&self, rows: usize, footer: &Footer) -> WriterProperties {
        let footer = footer
            .iter()
            .map(|(key, value)| KeyValue::new((*key).into(), value.clone()));
        let schema = self.properties.key_value_metadata().into_iter().flatten();
        let pairs = footer.chain(schema.cloned()).collect();
        let compression = if rows < LEAST_COMPRESSED_ROWS {
            Compression::UNCOMPRESSED
        } else {
            Compression::ZSTD(ZstdLevel::default())
        };
        let properties = self.properties.clone().into_builder();
        properties
            .set_key_value_metadata(Some(pairs))
            .set_compression(compression)
            .build()
    }
}

/// How files of a table are written, whatever they hold.
fn properties(table: &Table) -> WriterProperties {
    let mut properties = WriterProperties::builder()
        .set_statistics_enabled(EnabledStatistics::Chunk)
        // One page a column, mostly: an index of pages would be as long as they are.
        .set_offset_index_disabled(true)
        .set_created_by("scrim".into())
        .set_dictionary_enabled(false);
    for column in table.file_columns() {
        match column.kind {
            Kind::Tag(_) | Kind::Id => {
                let path = ColumnPath::from(column.name);
                properties = properties.set_column_dictionary_enabled(path, true);
            }
            Kind::List(element, _) if element.data_type().is_integer() => {
                // A track goes on from where it was: differences are small. A third of the size of plain values.
                let leaf = [column.name, "list", LIST_ELEMENT].map(str::to_owned).to_vec();
                properties =
                    properties.set_column_encoding(ColumnPath::new(leaf), Encoding::DELTA_BINARY_PACKED);
            }
            _ => {}
        }
    }
    properties.build()
}

/// The rows that [`write_rows`] (or another program that keeps the contract) wrote.
///
/// # Errors
/// As [`read_columns`].
pub fn read_rows<R: Row>(bytes: Vec<u8>) -> Result<Vec<R>, TableError> {
    let names: Vec<&str> = R::INFO.columns.iter().map(|column| column.name).collect();
    read_columns(R::TABLE, &names, bytes)
}

/// Some columns of a table: those of `columns` that the file has, as rows of `T`, whose fields bear the columns' names. A
/// column that the file lacks must be an `Option` with a default in `T`.
///
/// # Errors
/// [`TableError`] when the bytes are no Parquet, are of another schema version, or lack a column that `T` needs.
pub fn read_columns<T: DeserializeOwned>(
    table: &'static str,
    columns: &[&str],
    bytes: Vec<u8>,
) -> Result<Vec<T>, TableError> {
    let mut rows = Vec::new();
    for batch in batches(table, columns, bytes)?.1 {
        let part: Vec<T> = serde_arrow::from_record_batch(&batch?).map_err(|source| TableError::Rows {
            table,
            source: Box::new(source),
        })?;
        rows.extend(part);
    }
    Ok(rows)
}

/// Some columns of a table as one batch: those of `columns` that the file has.
///
/// # Errors
/// [`TableError`] when the bytes are no Parquet, or are of another schema version.
pub fn read_batch(table: &'static str, columns: &[&str], bytes: Vec<u8>) -> Result<RecordBatch, TableError> {
    let (schema, batches) = batches(table, columns, bytes)?;
    let batches = batches.collect::<Result<Vec<_>, _>>()?;
    arrow::compute::concat_batches(&schema, &batches).map_err(|error| TableError::Parquet {
        table,
        source: error.into(),
    })
}

/// The batches of those columns of a file, and their schema.
fn batches(
    table: &'static str,
    columns: &[&str],
    bytes: Vec<u8>,
) -> Result<(SchemaRef, impl Iterator<Item = Result<RecordBatch, TableError>>), TableError> {
    let parquet = move |source| TableError::Parquet { table, source };
    // Rows take what Parquet's own types say; the Arrow schema, with what each column means, is long to read.
    let options = ArrowReaderOptions::new().with_skip_arrow_metadata(true);
    let file = Bytes::from(bytes);
    let builder = open_parquet(&file, options).map_err(parquet)?;
    check_footer(table, &pairs_of(builder.metadata().file_metadata()))?;
    let mask = ProjectionMask::columns(builder.parquet_schema(), columns.iter().copied());
    let (schema, batches) = batches_of(&file, builder, mask).map_err(parquet)?;
    Ok((schema, batches.map(move |batch| batch.map_err(parquet))))
}

/// All columns and rows of a file as one batch, and its footer's pairs.
///
/// # Errors
/// [`ParquetError`] when the bytes are no Parquet, or damaged.
pub fn read_whole(bytes: Vec<u8>) -> Result<(RecordBatch, BTreeMap<String, String>), ParquetError> {
    let file = Bytes::from(bytes);
    let builder = open_parquet(&file, ArrowReaderOptions::new())?;
    let pairs = pairs_of(builder.metadata().file_metadata());
    // The batches' own schema: the builder's holds the pairs too, and they are a file's, not a table's.
    let (schema, batches) = batches_of(&file, builder, ProjectionMask::all())?;
    let batches = batches.collect::<Result<Vec<_>, _>>()?;
    Ok((arrow::compute::concat_batches(&schema, &batches)?, pairs))
}

/// What a table's file says of the run that made it.
///
/// # Errors
/// [`ParquetError`] when the bytes are no Parquet.
pub fn read_metadata(bytes: Vec<u8>) -> Result<BTreeMap<String, String>, ParquetError> {
    let builder = open_parquet(&Bytes::from(bytes), ArrowReaderOptions::new())?;
    Ok(pairs_of(builder.metadata().file_metadata()))
}

fn pairs_of(file: &FileMetaData) -> BTreeMap<String, String> {
    let pairs = file.key_value_metadata().into_iter().flatten();
    pairs
        .filter_map(|pair| Some((pair.key.clone(), pair.value.clone()?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rows::{MatchupRow, TouchRow, TrackRow};
    use crate::tags::{Entity, TouchEnd};

    fn run() -> RunInfo {
        RunInfo {
            pipeline: "test".into(),
            parameters_toml: "a = 1\n".into(),
            game_parameters_toml: "a = 1\n".into(),
            version: "9".into(),
        }
    }

    fn touch(next: Option<&str>) -> TouchRow {
        TouchRow {
            game_id: "G 1/é".into(),
            period: 1,
            possession_id: 3,
            touch_id: 4,
            player_id: "p".into(),
            t_start_s: 0.04,
            t_end_s: 1.0,
            x_start_m: 1.0,
            y_start_m: -2.0,
            x_end_m: 3.0,
            y_end_m: 0.5,
            dribbled: true,
            ended_by: TouchEnd::Handoff,
            next_player_id: next.map(Into::into),
        }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let rows = vec![touch(Some("q")), touch(None)];
        let bytes = write_rows(&rows, Some("2041"), &run()).unwrap();
        assert_eq!(read_rows::<TouchRow>(bytes.clone()).unwrap(), rows);
        let metadata = read_metadata(bytes).unwrap();
        assert_eq!(metadata["program_version"], "9");
        assert_eq!(metadata["parameters_hash"], run().parameters_hash(Scope::Game));
        assert_eq!(metadata["schema_version"], crate::SCHEMA_VERSION);
        assert!(
            !metadata.values().any(|value| value.contains("a = 1")),
            "{metadata:?}"
        );
    }

    #[test]
    fn the_same_rows_give_the_same_bytes() {
        let rows = vec![touch(Some("q")), touch(None)];
        assert_eq!(
            write_rows(&rows, Some("2041"), &run()).unwrap(),
            write_rows(&rows, Some("2041"), &run()).unwrap()
        );
    }

    #[test]
    fn lists_are_read_back_with_their_nulls() {
        let row = |x_cm: Vec<Option<i16>>| TrackRow {
            game_id: "G".into(),
            period: 1,
            possession_id: 0,
            entity: Entity::Ball,
            player_id: None,
            t_start_s: 1.5,
            hz: 10.0,
            y_cm: x_cm.clone(),
            x_cm,
            game_clock_tenths: vec![None, Some(7_200)],
        };
        let rows = vec![
            row(vec![Some(i16::MIN), None, Some(i16::MAX)]),
            row(vec![]),
            row(vec![None]),
        ];
        let bytes = write_rows(&rows, Some("2041"), &run()).unwrap();
        assert_eq!(read_rows::<TrackRow>(bytes).unwrap(), rows);
    }

    #[test]
    fn a_table_without_rows_still_has_its_columns() {
        let bytes = write_rows::<MatchupRow>(&[], None, &run()).unwrap();
        assert_eq!(read_rows::<MatchupRow>(bytes).unwrap(), vec![]);
    }

    #[test]
    fn some_columns_are_read_alone() {
        #[derive(Debug, PartialEq, serde::Deserialize)]
        struct Part {
            touch_id: u32,
            next_player_id: Option<crate::Id>,
        }
        let bytes = write_rows(&[touch(Some("q")), touch(None)], None, &run()).unwrap();
        let rows: Vec<Part> =
            read_columns("touches", &["touch_id", "next_player_id"], bytes.clone()).unwrap();
        assert_eq!(rows.len(), 2);
        assert_eq!(
            (rows[0].touch_id, rows[0].next_player_id.as_deref()),
            (4, Some("q"))
        );
        assert!(read_columns::<Part>("touches", &["touch_id"], bytes[..9].to_vec()).is_err());
    }

    #[test]
    fn bytes_that_are_no_parquet_are_an_error_not_a_panic() {
        assert!(read_rows::<TouchRow>(b"PAR1 not really".to_vec()).is_err());
        assert!(read_rows::<TouchRow>(Vec::new()).is_err());
    }
}
