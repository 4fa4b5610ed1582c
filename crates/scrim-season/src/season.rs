//! A whole season: from its games' facts to its tables, and those into their place.

use scrim_floor::Definitions;
use scrim_tables::rows::{CounterRow, DisguisePayRow, DisguiseRow, TendencyRow};
use scrim_tables::{Row, RunInfo, TableError, season_path, write_rows};

use crate::counters::counter_rows;
use crate::disguise_pay::disguise_pay_rows;
use crate::facts::{GameFacts, Play};
use crate::teams::Teams;
use crate::tendencies::tendency_rows;
use crate::walk::judge_disguise;
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
    /// `disguises`, by game, then ball screen.
    pub disguises: Vec<DisguiseRow>,
    /// Games whose date is not known: they were taken after all others, in the order of their ids.
    pub undated_games: u32,
}

/// Makes a season's tables from its games. Their order changes nothing. What the earlier games say of each ball screen is put into
/// `games`, too.
pub fn build_season(
    games: &mut [GameFacts],
    params: &SeasonParams,
    definitions: &Definitions,
) -> SeasonTables {
    games.sort_by(|a, b| a.partition.cmp(&b.partition));
    let teams = Teams::of(games);
    judge_disguise(games, &teams, params);
    let plays = games.iter().flat_map(|game| &game.plays);
    SeasonTables {
        tendencies: tendency_rows(games, &teams, params),
        counters: counter_rows(games, params, definitions),
        disguises: plays.map(disguise_row).collect(),
        disguise_pay: disguise_pay_rows(games, &teams, definitions),
        undated_games: games.iter().filter(|game| game.date.is_none()).count() as u32,
    }
}

fn disguise_row(play: &Play) -> DisguiseRow {
    DisguiseRow {
        game_id: play.entry.game_id.clone(),
        screen_id: play.entry.screen_id,
        surprise_bits: play.disguise.surprise_bits,
        disguised: play.disguise.disguised,
        screener_defender_lag_s: play.disguise.lag_s,
    }
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
            Ok((season_path(season, R::TABLE), write_rows(rows, season, run)?))
        }
        Ok(vec![
            file(season, &self.tendencies, run).map_err(refused)?,
            file(season, &self.counters, run).map_err(refused)?,
            file(season, &self.disguises, run).map_err(refused)?,
            file(season, &self.disguise_pay, run).map_err(refused)?,
        ])
    }
}

#[cfg(test)]
mod recovery;
#[cfg(test)]
mod tests;
