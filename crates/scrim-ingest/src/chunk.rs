//! A piece of a table: the wanted columns of some thousand rows, whatever format they came from.

use crate::names::NameIx;

/// What a column is read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ReadAs {
    /// An id: text, or a whole number.
    Id,
    /// A number.
    Number,
}

/// The cells of one column, a value a row.
#[derive(Debug)]
pub(crate) enum Cells {
    /// Numbers of ids in the source's `Names`.
    Ids(Vec<NameIx>),
    /// Numbers; NaN where there is none.
    Numbers {
        /// The values.
        values: Vec<f64>,
        /// Rows (places in `values`, ascending) whose cell is not empty and yet no number.
        unreadable: Vec<u32>,
    },
}

/// Rows as they were, for messages and the quarantine.
pub(crate) trait RawRows {
    /// The text of a wanted column's cell.
    fn cell(&self, row: usize, column: usize) -> String;
    /// The whole row as text.
    fn row(&self, row: usize) -> String;
}

/// The wanted columns of some rows.
pub(crate) struct Chunk {
    /// How many rows.
    pub rows: usize,
    /// Each row's number in its file, ascending.
    pub numbers: RowNumbers,
    /// The wanted columns, in the order in which they were asked for.
    pub columns: Vec<Cells>,
    /// The rows as they were.
    pub raw: Box<dyn RawRows>,
}

/// Numbers of rows in their file.
#[derive(Debug)]
pub(crate) enum RowNumbers {
    /// One after the other from here.
    From(u64),
    /// One by one.
    Each(Vec<u64>),
}

impl RowNumbers {
    /// The number of the chunk's row `row`.
    pub(crate) fn of(&self, row: usize) -> u64 {
        match self {
            Self::From(first) => first + row as u64,
            Self::Each(numbers) => numbers[row],
        }
    }
}

impl Cells {
    /// The id numbers. Asking a number column for them is a broken plan, never a matter of input.
    pub(crate) fn ids(&self) -> &[NameIx] {
        match self {
            Self::Ids(ids) => ids,
            Self::Numbers { .. } => unreachable!("the plan reads this column as ids"),
        }
    }

    /// The numbers and the rows that are unreadable as such.
    pub(crate) fn numbers(&self) -> (&[f64], &[u32]) {
        match self {
            Self::Numbers { values, unreadable } => (values, unreadable),
            Self::Ids(_) => unreachable!("the plan reads this column as numbers"),
        }
    }
}
