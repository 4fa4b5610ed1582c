//! What the handler did.
//!
//! In order: a rejected screen is `reject`; then what ended his part (his own shot, his pass), then where he went.

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
    if screen.outcome == Outcome::Rejected {
        return decided(HandlerAction::Reject, screen.confidence);
    }
    let e = &evidence.handler;
    if e.seen_s <= 0.0 {
        return decided(HandlerAction::Unclear, 0.0);
    }
    if e.split_s.is_some() {
        return decided(HandlerAction::Split, 0.7);
    }
    if let Some(shot) = evidence.shot.filter(|shot| shot.by_handler) {
        let from_m = shot.spot.distance_m(scrim_floor::Point::origin());
        let far = beyond(from_m, p.drive_shot_m, 0.4);
        if far < 0.5 {
            return decided(HandlerAction::Drive, 1.0 - far);
        }
        let back = beyond(e.backed_m, p.step_back_m, 0.2);
        if back >= 0.5 {
            return decided(HandlerAction::StepBack, far * back);
        }
        if shot.after_s <= p.pull_up_s {
            return decided(HandlerAction::PullUp, far * (1.0 - back));
        }
    }
    if let Some(pass) = evidence.pass {
        let soon = 1.0 - beyond(pass.after_s, p.pass_s, 0.3);
        if soon >= 0.5 {
            return decided(HandlerAction::Pass, soon);
        }
    }
    let drove = 1.0 - beyond(e.nearest_m, p.drive_m, 0.5);
    if drove >= 0.5 {
        decided(HandlerAction::Drive, drove)
    } else {
        decided(HandlerAction::Reset, 1.0 - drove)
    }
}
