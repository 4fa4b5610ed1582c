//! Columnar files (Parquet): wanted columns only, ids as dictionaries, so that an id is looked up once a dictionary
//! value and not once a row.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use arrow::array::{Array, ArrayRef, AsArray, RecordBatch};
use arrow::compute::cast;
use arrow::datatypes::{DataType, Field, Float32Type, Float64Type, Int32Type, Int64Type, Schema};
use arrow::error::ArrowError;
use arrow::util::display::array_value_to_string;
use parquet::arrow::ProjectionMask;
use parquet::arrow::arrow_reader::{
    ArrowReaderOptions, ParquetRecordBatchReader, ParquetRecordBatchReaderBuilder,
};

use crate::IngestError;
use crate::chunk::{Cells, Chunk, RawRows, ReadAs, RowNumbers};
use crate::names::{NO_NAME, NameIx, Names};

/// Rows a chunk: some tens of thousands keep the cost a chunk low and the memory small.
const CHUNK_ROWS: usize = 32_768;

/// Reads the wanted columns of a Parquet file, chunk by chunk.
pub(crate) struct ParquetTable {
    path: PathBuf,
    reader: ParquetRecordBatchReader,
    /// For each wanted column: its place in the batches, and what to read it as.
    wanted: Vec<(usize, ReadAs)>,
    next_row: u64,
}

/// The names of a Parquet file's columns.
pub(crate) fn parquet_columns(path: &Path) -> Result<Vec<String>, IngestError> {
    let builder = open(path, ArrowReaderOptions::new())?;
    Ok(builder
        .schema()
        .fields()
        .iter()
        .map(|f| f.name().clone())
        .collect())
}

fn open(
    path: &Path,
    options: ArrowReaderOptions,
) -> Result<ParquetRecordBatchReaderBuilder<File>, IngestError> {
    let file = File::open(path).map_err(|source| IngestError::Unreadable {
        path: path.into(),
        source,
    })?;
    ParquetRecordBatchReaderBuilder::try_new_with_options(file, options).map_err(|source| {
        IngestError::Parquet {
            path: path.into(),
            source,
        }
    })
}

impl ParquetTable {
    /// Opens `path`; every name in `wanted` must be one of [`parquet_columns`].
    pub(crate) fn open(path: &Path, wanted: &[(String, ReadAs)]) -> Result<Self, IngestError> {
        let parquet = |source| IngestError::Parquet {
            path: path.into(),
            source,
        };
        let plain = open(path, ArrowReaderOptions::new())?;
        let is_wanted_id = |field: &Field| wanted.iter().any(|(n, r)| n == field.name() && *r == ReadAs::Id);
        let fields: Vec<_> = plain
            .schema()
            .fields()
            .iter()
            .map(|field| match field.data_type() {
                DataType::Utf8 | DataType::LargeUtf8 | DataType::Utf8View if is_wanted_id(field) => {
                    let dictionary =
                        DataType::Dictionary(Box::new(DataType::Int32), Box::new(DataType::Utf8));
                    Arc::new(Field::clone(field).with_data_type(dictionary))
                }
                _ => field.clone(),
            })
            .collect();
        let schema = Arc::new(Schema::new_with_metadata(
            fields,
            plain.schema().metadata().clone(),
        ));
        // A file whose own hints contradict its columns does not take the dictionaries: then it is read as it is.
        let builder = match open(path, ArrowReaderOptions::new().with_schema(schema)) {
            Ok(builder) => builder,
            Err(_) => plain,
        };
        let all: Vec<&String> = builder.schema().fields().iter().map(|f| f.name()).collect();
        let roots: Vec<usize> = (0..all.len())
            .filter(|&i| wanted.iter().any(|(n, _)| n == all[i]))
            .collect();
        let mask = ProjectionMask::roots(builder.parquet_schema(), roots.iter().copied());
        let place = |name: &String| {
            roots
                .iter()
                .position(|&i| all[i] == name)
                .expect("names were checked by the plan")
        };
        let wanted = wanted
            .iter()
            .map(|(name, read_as)| (place(name), *read_as))
            .collect();
        let reader = builder
            .with_projection(mask)
            .with_batch_size(CHUNK_ROWS)
            .build()
            .map_err(parquet)?;
        Ok(Self {
            path: path.into(),
            reader,
            wanted,
            next_row: 0,
        })
    }

    /// The next rows, or `None` at the end.
    pub(crate) fn next_chunk(&mut self, names: &mut Names) -> Result<Option<Chunk>, IngestError> {
        let Some(batch) = self.reader.next() else {
            return Ok(None);
        };
        let arrow = |source| IngestError::Arrow {
            path: self.path.clone(),
            source,
        };
        let batch = batch.map_err(arrow)?;
        let mut columns = Vec::with_capacity(self.wanted.len());
        for &(place, read_as) in &self.wanted {
            let array = batch.column(place);
            columns.push(
                match read_as {
                    ReadAs::Id => id_cells(array, names),
                    ReadAs::Number => number_cells(array),
                }
                .map_err(arrow)?,
            );
        }
        let first = self.next_row;
        self.next_row += batch.num_rows() as u64;
        let places = self.wanted.iter().map(|w| w.0).collect();
        Ok(Some(Chunk {
            rows: batch.num_rows(),
            numbers: RowNumbers::From(first),
            columns,
            raw: Box::new(BatchRows { batch, places }),
        }))
    }
}

/// Id numbers of an array of texts, numbers or dictionaries of either.
fn id_cells(array: &ArrayRef, names: &mut Names) -> Result<Cells, ArrowError> {
    let as_is = DataType::Dictionary(Box::new(DataType::Int32), Box::new(DataType::Utf8));
    if *array.data_type() == as_is {
        let dictionary = array.as_dictionary::<Int32Type>();
        let values = dictionary.values().as_string::<i32>();
        let numbers: Vec<NameIx> = values
            .iter()
            .map(|v| v.map_or(NO_NAME, |v| names.number(v)))
            .collect();
        let keys = dictionary.keys();
        let ids = match keys.nulls() {
            None => keys.values().iter().map(|&key| numbers[key as usize]).collect(),
            Some(_) => keys
                .iter()
                .map(|key| key.map_or(NO_NAME, |key| numbers[key as usize]))
                .collect(),
        };
        return Ok(Cells::Ids(ids));
    }
    // Whole numbers as ids; a number that is told as a float (1610.0) is the id of that whole number.
    let array = match array.data_type() {
        DataType::Float32 | DataType::Float64 | DataType::Float16 => {
            let whole = cast(array, &DataType::Int64)?;
            let whole = whole.as_primitive::<Int64Type>();
            return Ok(Cells::Ids(
                whole
                    .iter()
                    .map(|v| v.map_or(NO_NAME, |v| names.number(&v.to_string())))
                    .collect(),
            ));
        }
        _ => cast(array, &DataType::Utf8)?,
    };
    let texts = array.as_string::<i32>();
    Ok(Cells::Ids(
        texts
            .iter()
            .map(|v| v.map_or(NO_NAME, |v| names.number(v)))
            .collect(),
    ))
}

/// Numbers of an array of numbers or of texts that tell numbers.
fn number_cells(array: &ArrayRef) -> Result<Cells, ArrowError> {
    let values: Vec<f64> = match array.data_type() {
        DataType::Float32 => {
            let a = array.as_primitive::<Float32Type>();
            match a.nulls() {
                None => a.values().iter().map(|&v| f64::from(v)).collect(),
                Some(_) => a.iter().map(|v| v.map_or(f64::NAN, f64::from)).collect(),
            }
        }
        DataType::Float64 => {
            let a = array.as_primitive::<Float64Type>();
            match a.nulls() {
                None => a.values().to_vec(),
                Some(_) => a.iter().map(|v| v.unwrap_or(f64::NAN)).collect(),
            }
        }
        _ => {
            let cast = cast(array, &DataType::Float64)?;
            let a = cast.as_primitive::<Float64Type>();
            let values: Vec<f64> = a.iter().map(|v| v.unwrap_or(f64::NAN)).collect();
            let unreadable = (0..values.len())
                .filter(|&i| a.is_null(i) && !array.is_null(i))
                .map(|i| i as u32)
                .collect();
            return Ok(Cells::Numbers { values, unreadable });
        }
    };
    Ok(Cells::Numbers {
        values,
        unreadable: Vec::new(),
    })
}

struct BatchRows {
    batch: RecordBatch,
    places: Vec<usize>,
}

impl RawRows for BatchRows {
    fn cell(&self, row: usize, column: usize) -> String {
        array_value_to_string(self.batch.column(self.places[column]), row).unwrap_or_default()
    }

    fn row(&self, row: usize) -> String {
        let mut told = String::new();
        for (field, column) in self.batch.schema().fields().iter().zip(self.batch.columns()) {
            if !told.is_empty() {
                told.push(',');
            }
            told.push_str(field.name());
            told.push('=');
            told.push_str(&array_value_to_string(column, row).unwrap_or_default());
        }
        told
    }
}
