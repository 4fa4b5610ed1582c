//! Labels: where they lie, and what their rows must hold.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crate::contract::{LABEL_TABLES, LABELLED, PLAIN_ONLY, TableSpec};
use crate::read_csv::read_csv;
use crate::read_parquet::{Source, read_parquet};
use crate::table::Table;
use crate::windows::Windows;
use crate::{ScoreError, Warning};

/// What was labelled: a table each, by name. Tables without labels are not there.
#[derive(Debug)]
pub(crate) struct Labels {
    pub tables: BTreeMap<&'static str, Table>,
    /// Every game that any label row names, and every game of `labelled`.
    pub games: BTreeSet<String>,
    /// Games of which only the plain off-ball screens were labelled.
    pub plain_only: BTreeSet<String>,
    /// Of games of which only some stretches were looked at, these.
    pub windows: Windows,
}

/// Reads all labels below `root`: `root/labels/NAME.ext`, else `root/NAME.ext`, else in each folder below `root` its
/// `labels/NAME.ext`, else its `NAME.ext`. The games of `labelled` are found in the same places.
pub(crate) fn read_labels(root: &Path, warnings: &mut Vec<Warning>) -> Result<Labels, ScoreError> {
    if !root.is_dir() {
        return Err(ScoreError::NoFolder {
            path: root.into(),
            role: "labels",
        });
    }
    let mut tables = BTreeMap::new();
    for spec in LABEL_TABLES.iter() {
        let files = label_files(root, spec.name, warnings)?;
        if files.is_empty() {
            continue;
        }
        let mut table = Table::new(spec);
        for path in &files {
            let before = table.rows;
            read_file(path, &mut table, warnings)?;
            if let Some(column) = spec.main_word
                && table.rows > before
                && !has_column(&table, column, before)
            {
                warnings.push(Warning::AllInDoubt {
                    path: path.display().to_string(),
                    column,
                });
            }
        }
        check_spans(&table)?;
        keep_placed(&mut table, warnings);
        warn_of_games_in_several_files(&table, warnings);
        tables.insert(spec.name, table);
    }
    if tables.is_empty() {
        let expected = LABEL_TABLES
            .iter()
            .map(|spec| spec.name)
            .collect::<Vec<_>>()
            .join(", ");
        return Err(ScoreError::NoLabels {
            path: root.into(),
            expected,
        });
    }
    let mut games = BTreeSet::new();
    for table in tables.values() {
        let game = table.text("game_id");
        games.extend((0..table.rows).filter_map(|row| game.at(row)).map(str::to_owned));
    }
    let (plain_only, windows) = read_labelled(root, &tables, &mut games, warnings)?;
    Ok(Labels {
        tables,
        games,
        plain_only,
        windows,
    })
}

/// Adds the games of `labelled` to `games`. Hands back those of which only the plain off-ball screens were labelled, and the stretches
/// that were looked at.
fn read_labelled(
    root: &Path,
    tables: &BTreeMap<&'static str, Table>,
    games: &mut BTreeSet<String>,
    warnings: &mut Vec<Warning>,
) -> Result<(BTreeSet<String>, Windows), ScoreError> {
    let mut labelled = Table::new(&LABELLED);
    for path in label_files(root, LABELLED.name, warnings)? {
        read_file(&path, &mut labelled, warnings)?;
    }
    check_spans(&labelled)?;
    keep_placed(&mut labelled, warnings);
    let (game, extent) = (labelled.text("game_id"), labelled.text("off_ball_screens"));
    let mut plain_only = BTreeSet::new();
    for row in 0..labelled.rows {
        let Some(game_id) = game.at(row) else { continue };
        games.insert(game_id.to_owned());
        if extent.at(row) == Some(PLAIN_ONLY) {
            plain_only.insert(game_id.to_owned());
        }
    }
    let mut windows = Windows::of(&labelled)?;
    windows.leave_whole(&labelled, tables.values());
    Ok((plain_only, windows))
}

fn read_file(path: &Path, table: &mut Table, warnings: &mut Vec<Warning>) -> Result<(), ScoreError> {
    if path.extension().is_some_and(|ext| ext == "csv") {
        read_csv(path, table, warnings)
    } else {
        read_parquet(path, table, Source::Labels(warnings))
    }
}

/// Whether any of the rows from `first` on holds the main word.
fn has_column(table: &Table, column: &str, first: usize) -> bool {
    table.has(column) && (first..table.rows).any(|row| table.is_filled(column, row))
}

fn label_files(root: &Path, name: &str, warnings: &mut Vec<Warning>) -> Result<Vec<PathBuf>, ScoreError> {
    for folder in [root.join("labels"), root.to_path_buf()] {
        if let Some(path) = label_file(&folder, name, warnings) {
            return Ok(vec![path]);
        }
    }
    let mut files = Vec::new();
    for folder in folders_below(root)? {
        let inner = label_file(&folder.join("labels"), name, warnings);
        files.extend(inner.or_else(|| label_file(&folder, name, warnings)));
    }
    Ok(files)
}

/// The file of a table's labels in one folder. Two forms of it side by side give a warning, and one is read.
fn label_file(folder: &Path, name: &str, warnings: &mut Vec<Warning>) -> Option<PathBuf> {
    let mut found = ["parquet", "csv"]
        .into_iter()
        .map(|ext| folder.join(format!("{name}.{ext}")))
        .filter(|path| path.is_file());
    let first = found.next()?;
    warnings.extend(found.map(|path| Warning::FileNotRead {
        path: path.display().to_string(),
        instead: first.display().to_string(),
    }));
    Some(first)
}

/// Folders right below `root`, in the order of their names.
fn folders_below(root: &Path) -> Result<Vec<PathBuf>, ScoreError> {
    let io_error = |source| ScoreError::Io {
        path: root.into(),
        source,
    };
    let mut folders = Vec::new();
    for entry in fs::read_dir(root).map_err(io_error)? {
        let path = entry.map_err(io_error)?.path();
        if path.is_dir() {
            folders.push(path);
        }
    }
    folders.sort();
    Ok(folders)
}

/// Longer spans are minutes typed for seconds, or a clock time: no period takes a day.
const MAX_SPAN_S: f64 = 86_400.0;

/// Refuses a span that ends before it starts, or never.
fn check_spans(table: &Table) -> Result<(), ScoreError> {
    let (start, end) = (table.numbers("t_start_s"), table.numbers("t_end_s"));
    for row in 0..table.rows {
        if let (Some(start_s), Some(end_s)) = (start.at(row), end.at(row))
            && !(0.0..=MAX_SPAN_S).contains(&(end_s - start_s))
        {
            return Err(ScoreError::Span {
                path: table.file(row).into(),
                place: table.place(row),
                start_s,
                end_s,
            });
        }
    }
    Ok(())
}

/// Drops, with a warning, rows that lack a cell without which they cannot be placed.
fn keep_placed(table: &mut Table, warnings: &mut Vec<Warning>) {
    let TableSpec { name, needed, .. } = table.spec;
    let is_placed = |row: &usize| needed.iter().all(|column| table.is_filled(column, *row));
    let (placed, lost): (Vec<usize>, Vec<usize>) = (0..table.rows).partition(is_placed);
    if let Some(first) = lost.first() {
        warnings.push(Warning::RowsNotPlaced {
            table: name,
            rows: lost.len(),
            first: table.origin(*first),
            needed: needed.join(", "),
        });
        table.keep(&placed);
    }
}

fn warn_of_games_in_several_files(table: &Table, warnings: &mut Vec<Warning>) {
    let game = table.text("game_id");
    let mut files: BTreeMap<&str, &Path> = BTreeMap::new();
    let mut warned = BTreeSet::new();
    for row in 0..table.rows {
        let Some(game_id) = game.at(row) else { continue };
        let file = table.file(row);
        if *files.entry(game_id).or_insert(file) != file && warned.insert(game_id) {
            warnings.push(Warning::GameInSeveralFiles {
                game_id: game_id.to_owned(),
                table: table.spec.name,
            });
        }
    }
}
