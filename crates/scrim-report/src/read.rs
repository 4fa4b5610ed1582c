//! The rows of the games that a report is about.

use std::collections::{BTreeMap, BTreeSet};

use scrim_floor::Court;
use scrim_tables::rows::{
    AgainstLeagueRow, CounterRow, DilemmaRow, DisguisePayRow, DisguiseRow, GameRow, PossessionRow,
    TendencyRow, TrackRow,
};
use scrim_tables::{Id, Partition, ReadStore, Row, read_rows, season_path};

use scrim_season::is_poor;

use crate::{Choice, GameRows, Note, ReportError};

/// What a season's tables say of a team: of all its games of the season, not only of those that a choice picked.
#[derive(Debug, Clone, Default)]
pub struct SeasonRows {
    /// The season, when it is known.
    pub season: Option<String>,
    /// Its rows of `tendencies`.
    pub tendencies: Vec<TendencyRow>,
    /// Its rows of `counters`.
    pub counters: Vec<CounterRow>,
    /// Its rows of `against_league`.
    pub against_league: Vec<AgainstLeagueRow>,
    /// The rows of `against_league` of the reader's team; empty when there is none.
    pub readers: Vec<AgainstLeagueRow>,
    /// Its rows of `disguise_pay`.
    pub disguise_pay: Vec<DisguisePayRow>,
}

/// A team's games that a choice picked, oldest first.
#[derive(Debug, Clone)]
pub struct TeamGames {
    /// What was asked for.
    pub choice: Choice,
    /// The games: by day (unknown days first), then season and id.
    pub games: Vec<GameRows>,
    /// The season of the last of them.
    pub season: SeasonRows,
    /// Tables that some games lack, and how many.
    /// A season's table that is absent counts as lacking in all.
    pub absent: BTreeMap<&'static str, usize>,
    /// What could not be read, or was not to be, although it is there.
    pub notes: Vec<Note>,
}

/// Where a game lies, and what a choice asks of it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Place {
    date: Option<String>,
    partition: Partition,
    teams: [String; 2],
    is_poor: bool,
}

/// Reads the games of a team.
///
/// # Errors
/// [`ReportError`]: no game of the team, a file that cannot be read, or a broken table of possessions or screens. Other
/// tables that are absent or broken are listed in what is returned.
pub fn read_games(store: &dyn ReadStore, choice: &Choice) -> Result<TeamGames, ReportError> {
    if choice.last == Some(0) {
        return Err(ReportError::LastNone);
    }
    let all = places(store)?;
    if all.is_empty() {
        return Err(ReportError::NoGames);
    }
    let ours = |place: &&Place| place.teams.contains(&choice.team);
    let others = |place: &Place| place.teams.iter().find(|team| **team != choice.team).cloned();
    if choice.reader.as_ref() == Some(&choice.team) {
        return Err(ReportError::OwnReport {
            team: choice.team.clone(),
        });
    }
    for team in std::iter::once(&choice.team).chain(&choice.reader) {
        if !all.iter().any(|place| place.teams.contains(team)) {
            let found: BTreeSet<String> = all.iter().flat_map(|place| place.teams.clone()).collect();
            return Err(ReportError::UnknownTeam {
                team: team.clone(),
                found: found.into_iter().collect(),
            });
        }
    }
    let mut chosen: Vec<&Place> = all.iter().filter(ours).collect();
    if let Some(against) = &choice.against {
        let met: BTreeSet<String> = chosen.iter().filter_map(|place| others(place)).collect();
        chosen.retain(|place| others(place).as_ref() == Some(against));
        if chosen.is_empty() {
            return Err(ReportError::NeverMet {
                team: choice.team.clone(),
                against: against.clone(),
                found: met.into_iter().collect(),
            });
        }
    }
    let mut notes = Vec::new();
    if !choice.poor_too {
        let (poor, others): (Vec<&Place>, Vec<&Place>) = chosen.into_iter().partition(|place| place.is_poor);
        chosen = others;
        for place in poor {
            notes.push(Note::PoorGame {
                game_id: place.partition.game_id().into(),
            });
        }
        if chosen.is_empty() {
            return Err(ReportError::AllPoor {
                team: choice.team.clone(),
                games: notes.len(),
            });
        }
    }
    if let Some(last) = choice.last {
        let first = chosen.len().saturating_sub(last as usize);
        chosen.drain(..first);
    }
    let mut team = TeamGames {
        choice: choice.clone(),
        games: Vec::with_capacity(chosen.len()),
        season: SeasonRows::default(),
        absent: BTreeMap::new(),
        notes,
    };
    let last_place = chosen.last().copied();
    for place in chosen {
        let game = team.read_game(store, &place.partition)?;
        team.games.push(game);
    }
    if let Some(place) = last_place {
        team.season = team.read_season(store, place.partition.season())?;
    }
    team.read_disguises(store)?;
    Ok(team)
}

/// Reads one game alone, by its id; of two in different seasons the first by day.
pub(crate) fn read_game_alone(store: &dyn ReadStore, game_id: &str) -> Result<TeamGames, ReportError> {
    let all = places(store)?;
    let Some(place) = all.iter().find(|place| place.partition.game_id() == game_id) else {
        return Err(ReportError::UnknownGame {
            game_id: game_id.into(),
            found: all.iter().map(|place| place.partition.game_id().into()).collect(),
        });
    };
    read_game_of(store, &place.partition, &place.teams[0])
}

/// Reads one game alone, as one of a team's.
pub(crate) fn read_game_of(
    store: &dyn ReadStore,
    partition: &Partition,
    team: &str,
) -> Result<TeamGames, ReportError> {
    let mut team = TeamGames {
        choice: Choice::all_of(team),
        games: Vec::with_capacity(1),
        season: SeasonRows::default(),
        absent: BTreeMap::new(),
        notes: Vec::new(),
    };
    let game = team.read_game(store, partition)?;
    team.games.push(game);
    team.read_disguises(store)?;
    Ok(team)
}

/// The teams that played on the latest day among the games with these ids (or all games, when none is named), and each
/// game without a day. Ascending.
///
/// # Errors
/// As [`read_games`].
pub fn teams_of_last_day(
    store: &dyn ReadStore,
    game_ids: Option<&BTreeSet<String>>,
) -> Result<Vec<String>, ReportError> {
    let mut all = places(store)?;
    all.retain(|place| game_ids.is_none_or(|ids| ids.contains(place.partition.game_id())));
    let latest = all.iter().filter_map(|place| place.date.clone()).max();
    let teams: BTreeSet<String> = all
        .into_iter()
        .filter(|place| !place.is_poor && (place.date.is_none() || place.date == latest))
        .flat_map(|place| place.teams)
        .collect();
    Ok(teams.into_iter().collect())
}

/// Every game of the tables, oldest first.
fn places(store: &dyn ReadStore) -> Result<Vec<Place>, ReportError> {
    let mut places = Vec::new();
    for partition in Partition::find(store, PossessionRow::TABLE)? {
        let (date, teams) = match game_row(store, &partition)? {
            Some(game) => (
                game.date.as_ref().map(ToString::to_string),
                [game.home_team_id.to_string(), game.away_team_id.to_string()],
            ),
            None => {
                let rows: Vec<PossessionRow> = needed(store, &partition)?;
                let Some(row) = rows.first() else { continue };
                (
                    None,
                    [row.offense_team_id.to_string(), row.defense_team_id.to_string()],
                )
            }
        };
        // A game whose quality cannot be read is judged by its other tables.
        let is_poor = is_poor(store, &partition).unwrap_or(false);
        places.push(Place {
            date,
            partition,
            teams,
            is_poor,
        });
    }
    places.sort();
    Ok(places)
}

fn game_row(store: &dyn ReadStore, partition: &Partition) -> Result<Option<GameRow>, ReportError> {
    let bytes = store.get(&partition.path(GameRow::TABLE))?;
    let rows = bytes.and_then(|bytes| read_rows::<GameRow>(bytes).ok());
    Ok(rows.and_then(|rows| rows.into_iter().next()))
}

/// The rows of a table that no report can do without; none when it is absent.
fn needed<R: Row>(store: &dyn ReadStore, partition: &Partition) -> Result<Vec<R>, ReportError> {
    let name = partition.path(R::TABLE);
    match store.get(&name)? {
        Some(bytes) => read_rows(bytes).map_err(|source| ReportError::Table { name, source }),
        None => Ok(Vec::new()),
    }
}

impl TeamGames {
    fn read_game(&mut self, store: &dyn ReadStore, partition: &Partition) -> Result<GameRows, ReportError> {
        let possessions: Vec<PossessionRow> = needed(store, partition)?;
        let game_id: Id = partition.game_id().into();
        let game = self
            .table::<GameRow>(store, partition)?
            .into_iter()
            .next()
            .unwrap_or_else(|| unknown_game(game_id, &possessions));
        let mut tracks: Vec<TrackRow> = self.table(store, partition)?;
        tracks.sort_by_key(|row| row.possession_id);
        // A row whose lists differ in length has no place at an instant.
        tracks.retain(|row| row.x_cm.len() == row.y_cm.len());
        let mut dilemmas: Vec<DilemmaRow> = self.table(store, partition)?;
        dilemmas.sort_by_key(|row| row.screen_id);
        Ok(GameRows {
            game,
            season: partition.season().map(Into::into),
            players: self.table(store, partition)?,
            possessions,
            screens: needed(store, partition)?,
            matchups: self.table(store, partition)?,
            touches: self.table(store, partition)?,
            coverages: self.table(store, partition)?,
            options: self.table(store, partition)?,
            cuts: self.table(store, partition)?,
            entries: self.table(store, partition)?,
            disguises: Vec::new(),
            dilemmas,
            sequences: self.table(store, partition)?,
            tracks,
            quality: self.table(store, partition)?,
        })
    }

    /// Gives each game its rows of its season's `disguises`.
    fn read_disguises(&mut self, store: &dyn ReadStore) -> Result<(), ReportError> {
        let seasons: BTreeSet<Option<Id>> = self.games.iter().map(|game| game.season.clone()).collect();
        for season in seasons {
            let of_season = self.games.iter().filter(|game| game.season == season).count();
            let path = season_path(season.as_deref(), DisguiseRow::TABLE);
            let mut rows_of: BTreeMap<Id, Vec<DisguiseRow>> = BTreeMap::new();
            for row in self.file::<DisguiseRow>(store, path, of_season)? {
                rows_of.entry(row.game_id.clone()).or_default().push(row);
            }
            for game in self.games.iter_mut().filter(|game| game.season == season) {
                game.disguises = rows_of.remove(&game.game.game_id).unwrap_or_default();
            }
        }
        Ok(())
    }

    fn read_season(
        &mut self,
        store: &dyn ReadStore,
        season: Option<&str>,
    ) -> Result<SeasonRows, ReportError> {
        let team = self.choice.team.clone();
        let is_ours = |id: Option<&Id>| id.is_some_and(|id| id.as_ref() == team);
        let mut tendencies: Vec<TendencyRow> = self.season_table(store, season)?;
        tendencies.retain(|row| is_ours(Some(&row.team_id)));
        let mut counters: Vec<CounterRow> = self.season_table(store, season)?;
        counters.retain(|row| is_ours(row.team_id.as_ref()));
        let all: Vec<AgainstLeagueRow> = self.season_table(store, season)?;
        let of_team = |team: &str| {
            all.iter()
                .filter(|row| row.team_id.as_ref() == team)
                .cloned()
                .collect()
        };
        let against_league = of_team(&team);
        let readers = self.choice.reader.as_deref().map(of_team).unwrap_or_default();
        let mut disguise_pay: Vec<DisguisePayRow> = self.season_table(store, season)?;
        disguise_pay.retain(|row| is_ours(row.team_id.as_ref()));
        Ok(SeasonRows {
            season: season.map(Into::into),
            tendencies,
            counters,
            against_league,
            readers,
            disguise_pay,
        })
    }

    fn season_table<R: Row>(
        &mut self,
        store: &dyn ReadStore,
        season: Option<&str>,
    ) -> Result<Vec<R>, ReportError> {
        let games = self.games.len();
        self.file(store, season_path(season, R::TABLE), games)
    }

    /// A table's rows; one that is absent or cannot be read is noted and counts as empty.
    fn table<R: Row>(&mut self, store: &dyn ReadStore, partition: &Partition) -> Result<Vec<R>, ReportError> {
        self.file(store, partition.path(R::TABLE), 1)
    }

    /// A file's rows; one that is absent (it would be of so many games) or cannot be read is noted and counts as empty.
    fn file<R: Row>(
        &mut self,
        store: &dyn ReadStore,
        name: String,
        games: usize,
    ) -> Result<Vec<R>, ReportError> {
        let Some(bytes) = store.get(&name)? else {
            *self.absent.entry(R::TABLE).or_insert(0) += games;
            return Ok(Vec::new());
        };
        Ok(read_rows(bytes).unwrap_or_else(|error| {
            self.notes.push(Note::Unreadable {
                file: name,
                error: error.to_string(),
            });
            Vec::new()
        }))
    }
}

/// What is known of a game whose row is absent: its teams from its possessions, and a court of the default measures.
fn unknown_game(game_id: Id, possessions: &[PossessionRow]) -> GameRow {
    let first = possessions.first();
    let teams = first.map_or(["?".into(), "?".into()], |row| {
        [row.offense_team_id.clone(), row.defense_team_id.clone()]
    });
    GameRow::on(&Court::fiba(), game_id, teams)
}
