//! When was that: period, game clock, and the time in the video, of any instant of a game. The one clock of the digest, the
//! demo, the report and the clip lists.

use std::collections::BTreeMap;

use scrim_tables::rows::{GameRow, PossessionRow, TrackRow};
use scrim_tables::{Partition, ReadStore, Row, read_columns, read_rows};
use serde::Deserialize;

use crate::SeasonError;
use crate::facts::GameFacts;

/// A video is at most so long, s (eleven days): a greater offset is no time in one.
const LONGEST_VIDEO_S: f64 = 1e6;

/// An instant; [`Words::when`](crate::words::Words::when) says it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct When {
    /// The period, from 1.
    pub period: u8,
    /// Seconds from the period's first frame.
    pub t_s: f64,
    /// Seconds left on the game clock; `None` when not known.
    pub game_clock_s: Option<f64>,
    /// Seconds from the beginning of the video; `None` when the period's offset is not known, or before the video begins.
    pub video_s: Option<f64>,
}

impl When {
    /// The game clock as a scoreboard shows it, `4:31`; `None` when not known.
    pub fn game_clock(&self) -> Option<String> {
        self.game_clock_s.map(minutes)
    }

    /// The time in the video, `1:02:03`; `None` when not known.
    pub fn video_time(&self) -> Option<String> {
        self.video_s.map(|video_s| {
            let seconds = video_s.max(0.0).floor() as u64;
            format!("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
        })
    }
}

/// Minutes and seconds, rounded down as a scoreboard does: `7:05`.
pub fn minutes(seconds: f64) -> String {
    let seconds = seconds.max(0.0).floor() as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// One game's clocks.
#[derive(Debug, Clone, Default)]
pub struct GameClock {
    possessions: BTreeMap<u32, PossessionClock>,
    video_offset_s: Vec<Option<f64>>,
}

/// What is known of the clock in one possession.
#[derive(Debug, Clone)]
struct PossessionClock {
    t_start_s: f64,
    clock_start_s: Option<f32>,
    clock_end_s: Option<f32>,
    /// What the clock showed, sample by sample.
    track: Option<ClockTrack>,
}

/// The clock as `tracks` has it.
#[derive(Debug, Clone, Deserialize)]
struct ClockTrack {
    possession_id: u32,
    t_start_s: f64,
    hz: f32,
    #[serde(rename = "game_clock_tenths")]
    tenths: Vec<Option<u16>>,
}

#[derive(Deserialize)]
struct PossessionColumns {
    possession_id: u32,
    t_start_s: f64,
    game_clock_start_s: Option<f32>,
    game_clock_end_s: Option<f32>,
}

impl GameClock {
    /// The clocks of a game, from its rows.
    pub fn of(possessions: &[PossessionRow], tracks: &[TrackRow], video_offset_s: &[Option<f64>]) -> Self {
        let mut clock = Self::of_columns(
            possessions.iter().map(|row| PossessionColumns {
                possession_id: row.possession_id,
                t_start_s: row.t_start_s,
                game_clock_start_s: row.game_clock_start_s,
                game_clock_end_s: row.game_clock_end_s,
            }),
            video_offset_s,
        );
        let tracks = tracks.iter().filter(|row| !row.game_clock_tenths.is_empty());
        clock.add_tracks(tracks.map(|row| ClockTrack {
            possession_id: row.possession_id,
            t_start_s: row.t_start_s,
            hz: row.hz,
            tenths: row.game_clock_tenths.clone(),
        }));
        clock
    }

    /// The clocks of a game, from the possessions that the season knows: without tracks and without video.
    pub fn of_facts(game: &GameFacts) -> Self {
        Self::of_columns(
            game.possessions
                .iter()
                .enumerate()
                .map(|(place, possession)| PossessionColumns {
                    // Ids count from 0 in the table's order.
                    possession_id: place as u32,
                    t_start_s: possession.t_start_s,
                    game_clock_start_s: possession.game_clock_start_s,
                    game_clock_end_s: possession.game_clock_end_s,
                }),
            &[],
        )
    }

    /// Reads the clocks of the game at `partition`. `games` and `tracks` may be absent: then the video, or the clock's stops
    /// within a possession, are not known.
    ///
    /// # Errors
    /// [`SeasonError`] when `possessions` is absent or a table cannot be read.
    pub fn read(store: &dyn ReadStore, partition: &Partition) -> Result<Self, SeasonError> {
        let game_id = || partition.game_id().to_owned();
        let refused = |source| SeasonError::Table {
            game_id: game_id(),
            source,
        };
        let bytes = store.get(&partition.path(PossessionRow::TABLE))?;
        let bytes = bytes.ok_or_else(|| SeasonError::MissingTable {
            game_id: game_id(),
            table: PossessionRow::TABLE,
        })?;
        let columns = [
            "possession_id",
            "t_start_s",
            "game_clock_start_s",
            "game_clock_end_s",
        ];
        let possessions: Vec<PossessionColumns> =
            read_columns(PossessionRow::TABLE, &columns, bytes).map_err(refused)?;
        let video_offset_s = match store.get(&partition.path(GameRow::TABLE))? {
            Some(bytes) => {
                let rows: Vec<GameRow> = read_rows(bytes).map_err(refused)?;
                rows.into_iter().next().map(|row| row.video_offset_s)
            }
            None => None,
        };
        let mut clock = Self::of_columns(possessions, &video_offset_s.unwrap_or_default());
        if let Some(bytes) = store.get(&partition.path(TrackRow::TABLE))? {
            let columns = ["possession_id", "t_start_s", "hz", "game_clock_tenths"];
            let tracks: Vec<ClockTrack> = read_columns(TrackRow::TABLE, &columns, bytes).map_err(refused)?;
            clock.add_tracks(tracks.into_iter().filter(|track| !track.tenths.is_empty()));
        }
        Ok(clock)
    }

    fn of_columns(
        possessions: impl IntoIterator<Item = PossessionColumns>,
        video_offset_s: &[Option<f64>],
    ) -> Self {
        let possessions = possessions.into_iter().map(|row| {
            let clock = PossessionClock {
                t_start_s: row.t_start_s,
                clock_start_s: row.game_clock_start_s,
                clock_end_s: row.game_clock_end_s,
                track: None,
            };
            (row.possession_id, clock)
        });
        Self {
            possessions: possessions.collect(),
            video_offset_s: video_offset_s.to_vec(),
        }
    }

    /// The first track of each possession counts.
    fn add_tracks(&mut self, tracks: impl IntoIterator<Item = ClockTrack>) {
        for track in tracks {
            if let Some(possession) = self.possessions.get_mut(&track.possession_id) {
                possession.track.get_or_insert(track);
            }
        }
    }

    /// An instant of a possession.
    pub fn at(&self, period: u8, possession_id: u32, t_s: f64) -> When {
        let possession = self.possessions.get(&possession_id);
        When {
            period,
            t_s,
            game_clock_s: possession.and_then(|possession| possession.game_clock_s(t_s)),
            video_s: self
                .video_offset_s(period)
                .map(|offset_s| t_s + offset_s)
                .filter(|video_s| *video_s >= 0.0),
        }
    }

    /// Where the period's first frame is in the video, s; `None` when not known, or further off than any video is long.
    pub fn video_offset_s(&self, period: u8) -> Option<f64> {
        let place = usize::from(period).checked_sub(1)?;
        let offset_s = self.video_offset_s.get(place).copied().flatten()?;
        (offset_s.abs() <= LONGEST_VIDEO_S).then_some(offset_s)
    }
}

impl PossessionClock {
    /// As the tracks have it; else the clock at the possession's start less the time since, for it mostly runs on while a team
    /// has the ball. It may have stopped in between, so this is never below the clock at the possession's end.
    fn game_clock_s(&self, t_s: f64) -> Option<f64> {
        self.track.as_ref().and_then(|track| track.at(t_s)).or_else(|| {
            let start_s = f64::from(self.clock_start_s?);
            let gone_s = (t_s - self.t_start_s).max(0.0);
            Some((start_s - gone_s).max(f64::from(self.clock_end_s.unwrap_or(0.0))))
        })
    }
}

impl ClockTrack {
    /// At the nearest sample; `None` outside the track and where the clock is not known.
    fn at(&self, t_s: f64) -> Option<f64> {
        let sample = ((t_s - self.t_start_s) * f64::from(self.hz)).round();
        if !(0.0..self.tenths.len() as f64).contains(&sample) {
            return None;
        }
        self.tenths[sample as usize].map(|tenths| f64::from(tenths) / 10.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A possession from 100 s on: the clock shows 300.0 at its start and 285.0 at its end.
    fn clock(track: Option<ClockTrack>) -> GameClock {
        let columns = PossessionColumns {
            possession_id: 7,
            t_start_s: 100.0,
            game_clock_start_s: Some(300.0),
            game_clock_end_s: Some(285.0),
        };
        let mut clock = GameClock::of_columns([columns], &[None, Some(3600.0)]);
        clock.add_tracks(track);
        clock
    }

    fn track() -> ClockTrack {
        ClockTrack {
            possession_id: 7,
            t_start_s: 105.0,
            hz: 10.0,
            tenths: vec![Some(2990), Some(2990), None],
        }
    }

    fn shown(clock: &GameClock, t_s: f64) -> String {
        clock.at(1, 7, t_s).game_clock().unwrap()
    }

    #[test]
    fn the_tracks_know_where_the_clock_stood_still() {
        let clock = clock(Some(track()));
        // 299.0 s is 4:59; by the possession's clocks alone it would be 300 - 5 = 295 s.
        assert_eq!(shown(&clock, 105.1), "4:59");
        // Not known there, and outside the track: 300 - 5.2 and 300 - 10.
        assert_eq!(shown(&clock, 105.2), "4:54");
        assert_eq!(shown(&clock, 110.0), "4:50");
    }

    #[test]
    fn the_clock_is_never_below_that_of_the_possessions_end() {
        assert_eq!(clock(None).at(1, 7, 130.0).game_clock_s, Some(285.0));
        assert_eq!(clock(None).at(1, 7, 90.0).game_clock_s, Some(300.0));
    }

    #[test]
    fn the_video_time_is_known_where_the_periods_offset_is() {
        // 3600 + 125 s.
        assert_eq!(
            clock(None).at(2, 7, 125.0).video_time().as_deref(),
            Some("1:02:05")
        );
        assert_eq!(clock(None).at(1, 7, 125.0).video_time(), None);
    }

    #[test]
    fn seconds_are_shown_as_a_scoreboard_does() {
        // 7 · 60 + 5 = 425; whole seconds that are left.
        assert_eq!(minutes(425.9), "7:05");
        assert_eq!(minutes(-0.2), "0:00");
    }
}
