//! A period's samples, and the raw period made of them.

use std::sync::Arc;

use scrim_tables::tags::RefusalReason;
use scrim_tracks::{ClockSample, RawPeriod, RawTrack};

use super::track::{Late, OpenTrack};
use crate::mapping::CountsFrom;
use crate::names::{NameIx, Names};

/// An instant farther than this from its period's middle one is refused, s on the real clock.
const MAX_FROM_MIDDLE_S: f64 = 7200.0;
/// Times that count from the period's first frame are kept as they are when the first one found is not later than this (the
/// frames before it are taken as lost); otherwise the first one found becomes 0, s.
const MAX_FIRST_INSTANT_S: f64 = 5.0;

/// How times count, and which teams play.
#[derive(Debug, Clone)]
pub(crate) struct FinishRules {
    /// Units of time a second.
    pub time_per_s: f64,
    pub counts_from: CountsFrom,
    /// The game's two teams, home first, by a side table.
    pub home_away: Option<[NameIx; 2]>,
}

/// The samples of one period.
#[derive(Debug, Default)]
pub(super) struct OpenPeriod {
    pub number: u8,
    pub clocks: Vec<ClockSample>,
    pub ball: OpenTrack,
    pub tracks: Vec<OpenTrack>,
    /// How many samples a track may have: as many as the longest of the periods before.
    pub expected: u32,
    pub refused: u32,
}

/// A raw period without its players, and the players' tracks.
pub(crate) struct BuiltPeriod {
    /// Without the players.
    pub raw: RawPeriod,
    /// The players' tracks, each with its entity.
    pub players: Vec<(usize, RawTrack<()>)>,
    /// The source's time that became 0, in its own unit.
    pub zero: f64,
}

impl OpenPeriod {
    /// Refuses what cannot be, sorts, drops repeats; `None` when nothing is left.
    pub(super) fn finish(
        mut self,
        entities: &[(NameIx, NameIx)],
        kept: &[bool],
        team_ids: &[NameIx],
        names: &Names,
        rules: &FinishRules,
        late: &mut Vec<Late>,
    ) -> Option<BuiltPeriod> {
        for (entity, track) in self.tracks.iter_mut().enumerate() {
            if !kept[entity] {
                let (team, player) = entities[entity];
                let (team, player) = (names.name(team), names.name(player));
                let teams: Vec<&str> = team_ids.iter().map(|t| &**names.name(*t)).collect();
                let detail: Arc<str> = if teams.contains(&&**team) {
                    format!(
                        "player `{player}` stands for team `{team}` here and for another one elsewhere; expected one \
                         team a player: the `players` table's, else the one of most rows, counts"
                    )
                } else {
                    format!(
                        "team `{team}` is a third one beside {teams:?}; expected two teams: leave officials out, and \
                         name what marks the ball in the mapping"
                    )
                }
                .into();
                late.extend(
                    track
                        .sample
                        .iter()
                        .map(|&sample| (sample, RefusalReason::UnknownEntity, detail.clone())),
                );
                *track = OpenTrack::default();
            }
        }
        let per_s = rules.time_per_s;
        let mut duplicates = 0;
        for track in self.tracks.iter_mut().chain([&mut self.ball]) {
            track.put_in_order();
        }
        let most = MAX_FROM_MIDDLE_S * per_s;
        let bounds = |period: &Self, end: fn(&[f64]) -> Option<&f64>| -> Vec<f64> {
            period
                .tracks
                .iter()
                .chain([&period.ball])
                .filter_map(|t| end(&t.time))
                .copied()
                .collect()
        };
        let first = bounds(&self, |t| t.first()).into_iter().min_by(f64::total_cmp)?;
        let last = bounds(&self, |t| t.last()).into_iter().max_by(f64::total_cmp)?;
        // No two times farther apart than that: none can be too far from the middle one.
        if last - first > most {
            let middle = self.middle_time()?;
            for track in self.tracks.iter_mut().chain([&mut self.ball]) {
                track.refuse_far_from(middle, most, per_s, late);
            }
            self.clocks.retain(|c| (c.t_s - middle).abs() <= most);
        }
        for track in self.tracks.iter_mut().chain([&mut self.ball]) {
            if track.out_of_order {
                duplicates += track.drop_repeats(per_s, late);
            }
        }
        let first = bounds(&self, |t| t.first()).into_iter().min_by(f64::total_cmp)?;
        let is_kept = match rules.counts_from {
            CountsFrom::PeriodStart => (0.0..=MAX_FIRST_INSTANT_S * per_s).contains(&first),
            CountsFrom::Anywhere => false,
        };
        let zero = if is_kept { 0.0 } else { first };
        for track in self.tracks.iter_mut().chain([&mut self.ball]) {
            track.count_from(zero, per_s);
            // Two times that were hardly apart may be one now: a difference has no more digits than what it is of.
            if !track.time.is_sorted_by(|a, b| a < b) {
                duplicates += track.drop_repeats(1.0, late);
            }
        }
        let clocks = finish_clocks(self.clocks, zero, per_s);
        let mut players = Vec::new();
        for (entity, track) in self.tracks.into_iter().enumerate() {
            if !track.time.is_empty() {
                players.push((entity, track.finish(())));
            }
        }
        let raw = RawPeriod {
            number: self.number,
            clocks,
            players: Vec::new(),
            ball: self.ball.finish(()),
            duplicate_rows: duplicates,
            rows_quarantined: 0,
        };
        Some(BuiltPeriod { raw, players, zero })
    }

    /// The middle one of all times; order of rows does not matter.
    fn middle_time(&self) -> Option<f64> {
        let mut all: Vec<f64> = self
            .tracks
            .iter()
            .chain([&self.ball])
            .flat_map(|t| &t.time)
            .copied()
            .collect();
        if all.is_empty() {
            return None;
        }
        let middle = all.len() / 2;
        Some(*all.select_nth_unstable_by(middle, f64::total_cmp).1)
    }
}

/// Strictly ascending clocks; of several at an instant each clock's first one.
fn finish_clocks(mut clocks: Vec<ClockSample>, zero: f64, per_s: f64) -> Vec<ClockSample> {
    if !clocks.is_sorted_by(|a, b| a.t_s <= b.t_s) {
        clocks.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    }
    let mut out: Vec<ClockSample> = Vec::with_capacity(clocks.len());
    for clock in clocks {
        let t_s = (clock.t_s - zero) / per_s;
        match out.last_mut() {
            Some(last) if last.t_s == t_s => {
                if last.game_clock_s.is_nan() {
                    last.game_clock_s = clock.game_clock_s;
                }
                if last.shot_clock_s.is_nan() {
                    last.shot_clock_s = clock.shot_clock_s;
                }
            }
            _ => out.push(ClockSample { t_s, ..clock }),
        }
    }
    out
}
