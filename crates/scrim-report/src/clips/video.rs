//! Where a game's video is against its tracks, from what a person reads off a scoreboard in the video.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::str::FromStr;

use crate::{GameRows, ReportError, TeamGames};

/// Two readings of one period may differ by this much, s: a scoreboard changes once a second, and a finger is not quicker.
const AGREE_S: f64 = 2.0;

/// What a person saw: at this time of the video the scoreboard turned to this clock.
#[derive(Debug, Clone, PartialEq)]
pub struct VideoMark {
    /// The game.
    pub game_id: String,
    /// The period, from 1.
    pub period: u8,
    /// Seconds from the beginning of the video.
    pub video_s: f64,
    /// Whole seconds that the scoreboard shows as left.
    pub shown_s: u32,
}

impl FromStr for VideoMark {
    type Err = String;

    /// `GAME:PERIOD=VIDEO@CLOCK`, as in `G7:2=0:41:10@9:58`.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts = || {
            let (place, times) = text.rsplit_once('=')?;
            let (game_id, period) = place.rsplit_once(':')?;
            let (video, clock) = times.split_once('@')?;
            let clock_s = seconds(clock)?;
            Some(Self {
                game_id: Some(game_id).filter(|id| !id.is_empty())?.to_owned(),
                period: period.parse().ok().filter(|&period| period > 0)?,
                video_s: seconds(video)?,
                shown_s: Some(clock_s).filter(|s| s.fract() == 0.0)? as u32,
            })
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

/// `1:02:03`
fn video_text(seconds: f64) -> String {
    let whole = seconds.floor() as u64;
    format!("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60)
}

impl fmt::Display for VideoMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let clock = format!("{}:{:02}", self.shown_s / 60, self.shown_s % 60);
        write!(
            f,
            "{}:{}={}@{clock}",
            self.game_id,
            self.period,
            video_text(self.video_s)
        )
    }
}

/// Where the video of a period begins, as `games.csv` has it.
#[derive(Debug, Clone, PartialEq)]
pub struct PeriodOffset {
    /// The game.
    pub game_id: String,
    /// The period, from 1.
    pub period: u8,
    /// Seconds of the video at the period's first frame.
    pub video_offset_s: f64,
    /// By how much the readings of this period differ; `None` of one alone.
    pub apart_s: Option<f64>,
    /// What the tables said before, if it is more than that away.
    pub replaced_s: Option<f64>,
}

/// Sets the offsets of the games that were marked, in place of those in the tables; for these rows only.
///
/// # Errors
/// [`ReportError`]: a game or period that is not among them, a clock that the tracks show at no instant or at several, or marks that do not
/// agree.
pub fn set_video_offsets(
    team: &mut TeamGames,
    marks: &[VideoMark],
) -> Result<Vec<PeriodOffset>, ReportError> {
    let mut read: BTreeMap<(&str, u8), Vec<(f64, &VideoMark)>> = BTreeMap::new();
    for mark in marks {
        let t_s = turns_to(game_of(team, mark)?, mark)?;
        let of_period = read.entry((&mark.game_id, mark.period)).or_default();
        of_period.push((mark.video_s - t_s, mark));
    }
    let mut set = Vec::with_capacity(read.len());
    for ((game_id, period), mut offsets) in read {
        offsets.sort_by(|a, b| a.0.total_cmp(&b.0));
        let [(low_s, first), .., (high_s, last)] = offsets.as_slice() else {
            set.extend(
                offsets
                    .iter()
                    .map(|&(offset_s, _)| (game_id, period, offset_s, None)),
            );
            continue;
        };
        let apart_s = high_s - low_s;
        if apart_s > AGREE_S {
            return Err(ReportError::MarksApart {
                one: first.to_string(),
                other: last.to_string(),
                apart_s,
            });
        }
        set.push((game_id, period, (low_s + high_s) / 2.0, Some(apart_s)));
    }
    let mut done = Vec::with_capacity(set.len());
    for (game_id, period, video_offset_s, apart_s) in set {
        let place = usize::from(period) - 1;
        let mut before = None;
        for game in &mut team.games {
            if game.game.game_id.as_ref() == game_id {
                let offsets = &mut game.game.video_offset_s;
                before = offsets.get(place).copied().flatten();
                offsets.resize(offsets.len().max(place + 1), None);
                offsets[place] = Some(video_offset_s);
            }
        }
        done.push(PeriodOffset {
            game_id: game_id.to_owned(),
            period,
            video_offset_s,
            apart_s,
            replaced_s: before.filter(|before_s| (before_s - video_offset_s).abs() > AGREE_S),
        });
    }
    Ok(done)
}

/// The game of a mark.
fn game_of<'t>(team: &'t TeamGames, mark: &VideoMark) -> Result<&'t GameRows, ReportError> {
    let mut games = team.games.iter();
    let named = games.find(|game| game.game.game_id.as_ref() == mark.game_id);
    named.ok_or_else(|| ReportError::UnknownGame {
        game_id: mark.game_id.clone(),
        found: team
            .games
            .iter()
            .map(|game| game.game.game_id.to_string())
            .collect(),
    })
}

/// The instant at which the scoreboard turns to a mark's seconds, s from the period's first frame. A clock that stands shows the same for
/// long: only where it turns is the instant known. One that was set back turns to a second again.
fn turns_to(game: &GameRows, mark: &VideoMark) -> Result<f64, ReportError> {
    let found: BTreeSet<u8> = game.possessions.iter().map(|row| row.period).collect();
    if !found.contains(&mark.period) {
        return Err(ReportError::UnknownPeriod {
            mark: mark.to_string(),
            found: found.into_iter().collect(),
        });
    }
    let shows = |tenths: &Option<u16>| tenths.map(|tenths| u32::from(tenths) / 10);
    let is_turn = |pair: &[Option<u16>]| {
        shows(&pair[0]).is_some_and(|before| before > mark.shown_s) && shows(&pair[1]) == Some(mark.shown_s)
    };
    let mut turns_s = Vec::new();
    let tracks = game.tracks.iter();
    for row in tracks.filter(|row| row.period == mark.period && row.hz > 0.0) {
        let pairs = row.game_clock_tenths.windows(2).enumerate();
        let turns = pairs.filter(|(_, pair)| is_turn(pair));
        turns_s.extend(turns.map(|(before, _)| row.t_start_s + (before + 1) as f64 / f64::from(row.hz)));
    }
    turns_s.sort_by(f64::total_cmp);
    match turns_s.as_slice() {
        [] => Err(ReportError::ClockNotShown {
            mark: mark.to_string(),
        }),
        [first, .., last] if last - first > AGREE_S => Err(ReportError::ClockTurnsAgain {
            mark: mark.to_string(),
            apart_s: last - first,
        }),
        [first, ..] => Ok(*first),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::{staged_game, staged_team};

    fn mark(text: &str) -> VideoMark {
        text.parse().unwrap()
    }

    #[test]
    fn a_mark_is_a_game_a_period_a_time_of_the_video_and_a_clock() {
        let read = mark("2041:G=7:2=1:02:03.5@9:58");
        assert_eq!((read.game_id.as_str(), read.period), ("2041:G=7", 2));
        assert_eq!((read.video_s, read.shown_s), (3723.5, 598));
        assert_eq!(read.to_string(), "2041:G=7:2=1:02:03@9:58");
        assert_eq!(mark("G:1=62:03@0:07").video_s, 3723.0);
        for text in [
            "",
            "G",
            "G:1",
            "G:1=10",
            "G:1=10@",
            "G:0=10@9:58",
            ":1=10@9:58",
            "G:1=1:99@9:58",
            "G:1=1.5:10@9:58",
            "G:1=10@9:58.5",
            "G:1=-10@9:58",
            "G:1=1:2:3:4@9:58",
            "G:1=NaN@9:58",
            "G:256=10@9:58",
        ] {
            assert!(text.parse::<VideoMark>().is_err(), "{text}");
        }
    }

    // The staged possessions begin at 0, 20, 40 s with 600, 580, 560 s on the clock, which runs a second a second.
    #[test]
    fn the_offset_puts_the_marked_clock_at_the_marked_time() {
        let mut team = staged_team(vec![staged_game("G1", 3)]);
        team.games[0].game.video_offset_s = vec![Some(100.0)];
        // The clock turns from 9:56 to 9:55 when 595.9 s are left, 4.1 s into the period.
        let set =
            set_video_offsets(&mut team, &[mark("G1:1=0:12:40@9:55"), mark("G1:1=0:12:56@9:39")]).unwrap();
        assert_eq!(set.len(), 1);
        assert!((set[0].video_offset_s - (760.0 - 4.1)).abs() < 1e-6, "{set:?}");
        assert!(set[0].apart_s.is_some_and(|apart_s| apart_s < 0.2), "{set:?}");
        assert_eq!(set[0].replaced_s, Some(100.0));
        assert_eq!(team.games[0].game.video_offset_s, [Some(set[0].video_offset_s)]);
    }

    #[test]
    fn all_marks_of_a_period_are_held_against_each_other_and_the_middle_counts() {
        let set = |third: &str| {
            let mut team = staged_team(vec![staged_game("G1", 3)]);
            // 9:55 is 4.1 s into the period, 9:39 20.1 s.
            let marks = ["G1:1=0:12:41@9:55", "G1:1=0:12:56@9:39", third].map(mark);
            set_video_offsets(&mut team, &marks)
        };
        // 756.9, 755.9 and 755.4 s.
        let offset = set("G1:1=759.5@9:55").unwrap().remove(0);
        assert!((offset.video_offset_s - 756.15).abs() < 0.11, "{offset:?}");
        assert!((offset.apart_s.unwrap() - 1.5).abs() < 0.11, "{offset:?}");
        // 754.4 s: 1.5 s from the second, which is not the first, and 2.5 s from the first.
        let error = set("G1:1=758.5@9:55").unwrap_err().to_string();
        assert!(
            error.contains("0:12:38@9:55") && error.contains("0:12:41@9:55"),
            "{error}"
        );
    }

    #[test]
    fn a_second_that_the_clock_turns_to_twice_is_refused() {
        let mut game = staged_game("G1", 3);
        let mut again = game.tracks.clone();
        again.iter_mut().for_each(|row| row.t_start_s += 40.0);
        game.tracks.extend(again);
        let mut team = staged_team(vec![game]);
        let error = set_video_offsets(&mut team, &[mark("G1:1=0:12:40@9:55")])
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("another second") && error.contains("40.0 s"),
            "{error}"
        );
    }

    #[test]
    fn a_clock_with_tenths_is_told_to_be_whole() {
        let error = "G:1=10@9:58.5".parse::<VideoMark>().unwrap_err();
        assert!(error.contains("whole seconds"), "{error}");
        assert!("G:1=10.5@9:58".parse::<VideoMark>().is_ok());
    }

    #[test]
    fn marks_that_disagree_or_show_a_clock_that_is_not_there_are_refused() {
        for (marks, part) in [
            (vec![mark("G2:1=10@9:55")], "G1"),
            (vec![mark("G1:1=10@3:00")], "G1:1=0:00:10@3:00"),
            (
                vec![mark("G1:2=10@9:55")],
                "has no period of G1:2=0:00:10@9:55; it has [1]",
            ),
            (vec![mark("G1:1=12:40@9:55"), mark("G1:1=12:50@9:39")], "6.0 s"),
        ] {
            let mut team = staged_team(vec![staged_game("G1", 3)]);
            let before = team.games[0].game.clone();
            let error = set_video_offsets(&mut team, &marks).unwrap_err().to_string();
            assert!(error.contains(part), "{error}");
            assert_eq!(team.games[0].game, before);
        }
    }
}
