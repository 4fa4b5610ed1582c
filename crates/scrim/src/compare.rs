//! Two outputs of the same games, read and held side by side; a game a worker.

use std::collections::BTreeSet;

use anyhow::{Result, bail};
use rayon::prelude::*;
use scrim_compare::{
    Comparison, GameSide, LeftOut, ParameterChange, RateChange, SplitBy, compare_game, rate_change,
    rates_of_both,
};
use scrim_season::{GameFacts, SeasonRates};
use scrim_tables::ledger::{Manifest, Part, Snapshot};
use scrim_tables::rows::PossessionRow;
use scrim_tables::{Partition, ReadStore, Row, StoreError, with_causes};

use crate::failure::guarded;
use crate::parameter_values::parameter_values;
use crate::run::MOST_JOBS;
use crate::run_record::documents;
use crate::season::games_of_seasons;
use crate::{Failure, Pipeline};

/// An output, and what it is called.
pub struct Output<'a> {
    /// Where it is, as the user writes it.
    pub place: String,
    /// Its tables.
    pub store: &'a dyn ReadStore,
}

/// Holds two outputs side by side, over the games that both have.
///
/// # Errors
/// When `by` is no column of tags, an output has no games or cannot be read, or the two have no game in common.
pub fn compare_outputs(a: &Output<'_>, b: &Output<'_>, by: Option<&str>, jobs: usize) -> Result<Comparison> {
    let by = by.map(SplitBy::column).transpose()?;
    let games = [games_of(a)?, games_of(b)?];
    let in_both: Vec<Partition> = games[0].intersection(&games[1]).cloned().collect();
    if in_both.is_empty() {
        bail!(
            "{} and {} have no game in common: compare outputs of the same games",
            a.place,
            b.place
        );
    }
    let only = |one: usize, other: usize| games[one].difference(&games[other]).map(named).collect();
    let made_by = [made_by(a, &in_both)?, made_by(b, &in_both)?];
    let parameters = match &made_by {
        [Some(a), Some(b)] => Some(parameter_changes(a, b)?),
        _ => None,
    };
    let [made_a, made_b] = made_by.map(Option::unwrap_or_default);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(jobs.clamp(1, MOST_JOBS.into()))
        .build()?;
    let mut comparison = Comparison {
        a: a.place.clone(),
        b: b.place.clone(),
        only_in_a: only(0, 1),
        only_in_b: only(1, 0),
        parameters,
        by: by.as_ref().map(|by| by.name().into()),
        ..Comparison::default()
    };
    let snapshots = [Snapshot::new(a.store), Snapshot::new(b.store)];
    let compared: Vec<_> = pool.install(|| {
        in_both
            .par_iter()
            .map(|partition| {
                guarded(|| {
                    let [a, b] = [0, 1].map(|side| GameSide::read(&snapshots[side], partition));
                    let (a, b) = (a?, b?);
                    let changes = compare_game(partition, &a, &b, by.as_ref())?;
                    Ok((changes, a.facts, b.facts))
                })
            })
            .collect()
    });
    let mut facts: Vec<(GameFacts, GameFacts)> = Vec::new();
    for (partition, compared) in in_both.iter().zip(compared) {
        match compared {
            Ok((changes, a, b)) => {
                comparison.games += 1;
                comparison.tables.take_in(changes);
                facts.push((a, b));
            }
            Err(failure) => comparison.left_out.push(LeftOut {
                game_id: partition.game_id().into(),
                reason: with_causes(&failure),
            }),
        }
    }
    let in_seasons = [
        in_seasons(&snapshots[0], &made_a)?,
        in_seasons(&snapshots[1], &made_b)?,
    ];
    let compared = facts.len();
    facts.retain(|(game, _)| in_seasons.iter().all(|games| games.contains(&game.partition)));
    comparison.poor_games = compared - facts.len();
    comparison.rates = pool.install(|| season_rates(facts, &made_a, &made_b));
    Ok(comparison)
}

/// The games of an output.
fn games_of(output: &Output<'_>) -> Result<BTreeSet<Partition>> {
    let games: BTreeSet<_> = Partition::find(output.store, PossessionRow::TABLE)?
        .into_iter()
        .collect();
    if games.is_empty() {
        bail!(
            "{}: no tables of a game here; give the folder that `scrim run` wrote to",
            output.place
        );
    }
    Ok(games)
}

/// The games that are good enough for their seasons.
fn in_seasons(store: &dyn ReadStore, made_by: &Pipeline) -> Result<BTreeSet<Partition>, Failure> {
    let seasons = games_of_seasons(store, made_by.gate.poor_in_seasons)?;
    Ok(seasons.into_values().flatten().collect())
}

fn named(partition: &Partition) -> String {
    format!("{} {}", season_of(partition.season()), partition.game_id())
}

fn season_of(season: Option<&str>) -> &str {
    season.unwrap_or("unknown")
}

/// The pipeline that games were made by, from the record of the last run with those parameters; `None` when the output does not say, or
/// the games were made by several.
fn made_by(output: &Output<'_>, games: &[Partition]) -> Result<Option<Pipeline>, StoreError> {
    let mut hashes = BTreeSet::new();
    for partition in games {
        let manifest = Manifest::read(output.store, &Part::Game(partition.clone()))?;
        hashes.insert(manifest.map(|(manifest, _)| manifest.made_from.parameters_hash));
    }
    let (Some(Some(hash)), None) = (hashes.pop_first(), hashes.pop_first()) else {
        return Ok(None);
    };
    let recorded = documents(output.store)?
        .into_iter()
        .rev()
        .find(|run| run.game_parameters_hash == hash);
    // One of another version of the program may have keys that this one does not know.
    Ok(recorded.and_then(|run| Pipeline::of_text(&run.parameters, run.pipeline.as_ref()).ok()))
}

fn parameter_changes(a: &Pipeline, b: &Pipeline) -> Result<Vec<ParameterChange>> {
    let text = |value: Option<toml::Value>| value.map(|value| value.to_string());
    let pairs = parameter_values(a)?.into_iter().zip(parameter_values(b)?);
    Ok(pairs
        .filter(|((parameter, a), (_, b))| parameter.key != "name" && a != b)
        .map(|((parameter, a), (_, b))| ParameterChange {
            key: parameter.key,
            a: text(a),
            b: text(b),
        })
        .collect())
}

/// Every season rate of those games, by season.
fn season_rates(facts: Vec<(GameFacts, GameFacts)>, made_a: &Pipeline, made_b: &Pipeline) -> Vec<RateChange> {
    // By season, then game: in the order of the partitions.
    let (mut all_a, mut all_b): (Vec<_>, Vec<_>) = facts.into_iter().unzip();
    let mut changes = Vec::new();
    let same_season = |one: &GameFacts, next: &GameFacts| one.partition.season() == next.partition.season();
    let lengths: Vec<usize> = all_a.chunk_by(same_season).map(<[_]>::len).collect();
    let (mut all_a, mut all_b) = (&mut all_a[..], &mut all_b[..]);
    for length in lengths {
        let (a, rest_a) = std::mem::take(&mut all_a).split_at_mut(length);
        let (b, rest_b) = std::mem::take(&mut all_b).split_at_mut(length);
        (all_a, all_b) = (rest_a, rest_b);
        let season = season_of(a[0].partition.season()).to_owned();
        let a = SeasonRates::of(a, &made_a.season, &made_a.definitions);
        let b = SeasonRates::of(b, &made_b.season, &made_b.definitions);
        let rates = rates_of_both(&a, &b);
        let of_season: Vec<RateChange> = rates
            .par_iter()
            .map(|rate| rate_change(rate, &season, &a, &b))
            .collect();
        changes.extend(of_season);
    }
    changes
}
