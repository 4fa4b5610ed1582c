//! Clip lists for whatever video tool the staff use: each ball screen and handoff as a clip, with period and game clock always, and
//! the time in the video where the period's offset is known. The latest game first, within a game by time.
//!
//! - `clip`: a ball screen as a clip, with its tags on their instants;
//! - `csv_list`: one CSV for all games;
//! - `vtt`: WebVTT, chapters and tags, a file a game;
//! - `title`: what a clip is called;
//! - `otio`: OpenTimelineIO, a file a game;
//! - `video`: where a game's video is against its tracks;
//! - `wanted`: which ball screens become clips;
//! - `file`: a file, and what it is called.

mod clip;
mod csv_list;
mod file;
mod otio;
mod title;
mod video;
mod vtt;
mod wanted;

pub use file::{ClipFile, file_stem};
pub use video::{MarkedGame, MarkedOffset, PeriodOffset, SyncMark, SyncPeriod, without_marks};
pub use wanted::{ClipSide, Wanted};

use scrim_season::ball_screens::OnBallScreen;
use scrim_season::words::{Names, Words};

use crate::plays::{Plays, clocks_of};
use crate::{ReportError, TeamGames};
use clip::{Clip, clips_of};

/// A form of clip list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ClipFormat {
    /// One `clips.csv` for all games: opens in any spreadsheet.
    Csv,
    /// WebVTT (W3C): `GAME.chapters.vtt` with a cue a clip, `GAME.tags.vtt` with a cue a tag.
    Vtt,
    /// OpenTimelineIO JSON: `GAME.otio`, a timeline of the game's clips with their tags as markers.
    Otio,
}

/// The clip lists of a team's games.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClipLists {
    /// The files.
    pub files: Vec<ClipFile>,
    /// How many clips there are, one of each ball screen and handoff that is wanted.
    pub clips: usize,
    /// How many of them are of ball screens, as everything else counts them; the others are of handoffs.
    pub ball_screens: usize,
    /// How many of them have a time in a video.
    pub with_video_time: usize,
    /// Where there is none, and a pair was asked for: how many there are with handler and screener the other way round.
    pub other_way: usize,
}

/// Clip lists of a team's games, in each of the forms.
///
/// # Errors
/// [`ReportError`]: a player or a finding that is wanted is not there.
pub fn clip_lists(
    team: &TeamGames,
    wanted: &Wanted,
    formats: &[ClipFormat],
    words: &Words,
) -> Result<ClipLists, ReportError> {
    let clocks = clocks_of(team);
    let plays = Plays::of(team, &clocks);
    let names = Names::of(team.games.iter().flat_map(|game| &game.players));
    let chosen = wanted.of(team, &plays, &names, words)?;
    let other_way = if chosen.is_empty() {
        wanted.other_way(team, &plays, &names, words)?
    } else {
        0
    };
    let clips = clips_of(words, &names, wanted, chosen);
    let mut files = Vec::new();
    let mut formats = formats.to_vec();
    formats.sort_unstable();
    formats.dedup();
    for format in formats {
        match format {
            ClipFormat::Csv => files.push(csv_list::file(&clips)?),
            ClipFormat::Vtt => files.extend(by_game(&clips).flat_map(|clips| vtt::files(clips, words))),
            ClipFormat::Otio => {
                for clips in by_game(&clips) {
                    files.push(otio::file(clips, words)?);
                }
            }
        }
    }
    Ok(ClipLists {
        files,
        clips: clips.len(),
        ball_screens: clips.iter().filter(|clip| clip.play.is_ball_screen()).count(),
        with_video_time: clips.iter().filter(|clip| clip.video.is_some()).count(),
        other_way,
    })
}

/// The clips of each game: they stand together.
fn by_game<'c, 'a>(clips: &'c [Clip<'a>]) -> impl Iterator<Item = &'c [Clip<'a>]> {
    clips.chunk_by(|a, b| a.game_place == b.game_place)
}

#[cfg(test)]
mod tests;
