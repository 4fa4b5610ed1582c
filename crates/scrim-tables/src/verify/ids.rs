//! Ids across a game's tables: each key once, and every id that points into another table finds its row there.

use std::collections::{BTreeMap, BTreeSet};

use arrow::array::{Array, RecordBatch, StringArray, UInt32Array};

use crate::Row;
use crate::column::Kind;
use crate::rows::{
    CoverageRow, CutRow, EntryRow, GameRow, OptionRow, PlayerRow, PossessionRow, ScreenRow, TouchRow, table,
};

/// Tables whose rows have a number of their own, and its column.
const KEYS: [(&str, &str); 7] = [
    (PossessionRow::TABLE, "possession_id"),
    (TouchRow::TABLE, "touch_id"),
    (ScreenRow::TABLE, "screen_id"),
    (CutRow::TABLE, "cut_id"),
    (CoverageRow::TABLE, "screen_id"),
    (OptionRow::TABLE, "screen_id"),
    (EntryRow::TABLE, "screen_id"),
];

/// Columns with the number of a row of another table.
const NUMBERS: [(&str, &str); 5] = [
    ("possession_id", PossessionRow::TABLE),
    ("touch_id", TouchRow::TABLE),
    ("screen_id", ScreenRow::TABLE),
    ("previous_screen_id", ScreenRow::TABLE),
    ("previous_ball_screen_id", ScreenRow::TABLE),
];

/// What is wrong with a game's ids, by table. A table that is not there is not looked into.
pub(super) fn check(batches: &BTreeMap<&'static str, RecordBatch>) -> Vec<(&'static str, String)> {
    let mut problems = Vec::new();
    let mut keys: BTreeMap<&str, BTreeSet<u32>> = BTreeMap::new();
    for (table, key) in KEYS {
        let Some(column) = batches.get(table).and_then(|batch| numbers(batch, key)) else {
            continue;
        };
        let mut seen = BTreeSet::new();
        if let Some(twice) = column.iter().flatten().find(|&id| !seen.insert(id)) {
            problems.push((table, format!("{key} {twice} comes twice")));
        }
        keys.insert(table, seen);
    }
    let players = batches
        .get(PlayerRow::TABLE)
        .map(|batch| words(batch, &["player_id"]));
    let teams = batches
        .get(GameRow::TABLE)
        .map(|batch| words(batch, &["home_team_id", "away_team_id"]));
    for (&name, batch) in batches {
        for (column, target) in NUMBERS {
            if let (Some(values), Some(known)) = (numbers(batch, column), keys.get(target))
                && let Some(id) = values.iter().flatten().find(|id| !known.contains(id))
            {
                problems.push((name, format!("{column} {id} is not in `{target}`")));
            }
        }
        let columns = table(name).map_or(&[][..], |table| table.columns);
        for info in columns.iter().filter(|info| matches!(info.kind, Kind::Id)) {
            let (known, target) = match info.name {
                "game_id" => continue,
                team if team.ends_with("team_id") => (&teams, GameRow::TABLE),
                player if player.ends_with("_id") => (&players, PlayerRow::TABLE),
                _ => continue,
            };
            if let Some(known) = known
                && name != target
                && let Some(id) = words(batch, &[info.name]).difference(known).next()
            {
                problems.push((name, format!("{} {id} is not in `{target}`", info.name)));
            }
        }
    }
    problems
}

fn numbers<'a>(batch: &'a RecordBatch, column: &str) -> Option<&'a UInt32Array> {
    batch.column_by_name(column)?.as_any().downcast_ref()
}

/// All values of some text columns.
fn words(batch: &RecordBatch, columns: &[&str]) -> BTreeSet<String> {
    let arrays = columns.iter().filter_map(|column| {
        batch
            .column_by_name(column)?
            .as_any()
            .downcast_ref::<StringArray>()
    });
    arrays
        .flat_map(|array| array.iter().flatten().map(ToOwned::to_owned))
        .collect()
}
