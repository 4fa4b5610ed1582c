//! Counters as they are likely to be in truth, when it is known how coverages are read.

use std::collections::BTreeMap;

use nalgebra::DMatrix;
use scrim_tables::Id;
use scrim_tables::tags::{Coverage, RunResult, TeamSide};

use super::answers::{Answers, Situation};
use scrim_statistics::{Interval, Misread, ReadPairs};

/// Situations that differ in the coverage only: between these, misreadings move pairs of runs.
type Group<'a> = (&'a Option<Id>, TeamSide, &'a str, RunResult);

/// All pairs of runs of a season, as read, and how coverages are read.
pub(super) struct Adjusted<'a> {
    tables: BTreeMap<Group<'a>, Table<'a>>,
}

/// The pairs of a group: coverage of the run by what came next.
struct Table<'a> {
    pairs: ReadPairs<'a>,
    /// What came next, in the order of the columns.
    next: Vec<&'a str>,
}

impl<'a> Adjusted<'a> {
    /// Gathers the pairs of all situations.
    pub(super) fn of(situations: &'a BTreeMap<Situation, Answers>, misread: &'a Misread) -> Self {
        let mut groups: BTreeMap<Group<'a>, Vec<(Coverage, &'a Answers)>> = BTreeMap::new();
        for (situation, answers) in situations {
            groups
                .entry(group(situation))
                .or_default()
                .push((situation.2, answers));
        }
        let tables = groups.into_iter().map(|(group, of)| {
            let next = match group.1 {
                TeamSide::Defense => Coverage::ALL.iter().map(|word| word.as_str()).collect(),
                TeamSide::Offense => {
                    let mut next: Vec<&str> = of
                        .iter()
                        .flat_map(|(_, answers)| answers.by_word.keys())
                        .map(String::as_str)
                        .collect();
                    next.sort_unstable();
                    next.dedup();
                    next
                }
            };
            let mut counts = DMatrix::zeros(Coverage::ALL.len(), next.len());
            for (coverage, answers) in of {
                for (word, hits) in &answers.by_word {
                    if let (Some(row), Some(column)) =
                        (place(coverage), next.iter().position(|next| next == word))
                    {
                        counts[(row, column)] += f64::from(*hits);
                    }
                }
            }
            let pairs = ReadPairs::of(counts, misread, group.1 == TeamSide::Defense);
            (group, Table { pairs, next })
        });
        Self {
            tables: tables.collect(),
        }
    }

    /// How often `next` truly came in the situation.
    pub(super) fn rate(&self, situation: &Situation, next: &str) -> Option<Interval> {
        let table = self.tables.get(&group(situation))?;
        let column = table.next.iter().position(|word| *word == next)?;
        table.pairs.rate(place(situation.2)?, column)
    }
}

fn group(situation: &Situation) -> Group<'_> {
    let (team, side, _, option, result) = situation;
    (team, *side, option, *result)
}

fn place(coverage: Coverage) -> Option<usize> {
    Coverage::ALL.iter().position(|word| *word == coverage)
}
