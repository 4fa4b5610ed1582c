//! A game whose rows are all in: made whole, or refused.

use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;
use scrim_tables::{Id, MAX_NAME_BYTES, Partition, with_causes};
use scrim_tracks::{Event, EventKind, GameInfo, Player, PlayerIx, RawGame, RawTrack, TeamSlot};

use super::doubts::{doubts, roster_doubts};
use super::reading::{OpenGame, Reading, Stage};
use super::report::ReadGame;
use crate::IngestError;
use crate::game_builder::{FinishRules, LateRefusal, line_up};
use crate::names::{NO_NAME, NameIx, Names};
use crate::quarantine::{Quarantine, RowPlace};
use crate::side_tables::ListedEvent;

/// More players than any game has: beyond it, frame numbers or the like were taken for players.
const MAX_PLAYERS: usize = 200;

/// More players than the `players` table has of any two teams, over however many seasons.
const MAX_LINE_UP: usize = 10_000;

/// A period's source time that became 0, by number.
type Zeros = Vec<(u8, f64)>;

impl Reading<'_> {
    /// Closes the open game at that place: the game, or `None` when it is refused (and reported).
    pub(super) fn finish(&mut self, open: u32, names: &mut Names) -> Option<ReadGame> {
        let open = self.open.remove(&open)?;
        let game = open.game;
        self.stages.insert(game, Stage::Closed);
        self.held -= u64::from(open.builder.samples());
        let game_id = names.name(game).clone();
        let mut quarantine = Quarantine::default();
        match self.build(open, names, &mut quarantine) {
            Ok((raw, refused_events, mut notes)) => {
                notes.extend(doubts(&raw));
                let named = notes.iter().map(|note| format!("game `{game_id}`: {note}"));
                self.report.notes.extend(named);
                self.report.games += 1;
                self.count_refused(&game_id, &quarantine, refused_events.len());
                for row in &refused_events {
                    *self.report.refused_rows.entry(row.reason).or_default() += 1;
                }
                let mut quarantine = quarantine.into_rows(Some(&game_id));
                quarantine.extend(refused_events);
                Some(ReadGame {
                    raw,
                    quarantine,
                    notes,
                })
            }
            Err(error) => {
                self.report
                    .notes
                    .push(format!("refused: {}", with_causes(&error)));
                self.refuse_game(game, names, error, quarantine);
                None
            }
        }
    }

    fn build(
        &mut self,
        open: OpenGame,
        names: &mut Names,
        quarantine: &mut Quarantine,
    ) -> Result<(RawGame, Vec<QuarantineRow>, Vec<String>), IngestError> {
        let OpenGame {
            game,
            builder,
            court,
            quarantine: refused,
            time,
            ..
        } = open;
        *quarantine = refused;
        let game_id = names.name(game).clone();
        let (court, _) = court?;
        let listed = self.side.game(game).cloned();
        let season = listed.as_ref().and_then(|listed| listed.season.as_deref());
        let partition = Partition::new(season, &game_id);
        if !partition.has_a_name() {
            return Err(IngestError::IdTooLong {
                begin: game_id.chars().take(60).collect(),
                found: partition.name_bytes(),
                most: MAX_NAME_BYTES,
            });
        }
        let rows = u64::from(builder.samples()) + quarantine.total();
        let no_rows = |quarantine: &Quarantine| IngestError::NoRows {
            game_id: game_id.clone(),
            rows,
            example: quarantine
                .commonest()
                .map_or(String::new(), |(_, detail)| format!(": {detail}")),
        };
        if builder.samples() == 0 {
            return Err(no_rows(quarantine));
        }
        if builder.players() > MAX_PLAYERS {
            return Err(IngestError::TooManyPlayers {
                game_id,
                found: builder.players(),
                most: MAX_PLAYERS,
            });
        }
        let home_away = listed.as_ref().and_then(|g| g.home_away);
        let rules = FinishRules {
            time_per_s: time.0,
            counts_from: time.1,
            home_away,
        };
        let side = &self.side;
        let built = builder.finish(names, &rules, |team, player| side.player(team, player).is_some());
        self.refuse_late(&game_id, built.late, quarantine);
        self.check_share(&game_id, rows, quarantine)?;
        let team_ids: [NameIx; 2] =
            built
                .team_ids
                .as_slice()
                .try_into()
                .map_err(|_| IngestError::NotTwoTeams {
                    game_id: game_id.clone(),
                    found: built.team_ids.iter().map(|t| names.name(*t).clone()).collect(),
                })?;
        if built.periods.is_empty() {
            return Err(no_rows(quarantine));
        }
        let players = self.players_of(built.entities.iter().copied().flatten(), team_ids, names);
        if players.len() > MAX_LINE_UP {
            return Err(IngestError::TooManyPlayers {
                game_id,
                found: players.len(),
                most: MAX_LINE_UP,
            });
        }
        let seen: Vec<(NameIx, NameIx)> = built.entities.iter().copied().flatten().collect();
        let mut notes = roster_doubts(&seen, team_ids, &built.two_teams, &self.side, names);
        let place = |player: NameIx| {
            players
                .iter()
                .position(|(_, p)| *p == player)
                .map(|at| PlayerIx(at as u16))
        };
        let mut periods = Vec::new();
        let mut zeros = Zeros::new();
        for period in built.periods {
            let mut raw = period.raw;
            zeros.push((raw.number, period.zero));
            for (entity, track) in period.players {
                // Everyone with a track is lined up, so that no track is lost here.
                let Some(who) = built.entities[entity].and_then(|(_, player)| place(player)) else {
                    continue;
                };
                let RawTrack {
                    t_s, x_m, y_m, z_m, ..
                } = track;
                raw.players.push(RawTrack {
                    who,
                    t_s,
                    x_m,
                    y_m,
                    z_m,
                });
            }
            raw.players.sort_by_key(|track| track.who);
            periods.push(raw);
        }
        let (events, refused_events) = self.events_of(game, team_ids, &zeros, time.0, names, &players);
        let info = GameInfo {
            game_id,
            season: listed.as_ref().and_then(|g| g.season.clone()),
            date: listed.as_ref().and_then(|g| g.date.clone()),
            team_ids: team_ids.map(|t| names.name(t).clone()),
            home_is_known: home_away == Some(team_ids),
            court,
            video_offset_s: listed
                .as_ref()
                .map(|g| g.video_offset_s.clone())
                .unwrap_or_default(),
        };
        if self.side.lacks_events_of(game) {
            notes.push(
                "the `events` table has no row of this game, so shots and their results are taken from the ball: look whether it spells \
                 game_id as the tracking does"
                    .into(),
            );
        }
        if home_away.is_some_and(|listed| listed != team_ids) {
            notes.push(format!(
                "the `games` table's home and away team are not the two teams of the tracking, {:?}",
                info.team_ids
            ));
        }
        let players = players.into_iter().map(|(player, _)| player).collect();
        Ok((
            RawGame {
                info,
                players,
                periods,
                events,
            },
            refused_events,
            notes,
        ))
    }

    fn refuse_late(&mut self, game_id: &Id, mut late: Vec<LateRefusal>, quarantine: &mut Quarantine) {
        if late.is_empty() {
            return;
        }
        late.sort_by_key(|l| (l.file, l.row));
        let most = self.params.max_quarantine_rows;
        let room = most.saturating_sub(quarantine.rows.len());
        let raw = self.raw_rows(late.iter().take(room).map(|l| (l.file, l.row)).collect());
        let path_of = |file: u32| Id::from(self.source.tracking[file as usize].display().to_string());
        let mut source = (late[0].file, path_of(late[0].file));
        for late in late {
            if source.0 != late.file {
                source = (late.file, path_of(late.file));
            }
            let place = RowPlace {
                game_id: Some(game_id),
                source: &source.1,
                row: late.row,
            };
            let raw = || raw.get(&(late.file, late.row)).cloned().unwrap_or_default();
            quarantine.refuse(most, late.reason, &place, || (late.detail.to_string(), raw()));
        }
    }

    fn check_share(&self, game_id: &Id, rows: u64, quarantine: &Quarantine) -> Result<(), IngestError> {
        let refused = quarantine.total();
        match quarantine.commonest() {
            Some((reason, example)) if refused as f64 > self.params.max_refused_share * rows as f64 => {
                Err(IngestError::TooManyRefused {
                    game_id: game_id.clone(),
                    refused,
                    rows,
                    allowed: self.params.max_refused_share,
                    reason: reason.as_str(),
                    example: example.into(),
                })
            }
            _ => Ok(()),
        }
    }

    fn players_of(
        &self,
        entities: impl IntoIterator<Item = (NameIx, NameIx)>,
        team_ids: [NameIx; 2],
        names: &Names,
    ) -> Vec<(Player, NameIx)> {
        let roster = self
            .side
            .roster_of(team_ids)
            .map(|listed| (listed.team, listed.player));
        let mut players = line_up(entities, team_ids, roster, names);
        for (player, number) in &mut players {
            let team = team_ids[player.team.index()];
            if let Some(listed) = self.side.player(team, *number) {
                player.jersey = listed.jersey.clone();
                player.name = listed.name.clone();
                player.role = listed.role.clone();
            }
        }
        players
    }

    /// The game's events in time order, and those of its event rows that are refused.
    fn events_of(
        &mut self,
        game: NameIx,
        team_ids: [NameIx; 2],
        zeros: &Zeros,
        time_per_s: f64,
        names: &Names,
        players: &[(Player, NameIx)],
    ) -> (Option<Vec<Event>>, Vec<QuarantineRow>) {
        let Some(listed) = self.side.events_of(game) else {
            return (None, Vec::new());
        };
        let game_id = names.name(game);
        let mut events: Vec<Event> = Vec::new();
        let mut refused = Vec::new();
        let mut unknown_players = 0u64;
        for listed in listed {
            if let EventKind::Other(word) = &listed.kind {
                *self.report.unknown_event_words.entry(word.clone()).or_default() += 1;
            }
            let mut refuse = |reason, detail: String| {
                refused.push(QuarantineRow {
                    game_id: Some(game_id.clone()),
                    source: listed.path.clone(),
                    row: listed.row,
                    reason,
                    detail,
                    raw: listed.raw.clone(),
                });
            };
            let team = team_ids
                .iter()
                .position(|t| *t == listed.team)
                .map(|at| TeamSlot::BOTH[at]);
            if listed.team != NO_NAME && team.is_none() {
                let teams = team_ids.map(|t| names.name(t).clone());
                refuse(
                    RefusalReason::UnknownEntity,
                    format!(
                        "column `team_id`: found `{}`, expected one of {teams:?}",
                        names.name(listed.team)
                    ),
                );
                continue;
            }
            let Some((_, zero)) = zeros.iter().find(|z| z.0 == listed.period) else {
                let periods: Vec<u8> = zeros.iter().map(|z| z.0).collect();
                let detail = format!(
                    "column `period`: found {}, expected a period that the tracking has, one of {periods:?}",
                    listed.period
                );
                refuse(RefusalReason::BadTime, detail);
                continue;
            };
            let player = players
                .iter()
                .position(|(_, p)| *p == listed.player)
                .map(|at| PlayerIx(at as u16));
            unknown_players += u64::from(listed.player != NO_NAME && player.is_none());
            events.push(event(listed, *zero / time_per_s, team, player));
        }
        if unknown_players > 0 {
            self.report.notes.push(format!(
                "game `{game_id}`: {unknown_players} events name a player who is in no sample and not in the `players` \
                 table; the events are kept without a player"
            ));
        }
        // Time order within a period: by the real clock where all have it, else by the game clock where all have
        // that, else as the table has them.
        let mut ordered: Vec<Event> = Vec::with_capacity(events.len());
        for (number, _) in zeros {
            let mut of_period: Vec<Event> = events.extract_if(.., |e| e.period == *number).collect();
            if of_period.iter().all(|e| e.t_s.is_some()) {
                of_period.sort_by(|a, b| a.t_s.unwrap_or(0.0).total_cmp(&b.t_s.unwrap_or(0.0)));
            } else if of_period.iter().all(|e| e.game_clock_s.is_some()) {
                of_period.sort_by(|a, b| {
                    b.game_clock_s
                        .unwrap_or(0.0)
                        .total_cmp(&a.game_clock_s.unwrap_or(0.0))
                });
            }
            ordered.append(&mut of_period);
        }
        (Some(ordered), refused)
    }
}

fn event(listed: &ListedEvent, zero_s: f64, team: Option<TeamSlot>, player: Option<PlayerIx>) -> Event {
    Event {
        period: listed.period,
        t_s: listed.time.map(|t| t - zero_s),
        game_clock_s: listed.game_clock_s,
        kind: listed.kind.clone(),
        team,
        player,
        points: listed.points,
    }
}
