//! The season's stage over a store: every game's small tables in, the season's tables out. No tracking is read.

use scrim_floor::Definitions;
use std::collections::{BTreeMap, BTreeSet};
use std::time::Instant;

use rayon::prelude::*;
use scrim_season::{
    GameFacts, PullSubjects, SeasonError, SeasonParams, build_season, pull_subjects, read_game,
    read_pull_game,
};
use scrim_tables::rows::{GameQualityRow, PossessionRow, PullRow};
use scrim_tables::tags::Verdict;
use scrim_tables::{Partition, Row, RunInfo, Store, read_columns, season_path, write_rows};
use tracing::{info, warn};

use crate::Failure;
use crate::failure::{guarded, with_causes};
use crate::summary::{DoneSeason, SeasonsSummary, Skipped};

/// What the season's stage needs.
pub struct SeasonPlan<'a> {
    /// Where the tables are, and go.
    pub store: &'a dyn Store,
    /// How a season is put together.
    pub params: &'a SeasonParams,
    /// Whether games with poor data enter it.
    pub poor_too: bool,
    /// Where one word ends and the next begins.
    pub definitions: &'a Definitions,
    /// What the season tables' footers say.
    pub run: &'a RunInfo,
    /// How many games are read and written at once, at least 1.
    pub jobs: usize,
}

/// Puts together each of `seasons` that has games. A game whose tables cannot be read is reported and left out, the others go on; so
/// is a season.
///
/// # Errors
/// [`rayon::ThreadPoolBuildError`] when the system gives no threads.
pub fn do_seasons(
    seasons: &BTreeSet<Option<String>>,
    plan: &SeasonPlan<'_>,
) -> Result<SeasonsSummary, rayon::ThreadPoolBuildError> {
    let start = Instant::now();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(plan.jobs.max(1))
        .build()?;
    let mut summary = SeasonsSummary::default();
    pool.install(|| match games_of_seasons(plan.store, plan.poor_too) {
        Ok(mut games) => {
            for season in seasons {
                let games = games.remove(season).unwrap_or_default();
                if games.is_empty() {
                    continue;
                }
                match guarded(|| one_season(season.as_deref(), &games, plan, &mut summary.skipped)) {
                    Ok(done) => summary.done.push(done),
                    Err(failure) => skip(&mut summary.skipped, season.as_deref(), None, &failure),
                }
            }
        }
        Err(failure) => skip(&mut summary.skipped, None, None, &failure),
    });
    summary.seconds = start.elapsed().as_secs_f64();
    Ok(summary)
}

/// The games that have tables, season by season; those with poor data only where `poor_too`.
///
/// # Errors
/// When the store cannot be read.
pub fn games_of_seasons(
    store: &dyn Store,
    poor_too: bool,
) -> Result<BTreeMap<Option<String>, Vec<Partition>>, Failure> {
    let mut seasons: BTreeMap<Option<String>, Vec<Partition>> = BTreeMap::new();
    for partition in Partition::find(store, PossessionRow::TABLE)? {
        if !poor_too && is_poor(store, &partition)? {
            continue;
        }
        seasons
            .entry(partition.season().map(Into::into))
            .or_default()
            .push(partition);
    }
    Ok(seasons)
}

/// Whether the gate called a game's data poor.
fn is_poor(store: &dyn Store, partition: &Partition) -> Result<bool, Failure> {
    #[derive(serde::Deserialize)]
    struct Period {
        verdict: Verdict,
    }
    let Some(bytes) = store.get(&partition.path(GameQualityRow::TABLE))? else {
        return Ok(false);
    };
    let periods: Vec<Period> = read_columns(GameQualityRow::TABLE, &["verdict"], bytes)?;
    Ok(periods.iter().any(|period| period.verdict >= Verdict::Poor))
}

/// Reads games, on the threads of the pool that this is called in. Those that cannot be are listed in `skipped`.
pub fn read_games(store: &dyn Store, games: &[Partition], skipped: &mut Vec<Skipped>) -> Vec<GameFacts> {
    read_all(games, skipped, |partition| read_game(store, partition))
}

fn read_all<T: Send>(
    games: &[Partition],
    skipped: &mut Vec<Skipped>,
    read_one: impl Fn(&Partition) -> Result<T, SeasonError> + Sync,
) -> Vec<T> {
    let read: Vec<Result<T, Failure>> = games
        .par_iter()
        .map(|partition| guarded(|| Ok(read_one(partition)?)))
        .collect();
    let mut facts = Vec::with_capacity(read.len());
    for (partition, read) in games.iter().zip(read) {
        match read {
            Ok(game) => facts.push(game),
            Err(failure) => {
                skip(
                    skipped,
                    partition.season(),
                    Some(partition.game_id().into()),
                    &failure,
                );
            }
        }
    }
    facts
}

fn one_season(
    season: Option<&str>,
    games: &[Partition],
    plan: &SeasonPlan<'_>,
    skipped: &mut Vec<Skipped>,
) -> Result<DoneSeason, Failure> {
    let mut facts = read_games(plan.store, games, skipped);
    let tables = build_season(&mut facts, plan.params, plan.definitions);
    plan.store.put_all(&tables.files(season, plan.run)?)?;
    match plan.params.pull.subjects {
        PullSubjects::None => {}
        PullSubjects::All => {
            // What cannot be read for the other tables is left out of this one, too.
            let read: Vec<Partition> = facts.iter().map(|game| game.partition.clone()).collect();
            put_pull(season, &read, plan, skipped)?;
        }
    }
    let done = DoneSeason {
        season: season.map(Into::into),
        games: facts.len() as u64,
        undated_games: tables.undated_games.into(),
        tendencies: tables.tendencies.len() as u64,
    };
    if done.undated_games > 0 {
        warn!(
            season,
            undated_games = done.undated_games,
            "games without a date are taken after all others, in the order of their ids: give their dates in games.csv"
        );
    }
    info!(
        season,
        games = done.games,
        tendencies = done.tendencies,
        "season done"
    );
    Ok(done)
}

/// Makes the season's `pull` from its games' samples.
fn put_pull(
    season: Option<&str>,
    games: &[Partition],
    plan: &SeasonPlan<'_>,
    skipped: &mut Vec<Skipped>,
) -> Result<(), Failure> {
    let samples = read_all(games, skipped, |partition| read_pull_game(plan.store, partition));
    if samples.is_empty() {
        warn!(
            season,
            "no game has readable pull_samples: `pull` is left as it is; run the games again to make their samples"
        );
        return Ok(());
    }
    let rows: Vec<PullRow> = pull_subjects(samples)
        .par_iter()
        .flat_map_iter(|subject| subject.rows(&plan.params.pull))
        .collect();
    let bytes = write_rows(&rows, season, plan.run)?;
    info!(season, rows = rows.len(), "pull done");
    Ok(plan
        .store
        .put_all(&[(season_path(season, PullRow::TABLE), bytes)])?)
}

fn skip(skipped: &mut Vec<Skipped>, season: Option<&str>, game_id: Option<String>, failure: &Failure) {
    let reason = with_causes(failure);
    warn!(season, game = game_id, reason, "left out of the season");
    skipped.push(Skipped {
        source: format!("season {}", season.unwrap_or("unknown")),
        season: season.map(Into::into),
        game_id,
        verdict: Verdict::Skipped,
        reason,
    });
}
