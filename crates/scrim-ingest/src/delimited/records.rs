//! Records of delimited text: where each begins and ends, and where its cells are.
//!
//! A record without quotes is split where it stands. One with a cell that begins with a quote is left to `csv_core`.

use std::io::{BufRead, Read};
use std::ops::Range;

use csv_core::{ReadRecordResult, Reader, ReaderBuilder};

use crate::IngestError;
use crate::input::{Input, Progress};

/// Text taken at once.
const STRETCH_BYTES: usize = 256 * 1024;

/// The text of a file from the first record of a chunk on.
pub(super) struct Records {
    pub progress: Progress,
    reader: Box<dyn BufRead>,
    quoted: Reader,
    delimiter: u8,
    /// Text taken at once, bytes.
    stretch: usize,
    text: Vec<u8>,
    at: usize,
    /// Whether `text` goes up to the file's end.
    is_all: bool,
    /// The line (from 1) that `at` is in.
    line: u64,
}

/// A record, or where it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Place {
    /// The line (from 1) that it begins in.
    pub line: u64,
    /// The record in the text, without its line end unless it has quotes.
    pub text: Range<usize>,
    pub has_quotes: bool,
}

/// The cells of a record.
#[derive(Debug, Default)]
pub(super) struct CellPlaces {
    /// Where each cell ends in the text that it is in. Between two cells without quotes there is a delimiter.
    ends: Vec<usize>,
    /// The text of a record with quotes, without them.
    plain: Vec<u8>,
    has_quotes: bool,
    start: usize,
}

/// What came of looking for a record's end.
enum Found {
    Record(Place),
    /// The text ends before the record does.
    Short,
    End,
}

impl Records {
    pub(super) fn new(input: Input, delimiter: u8) -> Self {
        let Input { progress, reader, .. } = input;
        Self {
            progress,
            reader,
            quoted: ReaderBuilder::new().delimiter(delimiter).build(),
            delimiter,
            stretch: STRETCH_BYTES,
            text: Vec::new(),
            at: 0,
            is_all: false,
            line: 1,
        }
    }

    /// The text that the places of records are in.
    pub(super) fn text(&self) -> &[u8] {
        &self.text
    }

    pub(super) fn delimiter(&self) -> u8 {
        self.delimiter
    }

    /// Lets go of the records so far.
    pub(super) fn begin_chunk(&mut self) {
        self.text.drain(..self.at);
        self.at = 0;
    }

    /// The next record that is not empty; `None` at the end.
    #[inline]
    pub(super) fn next(&mut self, cells: &mut CellPlaces) -> Result<Option<Place>, IngestError> {
        loop {
            let line = self.line;
            match self.find(cells) {
                Found::Record(place) => {
                    self.progress.begin_record();
                    return Ok(Some(place));
                }
                Found::End => return Ok(None),
                Found::Short => self.more(line)?,
            }
        }
    }

    #[cold]
    fn more(&mut self, line: u64) -> Result<(), IngestError> {
        // As much as is left of an unfinished record, at least, so that a long one is not begun over and over.
        let wanted = self.stretch.max(self.text.len() - self.at);
        let read = (&mut self.reader).take(wanted as u64).read_to_end(&mut self.text);
        let read = read.map_err(|error| self.progress.error(line, error))?;
        self.is_all = read < wanted;
        Ok(())
    }

    #[inline]
    fn find(&mut self, cells: &mut CellPlaces) -> Found {
        let text = &self.text[..];
        while let Some(end @ (b'\n' | b'\r')) = text.get(self.at) {
            self.line += u64::from(*end == b'\n');
            self.at += 1;
        }
        let (line, start) = (self.line, self.at);
        if start == text.len() {
            return if self.is_all { Found::End } else { Found::Short };
        }
        cells.begin(start);
        let mut cell = start;
        let mut at = start;
        loop {
            if text.get(cell) == Some(&b'"') {
                return self.find_quoted(line, start, cells);
            }
            // To the cell's end.
            let delimiter = self.delimiter;
            let ends = |&byte: &u8| byte == delimiter || byte == b'\n' || byte == b'\r';
            let end = text[at..].iter().position(ends).map(|length| at + length);
            match end.map(|end| (end, text[end])) {
                Some((end, byte)) if byte == delimiter => {
                    cells.ends.push(end);
                    cell = end + 1;
                    at = cell;
                }
                Some((end, byte)) => {
                    cells.ends.push(end);
                    self.at = end + 1;
                    self.line += u64::from(byte == b'\n');
                    return Found::Record(Place {
                        line,
                        text: start..end,
                        has_quotes: false,
                    });
                }
                None if self.is_all => {
                    cells.ends.push(text.len());
                    self.at = text.len();
                    return Found::Record(Place {
                        line,
                        text: start..text.len(),
                        has_quotes: false,
                    });
                }
                None => return Found::Short,
            }
        }
    }

    fn find_quoted(&mut self, line: u64, start: usize, cells: &mut CellPlaces) -> Found {
        let Some(length) = cells.split_quoted(&mut self.quoted, &self.text[start..], self.is_all) else {
            return Found::Short;
        };
        let end = start + length;
        let lines = self.text[start..end]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count();
        self.at = end;
        self.line += lines as u64;
        Found::Record(Place {
            line,
            text: start..end,
            has_quotes: true,
        })
    }

    /// The cells of a record that was found earlier.
    pub(super) fn split(&self, place: &Place) -> CellPlaces {
        let mut cells = CellPlaces::default();
        cells.begin(place.text.start);
        let text = &self.text[place.text.clone()];
        if place.has_quotes {
            let mut quoted = ReaderBuilder::new().delimiter(self.delimiter).build();
            cells.split_quoted(&mut quoted, text, true);
        } else {
            let ends = text
                .iter()
                .enumerate()
                .filter(|(_, byte)| **byte == self.delimiter);
            cells.ends.extend(ends.map(|(end, _)| place.text.start + end));
            cells.ends.push(place.text.end);
        }
        cells
    }
}

impl CellPlaces {
    fn begin(&mut self, start: usize) {
        self.ends.clear();
        self.has_quotes = false;
        self.start = start;
    }

    /// Splits the record that begins with `text`; gives its length with its line end, or `None` when more text must
    /// come.
    fn split_quoted(&mut self, reader: &mut Reader, text: &[u8], is_all: bool) -> Option<usize> {
        reader.reset();
        self.begin(0);
        self.has_quotes = true;
        let (mut read, mut written, mut ended) = (0, 0, 0);
        self.plain.resize(self.plain.len().max(256), 0);
        self.ends.resize(self.ends.capacity().max(16), 0);
        loop {
            let (result, took, gave, ends) =
                reader.read_record(&text[read..], &mut self.plain[written..], &mut self.ends[ended..]);
            read += took;
            written += gave;
            ended += ends;
            match result {
                ReadRecordResult::InputEmpty if !is_all => return None,
                // An empty input means to the reader that this is the end.
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull => self.plain.resize(self.plain.len() * 2, 0),
                ReadRecordResult::OutputEndsFull => self.ends.resize(self.ends.len() * 2, 0),
                ReadRecordResult::Record | ReadRecordResult::End => {
                    self.ends.truncate(ended);
                    return Some(read);
                }
            }
        }
    }

    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    /// Where a cell is in the text; `None` when the record has not so many, or has quotes.
    #[inline]
    pub(super) fn place(&self, cell: usize) -> Option<Range<usize>> {
        let end = *self.ends.get(cell).filter(|_| !self.has_quotes)?;
        let start = if cell == 0 {
            self.start
        } else {
            self.ends[cell - 1] + 1
        };
        Some(start..end)
    }

    /// A cell of the record; nothing when it has not so many.
    #[inline]
    pub(super) fn cell<'c>(&'c self, text: &'c [u8], cell: usize) -> &'c [u8] {
        let Some(&end) = self.ends.get(cell) else {
            return &[];
        };
        let delimiter = usize::from(!self.has_quotes);
        let start = if cell == 0 {
            self.start
        } else {
            self.ends[cell - 1] + delimiter
        };
        if self.has_quotes {
            &self.plain[start..end]
        } else {
            &text[start..end]
        }
    }

    /// All cells of the record.
    pub(super) fn cells<'c>(&'c self, text: &'c [u8]) -> impl Iterator<Item = &'c [u8]> {
        (0..self.len()).map(|cell| self.cell(text, cell))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    type Record = (u64, Vec<Vec<u8>>);

    fn by_records(text: &[u8], stretch: usize) -> Vec<Record> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.csv");
        std::fs::write(&path, text).unwrap();
        let input = Input::open(&path, Some(crate::mapping::Format::Delimited)).unwrap();
        let mut records = Records::new(input, b',');
        records.stretch = stretch;
        let mut cells = CellPlaces::default();
        let mut found = Vec::new();
        let of = |cells: &CellPlaces, text: &[u8]| cells.cells(text).map(<[u8]>::to_vec).collect::<Vec<_>>();
        while let Some(place) = records.next(&mut cells).unwrap() {
            let cells_of = of(&cells, records.text());
            // The same when it is read again.
            assert_eq!(of(&records.split(&place), records.text()), cells_of);
            found.push((place.line, cells_of));
            if found.len() % 3 == 0 {
                records.begin_chunk();
            }
        }
        found
    }

    /// The same by another reader; the line that a record begins in by what was read before it.
    fn by_csv(text: &[u8]) -> Vec<Record> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text);
        let mut found = Vec::new();
        let mut record = csv::ByteRecord::new();
        while reader.read_byte_record(&mut record).unwrap() {
            let mut at = record.position().unwrap().byte() as usize;
            at += text[at..]
                .iter()
                .take_while(|byte| matches!(byte, b'\n' | b'\r'))
                .count();
            let line = 1 + text[..at].iter().filter(|byte| **byte == b'\n').count() as u64;
            found.push((line, record.iter().map(<[u8]>::to_vec).collect()));
        }
        found
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

        #[test]
        fn records_and_cells_are_those_of_the_csv_crate_wherever_the_text_is_cut(
            text in "[a\",\r\n ]{1,40}", stretch in 1usize..50,
        ) {
            prop_assert_eq!(by_records(text.as_bytes(), stretch), by_csv(text.as_bytes()));
        }
    }
}
