//! What the handler did.
//!
//! In order: a rejected screen is `reject`; going between the two defenders is `split`; then what ended his part (his own
//! shot, his pass), then where he went. Of a screen that he did not use he makes a `pass` or a `reset`.

use scrim_floor::Point;
use scrim_tables::tags::{HandlerAction, Outcome};

use super::{Decided, beyond};
use crate::reads::evidence::ReadEvidence;
use crate::{BallScreen, OptionParams};

pub(super) fn decide(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    p: &OptionParams,
) -> Decided<HandlerAction> {
    let decided = |word, confidence| Decided { word, confidence };
    let e = &evidence.handler;
    match screen.outcome {
        Outcome::Rejected => return decided(HandlerAction::Reject, screen.confidence),
        Outcome::Unused | Outcome::Flipped => {
            let after_s = evidence.pass.map_or(f32::INFINITY, |pass| pass.after_s);
            let passes = 1.0 - beyond(after_s, p.unused_pass_s, p.softness_s);
            return either(passes, HandlerAction::Pass, HandlerAction::Reset);
        }
        Outcome::Used | Outcome::Slipped | Outcome::Ghosted => {}
    }
    // Who passes at the use itself has no way after it.
    if e.seen_s <= 0.0 && evidence.pass.is_none() {
        return decided(HandlerAction::Unclear, 0.0);
    }
    if let (Some(split_s), Some(big)) = (e.split_s, evidence.big) {
        let there = (1.0 - beyond(split_s, p.split_s, p.softness_s))
            * (1.0 - beyond(big.depth_m, p.split_depth_m, p.softness_m));
        if there >= 0.5 {
            return decided(HandlerAction::Split, there);
        }
    }
    if let Some(shot) = evidence
        .shot
        .filter(|shot| shot.by_handler && evidence.pass.is_none())
    {
        let far = beyond(
            shot.spot.distance_m(Point::origin()),
            p.drive_shot_m,
            p.softness_m,
        );
        let back = beyond(e.backed_m, p.step_back_m, p.step_back_softness_m);
        let soon = 1.0 - beyond(shot.after_s, p.pull_up_s, p.softness_s);
        if far < 0.5 {
            return decided(HandlerAction::Drive, 1.0 - far);
        } else if back >= 0.5 {
            return decided(HandlerAction::StepBack, far * back);
        } else if soon >= 0.5 {
            return decided(HandlerAction::PullUp, far * (1.0 - back) * soon);
        }
    }
    if let Some(pass) = evidence.pass {
        let soon = 1.0 - beyond(pass.after_s, p.pass_s, p.softness_s);
        let began_again = beyond(pass.after_s, p.reset_s, p.softness_s)
            * beyond(e.end_m - e.nearest_m.min(e.start_m), p.reset_back_m, p.softness_m);
        if soon >= 0.5 {
            return either(
                soon * (1.0 - began_again),
                HandlerAction::Pass,
                HandlerAction::Reset,
            );
        }
    }
    let drove = 1.0 - beyond(e.nearest_m, p.drive_m, p.softness_m);
    either(drove, HandlerAction::Drive, HandlerAction::Reset)
}

/// The likelier of two words.
fn either(first: f32, one: HandlerAction, other: HandlerAction) -> Decided<HandlerAction> {
    if first >= 0.5 {
        Decided {
            word: one,
            confidence: first,
        }
    } else {
        Decided {
            word: other,
            confidence: 1.0 - first,
        }
    }
}
