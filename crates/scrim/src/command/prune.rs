//! `scrim prune`

use std::collections::BTreeSet;

use anyhow::{Result, bail};
use chrono::{DateTime, NaiveDate};
use scrim_tables::ledger::{Part, read_json, remove_part};
use scrim_tables::rows::RunRow;
use scrim_tables::verify::orphans;
use scrim_tables::{Row, Scope, Store};

use crate::cli::PruneArgs;
use crate::command::{say, tables_in};
use crate::output::Output;
use crate::run_record::{DOCUMENTS, RunDocument, RunRecord, documents};
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
/// When the folder cannot be read or written, or nothing fits the choice.
pub fn prune(args: &PruneArgs) -> Result<Exit> {
    let run = Pipeline::default().run_info()?;
    let store = tables_in(&args.tables)?;
    // What is removed is chosen while nobody else writes.
    let output = args
        .delete
        .then(|| Output::open(&args.tables, "scrim prune", &RunRecord::start(&run)))
        .transpose()?;
    let removal = chosen(args, store.as_ref())?;
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
    let store = output.store();
    // Sources first: one whose game is gone must be done again, whatever stops this.
    for name in store.list(SourceRecord::FOLDER)? {
        let path = format!("{}/{name}", SourceRecord::FOLDER);
        let record: Option<SourceRecord> = read_json(store, &path)?;
        let loses = record.is_none_or(|record| {
            record
                .partitions()
                .any(|partition| removal.parts.contains(&Part::Game(partition)))
        });
        if loses {
            store.remove(&path)?;
        }
    }
    for part in &removal.parts {
        remove_part(store, part)?;
    }
    for file in &removal.files {
        store.remove(file)?;
    }
    output.give_back()
}

fn chosen(args: &PruneArgs, store: &dyn Store) -> Result<Removal> {
    let games = Part::find(store, Scope::Game)?;
    let seasons = Part::find(store, Scope::Season)?;
    let mut removal = Removal::default();
    let mut take = |what: &str, asked: &str, is_it: &dyn Fn(&Part) -> bool| {
        let mut fitting = games.iter().chain(&seasons).filter(|part| is_it(part)).peekable();
        if fitting.peek().is_none() {
            bail!("--{what} {asked}: no such {what} in {}", args.tables);
        }
        removal.parts.extend(fitting.cloned());
        Ok(())
    };
    for game_id in &args.game {
        take(
            "game",
            game_id,
            &|part| matches!(part, Part::Game(game) if game.game_id() == game_id),
        )?;
    }
    for season in &args.season {
        take("season", season, &|part| {
            part.season().unwrap_or("unknown") == season
        })?;
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
        let Ok(day) = NaiveDate::parse_from_str(day, "%Y-%m-%d") else {
            bail!("--runs-before {day}: expected a day as YYYY-MM-DD, for example 2041-11-29");
        };
        let began_before = |run: &RunDocument| {
            DateTime::parse_from_rfc3339(&run.started).is_ok_and(|began| began.date_naive() < day)
        };
        for run in documents(store)?.into_iter().filter(began_before) {
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
