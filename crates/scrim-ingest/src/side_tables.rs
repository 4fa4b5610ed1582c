//! The side tables: games, players, events. Small, so they are read whole, as text.

mod events;
mod games;
mod text_table;

use std::collections::{BTreeMap, HashMap, HashSet};

use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;

use crate::mapping::Mapping;
use crate::names::{NO_NAME, NameIx, Names};
use crate::source::EventsFile;
use crate::{IngestError, Source};
pub(crate) use events::ListedEvent;
use events::read_event;
use games::{ListedGame, read_games};
use text_table::{TextTable, cell};

/// A row of `players`.
#[derive(Debug, Clone)]
pub(crate) struct ListedPlayer {
    pub player: NameIx,
    pub team: NameIx,
    pub jersey: Option<Id>,
    pub name: Option<Id>,
    pub role: Option<Id>,
}

/// The side tables of a source.
#[derive(Debug, Default)]
pub(crate) struct SideTables {
    games: HashMap<NameIx, ListedGame>,
    players: Vec<ListedPlayer>,
    /// The first row of each player in each team, and the rows of each team.
    player_at: HashMap<(NameIx, NameIx), usize>,
    team_at: HashMap<NameIx, Vec<usize>>,
    known: HashSet<NameIx>,
    events: Option<Vec<ListedEvent>>,
    /// The rows of each game; of [`NO_NAME`] those that name none, which are of every game of the source.
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
            let table = TextTable::read(path, &["game_id"], mapping)?;
            read_games(&table, names, &mut side.games, &mut side.refused);
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
    pub(crate) fn game(&self, game: NameIx) -> Option<&ListedGame> {
        self.games.get(&game)
    }

    /// What the `players` table has of a player in a team.
    pub(crate) fn player(&self, team: NameIx, player: NameIx) -> Option<&ListedPlayer> {
        self.player_at.get(&(team, player)).map(|at| &self.players[*at])
    }

    /// Whether the `players` table has a player in any team.
    pub(crate) fn has_player(&self, player: NameIx) -> bool {
        self.known.contains(&player)
    }

    /// The rows of the `players` table of two teams, in its order.
    pub(crate) fn roster_of(&self, teams: [NameIx; 2]) -> impl Iterator<Item = &ListedPlayer> {
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
    pub(crate) fn events_of(&self, game: NameIx) -> Option<Vec<&ListedEvent>> {
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
            self.players.push(ListedPlayer {
                player,
                team,
                jersey: cell(cells, jersey).map(Into::into),
                name: cell(cells, name).map(Into::into),
                role: cell(cells, role).map(Into::into),
            });
        }
    }

    /// Reads events; `of_file` is the game of those that name none.
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
