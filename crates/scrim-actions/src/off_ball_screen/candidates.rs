//! All candidates off the ball with their evidence, for research and for fitting the model.

use scrim_play::{Play, Scene};
use scrim_tables::tags::ScreenKind;
use scrim_tracks::PlayerIx;

use super::reading::Setting;
use super::{OffBallEvidence, OffBallScreenParams};
use crate::{BallScreen, ScreenInputs};

/// A candidate, sure or not, before repeats are dropped and links are set. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallCandidate {
    /// The possession's id.
    pub possession: usize,
    /// Who may screen.
    pub screener: PlayerIx,
    /// For whom.
    pub user: PlayerIx,
    /// The kind that fits best.
    pub kind: ScreenKind,
    /// The user's closest approach.
    pub used: usize,
    /// What was measured ([`off_ball_evidence_names`](crate::off_ball_evidence_names)).
    pub evidence: OffBallEvidence,
    /// What a correction of the model's answer looks at.
    pub inputs: ScreenInputs,
    /// How sure it is that this is a screen, 0 to 1.
    pub confidence: f32,
}

/// All candidates of a game, by possession, then pair and time.
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
        super::candidates(&setting, params, |reading, decision| {
            found.push(OffBallCandidate {
                possession,
                screener: scene.attackers[reading.passing.screener].player,
                user: scene.attackers[reading.passing.user].player,
                kind: decision.choice.kind,
                used: scene.first_frame + reading.passing.at,
                evidence: decision.evidence,
                inputs: decision.inputs,
                confidence: decision.confidence,
            });
        });
    }
    found
}
