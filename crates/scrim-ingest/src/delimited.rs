//! Delimited text: a line a row, a header first.

use std::io::BufRead;

use csv::{ByteRecord, Reader, ReaderBuilder};

use crate::IngestError;
use crate::chunk::{Cells, Chunk, Each, RawRows, ReadAs, RowNumbers, Table, Wanted, places_of};
use crate::clock_text::{parse_clock_s, parse_iso_s};
use crate::input::{Input, Progress};
use crate::mapping::TextMapping;
use crate::names::{NO_NAME, Names};
use crate::side_tables::TextRow;

const CHUNK_ROWS: usize = 4096;

/// A delimited file whose header has been read.
pub(crate) struct DelimitedFile {
    progress: Progress,
    reader: Reader<Box<dyn BufRead>>,
    delimiter: u8,
    text: TextMapping,
    pub columns: Vec<String>,
}

impl DelimitedFile {
    /// Reads the header.
    pub(crate) fn open(mut input: Input, text: &TextMapping) -> Result<Self, IngestError> {
        let head = input.reader.fill_buf().unwrap_or_default();
        let delimiter = match text.delimiter {
            Some(told) => told as u8,
            None => likely_delimiter(head),
        };
        let Input { progress, reader, .. } = input;
        let reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .buffer_capacity(64 * 1024)
            .from_reader(reader);
        let mut file = Self {
            progress,
            reader,
            delimiter,
            text: text.clone(),
            columns: text.columns.clone().unwrap_or_default(),
        };
        if text.columns.is_none() {
            let mut header = ByteRecord::new();
            if !file.read(&mut header)? {
                return Err(IngestError::EmptyFile {
                    path: file.progress.path,
                });
            }
            let line = header.position().map_or(1, csv::Position::line);
            for cell in &header {
                let cell = std::str::from_utf8(cell).map_err(|_| IngestError::NotUtf8 {
                    path: file.progress.path.clone(),
                    line,
                })?;
                file.columns.push(cell.trim().into());
            }
        }
        Ok(file)
    }

    fn read(&mut self, record: &mut ByteRecord) -> Result<bool, IngestError> {
        self.progress.begin_record();
        let line = self.reader.position().line();
        self.reader.read_byte_record(record).map_err(|error| {
            let error = match error.into_kind() {
                csv::ErrorKind::Io(error) => error,
                other => std::io::Error::other(format!("{other:?}")),
            };
            self.progress.error(line, error)
        })
    }

    /// Reads on from the header.
    pub(crate) fn table(self, wanted: &[Wanted]) -> Result<DelimitedTable, IngestError> {
        let places = places_of(&self.progress.path, wanted, &self.columns)?;
        let columns = wanted.iter().map(|_| Cells::default()).collect();
        let rows = RecordRows {
            records: Vec::new(),
            places,
            delimiter: self.delimiter,
        };
        let kinds = wanted.iter().map(|w| w.read_as).collect();
        Ok(DelimitedTable {
            file: self,
            kinds,
            columns,
            rows,
            lines: Vec::new(),
            broken: Vec::new(),
        })
    }
}

/// Whichever of the usual delimiters the first line has most of, outside of quotes; a comma when it has none.
fn likely_delimiter(head: &[u8]) -> u8 {
    let mut counts = [(b',', 0usize), (b';', 0), (b'\t', 0), (b'|', 0)];
    let mut in_quotes = false;
    for &byte in head.trim_ascii_start() {
        match byte {
            b'"' => in_quotes = !in_quotes,
            b'\n' | b'\r' if !in_quotes => break,
            _ if in_quotes => {}
            _ => {
                if let Some((_, count)) = counts.iter_mut().find(|(delimiter, _)| *delimiter == byte) {
                    *count += 1;
                }
            }
        }
    }
    // The first of the largest, so that a tie goes to the comma.
    let most = counts.iter().map(|c| c.1).max().unwrap_or(0);
    counts.iter().find(|c| c.1 == most).map_or(b',', |c| c.0)
}

/// The wanted columns of a delimited file.
pub(crate) struct DelimitedTable {
    file: DelimitedFile,
    kinds: Vec<ReadAs>,
    columns: Vec<Cells>,
    rows: RecordRows,
    lines: Vec<u64>,
    broken: Vec<(u32, String)>,
}

struct RecordRows {
    records: Vec<ByteRecord>,
    places: Vec<usize>,
    delimiter: u8,
}

impl RawRows for RecordRows {
    fn cell(&self, row: usize, wanted: usize) -> String {
        let cell = self.records[row].get(self.places[wanted]).unwrap_or_default();
        String::from_utf8_lossy(cell.trim_ascii()).into_owned()
    }

    fn row(&self, row: usize) -> String {
        let mut told = String::new();
        for (i, cell) in self.records[row].iter().enumerate() {
            if i > 0 {
                told.push(char::from(self.delimiter));
            }
            told.push_str(&String::from_utf8_lossy(cell));
        }
        told
    }
}

impl Table for DelimitedTable {
    fn for_each_chunk(&mut self, names: &mut Names, each: &mut Each<'_>) -> Result<(), IngestError> {
        while let Some(chunk) = self.next_chunk(names)? {
            if each(&chunk, names).is_break() {
                break;
            }
        }
        Ok(())
    }
}

impl DelimitedTable {
    fn next_chunk(&mut self, names: &mut Names) -> Result<Option<Chunk<'_>>, IngestError> {
        self.columns.iter_mut().for_each(Cells::clear);
        self.lines.clear();
        self.broken.clear();
        self.rows.records.resize_with(CHUNK_ROWS, ByteRecord::new);
        let mut rows = 0;
        let expected = self.file.columns.len();
        while rows < CHUNK_ROWS && self.file.read(&mut self.rows.records[rows])? {
            let record = &self.rows.records[rows];
            self.lines.push(record.position().map_or(0, csv::Position::line));
            let spare_cells_are_empty = record
                .iter()
                .skip(expected)
                .all(|cell| cell.trim_ascii().is_empty());
            if record.len() < expected || !spare_cells_are_empty {
                self.broken.push((
                    rows as u32,
                    format!(
                        "found {} cells, expected {expected} as in the header; look for a missing or spare delimiter or quote",
                        record.len()
                    ),
                ));
            }
            for ((cells, &place), &kind) in self.columns.iter_mut().zip(&self.rows.places).zip(&self.kinds) {
                let cell = record.get(place).unwrap_or_default().trim_ascii();
                read_cell(cell, kind, &self.file.text, rows as u32, cells, names);
            }
            rows += 1;
        }
        if rows == 0 {
            return Ok(None);
        }
        Ok(Some(Chunk {
            rows,
            numbers: RowNumbers::Each(&self.lines),
            columns: &self.columns,
            broken: &self.broken,
            raw: &self.rows,
        }))
    }
}

fn read_cell(cell: &[u8], kind: ReadAs, text: &TextMapping, row: u32, cells: &mut Cells, names: &mut Names) {
    let is_null = |cell: &[u8]| cell.is_empty() || text.nulls.iter().any(|null| null.as_bytes() == cell);
    if kind == ReadAs::Id {
        let id = match std::str::from_utf8(cell) {
            _ if is_null(cell) => NO_NAME,
            Ok(id) => names.number(id),
            Err(_) => {
                cells.unreadable.push(row);
                NO_NAME
            }
        };
        cells.ids.push(id);
        return;
    }
    // A quick way for the commonest cells: only letters can be a null word.
    let begins_like_a_number = cell.first().is_some_and(|b| b.is_ascii_digit() || *b == b'-');
    if !begins_like_a_number && is_null(cell) {
        cells.numbers.push(f64::NAN);
        return;
    }
    let value = std::str::from_utf8(cell).ok().and_then(|cell| match kind {
        ReadAs::Number if text.decimal == ',' => cell.replace(',', ".").parse().ok(),
        ReadAs::Number => cell.parse().ok(),
        ReadAs::Clock => parse_clock_s(cell),
        ReadAs::Iso => parse_iso_s(cell),
        ReadAs::Id => None,
    });
    if value.is_none() {
        cells.unreadable.push(row);
    }
    cells.numbers.push(value.unwrap_or(f64::NAN));
}

/// All rows of a small table, as text, with their lines; for side tables.
pub(crate) fn read_all_text(input: Input) -> Result<(Vec<String>, Vec<TextRow>), IngestError> {
    let mut file = DelimitedFile::open(input, &TextMapping::default())?;
    let mut rows = Vec::new();
    let mut record = ByteRecord::new();
    while file.read(&mut record)? {
        let line = record.position().map_or(0, csv::Position::line);
        let cells = record
            .iter()
            .map(|cell| String::from_utf8_lossy(cell.trim_ascii()).into_owned())
            .collect();
        rows.push((line, cells));
    }
    Ok((file.columns, rows))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_tells_the_delimiter() {
        assert_eq!(likely_delimiter(b"a,b,c\n1;2;3;4;5"), b',');
        assert_eq!(likely_delimiter(b"a;b;\"c,d,e,f\"\n"), b';');
        assert_eq!(likely_delimiter(b"a\tb\n"), b'\t');
        assert_eq!(likely_delimiter(b"alone\n"), b',');
    }
}
