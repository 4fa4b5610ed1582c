//! Ball screens and handoffs: who comes to screen the handler's defender, and what becomes of it.

use scrim_play::{Play, Scene};
use scrim_tables::tags::Outcome;
use scrim_tracks::PlayerIx;

use super::ball_screen_row::{Tag, row};
use super::candidate::{Candidate, candidates};
use super::common::BallScreen;
use super::correction::ScreenInputs;
use super::flip::{FirstSide, FlipEvidence, find_first_side};
use super::link::{self, Find, GivenUp};
use super::params::ScreenParams;
use super::stop;

/// Finds the ball screens and handoffs of a game, in time order (by the use, then by screener). `scenes`: one a
/// possession of `play`, in their order ([`Scene::all`]).
pub fn find_ball_screens(scenes: &[Scene], play: &Play, params: &ScreenParams) -> Vec<BallScreen> {
    let mut found = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        let mut part = Vec::new();
        candidates(scene, play, possession, |candidate| {
            if let Some(decision) = decide(&candidate, params) {
                let is_weak = decision.is_weak;
                let given_up = (!is_weak).then(|| given_up(scene, id, &candidate, params));
                let leaves = stop::leaving_frame(scene, candidate.four.screener, candidate.at);
                part.push(Find {
                    approach: scene.first_frame + candidate.at,
                    leaves: scene.first_frame + leaves,
                    given_up: given_up.flatten(),
                    is_weak,
                    screen: screen_of(scene, id, &candidate, &decision, params),
                });
            }
        });
        link::order_and_link(part, &mut found, scene.hz, params);
    }
    found
}

/// A screen that may be the second side of a flip, for fitting and research. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct FlipCandidate {
    /// The possession's id.
    pub possession: usize,
    /// Who may use the screens.
    pub user: PlayerIx,
    /// Who may set them.
    pub screener: PlayerIx,
    /// When the first side is given up.
    pub given_up: usize,
    /// Closest approach on the second side.
    pub approach: usize,
    /// What was measured.
    pub evidence: FlipEvidence,
    /// What a correction of the model's answer looks at, of the second side.
    pub inputs: ScreenInputs,
}

/// Every change of sides before a candidate that is sure enough to be a ball screen. [`find_ball_screens`] calls those flips that
/// the model of flips finds likely.
pub fn flip_candidates(scenes: &[Scene], play: &Play, params: &ScreenParams) -> Vec<FlipCandidate> {
    let mut found: Vec<FlipCandidate> = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        candidates(scene, play, possession, |candidate| {
            if decide(&candidate, params).is_none_or(|decision| decision.is_weak) {
                return;
            }
            if let Some(first) = first_side(scene, &candidate) {
                found.push(FlipCandidate {
                    possession: id,
                    user: scene.attackers[candidate.four.user].player,
                    screener: scene.attackers[candidate.four.screener].player,
                    given_up: scene.first_frame + first.given_up,
                    approach: scene.first_frame + candidate.at,
                    evidence: first.values,
                    inputs: candidate.inputs,
                });
            }
        });
    }
    found
}

/// How a candidate is decided.
struct Decision {
    confidence: f32,
    /// Not sure enough, unless a second side says that it is the first of a flip.
    is_weak: bool,
}

/// What a candidate is; `None` where it is not sure enough even as the first side of a flip.
fn decide(candidate: &Candidate, params: &ScreenParams) -> Option<Decision> {
    let confidence = params.correction.probability(&candidate.inputs);
    let least = if candidate.is_handoff() {
        params.min_handoff_confidence
    } else {
        params.min_confidence
    };
    let is_weak = confidence < least;
    let is_none = is_weak && (candidate.is_handoff() || confidence < link::FLIPPED_CONFIDENCE);
    (!is_none).then_some(Decision { confidence, is_weak })
}

/// A candidate as it is written.
fn screen_of(
    scene: &Scene,
    id: usize,
    candidate: &Candidate,
    decision: &Decision,
    params: &ScreenParams,
) -> BallScreen {
    let outcomes = candidate.outcomes();
    let (outcome, used) = candidate.outcome_and_use(scene, &outcomes);
    let tag = Tag {
        kind: candidate.kind,
        outcome,
        outcomes: Some(outcomes),
        confidence: decision.confidence,
    };
    row(scene, id, &candidate.four, used, &candidate.evidence, tag, params)
}

/// Where the screener was before, if that was the handler's other side.
fn first_side(scene: &Scene, candidate: &Candidate) -> Option<FirstSide> {
    if candidate.is_handoff() {
        return None;
    }
    find_first_side(scene, &candidate.four, candidate.at)
}

/// A change of sides is a flip if that is clearly likelier than not: it may take the place of what was found there.
pub const LIKELY_FLIP: f32 = 0.6;

/// The side that the screener gave up for this one, as it is written.
fn given_up(scene: &Scene, id: usize, candidate: &Candidate, params: &ScreenParams) -> Option<GivenUp> {
    let first = first_side(scene, candidate)?;
    let tag = Tag {
        kind: candidate.kind_at(scene, first.given_up),
        outcome: Outcome::Flipped,
        outcomes: None,
        confidence: first.probability(),
    };
    (tag.confidence >= LIKELY_FLIP.max(params.min_confidence)).then(|| GivenUp {
        approach: scene.first_frame + candidate.at,
        screen: row(
            scene,
            id,
            &first.four,
            first.given_up,
            &first.evidence,
            tag,
            params,
        ),
    })
}
