//! The rows of a small table as text, within a budget of memory.

use std::path::Path;

use crate::IngestError;

/// A row of text: its number in the file, and its cells.
pub(crate) type TextRow = (u64, Vec<String>);

/// So much memory is set aside for a side table, bytes: the events of two seasons in one file take a fifth of it.
const MAX_TABLE_BYTES: u64 = 1 << 30;
/// What a cell takes beside its text, and what a row does, bytes, about.
const A_CELL_BYTES: usize = 32;

/// All rows of a table as text, while they fit into [`MAX_TABLE_BYTES`].
pub(crate) struct TextRows<'p> {
    path: &'p Path,
    rows: Vec<TextRow>,
    bytes: u64,
}

impl<'p> TextRows<'p> {
    pub(crate) fn new(path: &'p Path) -> Self {
        Self {
            path,
            rows: Vec::new(),
            bytes: 0,
        }
    }

    pub(crate) fn push(&mut self, number: u64, cells: Vec<String>) -> Result<(), IngestError> {
        let bytes: usize = cells.iter().map(|cell| cell.len() + A_CELL_BYTES).sum();
        self.bytes += (bytes + 2 * A_CELL_BYTES) as u64;
        if self.bytes > MAX_TABLE_BYTES {
            return Err(IngestError::OverBudget {
                path: self.path.into(),
                what: "a side table",
                most: MAX_TABLE_BYTES,
            });
        }
        self.rows.push((number, cells));
        Ok(())
    }

    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    pub(crate) fn into_rows(self) -> Vec<TextRow> {
        self.rows
    }
}
