//! Delimited text: a line a row, a header first.

mod records;

use std::io::BufRead;
use std::ops::Range;

use crate::IngestError;
use crate::chunk::{Cells, Chunk, Chunks, RawRows, ReadAs, RowNumbers, Wanted, places_of};
use crate::clock_text::{parse_clock_s, parse_iso_s};
use crate::input::Input;
use crate::mapping::TextMapping;
use crate::names::{NO_NAME, Names};
use crate::numbers::parse_number;
use crate::text_rows::{TextRow, TextRows};
use records::{CellPlaces, Place, Records};

/// Rows a chunk, at most.
const CHUNK_ROWS: usize = 4096;
/// Text a chunk, about: a record can be long.
const CHUNK_BYTES: usize = 16 * 1024 * 1024;

/// No cell at all: no text goes so far.
const NO_CELL: Range<usize> = usize::MAX..usize::MAX;

/// A delimited file whose header has been read.
pub(crate) struct DelimitedFile {
    records: Records,
    text: TextMapping,
    pub columns: Vec<String>,
}

impl DelimitedFile {
    /// Reads the header.
    pub(crate) fn open(mut input: Input, text: &TextMapping) -> Result<Self, IngestError> {
        let head = input.reader.fill_buf().unwrap_or_default();
        let delimiter = match text.delimiter {
            Some(text) => text as u8,
            None => likely_delimiter(head),
        };
        let mut file = Self {
            records: Records::new(input, delimiter),
            text: text.clone(),
            columns: text.columns.clone().unwrap_or_default(),
        };
        if text.columns.is_none() {
            let mut cells = CellPlaces::default();
            let path = file.records.progress.path.clone();
            let Some(header) = file.records.next(&mut cells)? else {
                return Err(IngestError::EmptyFile { path });
            };
            for cell in cells.cells(file.records.text()) {
                let cell = std::str::from_utf8(cell).map_err(|_| IngestError::NotUtf8 {
                    path: path.clone(),
                    line: header.line,
                })?;
                file.columns.push(cell.trim().into());
            }
        }
        Ok(file)
    }

    /// Reads on from the header.
    pub(crate) fn table(self, wanted: &[Wanted]) -> Result<DelimitedTable, IngestError> {
        let places = places_of(&self.records.progress.path, wanted, &self.columns)?;
        Ok(DelimitedTable {
            text: self.text,
            expected: self.columns.len(),
            kinds: wanted.iter().map(|w| w.read_as).collect(),
            columns: wanted.iter().map(|_| Cells::default()).collect(),
            rows: RecordRows {
                records: self.records,
                rows: Vec::new(),
                places,
            },
            cells: CellPlaces::default(),
            last: vec![NO_CELL; wanted.len()],
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
    text: TextMapping,
    /// Cells a row.
    expected: usize,
    kinds: Vec<ReadAs>,
    columns: Vec<Cells>,
    rows: RecordRows,
    cells: CellPlaces,
    /// Where the row before has each wanted cell, when that could be read.
    last: Vec<Range<usize>>,
    lines: Vec<u64>,
    broken: Vec<(u32, String)>,
}

struct RecordRows {
    records: Records,
    /// Where the rows of the chunk are.
    rows: Vec<Place>,
    places: Vec<usize>,
}

impl RawRows for RecordRows {
    fn cell(&self, row: usize, wanted: usize) -> String {
        let cells = self.records.split(&self.rows[row]);
        let cell = cells.cell(self.records.text(), self.places[wanted]);
        String::from_utf8_lossy(cell.trim_ascii()).into_owned()
    }

    fn row(&self, row: usize) -> String {
        let cells = self.records.split(&self.rows[row]);
        let mut text = String::new();
        for (i, cell) in cells.cells(self.records.text()).enumerate() {
            if i > 0 {
                text.push(char::from(self.records.delimiter()));
            }
            text.push_str(&String::from_utf8_lossy(cell));
        }
        text
    }
}

impl Chunks for DelimitedTable {
    fn next_chunk(&mut self, names: &mut Names) -> Result<Option<Chunk<'_>>, IngestError> {
        self.columns.iter_mut().for_each(Cells::clear);
        self.lines.clear();
        self.broken.clear();
        let RecordRows {
            records,
            rows,
            places,
        } = &mut self.rows;
        rows.clear();
        records.begin_chunk();
        self.last.fill(NO_CELL);
        let (expected, cells) = (self.expected, &mut self.cells);
        while rows.is_empty() || (rows.len() < CHUNK_ROWS && records.text().len() < CHUNK_BYTES) {
            let Some(record) = records.next(cells)? else { break };
            let text = records.text();
            let row = rows.len() as u32;
            self.lines.push(record.line);
            rows.push(record);
            let spare_cells_are_empty =
                || (expected..cells.len()).all(|spare| cells.cell(text, spare).trim_ascii().is_empty());
            if cells.len() != expected && (cells.len() < expected || !spare_cells_are_empty()) {
                self.broken.push((
                    row,
                    format!(
                        "found {} cells, expected {expected} as in the header; look for a missing or spare delimiter or quote",
                        cells.len()
                    ),
                ));
            }
            for (w, (column, &place)) in self.columns.iter_mut().zip(&*places).enumerate() {
                let cell = cells.cell(text, place);
                // Most cells of an instant's rows say what the row before says.
                let here = cells.place(place);
                if here.is_some() && text.get(self.last[w].clone()) == Some(cell) {
                    column.repeat_last();
                    continue;
                }
                let is_read = read_cell(cell.trim_ascii(), self.kinds[w], &self.text, column, names);
                if !is_read {
                    column.unreadable.push(row);
                }
                self.last[w] = here.filter(|_| is_read).unwrap_or(NO_CELL);
            }
        }
        if rows.is_empty() {
            return Ok(None);
        }
        Ok(Some(Chunk {
            rows: self.rows.rows.len(),
            numbers: RowNumbers::Each(&self.lines),
            columns: &self.columns,
            broken: &self.broken,
            raw: &self.rows,
        }))
    }
}

/// Appends the cell to its column; `false` when it is not what it is read as (then "nothing" is appended).
fn read_cell(cell: &[u8], kind: ReadAs, text: &TextMapping, column: &mut Cells, names: &mut Names) -> bool {
    let is_null = |cell: &[u8]| cell.is_empty() || text.nulls.iter().any(|null| null.as_bytes() == cell);
    if kind == ReadAs::Id {
        let id = match std::str::from_utf8(cell) {
            _ if is_null(cell) => Some(NO_NAME),
            Ok(id) => Some(names.number(id)),
            Err(_) => None,
        };
        column.ids.push(id.unwrap_or(NO_NAME));
        return id.is_some();
    }
    // A quick way for the commonest cells: only letters can be a null word.
    let begins_like_a_number = cell.first().is_some_and(|b| b.is_ascii_digit() || *b == b'-');
    let value = if !begins_like_a_number && is_null(cell) {
        Some(f64::NAN)
    } else if kind == ReadAs::Number && text.decimal == '.' {
        parse_number(cell)
    } else {
        std::str::from_utf8(cell).ok().and_then(|cell| match kind {
            ReadAs::Number => cell.replace(',', ".").parse().ok(),
            ReadAs::Clock => parse_clock_s(cell),
            ReadAs::Iso => parse_iso_s(cell),
            ReadAs::Id => None,
        })
    };
    column.numbers.push(value.unwrap_or(f64::NAN));
    value.is_some()
}

/// All rows of a small table, as text, with their lines; for side tables.
pub(crate) fn read_all_text(input: Input) -> Result<(Vec<String>, Vec<TextRow>), IngestError> {
    let mut file = DelimitedFile::open(input, &TextMapping::default())?;
    let path = file.records.progress.path.clone();
    let mut rows = TextRows::new(&path);
    let mut cells = CellPlaces::default();
    while let Some(record) = file.records.next(&mut cells)? {
        let cells = cells
            .cells(file.records.text())
            .map(|cell| String::from_utf8_lossy(cell.trim_ascii()).into_owned())
            .collect();
        rows.push(record.line, cells)?;
        if rows.len().is_multiple_of(CHUNK_ROWS) {
            file.records.begin_chunk();
        }
    }
    Ok((file.columns, rows.into_rows()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_shows_the_delimiter() {
        assert_eq!(likely_delimiter(b"a,b,c\n1;2;3;4;5"), b',');
        assert_eq!(likely_delimiter(b"a;b;\"c,d,e,f\"\n"), b';');
        assert_eq!(likely_delimiter(b"a\tb\n"), b'\t');
        assert_eq!(likely_delimiter(b"alone\n"), b',');
    }
}
