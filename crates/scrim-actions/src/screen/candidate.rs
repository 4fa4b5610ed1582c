//! Candidates on the ball: two attackers near each other, one of them with the ball.

use scrim_play::{Attacker, Play, Possession, Scene};
use scrim_tables::tags::{Outcome, ScreenKind, TouchEnd};
use scrim_tracks::PlayerIx;

use super::approach::{Approach, find_approaches};
use super::correction::ScreenInputs;
use super::evidence::{PairEvidence, measure};
use super::four::Four;
use super::models::{self, OUTCOME_WORDS, OutcomeProbabilities};

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
    /// From here on they go from each other.
    pub parting: usize,
    /// What the detector would write as the use.
    pub used: usize,
    /// What was measured.
    pub evidence: PairEvidence,
    /// What a correction of the model's answer looks at.
    pub inputs: ScreenInputs,
    /// Whether the touches show that the ball has gone from hand to hand.
    pub is_handoff: bool,
}

/// Whether the user has the ball, had it just before or has it soon after: from this long before a frame, s ...
const HAD_S: f32 = 0.32;
/// ... to this long after it, s.
const WILL_HAVE_S: f32 = 0.64;
/// Two attackers who stay farther apart than this are no candidate, m.
const WITHIN_M: f32 = 4.5;
/// A handoff's closest approach lies within this of the exchange, s.
const EXCHANGE_S: f32 = 1.0;

/// A candidate of one scene. Places and frames are the scene's.
pub(super) struct Candidate<'e> {
    pub four: Four,
    /// Closest approach.
    pub at: usize,
    pub evidence: PairEvidence,
    pub inputs: ScreenInputs,
    /// What it is by the touches around the closest approach.
    pub kind: ScreenKind,
    /// Every time the ball goes from hand to hand in the possession.
    exchanges: &'e [Exchange],
}

impl Candidate<'_> {
    /// What the screen of these two is by the touches around a frame.
    pub fn kind_at(&self, scene: &Scene, at: usize) -> ScreenKind {
        kind_at(scene, self.exchanges, &self.four, at)
    }

    /// Whether the touches show that the ball goes from hand to hand around the closest approach.
    pub fn is_handoff(&self) -> bool {
        self.kind == ScreenKind::Handoff
    }

    /// The frame from which the two go from each other.
    fn parting(&self, scene: &Scene) -> usize {
        self.at + frames_of(self.evidence.parts_after_s, scene.hz)
    }

    /// How likely each outcome is. Who takes the ball in a handoff uses it.
    pub fn outcomes(&self) -> OutcomeProbabilities {
        if self.is_handoff() {
            OUTCOME_WORDS.map(|word| if word == Outcome::Used { 1.0 } else { 0.0 })
        } else {
            models::outcome_probabilities(&self.evidence.values())
        }
    }

    /// What became of it, and the frame that a row holds as the use: the closest approach, or the parting of a screen that was not
    /// used (vocabulary, `t_use_s`).
    pub fn outcome_and_use(&self, scene: &Scene, outcomes: &OutcomeProbabilities) -> (Outcome, usize) {
        let (outcome, after_s) = outcome_and_use_s(outcomes, self.evidence.parts_after_s);
        (outcome, self.at + frames_of(after_s, scene.hz))
    }
}

/// Measures every candidate on the ball of one possession, by user, screener and time.
pub(super) fn candidates(
    scene: &Scene,
    play: &Play,
    possession: &Possession,
    mut each: impl FnMut(Candidate<'_>),
) {
    let mut found = Vec::new();
    let (had, will_have) = (scene.frames_in(HAD_S), scene.frames_in(WILL_HAVE_S));
    for user in scene.attackers.places() {
        let has = |k: usize| {
            let span = k.saturating_sub(had)..(k + will_have).min(scene.frames);
            scene.handler[span].contains(&Some(user))
        };
        for screener in scene.attackers.places().filter(|&other| other != user) {
            find_approaches(scene, user, screener, WITHIN_M, has, &mut found);
        }
    }
    let exchanges = exchanges(scene, play, possession);
    for Approach { user, screener, at } in found {
        let four = Four::of(scene, user, screener, at);
        let evidence = measure(scene, &four, at);
        each(Candidate {
            four,
            at,
            evidence,
            inputs: ScreenInputs::of(models::ball_screen_probability(&evidence.values()), &evidence),
            kind: kind_at(scene, &exchanges, &four, at),
            exchanges: &exchanges,
        });
    }
}

/// Every candidate of a game with its evidence. [`find_ball_screens`](super::find_ball_screens) keeps those that are sure enough, and one of each that
/// stands twice.
pub fn ball_screen_candidates(scenes: &[Scene], play: &Play) -> Vec<PairCandidate> {
    let mut found = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        candidates(scene, play, possession, |candidate| {
            found.push(PairCandidate {
                possession: id,
                user: scene.attackers[candidate.four.user].player,
                screener: scene.attackers[candidate.four.screener].player,
                at: scene.first_frame + candidate.at,
                parting: scene.first_frame + candidate.parting(scene),
                used: scene.first_frame + candidate.outcome_and_use(scene, &candidate.outcomes()).1,
                evidence: candidate.evidence,
                inputs: candidate.inputs,
                is_handoff: candidate.is_handoff(),
            });
        });
    }
    found
}

fn frames_of(seconds: f32, hz: f64) -> usize {
    (f64::from(seconds) * hz).round() as usize
}

/// Who slips or waits in vain parts when they part, if it is this sure that one of the two happened ...
const SURE_PARTING: f32 = 0.7;
/// ... else, and of a handler who leaves, by this long after the closest approach, s: later partings are mostly those of the
/// next approach. Chosen on practice games and labelled scenes.
const LATEST_PARTING_S: f32 = 0.8;

/// The likeliest outcome, and how long after the closest approach the screen is used, s (vocabulary, `t_use_s`): at once, or when
/// the two part, `parts_after_s` later.
pub fn outcome_and_use_s(outcomes: &OutcomeProbabilities, parts_after_s: f32) -> (Outcome, f32) {
    let outcome = models::likeliest_outcome(outcomes);
    let after_s = match outcome {
        Outcome::Used | Outcome::Ghosted => 0.0,
        Outcome::Slipped | Outcome::Unused if parting(outcomes) >= SURE_PARTING => parts_after_s,
        Outcome::Slipped | Outcome::Unused | Outcome::Rejected | Outcome::Flipped => {
            parts_after_s.min(LATEST_PARTING_S)
        }
    };
    (outcome, after_s)
}

/// How likely it is that the screener slipped or waited in vain: which of the two does not matter for when they part.
fn parting(outcomes: &OutcomeProbabilities) -> f32 {
    let each = OUTCOME_WORDS.iter().zip(outcomes);
    each.filter(|(word, _)| matches!(word, Outcome::Slipped | Outcome::Unused))
        .map(|(_, likely)| likely)
        .sum()
}

/// The ball going from hand to hand. Places and frames are the scene's.
#[derive(Debug)]
struct Exchange {
    giver: Attacker,
    taker: Attacker,
    at: usize,
}

fn exchanges(scene: &Scene, play: &Play, possession: &Possession) -> Vec<Exchange> {
    play.touches[possession.touches.clone()]
        .iter()
        .filter(|touch| touch.ended_by == TouchEnd::Handoff)
        .filter_map(|touch| {
            Some(Exchange {
                giver: scene.attackers.place_of(touch.player)?,
                taker: scene.attackers.place_of(touch.next?)?,
                at: scene.frames_of(&touch.frames).end,
            })
        })
        .collect()
}

/// A handoff where the ball goes from the screener's hand to the user's around scene frame `at`, else a ball screen.
fn kind_at(scene: &Scene, exchanges: &[Exchange], four: &Four, at: usize) -> ScreenKind {
    let is_exchanged = exchanges.iter().any(|exchange| {
        (exchange.giver, exchange.taker) == (four.screener, four.user)
            && exchange.at.abs_diff(at) <= scene.frames_in(EXCHANGE_S)
    });
    if is_exchanged {
        ScreenKind::Handoff
    } else {
        ScreenKind::BallScreen
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Likelihoods in the order of `OUTCOME_WORDS`: used, rejected, slipped, ghosted, unused.
    #[test]
    fn a_screen_is_used_when_they_part_where_slipped_and_unused_are_sure_together() {
        assert_eq!(
            outcome_and_use_s(&[0.1, 0.05, 0.45, 0.05, 0.35], 1.5),
            (Outcome::Slipped, 1.5)
        );
        assert_eq!(
            outcome_and_use_s(&[0.2, 0.1, 0.2, 0.1, 0.4], 1.5),
            (Outcome::Unused, LATEST_PARTING_S)
        );
        assert_eq!(
            outcome_and_use_s(&[0.1, 0.8, 0.05, 0.0, 0.05], 0.5),
            (Outcome::Rejected, 0.5)
        );
        assert_eq!(
            outcome_and_use_s(&[0.5, 0.0, 0.4, 0.0, 0.1], 1.5),
            (Outcome::Used, 0.0)
        );
    }
}
