//! What the season needs of one game: a few columns of its small tables, put together.

use std::collections::BTreeMap;

use scrim_floor::{Side, Zone};
use scrim_tables::chain::{NoToken, Token};
use scrim_tables::rows::{
    CoverageRow, EntryRow, GameQualityRow, GameRow, OptionRow, PossessionRow, ScreenRow, SequenceRow,
};
use scrim_tables::tags::{
    Alignment, Coverage, EndKind, HandlerAction, OnBallPath, Outcome, Phase, ScreenKind, ScreenerAction,
    Verdict,
};
use scrim_tables::{Id, Partition, ReadStore, Row, read_columns, read_rows};
use serde::Deserialize;

use crate::SeasonError;
use crate::ball_screens::{Flippable, actions};
use crate::coverage_shares::{CoverageColumns, CoverageShares};
use crate::disguise::Disguise;
use crate::look::Look;
use crate::play_in_game::mark_last;
use crate::shot::{OptionColumns, Shot};

/// One game, as far as the season needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct GameFacts {
    /// Season and game.
    pub partition: Partition,
    /// Day of the game, ISO 8601; `None` when it is not known.
    pub date: Option<Id>,
    /// Its possessions, in time order.
    pub possessions: Vec<Possession>,
    /// Its ball screens and handoffs, in time order: one a row of `entries`.
    pub plays: Vec<Play>,
    /// The runs of sets, in time order: places in `plays`.
    pub runs: Vec<Run>,
}

/// One possession.
#[derive(Debug, Clone, PartialEq)]
pub struct Possession {
    /// The period, from 1.
    pub period: u8,
    /// First instant.
    pub t_start_s: f64,
    /// Game clock at the start, remaining.
    pub game_clock_start_s: Option<f32>,
    /// Game clock at the end, remaining.
    pub game_clock_end_s: Option<f32>,
    /// Who has the ball.
    pub offense: Id,
    /// Who has not.
    pub defense: Id,
    /// Half court or transition.
    pub phase: Phase,
    /// Points scored.
    pub points: Option<u8>,
    /// How it ended.
    pub end: EndKind,
    /// Shape of the five; one that is not known is `other`.
    pub alignment: Alignment,
    /// What was done, in time order.
    pub chain: Vec<Token>,
}

/// One ball screen or handoff.
#[derive(Debug, Clone, PartialEq)]
pub struct Play {
    /// Place of its possession in [`GameFacts::possessions`].
    pub possession: usize,
    /// Ball screen or handoff.
    pub kind: ScreenKind,
    /// Who comes off it.
    pub handler: Id,
    /// Who sets it.
    pub screener: Id,
    /// Where the screener stands.
    pub zone: Zone,
    /// The screener's side of the floor.
    pub side: Side,
    /// What became of it.
    pub outcome: Outcome,
    /// Who guards the screener.
    pub screener_defender: Option<Id>,
    /// Who guards the handler.
    pub user_defender: Option<Id>,
    /// How the handler's defender went; `None` when it has no row.
    pub path: Option<OnBallPath>,
    /// When it was used.
    pub t_use_s: f64,
    /// Alignment and chain before it.
    pub look: Look,
    /// The id of the ball screen that begins its action: of what a flip turned into the side that was given up, else its own.
    pub action_id: u32,
    /// How it was covered; `unclear` when it has no row.
    pub coverage: Coverage,
    /// How likely each coverage is; `None` when the evidence was too thin to say, or the tables do not have it.
    pub coverage_shares: Option<CoverageShares>,
    /// Whether it is a ball screen, and the last one of its possession.
    pub is_last: bool,
    /// Whether it is a ball screen, and the last one of its possession that was covered so.
    pub is_last_so_covered: bool,
    /// What the offence made of it.
    pub option: Option<(ScreenerAction, HandlerAction)>,
    /// Whether a shot came of it, and with how much space, m.
    pub shot: Option<Shot>,
    /// The row of `entries`.
    pub entry: EntryRow,
    /// What the games before make of it; [`build_season`](crate::build_season) fills it.
    pub disguise: Disguise,
}

/// One run of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Place of its ball screen in [`GameFacts::plays`].
    pub play: usize,
    /// Number of the run of this set by this team in the game, from 0.
    pub run_index: u16,
}

#[derive(Deserialize)]
struct PossessionColumns {
    possession_id: u32,
    period: u8,
    t_start_s: f64,
    game_clock_start_s: Option<f32>,
    game_clock_end_s: Option<f32>,
    offense_team_id: Id,
    defense_team_id: Id,
    phase: Phase,
    points: Option<u8>,
    end_kind: EndKind,
    alignment: Option<Alignment>,
    token_chain: String,
}

#[derive(Deserialize)]
struct ScreenColumns {
    screen_id: u32,
    on_ball: bool,
    screen_kind: ScreenKind,
    screener_id: Id,
    user_id: Id,
    t_use_s: f64,
    zone: Zone,
    side: Side,
    outcome: Outcome,
    screener_defender_id: Option<Id>,
    user_defender_id: Option<Id>,
    previous_screen_id: Option<u32>,
}

#[derive(Deserialize)]
struct RunColumns {
    screen_id: u32,
    run_index: u16,
}

/// Whether the gate called a game's data poor: it is then no part of its season, nor of reports about teams, unless a switch takes it in.
///
/// # Errors
/// [`SeasonError`] when its `game_quality` cannot be read.
pub fn is_poor(store: &dyn ReadStore, partition: &Partition) -> Result<bool, SeasonError> {
    #[derive(serde::Deserialize)]
    struct Period {
        verdict: Verdict,
    }
    let Some(bytes) = store.get(&partition.path(GameQualityRow::TABLE))? else {
        return Ok(false);
    };
    let periods: Vec<Period> =
        read_columns(GameQualityRow::TABLE, &["verdict"], bytes).map_err(|source| SeasonError::Table {
            game_id: partition.game_id().into(),
            source,
        })?;
    Ok(periods.iter().any(|period| period.verdict >= Verdict::Poor))
}

/// Reads what the season needs of the game at `partition`.
///
/// # Errors
/// [`SeasonError`] when a table is not there or cannot be read, or its rows do not fit together. A game without a `games`
/// table is no error: its day is not known.
pub fn read_game(store: &dyn ReadStore, partition: &Partition) -> Result<GameFacts, SeasonError> {
    let source = Source { store, partition };
    let date = match store.get(&partition.path(GameRow::TABLE))? {
        Some(bytes) => {
            let rows: Vec<GameRow> = read_rows(bytes).map_err(|e| source.refused(e))?;
            rows.into_iter().next().and_then(|row| row.date)
        }
        None => None,
    };
    let (possessions, place_of) = source.possessions()?;
    let plays = source.plays(&place_of)?;
    let by_id: BTreeMap<u32, usize> = plays
        .iter()
        .enumerate()
        .map(|(place, play)| (play.entry.screen_id, place))
        .collect();
    let mut runs = Vec::new();
    let rows: Vec<RunColumns> = source.columns(SequenceRow::TABLE, &["screen_id", "run_index"])?;
    for (row, columns) in rows.iter().enumerate() {
        let play = by_id.get(&columns.screen_id);
        let play =
            play.ok_or_else(|| source.dangling(SequenceRow::TABLE, row, "screen", columns.screen_id))?;
        runs.push(Run {
            play: *play,
            run_index: columns.run_index,
        });
    }
    Ok(GameFacts {
        partition: partition.clone(),
        date,
        possessions,
        plays,
        runs,
    })
}

/// One game's partitions.
struct Source<'a> {
    store: &'a dyn ReadStore,
    partition: &'a Partition,
}

impl Source<'_> {
    fn game_id(&self) -> String {
        self.partition.game_id().to_owned()
    }

    fn refused(&self, source: scrim_tables::TableError) -> SeasonError {
        SeasonError::Table {
            game_id: self.game_id(),
            source,
        }
    }

    fn bytes(&self, table: &'static str) -> Result<Vec<u8>, SeasonError> {
        let bytes = self.store.get(&self.partition.path(table))?;
        bytes.ok_or_else(|| SeasonError::MissingTable {
            game_id: self.game_id(),
            table,
        })
    }

    fn columns<T: serde::de::DeserializeOwned>(
        &self,
        table: &'static str,
        columns: &[&str],
    ) -> Result<Vec<T>, SeasonError> {
        read_columns(table, columns, self.bytes(table)?).map_err(|e| self.refused(e))
    }

    fn dangling(&self, table: &'static str, row: usize, what: &'static str, id: u32) -> SeasonError {
        SeasonError::Dangling {
            game_id: self.game_id(),
            table,
            row,
            what,
            id,
        }
    }

    fn no_token(&self, table: &'static str, row: usize, no: NoToken) -> SeasonError {
        SeasonError::Token {
            game_id: self.game_id(),
            table,
            row,
            found: no.found,
            source: no.word.map(Box::new),
        }
    }

    /// The possessions, and the place of each by its id.
    fn possessions(&self) -> Result<(Vec<Possession>, BTreeMap<u32, usize>), SeasonError> {
        let rows: Vec<PossessionColumns> = self.columns(
            PossessionRow::TABLE,
            &[
                "possession_id",
                "period",
                "t_start_s",
                "game_clock_start_s",
                "game_clock_end_s",
                "offense_team_id",
                "defense_team_id",
                "phase",
                "points",
                "end_kind",
                "alignment",
                "token_chain",
            ],
        )?;
        let mut place_of = BTreeMap::new();
        let mut possessions = Vec::with_capacity(rows.len());
        for (row, columns) in rows.into_iter().enumerate() {
            let chain = Token::parse_chain(&columns.token_chain)
                .map_err(|no| self.no_token(PossessionRow::TABLE, row, no))?;
            place_of.insert(columns.possession_id, row);
            possessions.push(Possession {
                period: columns.period,
                t_start_s: columns.t_start_s,
                game_clock_start_s: columns.game_clock_start_s,
                game_clock_end_s: columns.game_clock_end_s,
                offense: columns.offense_team_id,
                defense: columns.defense_team_id,
                phase: columns.phase,
                points: columns.points,
                end: columns.end_kind,
                alignment: columns.alignment.unwrap_or(Alignment::Other),
                chain,
            });
        }
        Ok((possessions, place_of))
    }

    fn plays(&self, place_of: &BTreeMap<u32, usize>) -> Result<Vec<Play>, SeasonError> {
        let screens: Vec<ScreenColumns> = self.columns(
            ScreenRow::TABLE,
            &[
                "screen_id",
                "on_ball",
                "screen_kind",
                "screener_id",
                "user_id",
                "t_use_s",
                "zone",
                "side",
                "outcome",
                "screener_defender_id",
                "user_defender_id",
                "previous_screen_id",
            ],
        )?;
        let screens: BTreeMap<u32, ScreenColumns> = screens
            .into_iter()
            .filter(|screen| screen.on_ball)
            .map(|screen| (screen.screen_id, screen))
            .collect();
        let coverages: Vec<CoverageColumns> = self.columns(CoverageRow::TABLE, &CoverageColumns::NAMES)?;
        let coverages: BTreeMap<u32, CoverageColumns> =
            coverages.into_iter().map(|row| (row.screen_id, row)).collect();
        let options: Vec<OptionColumns> = self.columns(OptionRow::TABLE, &OptionColumns::NAMES)?;
        let options: BTreeMap<u32, OptionColumns> =
            options.into_iter().map(|row| (row.screen_id, row)).collect();
        let entries: Vec<EntryRow> = read_rows(self.bytes(EntryRow::TABLE)?).map_err(|e| self.refused(e))?;
        let mut plays = Vec::with_capacity(entries.len());
        let action_of = actions(screens.values().map(|screen| Flippable {
            id: screen.screen_id,
            previous: screen.previous_screen_id,
            outcome: screen.outcome,
            pair: (&screen.user_id, &screen.screener_id),
        }));
        for (row, entry) in entries.into_iter().enumerate() {
            let dangling = |what, id| self.dangling(EntryRow::TABLE, row, what, id);
            let screen = screens
                .get(&entry.screen_id)
                .ok_or_else(|| dangling("ball screen", entry.screen_id))?;
            let possession = *place_of
                .get(&entry.possession_id)
                .ok_or_else(|| dangling("possession", entry.possession_id))?;
            let option = options.get(&entry.screen_id);
            let coverage = coverages.get(&entry.screen_id);
            plays.push(Play {
                possession,
                kind: screen.screen_kind,
                handler: screen.user_id.clone(),
                screener: screen.screener_id.clone(),
                zone: screen.zone,
                side: screen.side,
                outcome: screen.outcome,
                screener_defender: screen.screener_defender_id.clone(),
                user_defender: screen.user_defender_id.clone(),
                path: coverage.map(|row| row.on_ball_path),
                t_use_s: screen.t_use_s,
                action_id: action_of
                    .get(&entry.screen_id)
                    .copied()
                    .unwrap_or(entry.screen_id),
                look: Look::parse(&entry.look).map_err(|no| self.no_token(EntryRow::TABLE, row, no))?,
                coverage: coverage.map_or(Coverage::Unclear, |row| row.coverage),
                coverage_shares: coverage.and_then(|row| row.shares()),
                option: option.map(|option| (option.screener_action, option.handler_action)),
                shot: option.and_then(|option| option.shot(&screen.screener_id)),
                entry,
                is_last: false,
                is_last_so_covered: false,
                disguise: Disguise::default(),
            });
        }
        mark_last(&mut plays);
        Ok(plays)
    }
}
