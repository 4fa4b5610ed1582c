//! Ball screens and handoffs one by one, each with the tracks around its use: for a page that plays them by itself.

use scrim_floor::Court;
use scrim_season::words::{Names, Words};
use scrim_tables::tags::Entity;
use scrim_tables::{Id, Partition, ReadStore};
use serde::Serialize;

use crate::ReportError;
use crate::drawing::{PlayTracks, courts_markup};
use crate::playback::{Kept, kept_play};
use crate::plays::{Plays, ScreenPlay, clocks_of};
use crate::read::read_game_of;

/// One ball screen or handoff.
#[derive(Debug, Serialize)]
pub struct ScreenClip {
    /// Its row in `screens`.
    pub screen_id: u32,
    /// What the game is called, from the attackers' side.
    pub game: String,
    /// Who attacks.
    pub team: String,
    /// Period, game clock and, where it is known, the time in the video, at the use.
    pub when: String,
    /// Seconds from the first sample to the use.
    pub use_s: f64,
    /// The attackers that are seen, by number.
    pub attackers: Vec<ClipPlayer>,
    /// The tracks.
    playback: Kept,
}

/// A player of a clip.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ClipPlayer {
    /// As the tables spell it.
    pub id: Id,
    /// Number and name, as far as they are known.
    pub called: String,
    /// The number, when it has one or two characters.
    pub number: String,
}

/// Courts that clips are played on, each once.
#[derive(Debug, Default)]
pub struct ClipCourts(Vec<Court>);

impl ClipCourts {
    /// The courts' lines, hidden, for a page to hold once.
    pub fn markup(&self) -> String {
        courts_markup(&self.0).into_string()
    }

    fn place(&mut self, court: &Court) -> usize {
        let known = self.0.iter().position(|known| known == court);
        known.unwrap_or_else(|| {
            self.0.push(court.clone());
            self.0.len() - 1
        })
    }
}

/// The clips of some ball screens and handoffs of a game, from `before_s` before their use to `after_s` after it, in the order in which they
/// are asked for; one without tracks, or that the tables do not have, is left out. What the game's tables lack comes second, in words.
///
/// # Errors
/// [`ReportError`]: a file that cannot be read, or a broken table of possessions or screens.
pub fn screen_clips(
    store: &dyn ReadStore,
    partition: &Partition,
    screen_ids: &[u32],
    (before_s, after_s): (f64, f64),
    courts: &mut ClipCourts,
    words: &Words,
) -> Result<(Vec<ScreenClip>, Vec<String>), ReportError> {
    let team = read_game_of(store, partition, "")?;
    let clocks = clocks_of(&team);
    let plays = Plays::of(&team, &clocks);
    let names = Names::of(team.games.iter().flat_map(|game| &game.players));
    let clips = screen_ids.iter().filter_map(|&screen_id| {
        let of_screen = |play: &&ScreenPlay<'_>| play.screen.screen_id == screen_id;
        let play = plays.on_ball.iter().find(of_screen)?;
        let tracks = PlayTracks::of(play.game, play.screen.possession_id)?;
        let use_s = play.screen.t_use_s;
        if !tracks.holds(use_s) {
            return None;
        }
        let span = tracks.sample_at(use_s - before_s)..tracks.sample_at(use_s + after_s) + 1;
        let attackers = play.possession.offense_team_id.to_string();
        let court = play.game.court();
        let place = courts.place(&court);
        let game = play.game.called(&attackers, words);
        let title = format!("{attackers}, {game}, {}", words.when(&play.when()));
        Some(ScreenClip {
            screen_id,
            when: words.when_with_video(&play.when()),
            use_s: use_s - tracks.t_s(span.start),
            attackers: attackers_of(&names, &tracks),
            playback: kept_play(words, &names, play, &tracks, (place, &court), span, title),
            game,
            team: attackers,
        })
    });
    let notes = team.notes.iter().map(|note| note.text(words)).collect();
    Ok((clips.collect(), notes))
}

/// By number, numbers as numbers; those without one last, by id.
fn attackers_of(names: &Names, tracks: &PlayTracks) -> Vec<ClipPlayer> {
    let players = tracks
        .side(Entity::Offense)
        .filter_map(|trace| trace.player.clone());
    let mut players: Vec<ClipPlayer> = players
        .map(|id| ClipPlayer {
            called: names.called(&id),
            number: names.number(&id).unwrap_or_default().into(),
            id,
        })
        .collect();
    players.sort_by_key(|player| {
        let number = player.number.parse::<u32>().unwrap_or(u32::MAX);
        (number, player.id.clone())
    });
    players
}
