//! Candidates off the ball: with their evidence, what they are and how sure; for the detector, for research and for fitting
//! the model.

use scrim_play::{Play, Scene};
use scrim_tables::tags::ScreenKind;
use scrim_tracks::PlayerIx;

use super::evidence::{OffBallEvidence, RunEvidence, evidence_of};
use super::kind::{self, KindChoice};
use super::params::OffBallScreenParams;
use super::passing;
use super::reading::{self, Reading, Setting};
use crate::screen::{Four, measure, models};
use crate::{BallScreen, ScreenInputs};

/// What a candidate is, and how sure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Decision {
    pub choice: KindChoice,
    pub evidence: OffBallEvidence,
    pub inputs: ScreenInputs,
    pub confidence: f32,
}

/// Calls `each` for every use of a screen that may be one, however sure.
pub(super) fn each_candidate(
    setting: &Setting<'_>,
    params: &OffBallScreenParams,
    mut each: impl FnMut(&Reading, Decision),
) {
    let scene = setting.scene;
    for passing in passing::find_passings(scene, setting.half_court) {
        let reading = reading::measure(setting, passing);
        let choice = kind::kind_taken(&reading);
        let four = Four::of(scene, passing.user, passing.screener, passing.at);
        let of_four = measure(scene, &four, passing.at);
        let run = RunEvidence {
            kind_fit: choice.fit,
            ..reading.run
        };
        let evidence = evidence_of(&of_four, &run);
        let inputs = ScreenInputs::of(models::off_ball_screen_probability(&evidence), &of_four);
        let confidence = params.correction.probability(&inputs);
        each(
            &reading,
            Decision {
                choice,
                evidence,
                inputs,
                confidence,
            },
        );
    }
}

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
        each_candidate(&setting, params, |reading, decision| {
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
