//! Drawings of one possession, for whoever looks it up.

use scrim_season::words::{Names, Words};
use scrim_tables::ReadStore;

use crate::ReportError;
use crate::drawing::{Drawing, PlayTracks, frames_of};
use crate::plays::{Plays, clocks_of};
use crate::read::read_game_alone;

/// Draws each ball screen and handoff of a possession, frame by frame, in time order. Drawings are called `SCREEN-FRAME`, by the
/// screen's id. None when it has none, or the tables have no tracks of it.
///
/// # Errors
/// [`ReportError`]: no such game or possession, or a table that cannot be read.
pub fn draw_possession(
    store: &dyn ReadStore,
    game_id: &str,
    possession_id: u32,
    words: &Words,
) -> Result<Vec<Drawing>, ReportError> {
    let team = read_game_alone(store, game_id)?;
    let is_there = |game: &crate::GameRows| {
        game.possessions
            .iter()
            .any(|possession| possession.possession_id == possession_id)
    };
    if !team.games.iter().any(is_there) {
        return Err(ReportError::UnknownPossession {
            game_id: game_id.into(),
            possession_id,
        });
    }
    let clocks = clocks_of(&team);
    let plays = Plays::of(&team, &clocks);
    let names = Names::of(team.games.iter().flat_map(|game| &game.players));
    let mut drawings = Vec::new();
    for play in &plays.on_ball {
        if play.screen.possession_id != possession_id {
            continue;
        }
        let Some(tracks) = PlayTracks::of(play.game, possession_id) else {
            continue;
        };
        let (court, stem) = (play.game.court(), play.screen.screen_id.to_string());
        let frames = frames_of(play, &tracks, &names, words);
        drawings.extend(frames.iter().map(|frame| frame.drawing(&court, &stem, words)));
    }
    Ok(drawings)
}
