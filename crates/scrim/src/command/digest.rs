//! `scrim digest`

use anyhow::{Result, bail};
use scrim_season::{GameClock, GameFacts, describe_team};
use scrim_tables::ledger::Snapshot;
use tracing::warn;

use crate::cli::DigestArgs;
use crate::command::{say, tables_in};
use crate::run::workers;
use crate::season::{games_of_seasons, read_games};
use crate::{Exit, Pipeline};

/// Describes what one team does.
///
/// # Errors
/// When there are no tables, no such season, or no such team.
pub fn digest(args: &DigestArgs) -> Result<Exit> {
    let pipeline = match &args.pipeline {
        Some(path) => Pipeline::read(path)?,
        None => Pipeline::default(),
    };
    let tables = tables_in(&args.tables)?;
    let store = Snapshot::new(tables.as_ref());
    let mut seasons = games_of_seasons(&store, false)?;
    let names: Vec<String> = seasons
        .keys()
        .map(|season| season.clone().unwrap_or_else(|| "unknown".into()))
        .collect();
    let season = match &args.season {
        // The season of games without one is called so, in paths and here.
        Some(name) if name == "unknown" && !seasons.contains_key(&args.season) => None,
        Some(name) => Some(name.clone()),
        None => match seasons.keys().next_back() {
            Some(season) => season.clone(),
            None => bail!(
                "{}: no tables of a game here; give the folder that `scrim run` wrote to",
                args.tables
            ),
        },
    };
    let Some(games) = seasons.remove(&season) else {
        let asked = args.season.as_deref().unwrap_or("unknown");
        bail!(
            "--season {asked}: no such season in {}; there are {names:?}",
            args.tables
        );
    };
    let mut skipped = Vec::new();
    let pool = rayon::ThreadPoolBuilder::new().num_threads(workers()).build()?;
    let facts = pool.install(|| read_games(&store, &games, &mut skipped));
    let mut teams: Vec<String> = facts
        .iter()
        .flat_map(|game| &game.possessions)
        .map(|possession| possession.offense.to_string())
        .collect();
    teams.sort_unstable();
    teams.dedup();
    let clock_of = |game: &GameFacts| {
        GameClock::read(&store, &game.partition).unwrap_or_else(|error| {
            warn!(%error, "the clock is taken from the possessions alone");
            GameClock::of_facts(game)
        })
    };
    let described = describe_team(
        facts,
        &args.team,
        args.last,
        &pipeline.season,
        &pipeline.definitions,
        clock_of,
    );
    let Some(text) = described else {
        bail!(
            "--team {}: no such team in the season; there are {teams:?}",
            args.team
        );
    };
    let name = season.as_deref().unwrap_or("unknown");
    say(&format!("Season {name}, {text}"))?;
    Ok(if skipped.is_empty() {
        Exit::AllDone
    } else {
        Exit::SomeFailed
    })
}
