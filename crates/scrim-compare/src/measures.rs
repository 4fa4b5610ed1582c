//! What a sweep counts: of each compared table its rows, of each column of words the rows by word; and how many of them are the same
//! rows as by the pipeline's own values.

use std::collections::BTreeMap;
use std::fmt;

use crate::columns::Texts;
use crate::compared_tables::{ComparedTables, tag_columns};
use crate::pairing::pair_game;

/// Rows of a table, or of those the ones with a word.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Measure {
    /// The table.
    pub table: &'static str,
    /// The column of words; `None` of the rows, whatever their words.
    pub column: Option<&'static str>,
    /// The word; `None` of all of them.
    pub word: Option<String>,
}

impl Measure {
    /// All rows of its table.
    pub fn of_table(&self) -> Self {
        Self {
            table: self.table,
            column: None,
            word: None,
        }
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.table)?;
        for part in self.column.iter().copied().chain(self.word.as_deref()) {
            write!(f, ".{part}")?;
        }
        Ok(())
    }
}

/// Counts of a measure.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct MeasureCounts {
    /// Rows by the pipeline's own values.
    pub own: u64,
    /// Rows by the values of a cell.
    pub cell: u64,
    /// Rows that are in either, those that stand for each other once.
    pub either: u64,
    /// Those of them that are the same: of a column, also by their word.
    pub both: u64,
}

impl MeasureCounts {
    /// Of the rows that are in either, the share that is not the same in both; `None` of no rows.
    pub fn changed_share(&self) -> Option<f64> {
        (self.either > 0).then(|| 1.0 - self.both as f64 / self.either as f64)
    }
}

/// What a cell of a sweep counts, over games.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tally {
    /// Games.
    pub games: u64,
    /// Each measure that has rows.
    pub counts: BTreeMap<Measure, MeasureCounts>,
}

impl Tally {
    /// Of one game: its tables by the pipeline's own values, and by those of a cell.
    pub fn of(own: &ComparedTables, cell: &ComparedTables) -> Self {
        let mut tally = Self {
            games: 1,
            ..Self::default()
        };
        for pairs in pair_game(own, cell) {
            let table = pairs.table.name;
            let counts = MeasureCounts {
                own: pairs.a.num_rows() as u64,
                cell: pairs.b.num_rows() as u64,
                either: (pairs.both.len() + pairs.only_a.len() + pairs.only_b.len()) as u64,
                both: pairs.both.len() as u64,
            };
            let of_table = Measure {
                table,
                column: None,
                word: None,
            };
            tally.counts.insert(of_table, counts);
            for column in tag_columns(pairs.table) {
                let [own, cell] = [pairs.a, pairs.b].map(|batch| Texts::of(batch, column.name));
                let of_column = Measure {
                    table,
                    column: Some(column.name),
                    word: None,
                };
                let mut words: BTreeMap<&str, MeasureCounts> = BTreeMap::new();
                let mut same = 0;
                for word in (0..pairs.a.num_rows()).filter_map(|row| own.at(row)) {
                    words.entry(word).or_default().own += 1;
                }
                for word in (0..pairs.b.num_rows()).filter_map(|row| cell.at(row)) {
                    words.entry(word).or_default().cell += 1;
                }
                for &(row, other) in &pairs.both {
                    if own.at(row) == cell.at(other) {
                        same += 1;
                        if let Some(word) = own.at(row) {
                            words.entry(word).or_default().both += 1;
                        }
                    }
                }
                for (word, mut counts) in words {
                    counts.either = counts.own + counts.cell - counts.both;
                    let of_word = Measure {
                        word: Some(word.into()),
                        ..of_column.clone()
                    };
                    tally.counts.insert(of_word, counts);
                }
                tally
                    .counts
                    .insert(of_column, MeasureCounts { both: same, ..counts });
            }
        }
        tally
    }

    /// Takes in other games.
    pub fn take_in(&mut self, other: &Self) {
        self.games += other.games;
        for (measure, counts) in &other.counts {
            let all = self.counts.entry(measure.clone()).or_default();
            all.own += counts.own;
            all.cell += counts.cell;
            all.either += counts.either;
            all.both += counts.both;
        }
    }

    /// A measure's counts; all zero where nothing was counted.
    pub fn get(&self, measure: &Measure) -> MeasureCounts {
        self.counts.get(measure).copied().unwrap_or_default()
    }

    /// How large a measure is, by the cell's values or the pipeline's own: rows a game; of a word, the share of the table's rows.
    /// `None` of all words of a column together, and of a share of nothing.
    pub fn value(&self, measure: &Measure, of: fn(&MeasureCounts) -> u64) -> Option<f64> {
        let rows = of(&self.get(measure)) as f64;
        match (&measure.column, &measure.word) {
            (None, _) => (self.games > 0).then(|| rows / self.games as f64),
            (Some(_), None) => None,
            (Some(_), Some(_)) => {
                let all = of(&self.get(&measure.of_table()));
                (all > 0).then(|| rows / all as f64)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use scrim_tables::tags::Coverage;

    use super::*;
    use crate::staging::{coverage, screen, tables_of};

    fn tables(words: &[(f64, Coverage)]) -> ComparedTables {
        let screens: Vec<_> = (0..)
            .zip(words)
            .map(|(id, (t_s, _))| screen(id, "p", "q", *t_s))
            .collect();
        let coverages: Vec<_> = (0..)
            .zip(words)
            .map(|(id, (_, word))| {
                let mut row = coverage(id);
                row.coverage = *word;
                row
            })
            .collect();
        tables_of(&[], &screens, &coverages, &[])
    }

    #[test]
    fn a_measure_has_its_size_and_the_share_that_is_other() {
        use Coverage::{Drop, Level, Switch};
        // Of four ball screens one is gone and one is new; of the three in both, one drop became level.
        let own = tables(&[(10.0, Drop), (20.0, Drop), (30.0, Switch), (40.0, Drop)]);
        let cell = tables(&[(10.0, Drop), (20.0, Level), (30.0, Switch), (60.0, Drop)]);
        let mut tally = Tally::of(&own, &cell);
        let measure = |column: Option<&'static str>, word: Option<&str>| Measure {
            table: "coverages",
            column,
            word: word.map(Into::into),
        };
        let rows = measure(None, None);
        assert_eq!(
            tally.get(&rows),
            MeasureCounts {
                own: 4,
                cell: 4,
                either: 5,
                both: 3
            }
        );
        // Five in either, two in one alone.
        assert_eq!(tally.get(&rows).changed_share(), Some(1.0 - 3.0 / 5.0));
        // Of the five, two are the same by their word as well.
        let all_words = measure(Some("coverage"), None);
        assert_eq!(tally.get(&all_words).changed_share(), Some(1.0 - 2.0 / 5.0));
        // Drops: three and two, one of them the same.
        let drops = measure(Some("coverage"), Some("drop"));
        assert_eq!(drops.to_string(), "coverages.coverage.drop");
        assert_eq!(
            tally.get(&drops),
            MeasureCounts {
                own: 3,
                cell: 2,
                either: 4,
                both: 1
            }
        );
        assert_eq!(tally.value(&drops, |counts| counts.own), Some(0.75));
        assert_eq!(tally.value(&drops, |counts| counts.cell), Some(0.5));
        assert_eq!(tally.value(&all_words, |counts| counts.cell), None);
        tally.take_in(&Tally::of(&own, &own));
        assert_eq!(tally.value(&rows, |counts| counts.cell), Some(4.0));
        assert_eq!(
            tally.get(&drops),
            MeasureCounts {
                own: 6,
                cell: 5,
                either: 7,
                both: 4
            }
        );
    }

    #[test]
    fn nothing_is_other_in_the_same_tables() {
        let own = tables(&[(10.0, Coverage::Drop), (20.0, Coverage::Switch)]);
        let tally = Tally::of(&own, &own);
        assert!(tally.counts.len() > 5);
        for counts in tally.counts.values() {
            assert_eq!(counts.changed_share().unwrap_or_default(), 0.0);
        }
    }
}
