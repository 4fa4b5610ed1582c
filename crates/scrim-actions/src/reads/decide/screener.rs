//! What the screener did.
//!
//! The screen's outcome tells slips, ghosts and flips; a next screen of the same two tells a re-screen. Else in order:
//! `roll`, `short_roll`, `pop`, `stay`.

use scrim_tables::tags::{Outcome, ScreenerAction};

use super::{Decided, beyond, likeliest};
use crate::reads::evidence::ReadEvidence;
use crate::{BallScreen, OptionParams};

pub(super) fn decide(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    p: &OptionParams,
) -> Decided<ScreenerAction> {
    let sure = |word| Decided {
        word,
        confidence: screen.confidence,
    };
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
    let came = beyond(e.start_m - e.nearest_m, p.roll_came_m, p.softness_m);
    let rim = came * (1.0 - beyond(e.nearest_m, p.roll_m, p.softness_m));
    let short = came * (1.0 - beyond(e.nearest_m, p.short_roll_m, p.softness_m));
    let moves = beyond(e.farthest_m, p.stay_m, p.softness_m);
    let words = [
        (ScreenerAction::Roll, rim),
        (ScreenerAction::ShortRoll, (1.0 - rim) * short),
        (ScreenerAction::Pop, (1.0 - rim) * (1.0 - short) * moves),
        (ScreenerAction::Stay, (1.0 - rim) * (1.0 - short) * (1.0 - moves)),
    ];
    match likeliest(&words) {
        // Who was hardly seen may still have been about to leave.
        Some(best) if best.word != ScreenerAction::Stay || e.seen_s >= p.min_seen_s => best,
        Some(_) | None => Decided {
            word: ScreenerAction::Unclear,
            confidence: 0.0,
        },
    }
}
