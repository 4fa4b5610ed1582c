//! `scrim prune`

use std::collections::BTreeSet;

use anyhow::{Result, bail};
use scrim_tables::ledger::{Part, remove_part};
use scrim_tables::rows::{RunRow, tables};
use scrim_tables::verify::orphans;
use scrim_tables::{LocalStore, ReadStore, Row, Scope, Store};

use crate::cli::PruneArgs;
use crate::command::{say, tables_in};
use crate::output::Output;
use crate::run_record::{DOCUMENTS, RunRecord, documents};
use crate::source_record::SourceRecord;
use crate::{Exit, Pipeline};

/// What is to be removed.
#[derive(Default)]
struct Removal {
    /// Games and seasons.
    parts: BTreeSet<Part>,
    /// Single files, below the root.
    files: BTreeSet<String>,
}

/// Lists what would be removed, and with `--delete` removes it.
///
/// # Errors
/// When the folder cannot be read or written, or nothing fits what was asked for.
pub fn prune(args: &PruneArgs) -> Result<Exit> {
    let run = Pipeline::default().run_info()?;
    let store = tables_in(&args.tables)?;
    // What is removed is chosen while nobody else writes.
    let output = args
        .delete
        .then(|| Output::open(&args.tables, "scrim prune", &RunRecord::start(&run)))
        .transpose()?;
    let removal = chosen(args, &store)?;
    let word = if args.delete { "removed" } else { "would go" };
    let mut text = String::new();
    for part in &removal.parts {
        let season = part.season().unwrap_or("unknown");
        let line = match part {
            Part::Game(game) => format!("{word:<18}game {} of season {season}\n", game.game_id()),
            Part::Season(_) => format!("{word:<18}tables of season {season}\n"),
        };
        text.push_str(&line);
    }
    for file in &removal.files {
        text.push_str(&format!("{word:<18}{file}\n"));
    }
    match output {
        Some(output) => remove(&removal, output)?,
        None => text.push_str("Nothing was removed; with --delete it is.\n"),
    }
    say(&text)?;
    Ok(Exit::AllDone)
}

fn remove(removal: &Removal, output: Output) -> Result<()> {
    // Sources first: one whose game is gone must be done again, whatever stops this.
    for name in output.store.list(SourceRecord::FOLDER)? {
        let path = format!("{}/{name}", SourceRecord::FOLDER);
        let record = output.store.get(&path)?;
        let record = record.and_then(|bytes| serde_json::from_slice::<SourceRecord>(&bytes).ok());
        let loses = record.is_none_or(|record| {
            record
                .partitions()
                .any(|partition| removal.parts.contains(&Part::Game(partition)))
        });
        if loses {
            output.store.remove(&path)?;
        }
    }
    for part in &removal.parts {
        let names: Vec<&str> = tables()
            .filter(|table| table.scope == part.scope())
            .map(|table| table.name)
            .collect();
        remove_part(&output.store, part, &names)?;
    }
    for file in &removal.files {
        output.store.remove(file)?;
    }
    output.close()
}

fn chosen(args: &PruneArgs, store: &LocalStore) -> Result<Removal> {
    let games = Part::find(store, Scope::Game)?;
    let seasons = Part::find(store, Scope::Season)?;
    let mut removal = Removal::default();
    for game_id in &args.game {
        let before = removal.parts.len();
        let fitting = games
            .iter()
            .filter(|part| matches!(part, Part::Game(game) if game.game_id() == game_id));
        removal.parts.extend(fitting.cloned());
        if removal.parts.len() == before {
            bail!("--game {game_id}: no such game in {}", args.tables.display());
        }
    }
    for season in &args.season {
        let before = removal.parts.len();
        let fitting = games
            .iter()
            .chain(&seasons)
            .filter(|part| part.season().unwrap_or("unknown") == season);
        removal.parts.extend(fitting.cloned());
        if removal.parts.len() == before {
            bail!("--season {season}: no such season in {}", args.tables.display());
        }
    }
    if args.orphans {
        removal.files.extend(orphans(store)?);
        let alive: BTreeSet<Option<&str>> = games
            .iter()
            .filter(|part| !removal.parts.contains(part))
            .map(Part::season)
            .collect();
        let lone = seasons.iter().filter(|part| !alive.contains(&part.season()));
        removal.parts.extend(lone.cloned());
    }
    if let Some(day) = &args.runs_before {
        if chrono::NaiveDate::parse_from_str(day, "%Y-%m-%d").is_err() {
            bail!("--runs-before {day}: expected a day as YYYY-MM-DD, for example 2041-11-29");
        }
        let old = documents(store)?
            .into_iter()
            .filter(|run| run.started.as_str() < day.as_str());
        for run in old {
            removal.files.insert(format!("{DOCUMENTS}/{}.json", run.run_id));
            // A run that did nothing has no rows.
            let rows = format!("{}/{}.parquet", RunRow::TABLE, run.run_id);
            if store.size(&rows)?.is_some() {
                removal.files.insert(rows);
            }
        }
    }
    Ok(removal)
}
