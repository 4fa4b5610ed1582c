//! A source, game by game.

use std::path::PathBuf;

use scrim_floor::Court;
use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;
use scrim_tracks::{Event, EventKind, GameInfo, PlayerIx, RawGame, TeamSlot};

use crate::columnar::{ParquetTable, parquet_columns};
use crate::game_builder::{GameBuilder, line_up};
use crate::long_form::LongForm;
use crate::names::{NO_NAME, NameIx, Names};
use crate::side_tables::SideTables;
use crate::{IngestError, IngestParams, Source};

/// A game, and the rows of it that were refused.
#[derive(Debug)]
pub struct ReadGame {
    /// The game.
    pub raw: RawGame,
    /// Its refused rows, in the order of the source.
    pub quarantine: Vec<QuarantineRow>,
}

/// A game that was refused as a whole.
#[derive(Debug)]
pub struct RefusedGame {
    /// The game.
    pub game_id: Id,
    /// Why.
    pub error: IngestError,
    /// Its refused rows.
    pub quarantine: Vec<QuarantineRow>,
}

/// A tracking file that could not be read to its end.
#[derive(Debug)]
pub struct FailedFile {
    /// The file.
    pub path: PathBuf,
    /// Why.
    pub error: IngestError,
}

/// What became of a source.
#[derive(Debug, Default)]
pub struct SourceReport {
    /// Games given to the sink.
    pub games: u32,
    /// Rows read.
    pub rows: u64,
    /// Games refused as a whole; the others went on.
    pub refused: Vec<RefusedGame>,
    /// Files that could not be read to their end; the others went on.
    pub failed_files: Vec<FailedFile>,
    /// Refused rows without a game id that could be read.
    pub quarantine: Vec<QuarantineRow>,
}

struct Open {
    game: NameIx,
    builder: GameBuilder,
    rows: u64,
    quarantine: Vec<QuarantineRow>,
}

/// Reads every game of `source`, in the order in which they end there, and gives each to `sink`.
///
/// Memory: one chunk of rows, and 24 bytes a row of every game that has begun and not ended.
///
/// # Errors
/// [`IngestError`] (as `E`) when nothing of the source can be read; whatever `sink` returns, at once. A game or file
/// that is refused while others can be read is no error but told in the [`SourceReport`].
pub fn read_source<E: From<IngestError>>(
    source: &Source,
    params: &IngestParams,
    sink: &mut dyn FnMut(ReadGame) -> Result<(), E>,
) -> Result<SourceReport, E> {
    let mut names = Names::default();
    let side = SideTables::read(
        [
            source.games.as_deref(),
            source.players.as_deref(),
            source.events.as_deref(),
        ],
        &mut names,
    )?;
    let mut report = SourceReport::default();
    let mut open: Vec<Open> = Vec::new();
    for path in &source.tracking {
        let form = LongForm::canonical(path, &parquet_columns(path)?)?;
        let mut table = ParquetTable::open(path, &form.wanted)?;
        let told: Id = path.display().to_string().into();
        while let Some(chunk) = table.next_chunk(&mut names)? {
            report.rows += chunk.rows as u64;
            let games = form.games(&chunk);
            let mut start = 0;
            while start < chunk.rows {
                let game = games[start];
                let end = games[start..]
                    .iter()
                    .position(|&g| g != game)
                    .map_or(chunk.rows, |n| start + n);
                let at = open.iter().position(|o| o.game == game).unwrap_or_else(|| {
                    open.push(Open {
                        game,
                        builder: GameBuilder::default(),
                        rows: 0,
                        quarantine: Vec::new(),
                    });
                    open.len() - 1
                });
                let court = court_of(game, &side, &names, params)?;
                let most = f64::from(params.max_off_court_m);
                let half = (
                    f64::from(court.length_m) / 2.0 + most,
                    f64::from(court.width_m) / 2.0 + most,
                );
                let Open {
                    builder,
                    rows,
                    quarantine,
                    ..
                } = &mut open[at];
                *rows += (end - start) as u64;
                form.samples(&chunk, start..end, params, half, |row, sample| match sample {
                    Ok(sample) => builder.push(&sample),
                    Err(refusal) => {
                        builder.refuse(None);
                        quarantine.push(QuarantineRow {
                            game_id: (game != NO_NAME).then(|| names.name(game).clone()),
                            source: told.clone(),
                            row: chunk.numbers.of(row),
                            reason: refusal.reason,
                            detail: refusal.detail,
                            raw: chunk.raw.row(row),
                        });
                    }
                });
                start = end;
            }
        }
    }
    for open in open {
        let game = open.game;
        match finish_game(open, &names, &side, params) {
            Ok(read) => {
                report.games += 1;
                sink(read)?;
            }
            Err(error) => {
                report.refused.push(RefusedGame {
                    game_id: names.name(game).clone(),
                    error,
                    quarantine: Vec::new(),
                });
            }
        }
    }
    Ok(report)
}

fn court_of(
    game: NameIx,
    side: &SideTables,
    names: &Names,
    params: &IngestParams,
) -> Result<Court, IngestError> {
    let named = side
        .games
        .iter()
        .find(|g| g.game == game)
        .and_then(|g| g.court.as_deref());
    Court::by_name(named.unwrap_or(&params.court)).map_err(|source| IngestError::Court {
        game_id: names.name(game).clone(),
        source,
    })
}

fn finish_game(
    open: Open,
    names: &Names,
    side: &SideTables,
    params: &IngestParams,
) -> Result<ReadGame, IngestError> {
    let Open {
        game,
        builder,
        rows,
        mut quarantine,
    } = open;
    let game_id = names.name(game).clone();
    let court = court_of(game, side, names, params)?;
    if builder.samples() == 0 {
        return Err(IngestError::NoRows { game_id, rows });
    }
    let told = side.games.iter().find(|g| g.game == game);
    let home_away = told.and_then(|g| g.home_away);
    let team_told = |player: NameIx| side.players.iter().find(|p| p.player == player).map(|p| p.team);
    let built = builder.finish(names, home_away, team_told, params);
    let team_ids: [NameIx; 2] =
        built
            .team_ids
            .as_slice()
            .try_into()
            .map_err(|_| IngestError::NotTwoTeams {
                game_id: game_id.clone(),
                found: built.team_ids.iter().map(|t| names.name(*t).clone()).collect(),
            })?;
    for late in &built.late {
        quarantine.push(QuarantineRow {
            game_id: Some(game_id.clone()),
            source: "".into(),
            row: u64::from(late.sample),
            reason: late.reason,
            detail: late.detail.clone(),
            raw: String::new(),
        });
    }
    let roster = side.players.iter().map(|p| (p.team, p.player));
    let mut players = line_up(built.entities.iter().copied().flatten(), team_ids, roster, names);
    for (player, number) in &mut players {
        if let Some(told) = side.players.iter().find(|p| p.player == *number) {
            player.jersey = told.jersey.clone();
            player.name = told.name.clone();
            player.role = told.role.clone();
        }
    }
    let place = |player: NameIx| {
        players
            .iter()
            .position(|(_, p)| *p == player)
            .map(|at| PlayerIx(at as u16))
    };
    let slot = |team: NameIx| {
        team_ids
            .iter()
            .position(|t| *t == team)
            .map(|at| TeamSlot::BOTH[at])
    };
    let mut periods = Vec::new();
    let mut shifts = Vec::new();
    for period in built.periods {
        let mut raw = period.raw;
        for track in &mut raw.players {
            let (_, player) = built.entities[track.who.index()].expect("refused entities have no track");
            track.who = place(player).expect("everyone with a track is lined up");
        }
        raw.players.sort_by_key(|t| t.who);
        shifts.push((raw.number, period.shift_s));
        periods.push(raw);
    }
    if periods.is_empty() {
        return Err(IngestError::NoRows { game_id, rows });
    }
    let events = side.events.as_ref().map(|events| {
        let of_game = events
            .iter()
            .filter(|e| e.game == game || (e.game == NO_NAME && side.games.len() < 2));
        let mut events: Vec<Event> = of_game
            .map(|e| Event {
                period: e.period,
                t_s: e
                    .time
                    .map(|t| t - shifts.iter().find(|s| s.0 == e.period).map_or(0.0, |s| s.1)),
                game_clock_s: e.game_clock_s,
                kind: EventKind::from_word(&e.word),
                team: slot(e.team),
                player: place(e.player),
                points: e.points,
            })
            .collect();
        // Time order within a period: by the real clock, else by the game clock; a stable sort keeps the table's order.
        events.sort_by(|a, b| {
            a.period
                .cmp(&b.period)
                .then_with(|| match (a.t_s, b.t_s, a.game_clock_s, b.game_clock_s) {
                    (Some(a), Some(b), _, _) => a.total_cmp(&b),
                    (_, _, Some(a), Some(b)) => b.total_cmp(&a),
                    _ => std::cmp::Ordering::Equal,
                })
        });
        events
    });
    let refused = quarantine.len() as u64;
    if refused as f64 > params.max_refused_share * rows as f64 {
        let commonest = RefusalReason::ALL
            .iter()
            .max_by_key(|r| quarantine.iter().filter(|q| q.reason == **r).count())
            .copied()
            .unwrap_or(RefusalReason::Unreadable);
        let example = quarantine
            .iter()
            .find(|q| q.reason == commonest)
            .map(|q| q.detail.clone());
        return Err(IngestError::TooManyRefused {
            game_id,
            refused,
            rows,
            allowed: params.max_refused_share,
            reason: commonest.as_str(),
            example: example.unwrap_or_default(),
        });
    }
    let info = GameInfo {
        game_id,
        season: told.and_then(|g| g.season.clone()),
        date: told.and_then(|g| g.date.clone()),
        team_ids: team_ids.map(|t| names.name(t).clone()),
        home_is_known: home_away == Some(team_ids),
        court,
    };
    let players = players.into_iter().map(|(player, _)| player).collect();
    Ok(ReadGame {
        raw: RawGame {
            info,
            players,
            periods,
            events,
        },
        quarantine,
    })
}
