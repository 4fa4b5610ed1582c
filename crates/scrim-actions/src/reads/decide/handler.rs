//! What the handler did.
//!
//! In order: a rejected screen is `reject`; going between the two defenders is `split`; then what ended the handler's part (a
//! shot, a pass), then where they went. A screen that they did not use ends in a `pass` or a `reset`.

use scrim_floor::{Definitions, Point};
use scrim_tables::tags::{HandlerAction, Outcome};

use crate::BallScreen;
use crate::reads::borders::beyond;
use crate::reads::evidence::ReadEvidence;
use crate::reads::read::Decided;

/// Softness of distances, m.
pub(super) const SOFTNESS_M: f32 = 0.4;

/// A shot from within this of the hoop ends a drive, m.
const DRIVE_SHOT_M: f32 = 2.8;
/// A drive leads to within this of the hoop, m.
const DRIVE_M: f32 = 4.0;
/// A step-back leads at least this much farther from the hoop in the second before the shot, m.
const STEP_BACK_M: f32 = 0.5;
/// Softness of that, m.
const STEP_BACK_SOFTNESS_M: f32 = 0.15;
/// A split comes within this of the use, s.
const SPLIT_S: f32 = 1.8;
/// A pass belongs to the play up to this long after the use, s.
const PASS_S: f32 = 3.2;
/// A handler who backs out keeps the ball at least this long before passing, s; else the pass was the answer.
const RESET_S: f32 = 1.9;
/// They back out by at least this, m.
const RESET_BACK_M: f32 = 1.0;
/// A pass later than this after an unused screen does not belong to it, s.
const UNUSED_PASS_S: f32 = 0.6;
/// Softness of times, s.
const SOFTNESS_S: f32 = 0.2;

pub(super) fn decide(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    definitions: &Definitions,
) -> Decided<HandlerAction> {
    let e = &evidence.handler;
    match screen.outcome {
        Outcome::Rejected => return Decided::new(HandlerAction::Reject, screen.confidence),
        Outcome::Unused | Outcome::Flipped => {
            let after_s = evidence.pass.map_or(f32::INFINITY, |pass| pass.after_s);
            let passes = 1.0 - beyond(after_s, UNUSED_PASS_S, SOFTNESS_S);
            return either(passes, HandlerAction::Pass, HandlerAction::Reset);
        }
        Outcome::Used | Outcome::Slipped | Outcome::Ghosted => {}
    }
    // Who passes at the use itself has no way after it.
    if e.seen_s <= 0.0 && evidence.pass.is_none() {
        return Decided::new(HandlerAction::Unclear, 0.0);
    }
    if let (Some(split_s), Some(screener_defender)) = (e.split_s, evidence.screener_defender) {
        let there = (1.0 - beyond(split_s, SPLIT_S, SOFTNESS_S))
            * (1.0 - beyond(screener_defender.depth_m, definitions.drop_depth_m, SOFTNESS_M));
        if there >= 0.5 {
            return Decided::new(HandlerAction::Split, there);
        }
    }
    if let Some(shot) = evidence
        .shot
        .filter(|shot| shot.by_handler && evidence.pass.is_none())
    {
        let far = beyond(shot.spot.distance_m(Point::origin()), DRIVE_SHOT_M, SOFTNESS_M);
        let back = beyond(e.backed_m, STEP_BACK_M, STEP_BACK_SOFTNESS_M);
        let soon = 1.0 - beyond(shot.after_s, definitions.pull_up_s, SOFTNESS_S);
        if far < 0.5 {
            return Decided::new(HandlerAction::Drive, 1.0 - far);
        } else if back >= 0.5 {
            return Decided::new(HandlerAction::StepBack, far * back);
        } else if soon >= 0.5 {
            return Decided::new(HandlerAction::PullUp, far * (1.0 - back) * soon);
        }
    }
    if let Some(pass) = evidence.pass {
        let soon = 1.0 - beyond(pass.after_s, PASS_S, SOFTNESS_S);
        let began_again = beyond(pass.after_s, RESET_S, SOFTNESS_S)
            * beyond(e.end_m - e.nearest_m.min(e.start_m), RESET_BACK_M, SOFTNESS_M);
        if soon >= 0.5 {
            return either(
                soon * (1.0 - began_again),
                HandlerAction::Pass,
                HandlerAction::Reset,
            );
        }
    }
    let drove = 1.0 - beyond(e.nearest_m, DRIVE_M, SOFTNESS_M);
    either(drove, HandlerAction::Drive, HandlerAction::Reset)
}

/// The likelier of two words.
fn either(first: f32, one: HandlerAction, other: HandlerAction) -> Decided<HandlerAction> {
    if first >= 0.5 {
        Decided::new(one, first)
    } else {
        Decided::new(other, 1.0 - first)
    }
}
