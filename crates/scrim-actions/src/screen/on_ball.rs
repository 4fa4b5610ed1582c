//! Ball screens and handoffs: who comes to screen the handler's defender, and what becomes of it.

use scrim_floor::{Half, Point};
use scrim_play::{Play, Possession, Scene};
use scrim_tables::tags::{Outcome, ScreenKind, TouchEnd};
use scrim_tracks::PlayerIx;

use super::approach::{Approach, find_approaches};
use super::common::{BallScreen, Screen, ScreenEvidence};
use super::correction::ScreenInputs;
use super::ending::{end_frame, path_angle_deg};
use super::evidence::{PairEvidence, measure};
use super::four::Four;
use super::link::{self, Find};
use super::models::{OUTCOME_WORDS, OutcomeProbabilities};
use super::params::ScreenParams;
use super::{models, stop};

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
struct Candidate {
    four: Four,
    /// Closest approach.
    at: usize,
    evidence: PairEvidence,
    inputs: ScreenInputs,
    is_handoff: bool,
}

impl Candidate {
    /// The frame from which the two go from each other.
    fn parting(&self, scene: &Scene) -> usize {
        self.at + frames_of(self.evidence.parts_after_s, scene.hz)
    }

    /// How likely each outcome is. Who takes the ball in a handoff uses it.
    fn outcomes(&self) -> OutcomeProbabilities {
        if self.is_handoff {
            OUTCOME_WORDS.map(|word| if word == Outcome::Used { 1.0 } else { 0.0 })
        } else {
            models::outcome_probabilities(&self.evidence.values())
        }
    }

    /// What became of it, and the frame that a row holds as the use: the closest approach, or the parting of a screen that was not
    /// used (vocabulary, `t_use_s`).
    fn outcome_and_use(&self, scene: &Scene, outcomes: &OutcomeProbabilities) -> (Outcome, usize) {
        let (outcome, sure) = models::likeliest_outcome(outcomes);
        let after_s = use_after_approach_s(outcome, sure, self.evidence.parts_after_s);
        (outcome, self.at + frames_of(after_s, scene.hz))
    }
}

/// Measures every candidate on the ball of one possession, by user, screener and time.
fn candidates(scene: &Scene, play: &Play, possession: &Possession, mut each: impl FnMut(Candidate)) {
    let players = scene.attackers.len();
    let mut found = Vec::new();
    let (had, will_have) = (scene.frames_in(HAD_S), scene.frames_in(WILL_HAVE_S));
    for user in 0..players {
        let has = |k: usize| {
            let span = k.saturating_sub(had)..(k + will_have).min(scene.frames);
            scene.handler[span].contains(&Some(user as u8))
        };
        for screener in (0..players).filter(|&other| other != user) {
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
            is_handoff: is_exchanged(scene, &exchanges, &four, at),
        });
    }
}

/// Every candidate of a game with its evidence. [`find_ball_screens`] keeps those that are sure enough, and one of each that
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
                is_handoff: candidate.is_handoff,
            });
        });
    }
    found
}

/// Finds the ball screens and handoffs of a game, in time order (by the use, then by screener). `scenes`: one a
/// possession of `play`, in their order ([`Scene::all`]).
pub fn find_ball_screens(scenes: &[Scene], play: &Play, params: &ScreenParams) -> Vec<BallScreen> {
    let mut found = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        let mut part = Vec::new();
        candidates(scene, play, possession, |candidate| {
            let confidence = params.correction.probability(&candidate.inputs);
            let (kind, least) = if candidate.is_handoff {
                (ScreenKind::Handoff, params.min_handoff_confidence)
            } else {
                (ScreenKind::BallScreen, params.min_confidence)
            };
            // A weak one may be the first side of a flip: the second one says it.
            let is_weak = confidence < least;
            if is_weak && !(kind == ScreenKind::BallScreen && confidence >= link::FLIPPED_CONFIDENCE) {
                return;
            }
            let outcomes = candidate.outcomes();
            let (outcome, used) = candidate.outcome_and_use(scene, &outcomes);
            let tag = Tag {
                kind,
                outcome,
                outcomes,
                confidence,
            };
            let (four, evidence) = (&candidate.four, &candidate.evidence);
            part.push(Find {
                screen: row(scene, id, four, used, evidence, tag, params),
                leaves: scene.first_frame + stop::leaving_frame(scene, four.screener, candidate.at),
                is_weak,
            });
        });
        link::order_and_link(part, &mut found, scene.hz, params);
    }
    found
}

fn frames_of(seconds: f32, hz: f64) -> usize {
    (f64::from(seconds) * hz).round() as usize
}

/// Who slips or waits in vain parts when they part, if the outcome is this sure ...
const SURE_PARTING: f32 = 0.7;
/// ... else, and of a handler who leaves, by this long after the closest approach, s: later partings are mostly those of the
/// next approach. Chosen on practice games and labelled scenes.
const LATEST_PARTING_S: f32 = 0.8;

/// How long after the closest approach a screen of this outcome is used, s (vocabulary, `t_use_s`): at once, or when the two part,
/// `parts_after_s` later. `sure`: how likely the outcome is.
pub fn use_after_approach_s(outcome: Outcome, sure: f32, parts_after_s: f32) -> f32 {
    match outcome {
        Outcome::Used | Outcome::Ghosted => 0.0,
        Outcome::Slipped | Outcome::Unused if sure >= SURE_PARTING => parts_after_s,
        Outcome::Slipped | Outcome::Unused | Outcome::Rejected | Outcome::Flipped => {
            parts_after_s.min(LATEST_PARTING_S)
        }
    }
}

/// The ball going from hand to hand. Places and frames are the scene's.
struct Exchange {
    giver: usize,
    taker: usize,
    at: usize,
}

fn exchanges(scene: &Scene, play: &Play, possession: &Possession) -> Vec<Exchange> {
    let place = |player| scene.attackers.iter().position(|mover| mover.player == player);
    play.touches[possession.touches.clone()]
        .iter()
        .filter(|touch| touch.ended_by == TouchEnd::Handoff)
        .filter_map(|touch| {
            Some(Exchange {
                giver: place(touch.player)?,
                taker: place(touch.next?)?,
                at: scene.frames_of(&touch.frames).end,
            })
        })
        .collect()
}

/// Whether the ball goes from the screener's hand to the user's around scene frame `at`.
fn is_exchanged(scene: &Scene, exchanges: &[Exchange], four: &Four, at: usize) -> bool {
    exchanges.iter().any(|exchange| {
        (exchange.giver, exchange.taker) == (four.screener, four.user)
            && exchange.at.abs_diff(at) <= scene.frames_in(EXCHANGE_S)
    })
}

/// What was decided.
struct Tag {
    kind: ScreenKind,
    outcome: Outcome,
    outcomes: OutcomeProbabilities,
    confidence: f32,
}

fn row(
    scene: &Scene,
    possession: usize,
    four: &Four,
    at: usize,
    evidence: &PairEvidence,
    tag: Tag,
    params: &ScreenParams,
) -> BallScreen {
    let player = |place: usize| scene.defenders[place].player;
    let (u, s) = (&scene.attackers[four.user], &scene.attackers[four.screener]);
    let set = set_frame(scene, four.screener, at);
    // The contract: where the screener stands when set, else where they are at the use.
    let spot = s.at(set.unwrap_or(at));
    let end = end_frame(
        scene,
        [four.user, four.screener],
        spot,
        at,
        params.end_after_use_s,
        params.end_apart_m,
    );
    // The side is that before the user goes past.
    let before = set
        .unwrap_or_else(|| at.saturating_sub(scene.frames_in(SIDE_BEFORE_S)))
        .max(at.saturating_sub(scene.frames_in(SIDE_LONGEST_S)));
    let to_hoop = (Point::origin() - u.at(before)).unit();
    let screen = Screen {
        possession,
        kind: tag.kind,
        outcome: tag.outcome,
        screener: s.player,
        user: u.player,
        screener_defender: four.screener_defender.map(player),
        user_defender: four.user_defender.map(player),
        set: set.map(|k| scene.first_frame + k),
        used: scene.first_frame + at,
        end: scene.first_frame + end,
        spot,
        strong_side: scene.strong[at] == Some(Half::of(spot)),
        previous: None,
        confidence: tag.confidence,
        evidence: ScreenEvidence {
            screener_speed_mps: evidence.screener_low_mps,
            user_gap_m: evidence.gap_m,
            defender_gap_m: Some(evidence.defender_gap_m).filter(|gap| gap.is_finite()),
            angle_deg: path_angle_deg(scene, four.user, at),
        },
    };
    BallScreen {
        screen,
        // In the attack frame a player who looks from +x to the hoop has +y on the right.
        right_of_user_m: (spot - u.at(before)).cross(to_hoop),
        outcomes: Some(tag.outcomes),
        early_denial: tag.outcome == Outcome::Rejected && set.is_none() && is_denied(scene, four, at),
    }
}

/// On which side of the user a screener who never stood is, is looked at this long before the use, s.
const SIDE_BEFORE_S: f32 = 0.6;
/// ... and of one who has stood for long, no longer than this before it, s.
const SIDE_LONGEST_S: f32 = 1.5;
/// A screener who stopped before the use is set when that stop began, if it reaches this near to the use, s.
const LEFT_BEFORE_S: f32 = 0.5;
/// Who has stood longer than this did not come for it; the screen begins this long before the use, s.
const LONGEST_SET_S: f32 = 4.0;

/// When the screener came to stand for a screen used at `at`; `None` when they never did.
fn set_frame(scene: &Scene, screener: usize, at: usize) -> Option<usize> {
    let from = at.saturating_sub(scene.frames_in(LEFT_BEFORE_S));
    let stops = stop::find_stops(scene, &scene.attackers[screener], from..at + 1);
    let first = stops
        .into_iter()
        .map(|stop| stop.frames.start)
        .rfind(|&start| start <= at)?;
    Some(first.max(at.saturating_sub(scene.frames_in(LONGEST_SET_S))))
}

/// The defender who takes the screen's side away stands this far to that side of the handler's way to the hoop, m.
const DENIED_SIDE_M: f32 = 0.4;
/// That is measured over this long before the parting, s.
const DENIED_S: f32 = 0.5;

/// Whether the handler's defender stands on the screener's side before the handler leaves (vocabulary, "Early denial").
fn is_denied(scene: &Scene, four: &Four, at: usize) -> bool {
    let Some(defender) = four.user_defender else {
        return false;
    };
    let (u, s, d) = (
        &scene.attackers[four.user],
        &scene.attackers[four.screener],
        &scene.defenders[defender],
    );
    let (mut side_m, mut seen) = (0.0_f32, 0.0_f32);
    for k in at.saturating_sub(scene.frames_in(DENIED_S))..=at {
        let to_hoop = (Point::origin() - u.at(k)).unit();
        let screen_side = (s.at(k) - u.at(k)).cross(to_hoop).signum();
        let side = (d.at(k) - u.at(k)).cross(to_hoop) * screen_side;
        if side.is_finite() {
            side_m += side;
            seen += 1.0;
        }
    }
    seen > 0.0 && side_m >= DENIED_SIDE_M * seen
}
