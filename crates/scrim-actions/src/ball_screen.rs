//! Ball screens: who comes to screen the handler's defender, and what becomes of it.
//!
//! The way from tracks to rows, a module a step:
//! - `encounter`: spells in which a team-mate is near the handler;
//! - `stop`: where in such a spell the team-mate comes to a near stop;
//! - `reading`, `candidate`: what the four players then do, measured;
//! - `denial`: handlers who leave before the screen is there, because its side is taken from them;
//! - `decide`, `fits`: the outcome and how sure it is, from the reading alone;
//! - `double`: what two screens in a row say for each other;
//! - `handoff`: the same for the ball that goes from hand to hand;
//! - `would_be`: all that was weighed, for research and for fitting the weights;
//! - `link`: flips and re-screens, and what stands twice.

mod candidate;
mod decide;
mod denial;
mod double;
mod encounter;
mod fits;
mod handoff;
mod link;
mod params;
mod reading;
pub(crate) mod stop;
mod would_be;

pub use denial::DenialParams;
pub use fits::{ScreenFits, ScreenWeights, Weights};
pub use params::{HandoffParams, OutcomeParams, ScreenParams, SetParams};
pub(crate) use reading::path_angle_deg;
pub use would_be::{ScreenCandidate, screen_candidates};

use scrim_floor::{AttackFrame, Half, Point};
use scrim_play::{Play, Scene};
use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::PlayerIx;

use decide::Decision;
use reading::{Approach, Reading};

/// One ball screen or handoff. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct BallScreen {
    /// The possession's id.
    pub possession: usize,
    /// `ball_screen` or `handoff`.
    pub kind: ScreenKind,
    /// What became of it.
    pub outcome: Outcome,
    /// Who screens (or hands the ball off).
    pub screener: PlayerIx,
    /// The handler (or who takes the ball).
    pub user: PlayerIx,
    /// Who guards the screener when it begins.
    pub screener_defender: Option<PlayerIx>,
    /// Who guards the user when it begins.
    pub user_defender: Option<PlayerIx>,
    /// The screener is set.
    pub set: Option<usize>,
    /// The user's closest approach, or the instant of parting.
    pub used: usize,
    /// It is over.
    pub end: usize,
    /// Where the screener stands when set, else at the use.
    pub spot: Point<AttackFrame>,
    /// How far that is to the right of the handler, as he faces the hoop, m (negative: to the left).
    pub right_of_user_m: f32,
    /// Whether that is on the ball's side.
    pub strong_side: bool,
    /// The screen this one follows on, by its place in the list.
    pub previous: Option<usize>,
    /// How sure it is that this is a screen, 0 to 1.
    pub confidence: f32,
    /// What was measured.
    pub evidence: ScreenEvidence,
    /// Iced before the screen was there.
    pub early_denial: bool,
}

/// What a ball screen's tag rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenEvidence {
    /// The screener's lowest speed around the screen, m/s.
    pub screener_speed_mps: f32,
    /// The user's closest approach to the screener, m.
    pub user_gap_m: f32,
    /// The user's defender to the screener, closest, m.
    pub defender_gap_m: Option<f32>,
    /// The user's path after the use against the direction to the hoop, degrees.
    pub angle_deg: Option<f32>,
}

/// Finds the ball screens and handoffs of a game, in time order (by the use, then by screener). `scenes`: one a
/// possession of `play`, in their order ([`Scene::all`]).
pub fn find_ball_screens(scenes: &[Scene], play: &Play, params: &ScreenParams) -> Vec<BallScreen> {
    let mut found = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        let mut part = Vec::new();
        handoff::find_handoffs(scene, play, id, possession, params, &mut part);
        would_be(scene, params, |reading, decision| {
            if decision.confidence >= params.outcome.least_confidence(decision.outcome) {
                part.push(row(scene, id, reading, decision, params));
            }
        });
        link::order_and_link(part, &mut found, scene.hz, params);
    }
    found
}

/// Calls `each` for every would-be screen that the scene has an outcome for, however sure.
fn would_be(scene: &Scene, params: &ScreenParams, mut each: impl FnMut(&Reading, Decision)) {
    let mut decided: Vec<(Reading, Decision)> = encounter::find_encounters(scene, params)
        .iter()
        .flat_map(|encounter| candidate::find_candidates(scene, encounter, params))
        .chain(denial::find_denials(scene, params))
        // Nothing is told of a would-be screen at which the two, or the screener's speed, were never seen.
        .filter(|reading| reading.gap_m.is_finite() && reading.lowest_speed_mps.is_finite())
        .filter_map(|reading| decide::decide(&reading, params).map(|decision| (reading, decision)))
        .collect();
    // Who runs through and slows down a little is told twice, one account after the other: the surer one stays.
    decided.dedup_by(|(later, weighed), (earlier, kept)| {
        let is_twin = (later.handler, later.mate) == (earlier.handler, earlier.mate)
            && (weighed.outcome, kept.outcome) == (Outcome::Ghosted, Outcome::Ghosted)
            && later.begin.abs_diff(earlier.begin) < candidate::frames_near(scene);
        if is_twin && weighed.confidence > kept.confidence {
            std::mem::swap(later, earlier);
            std::mem::swap(weighed, kept);
        }
        is_twin
    });
    double::weigh_doubles(&mut decided, params);
    for (reading, decision) in decided {
        each(&reading, decision);
    }
}

fn row(
    scene: &Scene,
    possession: usize,
    reading: &Reading,
    decision: Decision,
    params: &ScreenParams,
) -> BallScreen {
    let player = |place: usize| scene.defenders[place].player;
    let at = decision.at;
    let set = match (reading.approach, decision.early_denial) {
        // A moving screener may be passed a moment before he stands: then he was set no later than he came to stand, or
        // never.
        (Approach::Stopped, false) => [reading.begin, reading.stands_from]
            .into_iter()
            .find(|&set| set <= at),
        (Approach::Stopped, true) | (Approach::Slowed | Approach::Ran | Approach::Coming, _) => None,
    };
    // The contract: where the screener stands when he is set, else where he is at the use.
    let spot = set.map_or(scene.attackers[reading.mate].at(at), |_| reading.spot);
    BallScreen {
        possession,
        kind: ScreenKind::BallScreen,
        outcome: decision.outcome,
        screener: scene.attackers[reading.mate].player,
        user: scene.attackers[reading.handler].player,
        screener_defender: reading.screener_defender.map(player),
        user_defender: reading.user_defender.map(player),
        set: set.map(|k| scene.first_frame + k),
        used: scene.first_frame + at,
        end: scene.first_frame
            + end_frame(
                scene,
                [reading.handler, reading.mate],
                reading.spot,
                at,
                params.outcome.end_after_use_s,
                params.outcome.end_apart_m,
            ),
        spot,
        right_of_user_m: right_of_m(scene, reading.handler, reading.begin, reading.spot),
        strong_side: scene.strong[at] == Some(Half::of(spot)),
        previous: None,
        confidence: decision.confidence,
        evidence: ScreenEvidence {
            screener_speed_mps: reading.lowest_speed_mps,
            user_gap_m: reading.gap_m,
            defender_gap_m: reading.defender_gap_m,
            angle_deg: path_angle_deg(scene, reading.handler, at),
        },
        early_denial: decision.early_denial,
    }
}

/// How far `spot` lies to the right of an attacker who faces the hoop, at scene frame `k`, m.
fn right_of_m(scene: &Scene, attacker: usize, k: usize, spot: Point<AttackFrame>) -> f32 {
    let at = scene.attackers[attacker].at(k);
    let to_hoop = (Point::origin() - at).unit();
    // In the attack frame a player who looks from +x to the hoop has +y on his right.
    (spot - at).cross(to_hoop)
}

/// When a screen used at scene frame `at` is over: both (user and screener) are farther than `apart_m` from its spot, or
/// `after_use_s` have gone.
pub(crate) fn end_frame(
    scene: &Scene,
    both: [usize; 2],
    spot: Point<AttackFrame>,
    at: usize,
    after_use_s: f32,
    apart_m: f32,
) -> usize {
    let latest = (at + scene.frames_in(after_use_s)).min(scene.frames.saturating_sub(1));
    let is_away = |k: usize| {
        both.iter()
            .all(|&place| scene.attackers[place].at(k).distance_m(spot) > apart_m)
    };
    (at..latest).find(|&k| is_away(k)).unwrap_or(latest)
}

#[cfg(test)]
pub(crate) mod tests;
