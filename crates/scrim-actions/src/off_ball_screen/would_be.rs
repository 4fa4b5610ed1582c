//! All would-be off-ball screens with what was weighed, for research and for fitting the weights.

use scrim_play::{Play, Scene};
use scrim_tables::tags::ScreenKind;
use scrim_tracks::PlayerIx;

use super::reading::Setting;
use super::{OffBallFits, OffBallScreenParams};
use crate::BallScreen;

/// A would-be off-ball screen, sure or not, before repeats are dropped and links are set. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallCandidate {
    /// The possession's id.
    pub possession: usize,
    /// Who would screen.
    pub screener: PlayerIx,
    /// For whom.
    pub user: PlayerIx,
    /// The kind that fits best.
    pub kind: ScreenKind,
    /// The user's closest approach.
    pub used: usize,
    /// How well each part fits.
    pub fits: OffBallFits,
    /// How sure it is that this is a screen, 0 to 1: the fits under [`OffBallScreenParams::weights`].
    pub confidence: f32,
}

/// All would-be off-ball screens of a game, by possession, then pair and time.
pub fn off_ball_candidates(
    scenes: &[Scene],
    play: &Play,
    ball_screens: &[BallScreen],
    params: &OffBallScreenParams,
) -> Vec<OffBallCandidate> {
    let mut found = Vec::new();
    for (possession, scene) in scenes.iter().enumerate() {
        let Some(setting) = Setting::of(scene, play, possession, ball_screens) else {
            continue;
        };
        super::would_be(&setting, params, |reading, decision| {
            found.push(OffBallCandidate {
                possession,
                screener: scene.attackers[reading.passing.screener].player,
                user: scene.attackers[reading.passing.user].player,
                kind: decision.choice.kind,
                used: scene.first_frame + reading.passing.at,
                fits: decision.fits,
                confidence: decision.confidence,
            });
        });
    }
    found
}
