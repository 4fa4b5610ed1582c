//! A game's samples while its rows come in, kept compactly (20 bytes a row, 24 with a height), and the raw game made of them.

mod line_up;
mod origins;
mod period;
mod track;

use std::collections::HashMap;
use std::sync::Arc;

use scrim_tables::tags::RefusalReason;
use scrim_tracks::ClockSample;

use crate::names::{NameIx, Names};
pub(crate) use line_up::line_up;
use origins::Origins;
pub(crate) use period::FinishRules;
use period::{BuiltPeriod, OpenPeriod};
use track::OpenTrack;

/// So many pairs of team and player are taken at most: enough to know that it is too many for a game, and few enough
/// that a column taken for players by mistake does not fill the memory.
pub(crate) const MAX_ENTITIES: usize = 1000;

/// Players are looked up in a plain list up to this number among the source's names: more than the names of a season. A
/// source with more has so many games that a list for each would cost more than their rows.
const DENSE: usize = 8192;

/// What one row gives.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sample {
    pub period: u8,
    /// In the source's unit.
    pub time: f64,
    pub game_clock_s: f32,
    pub shot_clock_s: f32,
    pub who: Who,
    pub x_m: f32,
    pub y_m: f32,
    pub z_m: f32,
}

/// Whose place it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Who {
    Ball,
    Player { team: NameIx, player: NameIx },
}

/// A row refused after all rows are known.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LateRefusal {
    /// The file, by its place in the source.
    pub file: u32,
    /// The row's number in the file.
    pub row: u64,
    pub reason: RefusalReason,
    pub detail: Arc<str>,
}

/// The samples of one game.
#[derive(Debug, Default)]
pub(crate) struct GameBuilder {
    periods: Vec<OpenPeriod>,
    current: usize,
    /// Each pair of team and player that was seen, in order of appearance.
    entities: Vec<(NameIx, NameIx)>,
    /// For each player whose number among names is below [`DENSE`]: their first entity and 1, or 0.
    first_entity: Vec<u32>,
    other_entities: HashMap<(NameIx, NameIx), usize>,
    samples: u32,
    /// For so many samples room was made ahead: never more than twice as many as were taken.
    room: u32,
    origins: Origins,
}

/// What the builder makes of its samples.
pub(crate) struct Built {
    pub team_ids: Vec<NameIx>,
    /// Players who stand in both teams.
    pub two_teams: Vec<NameIx>,
    /// Team and player of each entity; `None` for one whose rows were all refused.
    pub entities: Vec<Option<(NameIx, NameIx)>>,
    pub periods: Vec<BuiltPeriod>,
    pub late: Vec<LateRefusal>,
}

impl GameBuilder {
    /// How many samples were taken.
    pub(crate) fn samples(&self) -> u32 {
        self.samples
    }

    /// How many pairs of team and player there are.
    pub(crate) fn players(&self) -> usize {
        self.entities.len()
    }

    /// Whether there is room for a sample of that entity.
    #[inline]
    pub(crate) fn has_room_for(&self, who: Who) -> bool {
        self.entities.len() < MAX_ENTITIES || self.is_known(who)
    }

    #[cold]
    fn is_known(&self, who: Who) -> bool {
        match who {
            Who::Ball => true,
            Who::Player { team, player } => self.entities.contains(&(team, player)),
        }
    }

    /// Counts a refused row of a period, if the period was readable.
    pub(crate) fn refuse(&mut self, period: Option<u8>) {
        if let Some(number) = period {
            let at = self.period_at(number);
            self.periods[at].refused += 1;
        }
    }

    fn period_at(&mut self, number: u8) -> usize {
        if self.periods.get(self.current).is_some_and(|p| p.number == number) {
            return self.current;
        }
        self.current = self
            .periods
            .iter()
            .position(|p| p.number == number)
            .unwrap_or_else(|| {
                let known = self.periods.iter().flat_map(|period| &period.tracks);
                self.periods.push(OpenPeriod {
                    number,
                    expected: known.map(|track| track.time.len()).max().unwrap_or(0) as u32,
                    ..OpenPeriod::default()
                });
                self.periods.len() - 1
            });
        self.current
    }

    fn entity_of(&mut self, team: NameIx, player: NameIx) -> usize {
        let at = player as usize;
        if at >= DENSE {
            return self.other_entity_of(team, player);
        }
        if at >= self.first_entity.len() {
            self.first_entity.resize(at + 1, 0);
        }
        match self.first_entity[at] {
            0 => {
                self.entities.push((team, player));
                self.first_entity[at] = self.entities.len() as u32;
                self.entities.len() - 1
            }
            first if self.entities[first as usize - 1].0 == team => first as usize - 1,
            _ => self.other_entity_of(team, player),
        }
    }

    fn other_entity_of(&mut self, team: NameIx, player: NameIx) -> usize {
        let entities = &mut self.entities;
        *self.other_entities.entry((team, player)).or_insert_with(|| {
            entities.push((team, player));
            entities.len() - 1
        })
    }

    /// Takes a sample that stands in that row of that file (files in order, rows ascending).
    #[inline]
    pub(crate) fn push(&mut self, sample: &Sample, file: u32, row: u64) {
        self.origins.push(self.samples, file, row);
        let at = self.period_at(sample.period);
        let expected = self.periods[at].expected;
        let track = match sample.who {
            Who::Ball => &mut self.periods[at].ball,
            Who::Player { team, player } => {
                let entity = self.entity_of(team, player);
                let tracks = &mut self.periods[at].tracks;
                if entity >= tracks.len() {
                    tracks.resize(entity + 1, OpenTrack::default());
                }
                &mut tracks[entity]
            }
        };
        // A list that grows is copied again and again; room that stays empty costs next to nothing.
        if track.time.is_empty() && self.room.saturating_add(expected) <= self.samples.saturating_mul(2) {
            track.make_room(expected as usize);
            self.room += expected;
        }
        track.out_of_order |= track.time.last().is_some_and(|&last| last >= sample.time);
        track.push_height(sample.z_m);
        track.time.push(sample.time);
        track.x_m.push(sample.x_m);
        track.y_m.push(sample.y_m);
        track.sample.push(self.samples);
        self.samples += 1;
        let (game_clock_s, shot_clock_s) = (sample.game_clock_s, sample.shot_clock_s);
        if game_clock_s.is_nan() && shot_clock_s.is_nan() {
            return;
        }
        let clocks = &mut self.periods[at].clocks;
        let same = |a: f32, b: f32| a == b || (a.is_nan() && b.is_nan());
        let is_known = clocks.last().is_some_and(|last| {
            last.t_s == sample.time
                && same(last.game_clock_s, game_clock_s)
                && same(last.shot_clock_s, shot_clock_s)
        });
        if !is_known {
            clocks.push(ClockSample {
                t_s: sample.time,
                game_clock_s,
                shot_clock_s,
            });
        }
    }

    /// Sorts, drops repeats, finds teams and players. `on_roster`: whether a side table has a player in a team.
    pub(crate) fn finish(
        self,
        names: &Names,
        rules: &FinishRules,
        on_roster: impl Fn(NameIx, NameIx) -> bool,
    ) -> Built {
        let mut late = Vec::new();
        let mut rows_of = vec![0u64; self.entities.len()];
        for period in &self.periods {
            for (entity, track) in period.tracks.iter().enumerate() {
                rows_of[entity] += track.time.len() as u64;
            }
        }
        // The two teams: those of the side table, else the two with the most rows.
        let mut teams: Vec<(NameIx, u64)> = Vec::new();
        for (&(team, _), rows) in self.entities.iter().zip(&rows_of) {
            match teams.iter_mut().find(|t| t.0 == team) {
                Some(known) => known.1 += rows,
                None => teams.push((team, *rows)),
            }
        }
        teams.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| names.name(a.0).cmp(names.name(b.0))));
        let team_ids: Vec<NameIx> = match rules.home_away {
            Some(both) if both.iter().all(|b| teams.iter().any(|t| t.0 == *b)) => both.to_vec(),
            _ => {
                let mut two: Vec<NameIx> = teams.iter().take(2).map(|t| t.0).collect();
                two.sort_by(|a, b| names.name(*a).cmp(names.name(*b)));
                two
            }
        };
        // A player of two teams belongs to the one of the side table, else to the one with most rows.
        let kept: Vec<bool> = (0..self.entities.len())
            .map(|entity| {
                let (team, player) = self.entities[entity];
                let rank = |other: usize| {
                    let (team, _) = self.entities[other];
                    let in_game = team_ids.contains(&team);
                    (
                        in_game,
                        on_roster(team, player),
                        rows_of[other],
                        std::cmp::Reverse(names.name(team)),
                    )
                };
                let best = (0..self.entities.len())
                    .filter(|&o| self.entities[o].1 == player)
                    .max_by_key(|&o| rank(o));
                best == Some(entity) && team_ids.contains(&team)
            })
            .collect();
        let of_game = |entity: &&(NameIx, NameIx)| team_ids.contains(&entity.0);
        let mut two_teams: Vec<NameIx> = self.entities.iter().filter(of_game).map(|e| e.1).collect();
        two_teams.sort_unstable();
        let two_teams = two_teams
            .chunk_by(|a, b| a == b)
            .filter_map(|same| (same.len() > 1).then_some(same[0]))
            .collect();
        let mut periods = Vec::new();
        let Self {
            periods: mut open,
            entities,
            origins,
            ..
        } = self;
        open.sort_by_key(|p| p.number);
        for period in open {
            let (number, refused) = (period.number, period.refused);
            let mut refusals = Vec::new();
            let Some(mut built) = period.finish(&entities, &kept, &team_ids, names, rules, &mut refusals)
            else {
                late.append(&mut refusals);
                continue;
            };
            built.raw.number = number;
            built.raw.rows_quarantined = refused + refusals.len() as u32;
            late.append(&mut refusals);
            periods.push(built);
        }
        let late = late.into_iter().map(|(sample, reason, detail)| {
            let (file, row) = origins.of(sample);
            LateRefusal {
                file,
                row,
                reason,
                detail,
            }
        });
        let late = late.collect();
        let entities = entities
            .iter()
            .zip(&kept)
            .map(|(e, kept)| kept.then_some(*e))
            .collect();
        Built {
            two_teams,
            team_ids,
            entities,
            periods,
            late,
        }
    }
}
