//! The season's stage over a store: every game's small tables in, the season's tables out. No tracking is read.

use scrim_floor::Definitions;
use std::collections::BTreeMap;
use std::time::Instant;

use rayon::prelude::*;
use scrim_season::{
    GameFacts, PullSubjects, SeasonError, SeasonParams, build_season, is_poor, pull_subjects, read_game,
    read_pull_game,
};
use scrim_tables::ledger::{MadeFrom, Manifest, Part, PartStage, Snapshot, remove_part};
use scrim_tables::rows::{PossessionRow, PullRow};
use scrim_tables::tags::Verdict;
use scrim_tables::{Partition, ReadStore, Row, RunInfo, Scope, Store, TakesRows, with_causes};
use tracing::{info, warn};

use crate::failure::guarded;
use crate::run::MOST_JOBS;
use crate::source_record::Redo;
use crate::summary::{DoneSeason, SeasonsSummary, Skipped};
use crate::{Failure, Pipeline};

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
    /// Whether seasons are put together again of which no game has changed.
    pub redo: Redo,
    /// How many games are read and written at once, at least 1.
    pub jobs: usize,
}

impl<'a> SeasonPlan<'a> {
    /// What a pipeline says of seasons. `run`: what it says of itself in footers.
    pub fn of(
        pipeline: &'a Pipeline,
        run: &'a RunInfo,
        store: &'a dyn Store,
        redo: Redo,
        jobs: usize,
    ) -> Self {
        Self {
            store,
            params: &pipeline.season,
            poor_too: pipeline.gate.poor_in_seasons,
            definitions: &pipeline.definitions,
            run,
            redo,
            jobs,
        }
    }
}

/// Puts together each season that is in the store, and of which a game or a parameter has changed. A game whose tables cannot be read is reported and left out, the others go on; so
/// is a season.
///
/// # Errors
/// [`rayon::ThreadPoolBuildError`] when the system gives no threads.
pub fn do_seasons(plan: &SeasonPlan<'_>) -> Result<SeasonsSummary, rayon::ThreadPoolBuildError> {
    let start = Instant::now();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(plan.jobs.clamp(1, MOST_JOBS.into()))
        .build()?;
    let mut summary = SeasonsSummary::default();
    pool.install(|| match games_of_seasons(plan.store, plan.poor_too) {
        Ok(seasons) => {
            for (season, games) in &seasons {
                match guarded(|| one_season(season.as_deref(), games, plan, &mut summary.skipped)) {
                    Ok(Some(done)) => summary.done.push(done),
                    Ok(None) => summary.unchanged += 1,
                    Err(failure) => skip(&mut summary.skipped, season.as_deref(), None, &failure),
                }
            }
            if let Err(failure) = remove_empty_seasons(plan.store, &seasons) {
                skip(&mut summary.skipped, None, None, &failure);
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
    store: &dyn ReadStore,
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

/// Reads games, on the threads of the pool that this is called in. Those that cannot be are listed in `skipped`.
pub fn read_games(store: &dyn ReadStore, games: &[Partition], skipped: &mut Vec<Skipped>) -> Vec<GameFacts> {
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

/// Removes the tables of seasons of which no game is left: all were pruned, turned poor or changed their season.
fn remove_empty_seasons(
    store: &dyn Store,
    seasons: &BTreeMap<Option<String>, Vec<Partition>>,
) -> Result<(), Failure> {
    for part in Part::find(store, Scope::Season)? {
        if seasons.contains_key(&part.season().map(Into::into)) {
            continue;
        }
        info!(
            season = part.season(),
            stage = "season",
            "no game of the season is left: its tables are removed"
        );
        remove_part(store, &part)?;
    }
    Ok(())
}

/// What each game of a season was made by and is: its id and its manifest's hash, which changes when anything of it does but what was
/// marked of its video. A game that has no manifest (another program's) is never known to be the same.
fn manifests_of(store: &dyn Store, games: &[Partition]) -> Result<Option<BTreeMap<String, String>>, Failure> {
    let mut digests = BTreeMap::new();
    let mut by_parameters: BTreeMap<String, usize> = BTreeMap::new();
    for partition in games {
        let Some((manifest, _)) = Manifest::read(store, &Part::Game(partition.clone()))? else {
            continue;
        };
        *by_parameters
            .entry(manifest.made_from.parameters_hash.clone())
            .or_default() += 1;
        digests.insert(partition.game_id().to_owned(), manifest.unmarked_digest());
    }
    if by_parameters.len() > 1 {
        let each = by_parameters
            .iter()
            .map(|(hash, games)| format!("{games} with {}", hash.chars().take(8).collect::<String>()));
        return Err(Failure::MixedParameters {
            games: each.collect::<Vec<_>>().join(", "),
        });
    }
    Ok((digests.len() == games.len()).then_some(digests))
}

/// Whether a season's tables are what this run would make of those games.
fn is_up_to_date(plan: &SeasonPlan<'_>, part: &Part, now: &MadeFrom) -> Result<bool, Failure> {
    let by_content = match plan.redo {
        Redo::All => return Ok(false),
        Redo::Changed { by_content } => by_content,
    };
    let Some((manifest, _)) = Manifest::read(plan.store, part)? else {
        return Ok(false);
    };
    Ok(manifest.made_from == *now && manifest.first_broken(plan.store, part, by_content)?.is_none())
}

/// Puts a season together; `None` when it is what it would be.
fn one_season(
    season: Option<&str>,
    games: &[Partition],
    plan: &SeasonPlan<'_>,
    skipped: &mut Vec<Skipped>,
) -> Result<Option<DoneSeason>, Failure> {
    let part = Part::Season(season.map(Into::into));
    let digests = manifests_of(plan.store, games)?;
    if let Some(digests) = &digests {
        let now = MadeFrom::new(plan.run, Scope::Season, digests.clone());
        if is_up_to_date(plan, &part, &now)? {
            return Ok(None);
        }
    }
    let store = Snapshot::new(plan.store);
    let before = skipped.len();
    let mut facts = read_games(&store, games, skipped);
    let tables = build_season(&mut facts, plan.params, plan.definitions);
    let mut stage = PartStage::new(plan.run, part);
    tables.stage(&mut stage)?;
    match plan.params.pull.subjects {
        PullSubjects::None => {}
        PullSubjects::All => {
            // What cannot be read for the other tables is left out of this one, too.
            let read: Vec<Partition> = facts.iter().map(|game| game.partition.clone()).collect();
            if let Some(rows) = pull_rows(season, &read, plan, &store, skipped) {
                stage.add(&rows)?;
            }
        }
    }
    // One that lacks a game is not finished: it is put together again by the next run.
    let inputs = digests.filter(|_| skipped.len() == before).unwrap_or_default();
    stage.publish(plan.store, inputs)?;
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
            stage = "season",
            "games without a date are taken after all others, in the order of their ids: give their dates in games.csv"
        );
    }
    info!(
        season,
        games = done.games,
        tendencies = done.tendencies,
        stage = "season",
        "season done"
    );
    Ok(Some(done))
}

/// The season's `pull`, from its games' samples; `None` when there are none.
fn pull_rows(
    season: Option<&str>,
    games: &[Partition],
    plan: &SeasonPlan<'_>,
    store: &dyn ReadStore,
    skipped: &mut Vec<Skipped>,
) -> Option<Vec<PullRow>> {
    let samples = read_all(games, skipped, |partition| read_pull_game(store, partition));
    if samples.is_empty() {
        warn!(
            season,
            stage = "season",
            "no game has readable pull_samples, so there is no `pull`: run the games again to make their samples"
        );
        return None;
    }
    let subjects = pull_subjects(samples);
    let rows = subjects
        .par_iter()
        .flat_map_iter(|subject| subject.rows(&plan.params.pull));
    Some(rows.collect())
}

fn skip(skipped: &mut Vec<Skipped>, season: Option<&str>, game_id: Option<String>, failure: &Failure) {
    let reason = with_causes(failure);
    warn!(
        season,
        game = game_id,
        stage = "season",
        reason,
        "left out of the season"
    );
    skipped.push(Skipped {
        source: format!("season {}", season.unwrap_or("unknown")),
        season: season.map(Into::into),
        game_id,
        verdict: Verdict::Skipped,
        reason,
    });
}
