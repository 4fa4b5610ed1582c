//! What the screener did.
//!
//! The screen's outcome decides slips, ghosts and flips; a next screen of the same two makes it a re-screen. Else in order:
//! `roll`, `short_roll`, `pop`, `stay`.

use scrim_floor::Definitions;
use scrim_tables::tags::{Outcome, ScreenerAction};

use super::handler::SOFTNESS_M;
use crate::BallScreen;
use crate::reads::borders::beyond;
use crate::reads::evidence::ReadEvidence;
use crate::reads::read::Decided;

/// A roll of either kind leads at least this much nearer the hoop, m.
pub(super) const ROLL_CAME_M: f32 = 1.1;

/// A screener who stays moves less than this, m.
const STAY_M: f32 = 1.4;
/// What the screener did is `unclear` when less than this was seen of it, s.
const MIN_SEEN_S: f32 = 0.8;

pub(super) fn decide(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    definitions: &Definitions,
) -> Decided<ScreenerAction> {
    let sure = |word| Decided::new(word, screen.confidence);
    match screen.outcome {
        Outcome::Slipped => return sure(ScreenerAction::Slip),
        Outcome::Ghosted => return sure(ScreenerAction::Ghost),
        Outcome::Flipped => return sure(ScreenerAction::Rescreen),
        Outcome::Used | Outcome::Rejected | Outcome::Unused => {}
    }
    let e = &evidence.screener;
    if e.rescreens {
        return sure(ScreenerAction::Rescreen);
    }
    let came = beyond(e.start_m - e.nearest_m, ROLL_CAME_M, SOFTNESS_M);
    let rim = came * (1.0 - beyond(e.nearest_m, definitions.at_rim_m, SOFTNESS_M));
    let short = came * (1.0 - beyond(e.nearest_m, Definitions::SHORT_ROLL_M, SOFTNESS_M));
    let moves = beyond(e.farthest_m, STAY_M, SOFTNESS_M);
    let words = [
        (ScreenerAction::Roll, rim),
        (ScreenerAction::ShortRoll, (1.0 - rim) * short),
        (ScreenerAction::Pop, (1.0 - rim) * (1.0 - short) * moves),
        (ScreenerAction::Stay, (1.0 - rim) * (1.0 - short) * (1.0 - moves)),
    ];
    match Decided::likeliest(&words) {
        // Who was hardly seen may still have been about to leave.
        Some(best) if best.word != ScreenerAction::Stay || e.seen_s >= MIN_SEEN_S => best,
        Some(_) | None => Decided::unsure(ScreenerAction::Unclear),
    }
}
