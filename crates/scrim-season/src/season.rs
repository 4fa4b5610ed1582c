//! A whole season: from its games' facts to its tables, and those into their place.

use scrim_floor::Definitions;
use scrim_tables::rows::{CounterRow, DisguisePayRow, EntryRow, TendencyRow};
use scrim_tables::{Partition, Row, RunInfo, Store, TableError, read_metadata, season_path, write_rows};

use crate::counters::counter_rows;
use crate::disguise_pay::disguise_pay_rows;
use crate::facts::GameFacts;
use crate::teams::Teams;
use crate::tendencies::tendency_rows;
use crate::walk::{Disguise, walk};
use crate::{SeasonError, SeasonParams};

/// What a season gives.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonTables {
    /// `tendencies`
    pub tendencies: Vec<TendencyRow>,
    /// `counters`
    pub counters: Vec<CounterRow>,
    /// `disguise_pay`
    pub disguise_pay: Vec<DisguisePayRow>,
    /// The `entries` of the games in which a row has changed: whole games, by partition.
    pub entries: Vec<(Partition, Vec<EntryRow>)>,
    /// Games whose date is not known: they were taken after all others, in the order of their ids.
    pub undated_games: u32,
}

/// Makes a season's tables from its games. Their order changes nothing.
///
/// The columns of `entries` that need the games before are put into `games` too, and the games in which that changed
/// anything are listed in [`SeasonTables::entries`].
pub fn build_season(
    games: &mut [GameFacts],
    params: &SeasonParams,
    definitions: &Definitions,
) -> SeasonTables {
    games.sort_by(|a, b| a.partition.cmp(&b.partition));
    let teams = Teams::of(games);
    let found = walk(games, &teams, params);
    let mut entries = Vec::new();
    for (game, found) in games.iter_mut().zip(&found) {
        if take_in(game, found) {
            let rows = game.plays.iter().map(|play| play.entry.clone()).collect();
            entries.push((game.partition.clone(), rows));
        }
    }
    SeasonTables {
        tendencies: tendency_rows(games, &teams, params),
        counters: counter_rows(games, params, definitions),
        disguise_pay: disguise_pay_rows(games, &found, &teams, definitions),
        entries,
        undated_games: games.iter().filter(|game| game.date.is_none()).count() as u32,
    }
}

/// Puts what was found into the game's rows. Whether that changed any.
fn take_in(game: &mut GameFacts, found: &[Disguise]) -> bool {
    let mut is_changed = false;
    for (play, disguise) in game.plays.iter_mut().zip(found) {
        let row = &mut play.entry;
        let before = (row.surprise_bits, row.disguised, row.screener_defender_lag_s);
        row.surprise_bits = disguise.surprise_bits;
        row.disguised = disguise.disguised;
        row.screener_defender_lag_s = disguise.lag_s;
        is_changed |= before != (row.surprise_bits, row.disguised, row.screener_defender_lag_s);
    }
    is_changed
}

impl SeasonTables {
    /// The files of the season's own tables: names below the root, and bytes.
    ///
    /// # Errors
    /// [`SeasonError::Table`]; no rows of a season cause that.
    pub fn files(&self, season: Option<&str>, run: &RunInfo) -> Result<Vec<(String, Vec<u8>)>, SeasonError> {
        let refused = |source| SeasonError::Table {
            game_id: "season".into(),
            source,
        };
        fn file<R: Row>(
            season: Option<&str>,
            rows: &[R],
            run: &RunInfo,
        ) -> Result<(String, Vec<u8>), TableError> {
            Ok((season_path(season, R::TABLE), write_rows(rows, run)?))
        }
        Ok(vec![
            file(season, &self.tendencies, run).map_err(refused)?,
            file(season, &self.counters, run).map_err(refused)?,
            file(season, &self.disguise_pay, run).map_err(refused)?,
        ])
    }
}

/// Puts a game's `entries` in place of those that are there, whole. What the file says of the run that made it stays, so that
/// the bytes do not show when a game was added.
///
/// # Errors
/// [`SeasonError`] when the old file is gone or the new one cannot be stored.
pub fn rewrite_entries(
    store: &dyn Store,
    partition: &Partition,
    rows: &[EntryRow],
) -> Result<(), SeasonError> {
    let game_id = || partition.game_id.clone().unwrap_or_default();
    let path = partition.path(EntryRow::TABLE);
    let old = store.get(&path)?.ok_or_else(|| SeasonError::MissingTable {
        game_id: game_id(),
        table: EntryRow::TABLE,
    })?;
    let mut pairs = read_metadata(old).map_err(|_| SeasonError::Metadata { game_id: game_id() })?;
    let mut take = |key| {
        pairs
            .remove(key)
            .ok_or_else(|| SeasonError::Metadata { game_id: game_id() })
    };
    let run = RunInfo {
        pipeline: take("pipeline")?,
        parameters_toml: take("parameters")?,
        version: take("version")?,
    };
    let bytes = write_rows(rows, &run).map_err(|source| SeasonError::Table {
        game_id: game_id(),
        source,
    })?;
    Ok(store.put_all(&[(path, bytes)])?)
}

#[cfg(test)]
mod recovery;
#[cfg(test)]
mod tests;
