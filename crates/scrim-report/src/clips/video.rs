//! Where a game's video is against its tracks, from what a person reads off a scoreboard in the video.

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

use scrim_tables::ledger::{MarkedVideo, VideoMark};
use scrim_tables::rows::{GameRow, TrackRow};

use crate::ReportError;

/// Two readings of one period may differ by this much, s: a scoreboard changes once a second, and a finger is not quicker.
const AGREE_S: f64 = 2.0;

/// A mark of a game, as a person writes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SyncMark {
    /// The game.
    pub game_id: String,
    /// What was seen.
    pub mark: VideoMark,
}

/// A period of a game, as a person writes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SyncPeriod {
    /// The game.
    pub game_id: String,
    /// The period, from 1.
    pub period: u8,
}

impl FromStr for SyncPeriod {
    type Err = String;

    /// `GAME:PERIOD`, as in `G7:2`.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts = || {
            let (game_id, period) = text.rsplit_once(':')?;
            Some(Self {
                game_id: Some(game_id).filter(|id| !id.is_empty())?.to_owned(),
                period: period.parse().ok().filter(|&period| period > 0)?,
            })
        };
        parts().ok_or_else(|| "expected GAME:PERIOD, as in G7:2".to_owned())
    }
}

impl FromStr for SyncMark {
    type Err = String;

    /// `GAME:PERIOD=VIDEO@CLOCK`, as in `G7:2=0:41:10@9:58`.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts = || {
            let (place, times) = text.rsplit_once('=')?;
            let SyncPeriod { game_id, period } = place.parse().ok()?;
            let (video, clock) = times.split_once('@')?;
            let clock_s = seconds(clock)?;
            let mark = VideoMark {
                period,
                video_ms: (seconds(video)? * 1000.0).round() as u32,
                clock_s: Some(clock_s).filter(|s| s.fract() == 0.0)? as u32,
            };
            Some(Self { game_id, mark })
        };
        let has_tenths = text
            .rsplit_once('@')
            .is_some_and(|(_, clock)| clock.contains('.'));
        if has_tenths {
            return Err(
                "the clock is in whole seconds, as in G7:2=0:41:10@9:58: give the moment at which the scoreboard turns to one".to_owned(),
            );
        }
        parts().ok_or_else(|| "expected GAME:PERIOD=VIDEO@CLOCK, as in G7:2=0:41:10@9:58".to_owned())
    }
}

/// `1:02:03.5`, `62:03`, `9:58` or `12`, s.
fn seconds(text: &str) -> Option<f64> {
    let mut total_s = 0.0;
    let mut parts = text.split(':').peekable();
    let mut count = 0;
    while let Some(part) = parts.next() {
        let is_plain = part.starts_with(|first: char| first.is_ascii_digit())
            && part
                .chars()
                .all(|letter| letter.is_ascii_digit() || letter == '.');
        let value: f64 = Some(part).filter(|_| is_plain)?.parse().ok()?;
        // Only the last part has a fraction, and below the first one there are no sixty.
        if (parts.peek().is_some() && value.fract() != 0.0) || (count > 0 && value >= 60.0) {
            return None;
        }
        total_s = total_s * 60.0 + value;
        count += 1;
    }
    (count <= 3 && total_s < 1e6).then_some(total_s)
}

/// A mark as a person writes it: `G7:2=0:41:10@9:58`.
fn text_of(game_id: &str, mark: &VideoMark) -> String {
    let whole = mark.video_ms / 1000;
    let (hours, minutes, seconds) = (whole / 3600, whole / 60 % 60, whole % 60);
    let part = match mark.video_ms % 1000 {
        0 => String::new(),
        part => format!(".{part:03}").trim_end_matches('0').to_owned(),
    };
    let (period, clock) = (
        mark.period,
        format!("{}:{:02}", mark.clock_s / 60, mark.clock_s % 60),
    );
    format!("{game_id}:{period}={hours}:{minutes:02}:{seconds:02}{part}@{clock}")
}

/// Where the marks of one period put its video.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedOffset {
    /// Seconds of the video at the period's first frame: the middle of the lowest and the highest that a mark says.
    pub video_offset_s: f64,
    /// By how much the marks differ; `None` of one alone.
    pub apart_s: Option<f64>,
}

/// What is known of the video of one period that has marks.
#[derive(Debug)]
pub struct PeriodOffset {
    /// What its marks say; an error where they do not fit the tracks, or each other.
    pub marked: Result<MarkedOffset, ReportError>,
    /// What the source says: it counts, whatever was marked.
    pub given_s: Option<f64>,
}

impl PeriodOffset {
    /// By how much source and marks differ, where that is more than a person's readings do.
    pub fn given_apart_s(&self) -> Option<f64> {
        let marked_s = self.marked.as_ref().ok()?.video_offset_s;
        let apart_s = (self.given_s? - marked_s).abs();
        (apart_s > AGREE_S).then_some(apart_s)
    }
}

/// A game's row with what was marked of its video.
#[derive(Debug)]
pub struct MarkedGame {
    /// The row with an offset for each period that the source gives, else for each whose marks fit.
    pub row: GameRow,
    /// The periods of which the source says it.
    pub given_periods: BTreeSet<u8>,
    /// Each period that has marks.
    pub periods: BTreeMap<u8, PeriodOffset>,
}

impl MarkedGame {
    /// What `marks` say of a game. `row`: as it is without them; `tracks`: its own.
    pub fn new(mut row: GameRow, tracks: &[TrackRow], marks: &BTreeSet<VideoMark>) -> Self {
        let given_s = std::mem::take(&mut row.video_offset_s);
        let is_given = |&period: &u8| offset_of(&given_s, period).is_some();
        let given_periods = (1..=u8::MAX).filter(is_given).collect();
        row.video_offset_s.clone_from(&given_s);
        let mut periods = BTreeMap::new();
        for period in marks.iter().map(|mark| mark.period).collect::<BTreeSet<_>>() {
            let of_period: Vec<_> = marks.iter().filter(|mark| mark.period == period).collect();
            let offset = PeriodOffset {
                marked: offset_by(&row.game_id, tracks, &of_period),
                given_s: offset_of(&given_s, period),
            };
            if let (None, Ok(marked)) = (offset.given_s, &offset.marked) {
                let place = usize::from(period) - 1;
                let offsets = &mut row.video_offset_s;
                offsets.resize(offsets.len().max(place + 1), None);
                offsets[place] = Some(marked.video_offset_s);
            }
            periods.insert(period, offset);
        }
        Self {
            row,
            given_periods,
            periods,
        }
    }
}

/// A game's row as it is without what was marked.
pub fn without_marks(mut row: GameRow, video: &MarkedVideo) -> GameRow {
    for (offset, period) in row.video_offset_s.iter_mut().zip(1..=u8::MAX) {
        offset.take_if(|_| !video.given_periods.contains(&period));
    }
    let known = row.video_offset_s.iter().rposition(Option::is_some);
    row.video_offset_s.truncate(known.map_or(0, |last| last + 1));
    row
}

fn offset_of(offsets_s: &[Option<f64>], period: u8) -> Option<f64> {
    offsets_s
        .get(usize::from(period).checked_sub(1)?)
        .copied()
        .flatten()
}

/// Where the marks of a period, at least one, put its video.
fn offset_by(game_id: &str, tracks: &[TrackRow], marks: &[&VideoMark]) -> Result<MarkedOffset, ReportError> {
    let mut offsets: Vec<(f64, &VideoMark)> = Vec::with_capacity(marks.len());
    for mark in marks {
        let t_s = turns_to(game_id, tracks, mark)?;
        offsets.push((f64::from(mark.video_ms) / 1000.0 - t_s, mark));
    }
    offsets.sort_by(|a, b| a.0.total_cmp(&b.0));
    let [(low_s, first), .., (high_s, last)] = offsets.as_slice() else {
        return Ok(MarkedOffset {
            video_offset_s: offsets[0].0,
            apart_s: None,
        });
    };
    let apart_s = high_s - low_s;
    if apart_s > AGREE_S {
        return Err(ReportError::MarksApart {
            one: text_of(game_id, first),
            other: text_of(game_id, last),
            apart_s,
        });
    }
    Ok(MarkedOffset {
        video_offset_s: (low_s + high_s) / 2.0,
        apart_s: Some(apart_s),
    })
}

/// The instant at which the scoreboard turns to a mark's seconds, s from the period's first frame. A clock that stands shows the same for
/// long: only where it turns is the instant known. One that was set back turns to a second again.
fn turns_to(game_id: &str, tracks: &[TrackRow], mark: &VideoMark) -> Result<f64, ReportError> {
    let found: BTreeSet<u8> = tracks.iter().map(|row| row.period).collect();
    if !found.contains(&mark.period) {
        return Err(ReportError::UnknownPeriod {
            mark: text_of(game_id, mark),
            found: found.into_iter().collect(),
        });
    }
    let shows = |tenths: &Option<u16>| tenths.map(|tenths| u32::from(tenths) / 10);
    let is_turn = |pair: &[Option<u16>]| {
        shows(&pair[0]).is_some_and(|before| before > mark.clock_s) && shows(&pair[1]) == Some(mark.clock_s)
    };
    let mut turns_s = Vec::new();
    let rows = tracks.iter();
    for row in rows.filter(|row| row.period == mark.period && row.hz > 0.0) {
        let pairs = row.game_clock_tenths.windows(2).enumerate();
        let turns = pairs.filter(|(_, pair)| is_turn(pair));
        turns_s.extend(turns.map(|(before, _)| row.t_start_s + (before + 1) as f64 / f64::from(row.hz)));
    }
    turns_s.sort_by(f64::total_cmp);
    match turns_s.as_slice() {
        [] => Err(ReportError::ClockNotShown {
            mark: text_of(game_id, mark),
        }),
        [first, .., last] if last - first > AGREE_S => Err(ReportError::ClockTurnsAgain {
            mark: text_of(game_id, mark),
            apart_s: last - first,
        }),
        [first, ..] => Ok(*first),
    }
}

#[cfg(test)]
mod tests;
