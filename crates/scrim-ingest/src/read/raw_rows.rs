//! Rows as they were, fetched again for refusals that were found only when all of a game was known.

use std::collections::BTreeMap;

use super::reading::Reading;
use crate::chunk::Flow;
use crate::names::Names;
use crate::open_table::plan_file;

/// So many times as many rows as were read may be read again.
const PASSES: u64 = 2;

impl Reading<'_> {
    /// The text of rows, by file and row number. A second pass over their files: such refusals are few. A row that
    /// cannot be fetched (its file has changed meanwhile) is left out. So are those of further games when all such
    /// passes together would read more than [`PASSES`] times what was read: each begins at its file's begin, and a
    /// file of a thousand games would be read a thousand times.
    pub(super) fn raw_rows(&mut self, mut wanted: Vec<(u32, u64)>) -> BTreeMap<(u32, u64), String> {
        wanted.sort_unstable();
        wanted.dedup();
        if self.rows_again > PASSES * self.rows {
            self.not_fetched += wanted.len() as u64;
            return BTreeMap::new();
        }
        let mut found = BTreeMap::new();
        // Ids are looked up here once more and thrown away: the numbers of the first pass stay as they are.
        let mut names = Names::default();
        for of_file in wanted.chunk_by(|a, b| a.0 == b.0) {
            let last = of_file[of_file.len() - 1];
            let file = last.0;
            let path = &self.source.tracking[file as usize];
            let table =
                plan_file(path, self.mapping, &mut names).and_then(|plan| plan.table(path, self.mapping));
            let Ok(mut table) = table else { continue };
            let _ = table.for_each_chunk(&mut names, &mut |chunk, _| {
                for row in 0..chunk.rows {
                    let number = chunk.numbers.of(row);
                    if of_file.binary_search(&(file, number)).is_ok() {
                        found.entry((file, number)).or_insert_with(|| chunk.raw.row(row));
                    }
                }
                self.rows_again += chunk.rows as u64;
                let is_past = chunk.rows > 0 && chunk.numbers.of(chunk.rows - 1) > last.1;
                if is_past {
                    Flow::Break(())
                } else {
                    Flow::Continue(())
                }
            });
        }
        found
    }
}
