//! Parquet to columns, by name.

use std::collections::BTreeSet;
use std::path::Path;

use arrow::array::{Array, ArrayRef, AsArray};
use arrow::compute::cast;
use arrow::datatypes::{DataType, Float64Type};
use bytes::Bytes;
use parquet::arrow::ProjectionMask;
use parquet::arrow::arrow_reader::{ArrowReaderOptions, ParquetRecordBatchReaderBuilder};
use parquet::errors::ParquetError;
use scrim_tables::{batches_of, open_parquet};

use crate::cell::{Cell, UnknownWords, link_text, parse_cell};
use crate::contract::{ColumnSpec, Kind};
use crate::read_csv::{require_columns, wanted_columns};
use crate::table::{Column, Table};
use crate::{Place, ScoreError, Warning};

/// Who wrote the file, and so how strictly it is read.
#[derive(Debug)]
pub(crate) enum Source<'a> {
    /// Labels: unknown words are refused, unknown columns reported.
    Labels(&'a mut Vec<Warning>),
    /// Tables: they may hold more columns.
    Tables,
}

/// Reads a file into `table`.
pub(crate) fn read_parquet(path: &Path, table: &mut Table, source: Source<'_>) -> Result<(), ScoreError> {
    let parquet_error = |source| refused(path, source);
    let (file, builder) = open(path)?;
    let header: Vec<String> = builder
        .schema()
        .fields()
        .iter()
        .map(|field| field.name().clone())
        .collect();
    let spec = table.spec;
    let (wanted, unknown_words) = match source {
        Source::Labels(warnings) => (
            wanted_columns(path, spec, &header, warnings)?,
            UnknownWords::Refuse,
        ),
        Source::Tables => {
            require_columns(path, spec, &header)?;
            (known_columns(&spec.columns, &header), UnknownWords::Accept)
        }
    };
    let mask = ProjectionMask::roots(builder.parquet_schema(), wanted.iter().map(|(source, _)| *source));
    let (_, batches) = batches_of(&file, builder, mask).map_err(parquet_error)?;

    let mut columns: Vec<Column> = wanted
        .iter()
        .map(|(_, index)| Column::new(spec.columns[*index].kind))
        .collect();
    let mut rows = 0_u64;
    for batch in batches {
        let batch = batch.map_err(parquet_error)?;
        for ((source, index), column) in wanted.iter().zip(&mut columns) {
            // The batch has the file's columns in the file's order, less those that the mask left out.
            let array = batch
                .column_by_name(&header[*source])
                .ok_or_else(|| ScoreError::MissingColumn {
                    path: path.into(),
                    table: spec.name,
                    column: spec.columns[*index].name,
                    found: header.join(", "),
                })?;
            read_array(array, &spec.columns[*index], column, unknown_words, (path, rows))?;
        }
        rows += batch.num_rows() as u64;
    }
    let named: Vec<(&'static str, Column)> = wanted
        .iter()
        .map(|(_, index)| spec.columns[*index].name)
        .zip(columns)
        .collect();
    table.append(path, named, (0..rows).map(Place::Row).collect());
    Ok(())
}

fn refused(path: &Path, source: ParquetError) -> ScoreError {
    ScoreError::Parquet {
        path: path.into(),
        source,
    }
}

fn open(path: &Path) -> Result<(Bytes, ParquetRecordBatchReaderBuilder<Bytes>), ScoreError> {
    let bytes = std::fs::read(path).map_err(|source| ScoreError::Io {
        path: path.into(),
        source,
    })?;
    let file = Bytes::from(bytes);
    let builder = open_parquet(&file, ArrowReaderOptions::new()).map_err(|source| refused(path, source))?;
    Ok((file, builder))
}

/// The games of a file's `game_id` column.
pub(crate) fn games_in(path: &Path) -> Result<BTreeSet<String>, ScoreError> {
    let parquet_error = |source| refused(path, source);
    let (file, builder) = open(path)?;
    let mask = ProjectionMask::columns(builder.parquet_schema(), ["game_id"]);
    let (_, batches) = batches_of(&file, builder, mask).map_err(parquet_error)?;
    let mut games = BTreeSet::new();
    for batch in batches {
        let batch = batch.map_err(parquet_error)?;
        for column in batch.columns() {
            let text = cast(column, &DataType::Utf8).map_err(|error| parquet_error(error.into()))?;
            games.extend(text.as_string::<i32>().iter().flatten().map(str::to_owned));
        }
    }
    Ok(games)
}

fn known_columns(columns: &[ColumnSpec], header: &[String]) -> Vec<(usize, usize)> {
    let index_of = |name: &String| columns.iter().position(|column| column.name == name);
    header
        .iter()
        .enumerate()
        .filter_map(|(source, name)| Some((source, index_of(name)?)))
        .collect()
}

/// Adds an array's values to a column. Text is read as a cell of text would be; numbers and flags as they are.
fn read_array(
    array: &ArrayRef,
    spec: &ColumnSpec,
    column: &mut Column,
    unknown_words: UnknownWords,
    (path, first_row): (&Path, u64),
) -> Result<(), ScoreError> {
    let is_text = |kind: &DataType| matches!(kind, DataType::Utf8 | DataType::LargeUtf8 | DataType::Utf8View);
    let is_text = match array.data_type() {
        DataType::Dictionary(_, value) => is_text(value),
        other => is_text(other),
    };
    let wrong_type = |expected| ScoreError::ColumnType {
        path: path.into(),
        column: spec.name,
        found: array.data_type().to_string(),
        expected,
    };
    let place = |row: usize| Place::Row(first_row + row as u64);
    if is_text {
        let array = cast(array, &DataType::Utf8).map_err(|_| wrong_type("text"))?;
        for (row, value) in array.as_string::<i32>().iter().enumerate() {
            column.push(parse_cell(
                value.unwrap_or_default(),
                spec,
                unknown_words,
                (path, place(row)),
            )?);
        }
        return Ok(());
    }
    let all_null = *array.data_type() == DataType::Null;
    let is_number = array.data_type().is_numeric() || all_null;
    match spec.kind {
        Kind::Key | Kind::Id | Kind::Link if is_number => {
            // Players numbered in a column of numbers.
            let array = cast(array, &DataType::Utf8).map_err(|_| wrong_type("text"))?;
            for value in array.as_string::<i32>() {
                column.push(Cell::Text(value.map(link_text)));
            }
        }
        Kind::KeyNumber | Kind::Number | Kind::Count if is_number => {
            let array = cast(array, &DataType::Float64).map_err(|_| wrong_type("a number"))?;
            for (row, value) in array.as_primitive::<Float64Type>().iter().enumerate() {
                // Data frames write "not known" as NaN.
                let value = value.filter(|number| !number.is_nan());
                let count_is_bad = matches!(spec.kind, Kind::Count)
                    && value.is_some_and(|number| number < 0.0 || number.fract() != 0.0);
                if count_is_bad || value.is_some_and(f64::is_infinite) {
                    return Err(ScoreError::Unreadable {
                        path: path.into(),
                        place: place(row),
                        column: spec.name,
                        found: value.map(|number| number.to_string()).unwrap_or_default(),
                        expected: if count_is_bad {
                            "a whole number, 0 or more"
                        } else {
                            "a finite number"
                        },
                    });
                }
                column.push(Cell::Number(value));
            }
        }
        Kind::Flag | Kind::KeyFlag if *array.data_type() == DataType::Boolean => {
            for value in array.as_boolean() {
                column.push(Cell::Flag(value));
            }
        }
        Kind::Flag | Kind::KeyFlag if is_number => {
            let array = cast(array, &DataType::Float64).map_err(|_| wrong_type("true or false"))?;
            for value in array.as_primitive::<Float64Type>() {
                column.push(Cell::Flag(
                    value
                        .filter(|number| !number.is_nan())
                        .map(|number| number != 0.0),
                ));
            }
        }
        Kind::Tag(_) | Kind::Phrase if all_null => {
            for _ in 0..array.len() {
                column.push(Cell::Text(None));
            }
        }
        Kind::Key | Kind::Id | Kind::Link | Kind::Tag(_) | Kind::Phrase => return Err(wrong_type("text")),
        Kind::KeyNumber | Kind::Number | Kind::Count => return Err(wrong_type("a number")),
        Kind::Flag | Kind::KeyFlag => return Err(wrong_type("true or false")),
    }
    Ok(())
}
