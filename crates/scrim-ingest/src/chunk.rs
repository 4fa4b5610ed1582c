//! A piece of a table: the wanted columns of some thousand rows, whatever format they came from.

use std::path::PathBuf;

use crate::IngestError;
use crate::names::{NameIx, Names};

/// What a column is read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ReadAs {
    /// An id: text, or a whole number.
    Id,
    /// A number.
    Number,
    /// Seconds written as `mm:ss.s` (also `h:mm:ss.s`, or plain seconds).
    Clock,
    /// Seconds since 1970 written as an ISO 8601 date and time.
    Iso,
}

/// A column that the plan wants.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Wanted {
    /// Its name in the source (in nested JSON: its path).
    pub column: String,
    /// What it is read as.
    pub read_as: ReadAs,
}

/// The cells of one column, a value a row.
#[derive(Debug, Default)]
pub(crate) struct Cells {
    /// For [`ReadAs::Id`]: numbers of ids in the source's `Names`. Else empty.
    pub ids: Vec<NameIx>,
    /// For the other kinds: numbers; NaN where there is none. Else empty.
    pub numbers: Vec<f64>,
    /// Rows (ascending) whose cell is not empty, and yet not what the column is read as.
    pub unreadable: Vec<u32>,
}

impl Cells {
    /// Appends the last value once more.
    #[inline]
    pub(crate) fn repeat_last(&mut self) {
        self.ids.extend(self.ids.last().copied());
        self.numbers.extend(self.numbers.last().copied());
    }

    /// Empties the column and keeps its memory.
    pub(crate) fn clear(&mut self) {
        self.ids.clear();
        self.numbers.clear();
        self.unreadable.clear();
    }
}

/// Rows as they were, for messages and the quarantine.
pub(crate) trait RawRows {
    /// The text of a wanted column's cell; empty when there is none.
    fn cell(&self, row: usize, wanted: usize) -> String;
    /// The whole row as text.
    fn row(&self, row: usize) -> String;
}

/// The wanted columns of some rows.
pub(crate) struct Chunk<'t> {
    /// How many rows.
    pub rows: usize,
    /// Each row's number in its file, ascending.
    pub numbers: RowNumbers<'t>,
    /// The wanted columns, in the order in which they were wanted.
    pub columns: &'t [Cells],
    /// Rows (ascending) that are no rows of this table at all, and why.
    pub broken: &'t [(u32, String)],
    /// The rows as they were.
    pub raw: &'t dyn RawRows,
}

/// Numbers of rows in their file.
#[derive(Debug, Clone, Copy)]
pub(crate) enum RowNumbers<'t> {
    /// One after the other from here.
    From(u64),
    /// One by one.
    Each(&'t [u64]),
}

impl RowNumbers<'_> {
    /// The number of the chunk's row `row`.
    pub(crate) fn of(&self, row: usize) -> u64 {
        match self {
            Self::From(first) => first + row as u64,
            Self::Each(numbers) => numbers[row],
        }
    }
}

/// Whether to read on.
pub(crate) type Flow = std::ops::ControlFlow<()>;

/// Takes chunks.
pub(crate) type Each<'e> = dyn FnMut(&Chunk<'_>, &mut Names) -> Flow + 'e;

/// A file that is read as a table.
pub(crate) trait Table {
    /// Gives all rows, some thousand at a time, to `each`, until it says to stop.
    fn for_each_chunk(&mut self, names: &mut Names, each: &mut Each<'_>) -> Result<(), IngestError>;
}

/// A file that is read chunk by chunk.
pub(crate) trait Chunks {
    /// The next rows, some thousand; `None` at the end.
    fn next_chunk(&mut self, names: &mut Names) -> Result<Option<Chunk<'_>>, IngestError>;
}

impl<T: Chunks> Table for T {
    fn for_each_chunk(&mut self, names: &mut Names, each: &mut Each<'_>) -> Result<(), IngestError> {
        while let Some(chunk) = self.next_chunk(names)? {
            if each(&chunk, names).is_break() {
                break;
            }
        }
        Ok(())
    }
}

/// Places of the wanted columns among those found.
pub(crate) fn places_of(
    path: &std::path::Path,
    wanted: &[Wanted],
    found: &[String],
) -> Result<Vec<usize>, IngestError> {
    let mut places = Vec::with_capacity(wanted.len());
    for w in wanted {
        let mut at = found
            .iter()
            .enumerate()
            .filter(|(_, f)| **f == w.column)
            .map(|(i, _)| i);
        let first = at.next().ok_or_else(|| IngestError::MissingColumn {
            path: PathBuf::from(path),
            field: "this reading",
            column: w.column.clone(),
            found: found.to_vec(),
            fix: "the files of one source have the same columns".into(),
        })?;
        if at.next().is_some() {
            return Err(IngestError::TwinColumn {
                path: path.into(),
                column: w.column.clone(),
            });
        }
        places.push(first);
    }
    Ok(places)
}
