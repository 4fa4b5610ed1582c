//! A whole season: from its games' facts to its tables, and those into their place.

use scrim_floor::Definitions;
use scrim_tables::ledger::PartStage;
use scrim_tables::rows::{AgainstLeagueRow, CounterRow, DisguisePayRow, DisguiseRow, TendencyRow};
use scrim_tables::{TableError, TakesRows};

use crate::SeasonParams;
use crate::against_league::against_league_rows;
use crate::counters::counter_rows;
use crate::disguise_pay::disguise_pay_rows;
use crate::facts::{GameFacts, Play};
use crate::teams::Teams;
use crate::tendencies::tendency_rows;
use crate::walk::judge_disguise;

/// What a season gives.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonTables {
    /// `tendencies`
    pub tendencies: Vec<TendencyRow>,
    /// `counters`
    pub counters: Vec<CounterRow>,
    /// `disguise_pay`
    pub disguise_pay: Vec<DisguisePayRow>,
    /// `against_league`
    pub against_league: Vec<AgainstLeagueRow>,
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
    judge_disguise(games, &teams);
    let plays = games.iter().flat_map(|game| &game.plays);
    SeasonTables {
        tendencies: tendency_rows(games, &teams, params),
        counters: counter_rows(games, params, definitions),
        against_league: against_league_rows(games, &teams, definitions),
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
    /// Encodes the season's own tables into `stage`.
    ///
    /// # Errors
    /// [`TableError`]; no rows of a season cause that.
    pub fn stage(&self, stage: &mut PartStage) -> Result<(), TableError> {
        stage.add(&self.tendencies)?;
        stage.add(&self.counters)?;
        stage.add(&self.against_league)?;
        stage.add(&self.disguises)?;
        stage.add(&self.disguise_pay)
    }
}

#[cfg(test)]
mod recovery;
#[cfg(test)]
mod tests;
