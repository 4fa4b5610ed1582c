//! A ball screen or handoff as it is written: when it is set, where, which side, when it is over.

use scrim_floor::Point;
use scrim_play::{Attacker, Scene};
use scrim_tables::tags::{Outcome, ScreenKind};

use super::common::{BallScreen, ScreenEvidence};
use super::ending::{end_frame, path_angle_deg};
use super::evidence::PairEvidence;
use super::four::Four;
use super::models::OutcomeProbabilities;
use super::params::ScreenParams;
use super::scene_screen::SceneScreen;
use super::stop;

/// What was decided.
pub(super) struct Tag {
    pub kind: ScreenKind,
    pub outcome: Outcome,
    /// `None` of a screen that was flipped.
    pub outcomes: Option<OutcomeProbabilities>,
    pub confidence: f32,
}

/// The row of a screen of these four that is used at scene frame `at`.
pub(super) fn row(
    scene: &Scene,
    possession: usize,
    four: &Four,
    at: usize,
    evidence: &PairEvidence,
    tag: Tag,
    params: &ScreenParams,
) -> BallScreen {
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
    let screen = SceneScreen {
        possession,
        kind: tag.kind,
        outcome: tag.outcome,
        four: *four,
        set,
        used: at,
        end,
        spot,
        confidence: tag.confidence,
        evidence: ScreenEvidence {
            screener_speed_mps: evidence.screener_low_mps,
            user_gap_m: evidence.gap_m,
            defender_gap_m: Some(evidence.defender_gap_m).filter(|gap| gap.is_finite()),
            angle_deg: path_angle_deg(scene, four.user, at),
        },
    };
    BallScreen {
        screen: screen.of_period(scene),
        // In the attack frame a player who looks from +x to the hoop has +y on the right.
        right_of_user_m: (spot - u.at(before)).cross(to_hoop),
        outcomes: tag.outcomes,
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
fn set_frame(scene: &Scene, screener: Attacker, at: usize) -> Option<usize> {
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
