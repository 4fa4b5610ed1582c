//! Delimited text to columns, as spreadsheets save it.

use std::fs;
use std::path::Path;

use crate::cell::{UnknownWords, parse_cell};
use crate::contract::TableSpec;
use crate::table::{Column, Table};
use crate::{Place, ScoreError, Warning};

/// Reads a file of labels into `table`. A byte-order mark, CRLF, blanks around cells, columns without name or
/// content and blank lines are no matter; comma, semicolon or tab may part the cells.
pub(crate) fn read_csv(
    path: &Path,
    table: &mut Table,
    warnings: &mut Vec<Warning>,
) -> Result<(), ScoreError> {
    let bytes = fs::read(path).map_err(|source| ScoreError::Io {
        path: path.into(),
        source,
    })?;
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .delimiter(delimiter_of(bytes))
        .from_reader(bytes);
    let csv_error = |source| ScoreError::Csv {
        path: path.into(),
        source,
    };
    let text = |bytes: &[u8], place| match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text.to_owned()),
        Err(_) => Err(ScoreError::NotUtf8 {
            path: path.into(),
            place,
        }),
    };

    let mut record = csv::ByteRecord::new();
    reader.read_byte_record(&mut record).map_err(csv_error)?;
    let mut header = Vec::with_capacity(record.len());
    for name in &record {
        header.push(text(name, Place::Line(1))?.trim().to_lowercase());
    }
    let spec = table.spec;
    let wanted = wanted_columns(path, spec, &header, warnings)?;
    // A nameless column may hold stray notes, so only a cell past the last column is out of place.
    let mut columns: Vec<Column> = wanted
        .iter()
        .map(|(_, index)| Column::new(spec.columns[*index].kind))
        .collect();
    let mut places = Vec::new();
    while reader.read_byte_record(&mut record).map_err(csv_error)? {
        let place = Place::Line(record.position().map_or(0, csv::Position::line));
        if record.iter().all(|cell| cell.trim_ascii().is_empty()) {
            continue;
        }
        if let Some(last) = record.iter().rposition(|cell| !cell.trim_ascii().is_empty())
            && last >= header.len()
        {
            return Err(ScoreError::TooManyCells {
                path: path.into(),
                place,
                found: last + 1,
                expected: header.len(),
            });
        }
        for ((source, index), column) in wanted.iter().zip(&mut columns) {
            let cell = text(record.get(*source).unwrap_or_default(), place)?;
            column.push(parse_cell(
                &cell,
                &spec.columns[*index],
                UnknownWords::Refuse,
                (path, place),
            )?);
        }
        places.push(place);
    }
    let columns = wanted
        .iter()
        .map(|(_, index)| spec.columns[*index].name)
        .zip(columns)
        .collect();
    table.append(path, columns, places);
    Ok(())
}

/// Which of a file's columns are the contract's: index in the file, index in the table. Reports the others.
pub(crate) fn wanted_columns(
    path: &Path,
    spec: &TableSpec,
    header: &[String],
    warnings: &mut Vec<Warning>,
) -> Result<Vec<(usize, usize)>, ScoreError> {
    let mut wanted: Vec<(usize, usize)> = Vec::new();
    for (source, name) in header.iter().enumerate() {
        match spec.columns.iter().position(|column| column.name == name) {
            Some(index) if wanted.iter().any(|(_, other)| *other == index) => {
                return Err(ScoreError::RepeatedColumn {
                    path: path.into(),
                    column: name.clone(),
                });
            }
            Some(index) => wanted.push((source, index)),
            None if name.is_empty() => {}
            None => warnings.push(Warning::UnknownColumn {
                path: path.display().to_string(),
                table: spec.name,
                column: name.clone(),
            }),
        }
    }
    require_columns(path, spec, header)?;
    Ok(wanted)
}

/// Refuses a file that lacks a column without which no row can be placed.
pub(crate) fn require_columns(path: &Path, spec: &TableSpec, header: &[String]) -> Result<(), ScoreError> {
    match spec
        .needed
        .iter()
        .find(|needed| !header.iter().any(|name| name == **needed))
    {
        Some(column) => Err(ScoreError::MissingColumn {
            path: path.into(),
            table: spec.name,
            column,
            found: header
                .iter()
                .filter(|name| !name.is_empty())
                .cloned()
                .collect::<Vec<_>>()
                .join(", "),
        }),
        None => Ok(()),
    }
}

/// What parts the header's cells: whichever of comma, semicolon and tab is there most. Semicolons come from
/// spreadsheets set to a language that writes decimals with a comma.
fn delimiter_of(bytes: &[u8]) -> u8 {
    let header = bytes
        .split(|byte| matches!(byte, b'\n' | b'\r'))
        .next()
        .unwrap_or_default();
    let count = |mark: u8| header.iter().filter(|byte| **byte == mark).count();
    [b',', b';', b'\t']
        .into_iter()
        .rev()
        .max_by_key(|mark| count(*mark))
        .unwrap_or(b',')
}
