//! The side tables: games, players, events.

use std::path::Path;

use scrim_tables::Id;

use crate::IngestError;
use crate::names::{NO_NAME, NameIx, Names};

/// A small table, all of it as text.
#[derive(Debug, Default)]
pub(crate) struct TextTable {
    pub columns: Vec<String>,
    /// Line number (the header is line 1) and cells.
    pub rows: Vec<(u64, Vec<String>)>,
}

impl TextTable {
    /// Reads a table from a CSV file with a header.
    pub(crate) fn read(path: &Path) -> Result<Self, IngestError> {
        let csv = |source| IngestError::Csv {
            path: path.into(),
            source,
        };
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .from_path(path)
            .map_err(csv)?;
        let columns = reader
            .headers()
            .map_err(csv)?
            .iter()
            .map(|c| c.trim().into())
            .collect();
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(csv)?;
            let line = record.position().map_or(0, |p| p.line());
            rows.push((line, record.iter().map(|cell| cell.trim().into()).collect()));
        }
        Ok(Self { columns, rows })
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == name)
    }
}

fn cell<'r>(row: &'r [String], column: Option<usize>) -> Option<&'r str> {
    column
        .and_then(|c| row.get(c))
        .map(String::as_str)
        .filter(|text| !text.is_empty())
}

/// A row of `games`.
#[derive(Debug, Clone)]
pub(crate) struct GameTold {
    pub game: NameIx,
    pub date: Option<Id>,
    pub season: Option<Id>,
    pub home_away: Option<[NameIx; 2]>,
    pub court: Option<String>,
}

/// A row of `players`.
#[derive(Debug, Clone)]
pub(crate) struct PlayerTold {
    pub player: NameIx,
    pub team: NameIx,
    pub jersey: Option<Id>,
    pub name: Option<Id>,
    pub role: Option<Id>,
}

/// A row of `events`.
#[derive(Debug, Clone)]
pub(crate) struct EventTold {
    pub game: NameIx,
    pub period: u8,
    pub time: Option<f64>,
    pub game_clock_s: Option<f32>,
    pub word: Id,
    pub team: NameIx,
    pub player: NameIx,
    pub points: Option<u8>,
}

/// The side tables of a source.
#[derive(Debug, Default)]
pub(crate) struct SideTables {
    pub games: Vec<GameTold>,
    pub players: Vec<PlayerTold>,
    pub events: Option<Vec<EventTold>>,
}

impl SideTables {
    /// Reads those of the three that there are.
    pub(crate) fn read(
        [games, players, events]: [Option<&Path>; 3],
        names: &mut Names,
    ) -> Result<Self, IngestError> {
        Ok(Self {
            games: games.map_or(Ok(Vec::new()), |p| read_games(&TextTable::read(p)?, names))?,
            players: players.map_or(Ok(Vec::new()), |p| read_players(&TextTable::read(p)?, names))?,
            events: events
                .map(|p| read_events(&TextTable::read(p)?, names))
                .transpose()?,
        })
    }
}

fn read_games(table: &TextTable, names: &mut Names) -> Result<Vec<GameTold>, IngestError> {
    let [game, date, season, home, away, court] = [
        "game_id",
        "date",
        "season",
        "home_team_id",
        "away_team_id",
        "court",
    ]
    .map(|c| table.column(c));
    let mut games = Vec::new();
    for (_, row) in &table.rows {
        let home_away = cell(row, home)
            .zip(cell(row, away))
            .map(|(h, a)| [names.number(h), names.number(a)]);
        games.push(GameTold {
            game: cell(row, game).map_or(NO_NAME, |t| names.number(t)),
            date: cell(row, date).map(Into::into),
            season: cell(row, season).map(Into::into),
            home_away,
            court: cell(row, court).map(Into::into),
        });
    }
    Ok(games)
}

fn read_players(table: &TextTable, names: &mut Names) -> Result<Vec<PlayerTold>, IngestError> {
    let [player, team, jersey, name, role] =
        ["player_id", "team_id", "jersey", "name", "role"].map(|c| table.column(c));
    let mut players = Vec::new();
    for (_, row) in &table.rows {
        players.push(PlayerTold {
            player: cell(row, player).map_or(NO_NAME, |t| names.number(t)),
            team: cell(row, team).map_or(NO_NAME, |t| names.number(t)),
            jersey: cell(row, jersey).map(Into::into),
            name: cell(row, name).map(Into::into),
            role: cell(row, role).map(Into::into),
        });
    }
    Ok(players)
}

fn read_events(table: &TextTable, names: &mut Names) -> Result<Vec<EventTold>, IngestError> {
    let [game, period, time, clock, word, team, player, points] = [
        "game_id",
        "period",
        "t_s",
        "game_clock_s",
        "event",
        "team_id",
        "player_id",
        "points",
    ]
    .map(|c| table.column(c));
    let mut events = Vec::new();
    for (_, row) in &table.rows {
        let Some(period) = cell(row, period).and_then(|t| t.parse().ok()) else {
            continue;
        };
        events.push(EventTold {
            game: cell(row, game).map_or(NO_NAME, |t| names.number(t)),
            period,
            time: cell(row, time).and_then(|t| t.parse().ok()),
            game_clock_s: cell(row, clock).and_then(|t| t.parse().ok()),
            word: cell(row, word).unwrap_or_default().into(),
            team: cell(row, team).map_or(NO_NAME, |t| names.number(t)),
            player: cell(row, player).map_or(NO_NAME, |t| names.number(t)),
            points: cell(row, points).and_then(|t| t.parse().ok()),
        });
    }
    Ok(events)
}
