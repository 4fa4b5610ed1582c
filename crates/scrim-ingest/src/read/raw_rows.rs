//! Rows as they were, fetched again for refusals that were found only when all of a game was known.

use std::collections::BTreeMap;

use super::Reading;
use crate::chunk::Flow;
use crate::names::Names;
use crate::open_table::plan_file;

impl Reading<'_> {
    /// The text of rows, by file and row number. A second pass over their files: such refusals are few. A row that
    /// cannot be fetched (its file has changed meanwhile) is left out.
    pub(super) fn raw_rows(&self, mut wanted: Vec<(u32, u64)>) -> BTreeMap<(u32, u64), String> {
        wanted.sort_unstable();
        wanted.dedup();
        let mut found = BTreeMap::new();
        // Ids are looked up here once more and thrown away: the numbers of the first pass stay as they are.
        let mut names = Names::default();
        for (file, path) in (0u32..).zip(&self.source.tracking) {
            let of_file = wanted.partition_point(|w| w.0 < file)..wanted.partition_point(|w| w.0 <= file);
            let of_file = &wanted[of_file];
            let Some(last) = of_file.last() else { continue };
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
