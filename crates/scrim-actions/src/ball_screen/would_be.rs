//! All would-be screens with what was weighed, for research and for fitting the weights.

use scrim_play::{Play, Scene};
use scrim_tables::tags::Outcome;
use scrim_tracks::{Game, PlayerIx};

use super::{ScreenFits, ScreenParams};

/// A would-be ball screen, sure or not, before repeats are dropped and links are set. Frames are the period's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenCandidate {
    /// The possession's id.
    pub possession: usize,
    /// Who would screen.
    pub screener: PlayerIx,
    /// The handler.
    pub user: PlayerIx,
    /// What became of it, if it is a screen. Never `flipped`: that is told by the next one.
    pub outcome: Outcome,
    /// Iced before the screen was there.
    pub early_denial: bool,
    /// The user's closest approach, or the instant of parting.
    pub used: usize,
    /// How well each part fits.
    pub fits: ScreenFits,
    /// How sure it is that this is a screen, 0 to 1: the fits under [`ScreenParams::weights`].
    pub confidence: f32,
}

/// All would-be ball screens of a game, by possession, then handler, team-mate and time, early denials last;
/// handoffs are not among them.
///
/// [`find_ball_screens`](crate::find_ball_screens) keeps those sure enough, and one of each that is told twice.
pub fn screen_candidates(game: &Game, play: &Play, params: &ScreenParams) -> Vec<ScreenCandidate> {
    let mut found = Vec::new();
    for (possession, of) in play.possessions.iter().enumerate() {
        let scene = Scene::of(game, play, of);
        super::would_be(&scene, params, |reading, decision| {
            found.push(ScreenCandidate {
                possession,
                screener: scene.attackers[reading.mate].player,
                user: scene.attackers[reading.handler].player,
                outcome: decision.outcome,
                early_denial: decision.early_denial,
                used: scene.first_frame + decision.at,
                fits: decision.fits,
                confidence: decision.confidence,
            });
        });
    }
    found
}
