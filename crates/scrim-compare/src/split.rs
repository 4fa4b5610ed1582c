//! By which word the counts are parted.

use std::collections::BTreeMap;

use arrow::array::RecordBatch;
use scrim_tables::Table;
use scrim_tables::rows::{PossessionRow, ScreenRow};
use scrim_tables::{ColumnInfo, Row};

use crate::CompareError;
use crate::columns::{Numbers, Texts};
use crate::compared_tables::{ComparedTables, compared_tables, tag_columns};

/// A column of words that the counts are parted by. Rows of a table that does not have it take the word of their screen, or of their
/// possession.
#[derive(Debug, Clone)]
pub struct SplitBy {
    column: &'static ColumnInfo,
}

/// What connects a row of a table with the row of another that has the column.
const LINKS: [(&str, &str); 2] = [
    (ScreenRow::TABLE, "screen_id"),
    (PossessionRow::TABLE, "possession_id"),
];

impl SplitBy {
    /// By a column.
    ///
    /// # Errors
    /// [`CompareError::NoColumn`] when no compared table has such a column of words.
    pub fn column(name: &str) -> Result<Self, CompareError> {
        let columns = || compared_tables().flat_map(tag_columns);
        let Some(column) = columns().find(|column| column.name == name) else {
            let mut known: Vec<&str> = Vec::new();
            for column in columns() {
                if !known.contains(&column.name) {
                    known.push(column.name);
                }
            }
            return Err(CompareError::NoColumn {
                column: name.into(),
                known: known.join(", "),
            });
        };
        Ok(Self { column })
    }

    /// The column's name.
    pub fn name(&self) -> &'static str {
        self.column.name
    }

    /// The word of each row of `batch`, a table of `tables`; `None` when nothing connects its rows with the column.
    pub(crate) fn words(
        &self,
        tables: &ComparedTables,
        table: &'static Table,
        batch: &RecordBatch,
    ) -> Option<Vec<Option<String>>> {
        let all = |word: &dyn Fn(usize) -> Option<String>| (0..batch.num_rows()).map(word).collect();
        if has(table, self.name()) {
            let words = Texts::of(batch, self.name());
            return Some(all(&|row| words.at(row).map(Into::into)));
        }
        for (owner, link) in LINKS {
            let by_id = linked_words(tables, owner, link, self.name());
            if let Some(by_id) = by_id.filter(|_| has(table, link)) {
                let ids = Numbers::of(batch, link);
                return Some(all(&|row| by_id.get(&ids.whole_at(row)?).cloned().flatten()));
            }
        }
        None
    }
}

fn has(table: &Table, column: &str) -> bool {
    table.columns.iter().any(|of| of.name == column)
}

/// The words of `column` by the number of a screen or possession: of the table that owns the number, else of the first that has one
/// row for each.
fn linked_words(
    tables: &ComparedTables,
    owner: &str,
    link: &str,
    column: &str,
) -> Option<BTreeMap<u32, Option<String>>> {
    let is_one_a_number = |table: &&'static Table| {
        let needed = table.labels.as_ref().map_or(&[][..], |labels| labels.needed);
        table.name == owner || needed.len() == 2 && needed.contains(&link)
    };
    let mut with_column = compared_tables()
        .filter(is_one_a_number)
        .filter(|table| has(table, column));
    let batch = tables.get(with_column.next()?.name)?;
    let (ids, words) = (Numbers::of(batch, link), Texts::of(batch, column));
    let pair = |row| Some((ids.whole_at(row)?, words.at(row).map(Into::into)));
    Some((0..batch.num_rows()).filter_map(pair).collect())
}

#[cfg(test)]
mod tests {
    use scrim_tables::rows::{CoverageRow, CutRow};
    use scrim_tables::tags::{Coverage, Phase, ScreenKind};

    use super::*;
    use crate::staging::{coverage, cut, possession, screen, tables_of};

    #[test]
    fn a_row_takes_the_word_of_its_table_its_screen_or_its_possession() {
        let mut handoff = screen(1, "p", "q", 30.0);
        handoff.screen_kind = ScreenKind::Handoff;
        handoff.possession_id = 1;
        let mut second = coverage(1);
        second.coverage = Coverage::Switch;
        let mut transition = possession(1, 25.0, 40.0);
        transition.phase = Phase::Transition;
        let tables = tables_of(
            &[possession(0, 0.0, 20.0), transition],
            &[screen(0, "p", "q", 10.0), handoff],
            &[coverage(0), second],
            &[cut(0, "p", 1.0, 2.0)],
        );
        let words = |column: &str, table: &'static Table| {
            let batch = tables.get(table.name).unwrap();
            let words = SplitBy::column(column).unwrap().words(&tables, table, batch);
            words.map(|words| {
                words
                    .into_iter()
                    .map(Option::unwrap_or_default)
                    .collect::<Vec<_>>()
            })
        };
        let first_kind = ScreenKind::ALL[0].as_str().to_owned();
        let kinds = Some(vec![first_kind, "handoff".to_owned()]);
        assert_eq!(words("screen_kind", ScreenRow::INFO), kinds);
        assert_eq!(words("screen_kind", CoverageRow::INFO), kinds);
        let coverages = words("coverage", ScreenRow::INFO).unwrap();
        assert_eq!(coverages[1], "switch");
        assert_eq!(words("phase", ScreenRow::INFO).unwrap()[1], "transition");
        // A cut off no screen has no kind of screen; a possession has none at all.
        assert_eq!(words("screen_kind", CutRow::INFO), Some(vec![String::new()]));
        assert_eq!(words("screen_kind", PossessionRow::INFO), None);
    }

    #[test]
    fn a_column_that_is_none_is_refused_and_those_that_are_named() {
        let message = SplitBy::column("confidence").unwrap_err().to_string();
        for part in ["`confidence`", "screen_kind", "coverage", "phase", "cut_kind"] {
            assert!(message.contains(part), "{message}");
        }
    }
}
