//! Clip lists for whatever video tool the staff use: each ball screen and handoff as a clip, with period and game clock always, and
//! the time in the video where the period's offset is known.
//!
//! - `clip`: a ball screen as a clip, with its tags on their instants;
//! - `csv_list`: one CSV for all games;
//! - `vtt`: WebVTT, chapters and tags, a file a game;
//! - `otio`: OpenTimelineIO, a file a game.

mod clip;
mod csv_list;
mod otio;
mod vtt;

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use scrim_season::ball_screens::OnBallScreen;

use crate::plays::clocks_of;
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

/// Whose ball screens and handoffs become clips.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClipSide {
    /// The team's own.
    Offense,
    /// Those that it defends.
    Defense,
    /// Both.
    Both,
}

/// A file of a clip list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClipFile {
    /// A file's name without folders: a game's id in it is percent-encoded (RFC 3986).
    pub name: String,
    /// What is in it, UTF-8.
    pub text: String,
}

/// The clip lists of a team's games.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClipLists {
    /// The files.
    pub files: Vec<ClipFile>,
    /// How many clips there are, one of each ball screen and handoff.
    pub clips: usize,
    /// How many of them are of ball screens, as everything else counts them; the others are of handoffs.
    pub ball_screens: usize,
    /// How many of them have a time in a video.
    pub with_video_time: usize,
}

/// Clip lists of a team's games, in each of the forms.
///
/// # Errors
/// [`ReportError`]; no input causes that.
pub fn clip_lists(
    team: &TeamGames,
    side: ClipSide,
    formats: &[ClipFormat],
) -> Result<ClipLists, ReportError> {
    let clocks = clocks_of(team);
    let clips = clips_of(team, &clocks, side);
    let mut files = Vec::new();
    let mut formats = formats.to_vec();
    formats.sort_unstable();
    formats.dedup();
    for format in formats {
        match format {
            ClipFormat::Csv => files.push(csv_list::file(&clips)?),
            ClipFormat::Vtt => files.extend(by_game(&clips).flat_map(vtt::files)),
            ClipFormat::Otio => {
                for clips in by_game(&clips) {
                    files.push(otio::file(clips)?);
                }
            }
        }
    }
    Ok(ClipLists {
        files,
        clips: clips.len(),
        ball_screens: clips.iter().filter(|clip| clip.play.is_ball_screen()).count(),
        with_video_time: clips.iter().filter(|clip| clip.video.is_some()).count(),
    })
}

/// The clips of each game: they stand together.
fn by_game<'c, 'a>(clips: &'c [Clip<'a>]) -> impl Iterator<Item = &'c [Clip<'a>]> {
    clips.chunk_by(|a, b| a.game_place == b.game_place)
}

/// Everything but RFC 3986's unreserved characters is encoded.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~');

/// A game's id (with its season where it is known, for two seasons may use one id) as the beginning of a file's name.
fn stem(clip: &Clip<'_>) -> String {
    let season = clip.season.as_deref().unwrap_or("unknown");
    format!("{}_{}", file_stem(season), file_stem(&clip.game_id))
}

/// An id as a file's name: percent-encoded (RFC 3986), and a full stop at its beginning too, so that it is neither hidden
/// nor another folder.
pub fn file_stem(id: &str) -> String {
    let encoded = utf8_percent_encode(id, ENCODED).to_string();
    match encoded.strip_prefix('.') {
        Some(rest) => format!("%2E{rest}"),
        None => encoded,
    }
}

#[cfg(test)]
mod tests;
