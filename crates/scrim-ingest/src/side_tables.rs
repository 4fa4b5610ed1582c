//! The side tables: games, players, events. Small, so they are read whole, as text.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::Path;

use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;
use scrim_tracks::EventKind;

use crate::clock_text::parse_day;
use crate::input::Input;
use crate::mapping::{Format, Mapping};
use crate::names::{NO_NAME, NameIx, Names};
use crate::nearest::nearest_name;
use crate::source::EventsFile;
use crate::template::{Piece, filled, pieces_of};
use crate::{IngestError, Source, columnar, delimited};

/// A row of text: its number in the file, and its cells.
pub(crate) type TextRow = (u64, Vec<String>);

/// So much memory is set aside for a side table, bytes: the events of two seasons in one file take a fifth of it.
const MAX_TABLE_BYTES: u64 = 1 << 30;
/// What a cell takes beside its text, and what a row does, bytes, about.
const A_CELL_BYTES: usize = 32;

/// All rows of a table as text, while they fit into [`MAX_TABLE_BYTES`].
pub(crate) struct TextRows<'p> {
    path: &'p Path,
    rows: Vec<TextRow>,
    bytes: u64,
}

impl<'p> TextRows<'p> {
    pub(crate) fn new(path: &'p Path) -> Self {
        Self {
            path,
            rows: Vec::new(),
            bytes: 0,
        }
    }

    pub(crate) fn push(&mut self, number: u64, cells: Vec<String>) -> Result<(), IngestError> {
        let bytes: usize = cells.iter().map(|cell| cell.len() + A_CELL_BYTES).sum();
        self.bytes += (bytes + 2 * A_CELL_BYTES) as u64;
        if self.bytes > MAX_TABLE_BYTES {
            return Err(IngestError::OverBudget {
                path: self.path.into(),
                what: "a side table",
                most: MAX_TABLE_BYTES,
            });
        }
        self.rows.push((number, cells));
        Ok(())
    }

    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    pub(crate) fn into_rows(self) -> Vec<TextRow> {
        self.rows
    }
}

/// A small table, all of it as text.
struct TextTable {
    path: Id,
    columns: Vec<String>,
    rows: Vec<TextRow>,
}

impl TextTable {
    fn read(path: &Path, needed: &[&'static str], mapping: &Mapping) -> Result<Self, IngestError> {
        let input = Input::open(path, None)?;
        let (mut columns, mut rows) = match input.format {
            Format::Delimited => delimited::read_all_text(input)?,
            Format::Parquet | Format::ArrowFile | Format::ArrowStream => {
                columnar::read_all_text(path, input.format)?
            }
            Format::Json | Format::JsonLines => {
                return Err(IngestError::UnknownFormat {
                    path: path.into(),
                    found: "a side table as JSON".into(),
                });
            }
        };
        compose_players(&mut columns, &mut rows, mapping);
        for column in needed {
            if columns.iter().all(|c| c != column) {
                let fix = match nearest_name(column, &columns) {
                    Some(near) => format!("rename the column that it is; `{near}` looks nearest"),
                    None => "add it, or take the side table away".into(),
                };
                return Err(IngestError::MissingColumn {
                    path: path.into(),
                    field: "this side table",
                    column: (*column).into(),
                    found: columns,
                    fix,
                });
            }
        }
        Ok(Self {
            path: path.display().to_string().into(),
            columns,
            rows,
        })
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == name)
    }

    fn refusal(&self, row: &TextRow, reason: RefusalReason, detail: String) -> QuarantineRow {
        let (number, cells) = row;
        QuarantineRow {
            game_id: None,
            source: self.path.clone(),
            row: *number,
            reason,
            detail,
            raw: cells.join(","),
        }
    }
}

/// Where a mapping composes the players' ids of columns that a side table has, and the table has no `player_id`, it gets
/// that column. Its `team_id` counts as the column that the mapping has for the team.
fn compose_players(columns: &mut Vec<String>, rows: &mut [TextRow], mapping: &Mapping) {
    let Some(pieces) = mapping.player.column.as_deref().and_then(pieces_of) else {
        return;
    };
    if columns.iter().any(|column| column == "player_id") {
        return;
    }
    let team = mapping.team.column.as_deref().unwrap_or("team_id");
    let place = |wanted: &str| {
        let of = |name: &str| columns.iter().position(|column| column == name);
        of(wanted).or_else(|| if wanted == team { of("team_id") } else { None })
    };
    let has_all = pieces.iter().all(|piece| match piece {
        Piece::Text(_) => true,
        Piece::Column(column) => place(column).is_some(),
    });
    if !has_all {
        return;
    }
    for (_, cells) in rows {
        let id = filled(&pieces, |column: &String| cell(cells, place(column)));
        cells.resize(columns.len(), String::new());
        cells.push(id.unwrap_or_default());
    }
    columns.push("player_id".into());
}

fn cell(row: &[String], column: Option<usize>) -> Option<&str> {
    column
        .and_then(|c| row.get(c))
        .map(|text| text.trim())
        .filter(|text| !text.is_empty())
}

/// Seconds, one number a period with `;` between; an empty place is "not known".
///
/// # Errors
/// The piece that is no finite number.
fn video_offsets(cell: Option<&str>) -> Result<Vec<Option<f64>>, &str> {
    let Some(cell) = cell else {
        return Ok(Vec::new());
    };
    cell.split(';')
        .map(str::trim)
        .map(|piece| match piece.parse::<f64>() {
            _ if piece.is_empty() => Ok(None),
            Ok(seconds) if seconds.is_finite() => Ok(Some(seconds)),
            Ok(_) | Err(_) => Err(piece),
        })
        .collect()
}

/// A row of `games`.
#[derive(Debug, Clone)]
pub(crate) struct GameTold {
    pub date: Option<Id>,
    pub season: Option<Id>,
    pub home_away: Option<[NameIx; 2]>,
    pub court: Option<String>,
    pub video_offset_s: Vec<Option<f64>>,
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
    /// The file.
    pub path: Id,
    /// The row's number in the file.
    pub row: u64,
    /// The row as it was.
    pub raw: String,
    pub period: u8,
    pub time: Option<f64>,
    pub game_clock_s: Option<f32>,
    pub kind: EventKind,
    pub team: NameIx,
    pub player: NameIx,
    pub points: Option<u8>,
}

/// The side tables of a source.
#[derive(Debug, Default)]
pub(crate) struct SideTables {
    games: HashMap<NameIx, GameTold>,
    players: Vec<PlayerTold>,
    /// The first row of each player in each team, and the rows of each team.
    player_at: HashMap<(NameIx, NameIx), usize>,
    team_at: HashMap<NameIx, Vec<usize>>,
    known: HashSet<NameIx>,
    events: Option<Vec<EventTold>>,
    /// The rows of each game; of [`NO_NAME`] those that tell none, which are of every game of the source.
    events_at: HashMap<NameIx, Vec<usize>>,
    /// The games that have a file of events of their own, when all files are of one game each.
    event_files: Option<HashSet<NameIx>>,
    /// Refused rows, with the game of each where it could be read.
    pub refused: Vec<(NameIx, QuarantineRow)>,
}

impl SideTables {
    /// Reads those of the three that the source has.
    pub(crate) fn read(source: &Source, mapping: &Mapping, names: &mut Names) -> Result<Self, IngestError> {
        let mut side = Self::default();
        if let Some(path) = &source.games {
            side.read_games(&TextTable::read(path, &["game_id"], mapping)?, names);
        }
        if let Some(path) = &source.players {
            side.read_players(&TextTable::read(path, &["player_id", "team_id"], mapping)?, names);
        }
        side.event_files = source
            .events
            .iter()
            .map(|events| events.game.as_deref().map(|game| names.number(game)))
            .collect();
        for EventsFile { path, game } in &source.events {
            let game = game.as_deref().map_or(NO_NAME, |game| names.number(game));
            side.read_events(
                &TextTable::read(path, &["period", "event"], mapping)?,
                game,
                names,
            );
        }
        Ok(side)
    }

    /// What the `games` table has of a game.
    pub(crate) fn game(&self, game: NameIx) -> Option<&GameTold> {
        self.games.get(&game)
    }

    /// What the `players` table has of a player in a team.
    pub(crate) fn player(&self, team: NameIx, player: NameIx) -> Option<&PlayerTold> {
        self.player_at.get(&(team, player)).map(|at| &self.players[*at])
    }

    /// Whether the `players` table has a player in any team.
    pub(crate) fn has_player(&self, player: NameIx) -> bool {
        self.known.contains(&player)
    }

    /// The rows of the `players` table of two teams, in its order.
    pub(crate) fn roster_of(&self, teams: [NameIx; 2]) -> impl Iterator<Item = &PlayerTold> {
        let of = |team: NameIx| self.team_at.get(&team).into_iter().flatten().copied();
        let mut rows: Vec<usize> = of(teams[0]).chain(of(teams[1])).collect();
        rows.sort_unstable();
        rows.into_iter().map(|at| &self.players[at])
    }

    /// Whether there is a table of events that should have this game and has no row of it.
    pub(crate) fn lacks_events_of(&self, game: NameIx) -> bool {
        let files = self.event_files.as_ref();
        self.events.is_some()
            && files.is_none_or(|files| files.contains(&game))
            && self.events_of(game).is_none()
    }

    /// The events of a game, in the order of the tables; `None` when there is no table of them, or no row.
    pub(crate) fn events_of(&self, game: NameIx) -> Option<Vec<&EventTold>> {
        let events = self.events.as_ref()?;
        let is_of_others = self
            .event_files
            .as_ref()
            .is_some_and(|files| !files.contains(&game));
        if is_of_others {
            return None;
        }
        let of = |game: NameIx| self.events_at.get(&game).into_iter().flatten().copied();
        let mut rows: Vec<usize> = of(game).chain(of(NO_NAME)).collect();
        rows.sort_unstable();
        (!rows.is_empty()).then(|| rows.into_iter().map(|at| &events[at]).collect())
    }

    fn read_games(&mut self, table: &TextTable, names: &mut Names) {
        let [game, date, season, home, away, court, video] = [
            "game_id",
            "date",
            "season",
            "home_team_id",
            "away_team_id",
            "court",
            "video_offset_s",
        ]
        .map(|c| table.column(c));
        for row in &table.rows {
            let cells = &row.1;
            let mut number = |column| cell(cells, column).map_or(NO_NAME, |text| names.number(text));
            let game_ix = number(game);
            let home_away = [number(home), number(away)];
            if game_ix == NO_NAME || self.games.contains_key(&game_ix) {
                let (reason, detail) = if game_ix == NO_NAME {
                    (
                        RefusalReason::MissingField,
                        "column `game_id` is empty; expected the game's id",
                    )
                } else {
                    (
                        RefusalReason::Duplicate,
                        "the game has a row already; expected one a game: the first counts",
                    )
                };
                self.refused
                    .push((game_ix, table.refusal(row, reason, detail.into())));
                continue;
            }
            let video_offset_s = match video_offsets(cell(cells, video)) {
                Ok(offsets) => offsets,
                Err(found) => {
                    let detail = format!(
                        "column `video_offset_s` has `{found}`; expected seconds, one number a period with `;` between, \
                         an empty place where it is not known (for example `12.4;1804;;5300.5`)"
                    );
                    self.refused
                        .push((game_ix, table.refusal(row, RefusalReason::Unreadable, detail)));
                    Vec::new()
                }
            };
            let date = match cell(cells, date).map(|found| (found, parse_day(found))) {
                None => None,
                Some((_, Some(day))) => Some(day.into()),
                Some((found, None)) => {
                    let detail = format!(
                        "column `date` has `{found}`; expected a day such as 2041-03-02 (ISO 8601, also with a time after it): \
                         the game counts as one without a date"
                    );
                    self.refused
                        .push((game_ix, table.refusal(row, RefusalReason::Unreadable, detail)));
                    None
                }
            };
            let is_pair = home_away[0] != home_away[1] && !home_away.contains(&NO_NAME);
            let game = GameTold {
                date,
                season: cell(cells, season).map(Into::into),
                home_away: is_pair.then_some(home_away),
                court: cell(cells, court).map(Into::into),
                video_offset_s,
            };
            self.games.insert(game_ix, game);
        }
    }

    fn read_players(&mut self, table: &TextTable, names: &mut Names) {
        let [player, team, jersey, name, role] =
            ["player_id", "team_id", "jersey", "name", "role"].map(|c| table.column(c));
        for row in &table.rows {
            let cells = &row.1;
            let mut number = |column| cell(cells, column).map_or(NO_NAME, |text| names.number(text));
            let (player, team) = (number(player), number(team));
            if player == NO_NAME || team == NO_NAME {
                let column = if player == NO_NAME { "player_id" } else { "team_id" };
                let detail = format!("column `{column}` is empty; expected an id");
                self.refused
                    .push((NO_NAME, table.refusal(row, RefusalReason::MissingField, detail)));
                continue;
            }
            let at = self.players.len();
            self.player_at.entry((team, player)).or_insert(at);
            self.known.insert(player);
            self.team_at.entry(team).or_default().push(at);
            self.players.push(PlayerTold {
                player,
                team,
                jersey: cell(cells, jersey).map(Into::into),
                name: cell(cells, name).map(Into::into),
                role: cell(cells, role).map(Into::into),
            });
        }
    }

    /// Reads events; `of_file` is the game of those that tell none.
    fn read_events(&mut self, table: &TextTable, of_file: NameIx, names: &mut Names) {
        let column = |name: &str| table.column(name);
        let game = column("game_id");
        let mut events = self.events.take().unwrap_or_default();
        for row in &table.rows {
            let cells = &row.1;
            let of_game = cell(cells, game).map_or(of_file, |text| names.number(text));
            match read_event(table, row, of_game, names) {
                Ok(event) => {
                    self.events_at.entry(of_game).or_default().push(events.len());
                    events.push(event);
                }
                Err((reason, detail)) => {
                    self.refused.push((of_game, table.refusal(row, reason, detail)));
                }
            }
        }
        self.events = Some(events);
    }

    /// The team of each player by number; [`NO_NAME`] when the table has none or more than one.
    pub(crate) fn roster_teams(&self) -> Vec<NameIx> {
        let mut teams: BTreeMap<NameIx, NameIx> = BTreeMap::new();
        for listed in &self.players {
            teams
                .entry(listed.player)
                .and_modify(|t| {
                    if *t != listed.team {
                        *t = NO_NAME
                    }
                })
                .or_insert(listed.team);
        }
        let most = teams.keys().last().map_or(0, |last| *last as usize + 1);
        let mut roster = vec![NO_NAME; most];
        for (player, team) in teams {
            roster[player as usize] = team;
        }
        roster
    }
}

fn read_event(
    table: &TextTable,
    (number, cells): &TextRow,
    game: NameIx,
    names: &mut Names,
) -> Result<EventTold, (RefusalReason, String)> {
    let text = |name: &str| cell(cells, table.column(name));
    let unreadable = |name: &str, found: &str, expected: &str| {
        (
            RefusalReason::Unreadable,
            format!("column `{name}`: found `{found}`, expected {expected}"),
        )
    };
    let missing = |what: &str| (RefusalReason::MissingField, what.to_owned());
    if game == NO_NAME && table.column("game_id").is_some() {
        return Err(missing("column `game_id` is empty; expected the game's id"));
    }
    let number_of = |name: &'static str| -> Result<Option<f64>, (RefusalReason, String)> {
        let Some(found) = text(name) else { return Ok(None) };
        let value = found.parse::<f64>().ok().filter(|v| v.is_finite());
        value.map(Some).ok_or_else(|| unreadable(name, found, "seconds"))
    };
    let whole =
        |name: &'static str, least: f64, expected: &str| -> Result<Option<u8>, (RefusalReason, String)> {
            let Some(found) = text(name) else { return Ok(None) };
            let value = found
                .parse::<f64>()
                .ok()
                .filter(|v| v.fract() == 0.0 && (least..=255.0).contains(v));
            value
                .map(|v| Some(v as u8))
                .ok_or_else(|| unreadable(name, found, expected))
        };
    let period = whole("period", 1.0, "a whole number from 1")?
        .ok_or_else(|| missing("column `period` is empty; expected a whole number from 1"))?;
    let (time, game_clock_s) = (number_of("t_s")?, number_of("game_clock_s")?);
    if time.is_none() && game_clock_s.is_none() {
        return Err(missing(
            "columns `t_s` and `game_clock_s` are empty; expected at least one of them",
        ));
    }
    let word = text("event").ok_or_else(|| missing("column `event` is empty; expected an event word"))?;
    let points = whole("points", 0.0, "a whole number of points")?;
    let mut id = |name: &str| text(name).map_or(NO_NAME, |text| names.number(text));
    Ok(EventTold {
        path: table.path.clone(),
        row: *number,
        raw: cells.join(","),
        period,
        time,
        game_clock_s: game_clock_s.map(|s| s as f32),
        kind: EventKind::from_word(word),
        team: id("team_id"),
        player: id("player_id"),
        points,
    })
}
