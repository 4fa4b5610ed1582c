//! One file's columns: those declared, in their order and types, and values that can be.

use arrow::array::{Array, ArrayRef, Float32Array, Float64Array, RecordBatch, StringArray};

use crate::column::Kind;
use crate::{ColumnInfo, Scope, Table};

/// What is wrong with the rows of a file of `table`. `game`: the game that all must be of.
pub(super) fn check(table: &Table, batch: &RecordBatch, season: &str, game: Option<&str>) -> Vec<String> {
    let expected = table.file_fields();
    let found = batch.schema();
    let is_declared = found.fields().len() == expected.len()
        && found.fields().iter().zip(&expected).all(|(found, expected)| {
            found.name() == expected.name()
                && found.data_type() == expected.data_type()
                && found.is_nullable() == expected.is_nullable()
        });
    if !is_declared {
        let names: Vec<&str> = found.fields().iter().map(|field| field.name().as_str()).collect();
        return vec![format!(
            "its columns are not those of `{}` (`scrim columns {}`): {}",
            table.name,
            table.name,
            names.join(", ")
        )];
    }
    let mut problems = Vec::new();
    for (info, column) in table.file_columns().zip(batch.columns()) {
        let constant = match info.name {
            "season" if table.scope != Scope::Run => Some(season),
            "game_id" if table.scope == Scope::Game => game,
            _ => None,
        };
        problems.extend(constant.and_then(|value| other_than(info, column, value)));
        problems.extend(out_of_bounds(info, column));
    }
    problems.extend(wrong_order(table, batch));
    problems
}

fn other_than(info: &ColumnInfo, column: &ArrayRef, value: &str) -> Option<String> {
    let column = column.as_any().downcast_ref::<StringArray>()?;
    let row = (0..column.len()).find(|&row| column.is_null(row) || column.value(row) != value)?;
    Some(format!("row {row}: {} is not {value}", info.name))
}

/// The numbers of a column of either width; `None` for another type.
fn numbers(column: &ArrayRef) -> Option<Vec<Option<f64>>> {
    if let Some(column) = column.as_any().downcast_ref::<Float64Array>() {
        return Some(column.iter().collect());
    }
    let column = column.as_any().downcast_ref::<Float32Array>()?;
    Some(column.iter().map(|value| value.map(f64::from)).collect())
}

fn out_of_bounds(info: &ColumnInfo, column: &ArrayRef) -> Option<String> {
    if let Kind::Tag(words) = info.kind {
        let column = column.as_any().downcast_ref::<StringArray>()?;
        let row =
            (0..column.len()).find(|&row| column.is_valid(row) && !words.contains(&column.value(row)))?;
        return Some(format!(
            "row {row}: {} is `{}`, which is none of its words",
            info.name,
            column.value(row)
        ));
    }
    let is_share = info.unit().is_some_and(|unit| unit.starts_with("share"));
    let can_be = |value: f64| value.is_finite() && (!is_share || (-1e-6..=1.0 + 1e-6).contains(&value));
    let values = numbers(column)?;
    let row = values
        .iter()
        .position(|value| value.is_some_and(|value| !can_be(value)))?;
    Some(format!(
        "row {row}: {} is {}, expected {}",
        info.name,
        values[row].unwrap_or(f64::NAN),
        if is_share { "0 to 1" } else { "a finite number" }
    ))
}

/// A span that ends before it starts: columns that differ in `start` and `end` alone.
fn wrong_order(table: &Table, batch: &RecordBatch) -> Vec<String> {
    let starts = table
        .columns
        .iter()
        .filter(|info| info.name.starts_with("t_start"));
    let problem = |info: &ColumnInfo| {
        let end_name = info.name.replacen("start", "end", 1);
        let start = numbers(batch.column_by_name(info.name)?)?;
        let end = numbers(batch.column_by_name(&end_name)?)?;
        let row = start
            .iter()
            .zip(&end)
            .position(|(start, end)| matches!((start, end), (Some(start), Some(end)) if start > end))?;
        Some(format!("row {row}: {} is after {end_name}", info.name))
    };
    starts.filter_map(problem).collect()
}
