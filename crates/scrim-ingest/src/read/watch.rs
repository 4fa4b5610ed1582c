//! Who looks on while a source is read.

use std::path::Path;

use scrim_tables::Id;

use crate::chunk::Chunk;
use crate::open_table::PlannedFile;
use crate::plan::Plan;

/// Looks on while a source is read.
pub(crate) trait Watch {
    /// A file was planned.
    fn planned(&mut self, path: &Path, file: &PlannedFile);
    /// Rows are about to be read by that plan.
    fn chunk(&mut self, plan: &Plan, chunk: &Chunk<'_>);
    /// So many rows of a game were refused.
    fn refused(&mut self, game_id: &Id, rows: u64);
}

/// Nobody looks on.
pub(crate) struct Nobody;

impl Watch for Nobody {
    fn planned(&mut self, _: &Path, _: &PlannedFile) {}
    fn chunk(&mut self, _: &Plan, _: &Chunk<'_>) {}
    fn refused(&mut self, _: &Id, _: u64) {}
}
