//! What the screener did.

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
    let stays = 1.0 - beyond(e.farthest_m, p.stay_m, p.softness_m);
    let rim = 1.0 - beyond(e.nearest_m, p.roll_m, p.softness_m);
    let out = beyond(e.end_m, p.pop_m, p.softness_m);
    let words = [
        (ScreenerAction::Stay, stays),
        (ScreenerAction::Roll, (1.0 - stays) * rim),
        (ScreenerAction::Pop, (1.0 - stays) * (1.0 - rim) * out),
        (
            ScreenerAction::ShortRoll,
            (1.0 - stays) * (1.0 - rim) * (1.0 - out),
        ),
    ];
    likeliest(&words).unwrap_or(Decided {
        word: ScreenerAction::Unclear,
        confidence: 0.0,
    })
}
