//! Screens, on the ball and off it: one detector.
//!
//! The way from tracks to rows, a module a step:
//! - `approach`: candidates, instants at which two attackers come nearest to each other;
//! - `evidence`: what the user, the screener and their defenders do around that instant.

mod approach;
mod evidence;

pub(crate) use approach::{Approach, find_approaches};
pub use evidence::PairEvidence;
pub(crate) use evidence::{Four, measure};

use scrim_play::Scene;
use scrim_tracks::PlayerIx;

/// A candidate with its evidence, for fitting and research. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct PairCandidate {
    /// The possession's id.
    pub possession: usize,
    /// Who may use a screen.
    pub user: PlayerIx,
    /// Who may set it.
    pub screener: PlayerIx,
    /// Closest approach.
    pub at: usize,
    /// What was measured.
    pub evidence: PairEvidence,
}

/// Whether the user has the ball, had it just before or has it soon after: from this long before a frame, s ...
const HAD_S: f32 = 0.32;
/// ... to this long after it, s.
const WILL_HAVE_S: f32 = 0.64;
/// Two attackers farther apart than this are no candidate, m.
const WITHIN_M: f32 = 4.5;

/// All candidates on the ball.
pub fn pair_candidates(scenes: &[Scene]) -> Vec<PairCandidate> {
    let mut found = Vec::new();
    let mut approaches = Vec::new();
    for (possession, scene) in scenes.iter().enumerate() {
        let players = scene.attackers.len();
        for user in 0..players {
            let has = |k: usize| {
                let from = k.saturating_sub(scene.frames_in(HAD_S));
                let to = (k + scene.frames_in(WILL_HAVE_S)).min(scene.frames);
                scene.handler[from..to].contains(&Some(user as u8))
            };
            for screener in (0..players).filter(|&other| other != user) {
                approaches.clear();
                find_approaches(scene, user, screener, WITHIN_M, has, &mut approaches);
                for approach in &approaches {
                    let four = Four::of(scene, approach);
                    found.push(PairCandidate {
                        possession,
                        user: scene.attackers[user].player,
                        screener: scene.attackers[screener].player,
                        at: scene.first_frame + approach.at,
                        evidence: measure(scene, &four, approach.at),
                    });
                }
            }
        }
    }
    found
}
