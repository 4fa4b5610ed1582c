//! `scrim digest`

use std::thread::available_parallelism;

use anyhow::{Result, bail};
use scrim_season::tell_team;

use crate::cli::DigestArgs;
use crate::command::{say, tables_in};
use crate::season::{games_of_seasons, read_games};
use crate::{Exit, Pipeline};

/// Tells what one team does.
///
/// # Errors
/// When there are no tables, no such season, or no such team.
pub fn digest(args: &DigestArgs) -> Result<Exit> {
    let pipeline = match &args.pipeline {
        Some(path) => Pipeline::read(path)?,
        None => Pipeline::default(),
    };
    let store = tables_in(&args.tables)?;
    let mut seasons = games_of_seasons(&store)?;
    let names: Vec<String> = seasons
        .keys()
        .map(|season| season.clone().unwrap_or_else(|| "unknown".into()))
        .collect();
    let season = match &args.season {
        // The season of games that tell none is called so, in paths and here.
        Some(name) if name == "unknown" && !seasons.contains_key(&args.season) => None,
        Some(name) => Some(name.clone()),
        None => match seasons.keys().next_back() {
            Some(season) => season.clone(),
            None => bail!(
                "{}: no tables of a game here; give the folder that `scrim run` wrote to",
                args.tables.display()
            ),
        },
    };
    let Some(games) = seasons.remove(&season) else {
        let asked = args.season.as_deref().unwrap_or("unknown");
        bail!(
            "--season {asked}: no such season in {}; there are {names:?}",
            args.tables.display()
        );
    };
    let mut skipped = Vec::new();
    let workers = available_parallelism().map_or(1, Into::into);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(workers).build()?;
    let facts = pool.install(|| read_games(&store, &games, &mut skipped));
    let mut teams: Vec<String> = facts
        .iter()
        .flat_map(|game| &game.possessions)
        .map(|trip| trip.offense.to_string())
        .collect();
    teams.sort_unstable();
    teams.dedup();
    let Some(told) = tell_team(
        facts,
        &args.team,
        args.last,
        &pipeline.season,
        &pipeline.definitions,
    ) else {
        bail!(
            "--team {}: no such team in the season; there are {teams:?}",
            args.team
        );
    };
    let name = season.as_deref().unwrap_or("unknown");
    say(&format!("Season {name}, {told}"))?;
    Ok(if skipped.is_empty() {
        Exit::AllDone
    } else {
        Exit::SomeFailed
    })
}
