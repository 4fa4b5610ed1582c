//! The tables to be judged: the labelled games' files, read by column name.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use scrim_tables::Partition;

use crate::contract::{Kind, LABEL_TABLES, TableSpec};
use crate::labels::Labels;
use crate::read_parquet::{Source, games_in, read_parquet};
use crate::table::Table;
use crate::{GamesWithoutTables, ScoreError, ScoreParams, Warning};

/// Reads the tables of the games that `labels` name. A table of which `root` holds no file is not there.
pub(crate) fn read_tables(
    root: &Path,
    labels: &mut Labels,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> Result<BTreeMap<&'static str, Table>, ScoreError> {
    if !root.is_dir() {
        return Err(ScoreError::NoFolder {
            path: root.into(),
            role: "tables",
        });
    }
    let mut parts = BTreeMap::new();
    for spec in LABEL_TABLES.iter() {
        let found = parts_of(&root.join(spec.name))?;
        if !found.is_empty() {
            parts.insert(spec.name, found);
        }
    }
    let held: BTreeSet<&str> = parts
        .values()
        .flatten()
        .flat_map(|part| &part.games)
        .map(String::as_str)
        .collect();
    judge_missing_games(root, labels, &held, params, warnings)?;

    let mut tables = BTreeMap::new();
    for spec in LABEL_TABLES.iter() {
        let Some(parts) = parts.get(spec.name) else {
            continue;
        };
        let mut table = Table::new(spec);
        let mut seasons: BTreeMap<&str, Option<&str>> = BTreeMap::new();
        for part in parts.iter().filter(|part| !part.games.is_disjoint(&labels.games)) {
            read_parquet(&part.path, &mut table, Source::Tables)?;
            // Two seasons may use one id: then both games' rows are held against one game's labels.
            if let Some(named) = &part.named
                && *seasons.entry(named.game_id()).or_insert(named.season()) != named.season()
            {
                warnings.push(Warning::GameInSeveralSeasons {
                    game_id: named.game_id().into(),
                    table: spec.name,
                });
            }
        }
        // Another program's file may hold rows of other games.
        let game = table.text("game_id");
        let kept: Vec<usize> = (0..table.rows)
            .filter(|row| {
                game.at(*row)
                    .is_some_and(|game_id| labels.games.contains(game_id))
            })
            .collect();
        if kept.len() < table.rows {
            table.keep(&kept);
        }
        warn_of_unknown_words(spec, &table, warnings);
        tables.insert(spec.name, table);
    }
    Ok(tables)
}

fn judge_missing_games(
    root: &Path,
    labels: &mut Labels,
    held: &BTreeSet<&str>,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> Result<(), ScoreError> {
    let missing: BTreeSet<String> = labels
        .games
        .iter()
        .filter(|game| !held.contains(game.as_str()))
        .cloned()
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    match params.games_without_tables {
        GamesWithoutTables::Refuse => {
            let list = |games: Vec<&str>| {
                if games.is_empty() {
                    "no game".to_owned()
                } else {
                    games.join(", ")
                }
            };
            return Err(ScoreError::GamesWithoutTables {
                tables: root.into(),
                games: list(missing.iter().map(String::as_str).collect()),
                found: list(held.iter().copied().collect()),
            });
        }
        GamesWithoutTables::CountAsMissed => {}
        GamesWithoutTables::LeaveOut => {
            for table in labels.tables.values_mut() {
                let game = table.text("game_id");
                let kept: Vec<usize> = (0..table.rows)
                    .filter(|row| game.at(*row).is_some_and(|game_id| !missing.contains(game_id)))
                    .collect();
                table.keep(&kept);
            }
            labels.games.retain(|game| !missing.contains(game));
        }
    }
    warnings.extend(
        missing
            .into_iter()
            .map(|game_id| Warning::GameWithoutTables { game_id }),
    );
    Ok(())
}

#[derive(Debug)]
struct Part {
    path: PathBuf,
    /// The game in the file's name.
    named: Option<Partition>,
    /// Games of which it may hold rows.
    games: BTreeSet<String>,
}

/// The Parquet files below a table's folder, in the order of their paths: ours lie flat in it, another program's may not.
fn parts_of(folder: &Path) -> Result<Vec<Part>, ScoreError> {
    let mut parts = Vec::new();
    if !folder.is_dir() {
        return Ok(parts);
    }
    let io_error = |source| ScoreError::Io {
        path: folder.into(),
        source,
    };
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder).map_err(io_error)? {
        paths.push(entry.map_err(io_error)?.path());
    }
    paths.sort();
    for path in paths {
        let name = path
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or_default();
        if name.starts_with('.') {
            continue;
        }
        if path.is_dir() {
            parts.extend(parts_of(&path)?);
        } else if path.extension().is_some_and(|ext| ext == "parquet") {
            let named = Partition::of_name(name);
            let games = match &named {
                Some(partition) => BTreeSet::from([partition.game_id().to_owned()]),
                None => games_in(&path)?,
            };
            parts.push(Part { path, named, games });
        }
    }
    Ok(parts)
}

fn warn_of_unknown_words(spec: &TableSpec, table: &Table, warnings: &mut Vec<Warning>) {
    for column in &spec.columns {
        let Kind::Tag(known) = column.kind else { continue };
        let text = table.text(column.name);
        let unknown: BTreeSet<&str> = (0..table.rows)
            .filter_map(|row| text.at(row))
            .filter(|word| !known.contains(word))
            .collect();
        warnings.extend(unknown.into_iter().map(|word| Warning::UnknownWordInTables {
            table: spec.name,
            column: column.name,
            word: word.to_owned(),
        }));
    }
}
