//! `scrim columns`

use anyhow::{Result, bail};
use scrim_tables::docs::cells;
use scrim_tables::rows::{table, tables};
use scrim_tables::{Scope, Table};

use crate::Exit;
use crate::cli::{ColumnsArgs, ColumnsFormat};
use crate::command::say;

/// Lines are broken so that they are no longer than this.
const WIDTH: usize = 110;
/// A cell that would leave less than this for the next is followed by a new line.
const LEAST: usize = 40;

/// Lists the tables, or one table's columns.
///
/// # Errors
/// When there is no such table.
pub fn columns(args: &ColumnsArgs) -> Result<Exit> {
    let (header, rows): (Vec<&str>, Vec<Vec<String>>) = match &args.table {
        None => (
            vec!["table", "of a", "a row is"],
            tables().map(table_cells).collect(),
        ),
        Some(name) => {
            let Some(table) = table(name) else {
                let known: Vec<&str> = tables().map(|table| table.name).collect();
                bail!("no table `{name}`; there are {}", known.join(", "));
            };
            let rows = table.file_columns().map(|column| cells(column).to_vec());
            (vec!["column", "type", "unit", "meaning", "null"], rows.collect())
        }
    };
    say(&match args.format {
        ColumnsFormat::Text => aligned(&header, &rows),
        ColumnsFormat::Csv => csv(&header, &rows),
    })?;
    Ok(Exit::AllDone)
}

fn table_cells(table: &'static Table) -> Vec<String> {
    let scope = match table.scope {
        Scope::Game => "game",
        Scope::Season => "season",
        Scope::Run => "run",
    };
    vec![table.name.into(), scope.into(), table.summary()]
}

/// Short cells in columns, then the long ones (meaning, and what null means) broken into lines below each other.
fn aligned(header: &[&str], rows: &[Vec<String>]) -> String {
    let short = header.len().min(3) - usize::from(header.len() == 3);
    let width = |k: usize| {
        let cells = rows.iter().map(|row| row[k].chars().count());
        cells.chain([header[k].len()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..short).map(width).collect();
    let indent: usize = widths.iter().map(|width| width + 2).sum();
    let mut text = String::new();
    let mut line = |cells: &[&str], rest: &str| {
        for (cell, width) in cells.iter().zip(&widths) {
            text.push_str(&format!("{cell:<width$}  "));
        }
        let lines = broken(rest, WIDTH.saturating_sub(indent).max(LEAST));
        text.push_str(&lines.join(&format!("\n{:indent$}", "")));
        text.push('\n');
    };
    line(&header[..short], header[short]);
    for row in rows {
        let cells: Vec<&str> = row[..short].iter().map(String::as_str).collect();
        let null = row.get(short + 1).filter(|null| !null.is_empty());
        let null = null.map_or(String::new(), |null| format!(" Null: {null}"));
        line(&cells, &format!("{}{null}", row[short]));
    }
    text
}

/// The text in lines of at most `width` characters, broken at spaces.
fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn csv(header: &[&str], rows: &[Vec<String>]) -> String {
    let cell = |cell: &str| format!("\"{}\"", cell.replace('"', "\"\""));
    let mut text = header.join(",") + "\n";
    for row in rows {
        let cells: Vec<String> = row.iter().map(|text| cell(text)).collect();
        text.push_str(&(cells.join(",") + "\n"));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_cells_are_broken_at_spaces_under_their_column() {
        let rows = vec![vec!["a".into(), "b".into(), "word ".repeat(30).trim().into()]];
        let text = aligned(&["table", "of a", "a row is"], &rows);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 3, "{text}");
        assert!(lines.iter().all(|line| line.len() <= WIDTH), "{text}");
        // `table` and `of a` and two spaces after each.
        assert!(lines[2].starts_with(&format!("{:13}word", "")), "{text}");
    }

    #[test]
    fn a_quote_in_a_cell_is_doubled() {
        assert_eq!(
            csv(&["a"], &[vec!["x \"y\", z".into()]]),
            "a\n\"x \"\"y\"\", z\"\n"
        );
    }
}
