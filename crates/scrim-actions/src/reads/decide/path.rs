//! What the handler's defender did.
//!
//! A switch is `switched`, icing is `denied`; else the height at which the defender passes the screener decides `over` or `under`.
//! One who does not pass by the end of the window chases, or is caught: the height when nearest to the screener decides.

use scrim_tables::tags::{Coverage, OnBallPath};

use crate::reads::borders::beyond;
use crate::reads::evidence::ReadEvidence;
use crate::reads::read::Decided;

/// Softness of the height at which the defender passes the screener (the border is the screener's own place), m.
const ABOVE_SOFTNESS_M: f32 = 0.3;

pub(super) fn decide(coverage: Decided<Coverage>, evidence: &ReadEvidence) -> Decided<OnBallPath> {
    match coverage.word {
        Coverage::Switch => {
            return Decided::new(OnBallPath::Switched, coverage.confidence);
        }
        Coverage::Ice => {
            return Decided::new(OnBallPath::Denied, coverage.confidence);
        }
        Coverage::Drop | Coverage::Level | Coverage::Hedge | Coverage::Blitz | Coverage::Unclear => {}
    }
    let Some(on_ball) = evidence.on_ball else {
        return Decided::unsure(OnBallPath::Unclear);
    };
    let over = beyond(
        on_ball.above_m.unwrap_or(on_ball.above_nearest_m),
        0.0,
        ABOVE_SOFTNESS_M,
    );
    let (word, confidence) = if over >= 0.5 {
        (OnBallPath::Over, over)
    } else {
        (OnBallPath::Under, 1.0 - over)
    };
    Decided::new(word, confidence)
}
