//! Columnar files (Parquet, Arrow IPC): wanted columns only, ids as dictionaries where the file allows it, so that an
//! id is looked up once a dictionary value and not once a row.

mod cells;
mod ipc;
mod opened;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use arrow::array::{ArrayRef, RecordBatch};
use arrow::datatypes::{DataType, Field, Schema, SchemaRef};
use arrow::error::ArrowError;
use arrow::util::display::array_value_to_string;
use parquet::arrow::ProjectionMask;
use parquet::arrow::arrow_reader::ArrowReaderOptions;
use scrim_tables::limits::BATCH_ROWS;
use scrim_tables::{batches_of, open_parquet};

use crate::IngestError;
use crate::chunk::{Cells, Chunk, Chunks, RawRows, ReadAs, RowNumbers, Wanted, places_of};
use crate::mapping::Format;
use crate::names::Names;
use crate::text_rows::{TextRow, TextRows};
use opened::Opened;

type Batches = Box<dyn Iterator<Item = Result<RecordBatch, ArrowError>>>;

/// The names of a columnar file's columns.
pub(crate) fn columns_of(path: &Path, format: Format) -> Result<Vec<String>, IngestError> {
    let names = |schema: &Schema| schema.fields().iter().map(|field| field.name().clone()).collect();
    guarded(path, format, || match format {
        Format::Parquet => {
            let source = |source| IngestError::Parquet {
                path: path.into(),
                source,
            };
            let end = Opened::end_of(path)?;
            let opened = open_parquet(&end, ArrowReaderOptions::new()).map_err(source)?;
            Ok(names(opened.schema()))
        }
        _ => Ok(names(&open(path, format, None)?.0)),
    })
}

/// The wanted columns of a columnar file.
pub(crate) struct ColumnarTable {
    path: PathBuf,
    format: Format,
    batches: Batches,
    kinds: Vec<ReadAs>,
    columns: Vec<Cells>,
    rows: BatchRows,
    /// What is left of the last batch, when it had more rows than a chunk.
    rest: Option<RecordBatch>,
    next_row: u64,
}

struct BatchRows {
    batch: RecordBatch,
    /// Place of each wanted column in the batch.
    places: Vec<usize>,
}

/// Runs `read` so that a panic of a library over damaged bytes becomes an error of this crate.
fn guarded<T>(
    path: &Path,
    format: Format,
    read: impl FnOnce() -> Result<T, IngestError>,
) -> Result<T, IngestError> {
    scrim_tables::guarded(read, || IngestError::Stumbled {
        path: path.into(),
        format: format.as_str(),
    })
}

/// Opens a file for the columns `wanted`, or for all of them.
fn open(path: &Path, format: Format, wanted: Option<&[Wanted]>) -> Result<(SchemaRef, Batches), IngestError> {
    let project = |schema: &Schema| -> Vec<usize> {
        let is_wanted = |name: &str| wanted.is_none_or(|all| all.iter().any(|w| w.column == name));
        (0..schema.fields().len())
            .filter(|&i| is_wanted(schema.field(i).name()))
            .collect()
    };
    match format {
        Format::ArrowFile | Format::ArrowStream => {
            let (schema, batches) = ipc::open(path, format, project)?;
            Ok((schema, Box::new(batches)))
        }
        Format::Parquet | Format::Delimited | Format::JsonLines | Format::Json => open_pages(path, wanted),
    }
}

fn open_pages(path: &Path, wanted: Option<&[Wanted]>) -> Result<(SchemaRef, Batches), IngestError> {
    let parquet = |source| IngestError::Parquet {
        path: path.into(),
        source,
    };
    let file = Opened::whole(path)?;
    let plain = open_parquet(&file, ArrowReaderOptions::new()).map_err(parquet)?;
    let read_as = |field: &Field| {
        wanted
            .and_then(|all| all.iter().find(|w| w.column == *field.name()))
            .map(|w| w.read_as)
    };
    let mut fields: Vec<Arc<Field>> = plain.schema().fields().iter().cloned().collect();
    for field in &mut fields {
        let is_text = matches!(
            field.data_type(),
            DataType::Utf8 | DataType::LargeUtf8 | DataType::Utf8View
        );
        if is_text && read_as(field) == Some(ReadAs::Id) {
            let dictionary = DataType::Dictionary(Box::new(DataType::Int32), Box::new(DataType::Utf8));
            *field = Arc::new(Field::clone(field).with_data_type(dictionary));
        }
    }
    let schema = Arc::new(Schema::new_with_metadata(
        fields,
        plain.schema().metadata().clone(),
    ));
    // A file that does not take the dictionaries is read as it is: slower, and the same.
    let builder = open_parquet(&file, ArrowReaderOptions::new().with_schema(schema)).unwrap_or(plain);
    let roots: Vec<usize> = (0..builder.schema().fields().len())
        .filter(|&i| wanted.is_none() || read_as(builder.schema().field(i)).is_some())
        .collect();
    let mask = ProjectionMask::roots(builder.parquet_schema(), roots);
    let (schema, batches) = batches_of(&file, builder, mask).map_err(parquet)?;
    Ok((schema, Box::new(batches.map(|batch| Ok(batch?)))))
}

impl ColumnarTable {
    /// Opens `path` for the columns `wanted`.
    pub(crate) fn open(path: &Path, format: Format, wanted: &[Wanted]) -> Result<Self, IngestError> {
        let (schema, batches) = guarded(path, format, || open(path, format, Some(wanted)))?;
        let found: Vec<String> = schema.fields().iter().map(|f| f.name().clone()).collect();
        let places = places_of(path, wanted, &found)?;
        for (wanted, &place) in wanted.iter().zip(&places) {
            if let Some(expected) = cells::refuses(schema.field(place).data_type(), wanted.read_as) {
                return Err(IngestError::WrongType {
                    path: path.into(),
                    column: wanted.column.clone(),
                    found: schema.field(place).data_type().to_string(),
                    expected,
                });
            }
        }
        Ok(Self {
            path: path.into(),
            format,
            batches,
            kinds: wanted.iter().map(|w| w.read_as).collect(),
            columns: wanted.iter().map(|_| Cells::default()).collect(),
            rows: BatchRows {
                batch: RecordBatch::new_empty(schema),
                places,
            },
            rest: None,
            next_row: 0,
        })
    }

    fn next_batch(&mut self) -> Result<Option<RecordBatch>, IngestError> {
        let batches = &mut self.batches;
        let batch = match self.rest.take() {
            Some(rest) => rest,
            None => {
                let next = guarded(&self.path, self.format, || {
                    batches.next().transpose().map_err(|source| IngestError::Arrow {
                        path: self.path.clone(),
                        format: self.format.as_str(),
                        source,
                    })
                });
                match next? {
                    Some(batch) => batch,
                    None => return Ok(None),
                }
            }
        };
        if batch.num_rows() <= BATCH_ROWS {
            return Ok(Some(batch));
        }
        self.rest = Some(batch.slice(BATCH_ROWS, batch.num_rows() - BATCH_ROWS));
        Ok(Some(batch.slice(0, BATCH_ROWS)))
    }
}

impl Chunks for ColumnarTable {
    fn next_chunk(&mut self, names: &mut Names) -> Result<Option<Chunk<'_>>, IngestError> {
        let Some(batch) = self.next_batch()? else {
            return Ok(None);
        };
        for ((cells, &place), &kind) in self.columns.iter_mut().zip(&self.rows.places).zip(&self.kinds) {
            cells.clear();
            cells::read(batch.column(place), kind, cells, names).map_err(|source| IngestError::Arrow {
                path: self.path.clone(),
                format: self.format.as_str(),
                source,
            })?;
        }
        let (rows, first) = (batch.num_rows(), self.next_row);
        self.next_row += rows as u64;
        self.rows.batch = batch;
        Ok(Some(Chunk {
            rows,
            numbers: RowNumbers::From(first),
            columns: &self.columns,
            broken: &[],
            raw: &self.rows,
        }))
    }
}

impl RawRows for BatchRows {
    fn cell(&self, row: usize, wanted: usize) -> String {
        array_value_to_string(self.batch.column(self.places[wanted]), row).unwrap_or_default()
    }

    fn row(&self, row: usize) -> String {
        row_text(&self.batch, row)
    }
}

fn row_text(batch: &RecordBatch, row: usize) -> String {
    let mut text = String::new();
    for (field, column) in batch.schema().fields().iter().zip(batch.columns()) {
        if !text.is_empty() {
            text.push(',');
        }
        text.push_str(field.name());
        text.push('=');
        text.push_str(&array_value_to_string(column, row).unwrap_or_default());
    }
    text
}

/// All rows of a small table, as text, with their numbers; for side tables.
pub(crate) fn read_all_text(path: &Path, format: Format) -> Result<(Vec<String>, Vec<TextRow>), IngestError> {
    guarded(path, format, || {
        let (schema, batches) = open(path, format, None)?;
        let mut rows = TextRows::new(path);
        for batch in batches {
            let batch = batch.map_err(|source| IngestError::Arrow {
                path: path.into(),
                format: format.as_str(),
                source,
            })?;
            for row in 0..batch.num_rows() {
                let cell = |column: &ArrayRef| array_value_to_string(column, row).unwrap_or_default();
                let cells = batch.columns().iter().map(cell).collect();
                rows.push(rows.len() as u64, cells)?;
            }
        }
        Ok((
            schema.fields().iter().map(|f| f.name().clone()).collect(),
            rows.into_rows(),
        ))
    })
}
