//! The tables to be judged: the labelled games' partitions, read by column name.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use percent_encoding::percent_decode_str;

use crate::contract::{Kind, LABEL_TABLES, TableSpec};
use crate::labels::{Labels, folders_below};
use crate::read_parquet::{Source, read_parquet};
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
    for spec in LABEL_TABLES {
        let found = partitions(&root.join(spec.name))?;
        if !found.is_empty() {
            parts.insert(spec.name, found);
        }
    }
    let held: BTreeSet<&str> = parts
        .values()
        .flatten()
        .map(|part| part.game_id.as_str())
        .collect();
    judge_missing_games(root, labels, &held, params, warnings)?;

    let mut tables = BTreeMap::new();
    for spec in LABEL_TABLES {
        let Some(parts) = parts.get(spec.name) else {
            continue;
        };
        let mut table = Table::new(spec);
        let mut folders: BTreeMap<&str, &Path> = BTreeMap::new();
        for part in parts.iter().filter(|part| labels.games.contains(&part.game_id)) {
            read_parquet(
                &part.path,
                &mut table,
                Source::Tables {
                    game_id: &part.game_id,
                },
            )?;
            let folder = part.path.parent().unwrap_or(&part.path);
            if *folders.entry(&part.game_id).or_insert(folder) != folder {
                warnings.push(Warning::GameInSeveralSeasons {
                    game_id: part.game_id.clone(),
                    table: spec.name,
                });
            }
        }
        // A partition may, against the contract, hold rows of another game.
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
    game_id: String,
    path: PathBuf,
}

/// The files `season=S/game_id=G/*.parquet` below a table's folder, in the order of their paths.
fn partitions(folder: &Path) -> Result<Vec<Part>, ScoreError> {
    let mut parts = Vec::new();
    if !folder.is_dir() {
        return Ok(parts);
    }
    for season in folders_below(folder)? {
        if !name_of(&season).starts_with("season=") {
            continue;
        }
        for game in folders_below(&season)? {
            let Some(game_id) = name_of(&game).strip_prefix("game_id=").map(str::to_owned) else {
                continue;
            };
            let game_id = percent_decode_str(&game_id).decode_utf8_lossy().into_owned();
            let io_error = |source| ScoreError::Io {
                path: game.clone(),
                source,
            };
            let mut files = Vec::new();
            for entry in fs::read_dir(&game).map_err(io_error)? {
                let path = entry.map_err(io_error)?.path();
                if path.extension().is_some_and(|ext| ext == "parquet") && !name_of(&path).starts_with('.') {
                    files.push(path);
                }
            }
            files.sort();
            parts.extend(files.into_iter().map(|path| Part {
                game_id: game_id.clone(),
                path,
            }));
        }
    }
    Ok(parts)
}

fn name_of(path: &Path) -> &str {
    path.file_name()
        .and_then(|name| name.to_str())
        .unwrap_or_default()
}

fn warn_of_unknown_words(spec: &TableSpec, table: &Table, warnings: &mut Vec<Warning>) {
    for column in spec.columns {
        let Kind::Tag(words) = column.kind else { continue };
        let known = words();
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
