//! What changed in one game, and where to look at it.

use std::collections::BTreeMap;

use scrim_season::GameClock;
use scrim_season::words::Words;
use scrim_tables::Partition;
use serde::{Serialize, Serializer};

use crate::CompareError;
use crate::columns::Texts;
use crate::compared_tables::{GameSide, tag_columns};
use crate::pairing::{TablePairs, pair_game};
use crate::split::SplitBy;
use crate::spot::{Spot, SpotFinder};

/// Rows whose word went from one to another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Move {
    /// The word in the first output; `None` is none.
    pub from: Option<String>,
    /// The word in the second.
    pub to: Option<String>,
    /// How many.
    pub rows: usize,
    /// Each of them.
    pub spots: Vec<Spot>,
}

/// What became of one column of words, in rows that both outputs have.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct TagChanges {
    /// Rows whose word is another.
    pub changed: u64,
    /// From which word to which.
    #[serde(serialize_with = "as_moves")]
    moves: Moves,
}

type Moves = BTreeMap<(Option<String>, Option<String>), Vec<Spot>>;

impl TagChanges {
    /// From which word to which, by the words.
    pub fn moves(&self) -> impl Iterator<Item = Move> + '_ {
        moves_of(&self.moves)
    }
}

fn moves_of(moves: &Moves) -> impl Iterator<Item = Move> + '_ {
    moves.iter().map(|((from, to), spots)| Move {
        from: from.clone(),
        to: to.clone(),
        rows: spots.len(),
        spots: spots.clone(),
    })
}

fn as_moves<S: Serializer>(moves: &Moves, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(moves_of(moves))
}

/// Counts of rows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Split {
    /// Rows in the first output.
    pub in_a: u64,
    /// Rows in the second.
    pub in_b: u64,
    /// Rows of the first that stand for one of the second.
    pub in_both: u64,
    /// Of those, rows of which any word is another.
    pub changed: u64,
    /// Rows of the first alone.
    pub vanished: u64,
    /// Rows of the second alone.
    pub appeared: u64,
}

/// What changed in one table.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct TableChanges {
    /// All of its rows.
    pub rows: Split,
    /// The same by the word that was asked for: rows of both outputs by the first one's. A row without one is of ``, no word.
    pub by: BTreeMap<String, Split>,
    /// Each column of words.
    pub tags: BTreeMap<&'static str, TagChanges>,
    /// The rows of the first output alone.
    pub vanished: Vec<Spot>,
    /// The rows of the second alone.
    pub appeared: Vec<Spot>,
}

/// What changed in one game, or in several, by table.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct GameChanges {
    /// Each compared table that both outputs have.
    pub tables: BTreeMap<&'static str, TableChanges>,
}

impl GameChanges {
    /// Takes in what changed in another game.
    pub fn take_in(&mut self, other: Self) {
        for (table, changes) in other.tables {
            let all = self.tables.entry(table).or_default();
            all.rows.add(changes.rows);
            for (word, split) in changes.by {
                all.by.entry(word).or_default().add(split);
            }
            for (column, tags) in changes.tags {
                let of_column = all.tags.entry(column).or_default();
                of_column.changed += tags.changed;
                for (words, spots) in tags.moves {
                    of_column.moves.entry(words).or_default().extend(spots);
                }
            }
            all.vanished.extend(changes.vanished);
            all.appeared.extend(changes.appeared);
        }
    }

    /// Whether nothing is other than it was.
    pub fn is_none(&self) -> bool {
        let is_same = |rows: &Split| rows.changed + rows.vanished + rows.appeared == 0;
        self.tables.values().all(|table| is_same(&table.rows))
    }
}

impl Split {
    fn add(&mut self, other: Self) {
        self.in_a += other.in_a;
        self.in_b += other.in_b;
        self.in_both += other.in_both;
        self.changed += other.changed;
        self.vanished += other.vanished;
        self.appeared += other.appeared;
    }
}

/// Holds two outputs of one game side by side.
///
/// # Errors
/// [`CompareError::OneSided`] when one of the two lacks a table that the other has.
pub fn compare_game(
    partition: &Partition,
    a: &GameSide,
    b: &GameSide,
    by: Option<&SplitBy>,
) -> Result<GameChanges, CompareError> {
    if let Some(table) = a.tables.first_one_sided(&b.tables) {
        return Err(CompareError::OneSided { table });
    }
    let english = Words::english();
    let clocks = [&a.facts, &b.facts].map(GameClock::of_facts);
    let mut changes = GameChanges::default();
    for pairs in pair_game(&a.tables, &b.tables) {
        let finders = [
            SpotFinder::of(partition, &a.tables, &pairs, 0, (&clocks[0], &english)),
            SpotFinder::of(partition, &b.tables, &pairs, 1, (&clocks[1], &english)),
        ];
        let words = by.map(|by| {
            [(&a.tables, pairs.a), (&b.tables, pairs.b)]
                .map(|(tables, batch)| by.words(tables, pairs.table, batch))
        });
        let words = match words {
            Some([Some(a), Some(b)]) => Some([a, b]),
            _ => None,
        };
        changes
            .tables
            .insert(pairs.table.name, table_changes(&pairs, &finders, words));
    }
    Ok(changes)
}

/// What a table changed. `words`: the word that counts are parted by, of each row in either output.
fn table_changes(
    pairs: &TablePairs<'_>,
    finders: &[SpotFinder<'_>; 2],
    words: Option<[Vec<Option<String>>; 2]>,
) -> TableChanges {
    let mut changes = TableChanges::default();
    let mut count = |side: usize, row: usize, split: Split| {
        changes.rows.add(split);
        if let Some(words) = &words {
            let word = words[side][row].clone().unwrap_or_default();
            changes.by.entry(word).or_default().add(split);
        }
    };
    let mut is_changed = vec![false; pairs.both.len()];
    let mut tags = BTreeMap::new();
    for column in tag_columns(pairs.table) {
        let of_column: &mut TagChanges = tags.entry(column.name).or_default();
        let [a, b] = [pairs.a, pairs.b].map(|batch| Texts::of(batch, column.name));
        for (place, &(row, other)) in pairs.both.iter().enumerate() {
            let (from, to) = (a.at(row), b.at(other));
            if from == to {
                continue;
            }
            is_changed[place] = true;
            of_column.changed += 1;
            let spot = Spot {
                possession_in_b: finders[1].possession(other),
                ..finders[0].spot(row)
            };
            let words = (from.map(Into::into), to.map(Into::into));
            of_column.moves.entry(words).or_default().push(spot);
        }
    }
    for (&(row, other), changed) in pairs.both.iter().zip(is_changed) {
        let split = Split {
            in_a: 1,
            in_both: 1,
            changed: changed.into(),
            ..Split::default()
        };
        count(0, row, split);
        let in_b = Split {
            in_b: 1,
            ..Split::default()
        };
        count(1, other, in_b);
    }
    for &row in &pairs.only_a {
        let split = Split {
            in_a: 1,
            vanished: 1,
            ..Split::default()
        };
        count(0, row, split);
    }
    for &row in &pairs.only_b {
        let split = Split {
            in_b: 1,
            appeared: 1,
            ..Split::default()
        };
        count(1, row, split);
    }
    changes.tags = tags;
    changes.vanished = pairs.only_a.iter().map(|&row| finders[0].spot(row)).collect();
    changes.appeared = pairs.only_b.iter().map(|&row| finders[1].spot(row)).collect();
    changes
}

#[cfg(test)]
mod tests {
    use scrim_season::GameFacts;
    use scrim_tables::tags::{Coverage, ScreenKind};

    use super::*;
    use crate::ComparedTables;
    use crate::staging::{coverage, possession, screen, tables_of};

    fn side(tables: ComparedTables) -> GameSide {
        let facts = GameFacts {
            partition: Partition::new(None, "g"),
            date: None,
            possessions: Vec::new(),
            plays: Vec::new(),
            runs: Vec::new(),
        };
        GameSide { tables, facts }
    }

    fn covered(screen_id: u32, word: Coverage) -> scrim_tables::rows::CoverageRow {
        let mut row = coverage(screen_id);
        row.coverage = word;
        row.possession_id = 3;
        row
    }

    fn two() -> (GameSide, GameSide) {
        let mut handoff = screen(1, "p", "q", 90.0);
        handoff.screen_kind = ScreenKind::Handoff;
        let a = tables_of(
            &[possession(0, 0.0, 20.0)],
            &[screen(0, "p", "q", 75.0), handoff],
            &[covered(0, Coverage::Drop), covered(1, Coverage::Switch)],
            &[],
        );
        let mut shifted = covered(1, Coverage::Level);
        shifted.possession_id = 4;
        let b = tables_of(
            &[possession(0, 0.0, 20.0)],
            &[screen(0, "r", "q", 12.0), screen(1, "p", "q", 75.0)],
            &[covered(0, Coverage::Blitz), shifted],
            &[],
        );
        (side(a), side(b))
    }

    #[test]
    fn what_appeared_vanished_and_changed_is_counted_and_named() {
        let (a, b) = two();
        let partition = Partition::new(None, "g");
        let changes =
            compare_game(&partition, &a, &b, Some(&SplitBy::column("screen_kind").unwrap())).unwrap();
        let coverages = &changes.tables["coverages"];
        let expected = Split {
            in_a: 2,
            in_b: 2,
            in_both: 1,
            changed: 1,
            vanished: 1,
            appeared: 1,
        };
        assert_eq!(coverages.rows, expected);
        // The handoff vanished; by kind, the ball screens are one in the first and two in the second output.
        assert_eq!(coverages.by["handoff"].vanished, 1);
        let ball_screens = coverages.by[ScreenKind::ALL[0].as_str()];
        assert_eq!(
            (ball_screens.in_a, ball_screens.in_b, ball_screens.changed),
            (1, 2, 1)
        );
        let moves: Vec<Move> = coverages.tags["coverage"].moves().collect();
        assert_eq!(moves.len(), 1);
        let spot = &moves[0].spots[0];
        assert_eq!(
            (moves[0].from.as_deref(), moves[0].to.as_deref(), moves[0].rows),
            (Some("drop"), Some("level"), 1)
        );
        assert_eq!(
            (
                spot.t_s,
                spot.possession_in_a,
                spot.possession_in_b,
                spot.when.as_str()
            ),
            (Some(75.0), Some(3), Some(4), "P1 1:15 in")
        );
        let vanished = &changes.tables["screens"].vanished[0];
        assert_eq!((vanished.t_s, vanished.possession_in_b), (Some(90.0), None));
        assert_eq!(vanished.who, ["p", "q"]);
        assert_eq!(changes.tables["possessions"].rows.changed, 0);
        assert!(!changes.is_none());
    }

    #[test]
    fn a_game_held_against_itself_has_no_change_and_sums_are_of_the_games() {
        let (a, b) = two();
        let partition = Partition::new(None, "g");
        let mut all = compare_game(&partition, &a, &a, None).unwrap();
        assert!(all.is_none());
        assert_eq!(all.tables["screens"].rows.in_both, 2);
        all.take_in(compare_game(&partition, &a, &b, None).unwrap());
        all.take_in(compare_game(&partition, &a, &b, None).unwrap());
        let coverages = &all.tables["coverages"];
        assert_eq!((coverages.rows.in_a, coverages.rows.changed), (6, 2));
        assert_eq!(coverages.tags["coverage"].moves().next().unwrap().rows, 2);
    }

    #[test]
    fn a_game_that_lacks_a_table_in_one_output_is_an_error_that_names_it() {
        let (a, mut b) = two();
        b.tables.remove("coverages");
        let partition = Partition::new(None, "g");
        for (one, other) in [(&a, &b), (&b, &a)] {
            let error = compare_game(&partition, one, other, None).unwrap_err();
            assert!(error.to_string().contains("`coverages`"), "{error}");
        }
    }
}
