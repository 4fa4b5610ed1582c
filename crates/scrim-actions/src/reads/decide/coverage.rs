//! What the screener's defender did.
//!
//! Questions, in order; the first "yes" tells the word:
//! 1. Did the handler's defender stand on the screen's side before it, and the screener's defender wait below? `ice`.
//! 2. Are the matchups exchanged for long enough? `switch`, whatever went before: a hedge that turns into a switch and a
//!    late switch after both chased the handler are switches.
//! 3. Is the screener's defender below the screen at the use, and does not step out past it either? `drop`.
//! 4. Were both on the ball for long enough, and did the screener's defender not start back in time? `blitz`.
//! 5. Was he beyond the screen on the handler's side? `hedge`.
//! 6. Else `level`: a soft show, too.

use scrim_tables::tags::{Coverage, Outcome, UnclearReason};

use super::{Decided, beyond, likeliest};
use crate::reads::evidence::{BigEvidence, ReadEvidence, SwapEvidence};
use crate::{BallScreen, CoverageParams, ReadParams};

pub(super) fn decide(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    params: &ReadParams,
) -> (Decided<Coverage>, Option<UnclearReason>) {
    let unclear = |reason, confidence| {
        let word = Coverage::Unclear;
        (Decided { word, confidence }, Some(reason))
    };
    if screen.screener_defender.is_none() {
        return unclear(UnclearReason::NoScreenerDefender, 0.0);
    }
    if screen.user_defender.is_none() {
        return unclear(UnclearReason::NoUserDefender, 0.0);
    }
    let (Some(big), Some(swap)) = (&evidence.big, &evidence.swap) else {
        return unclear(UnclearReason::NotSeen, 0.0);
    };
    if evidence.seen_share < params.window.min_seen_share {
        return unclear(UnclearReason::NotSeen, 0.0);
    }
    if evidence.seen_after_s < params.window.min_after_s {
        return unclear(UnclearReason::EndedTooSoon, 0.0);
    }
    match likeliest(&weigh(screen, big, swap, evidence, &params.coverage)) {
        Some(best) if best.confidence >= params.coverage.min_confidence => (best, None),
        Some(best) => unclear(UnclearReason::TooClose, best.confidence),
        None => unclear(UnclearReason::NotSeen, 0.0),
    }
}

/// How likely each word is; they add up to one.
fn weigh(
    screen: &BallScreen,
    big: &BigEvidence,
    swap: &SwapEvidence,
    evidence: &ReadEvidence,
    p: &CoverageParams,
) -> [(Coverage, f32); 6] {
    let told = beyond(swap.told_s, p.switch_told_s, p.switch_told_softness_s);
    let stood = beyond(swap.margin_m, p.switch_margin_m, p.switch_softness_m);
    let side = evidence
        .on_ball
        .and_then(|o| o.side_m)
        .map_or(0.0, |side| beyond(side, p.ice_side_m, p.ice_softness_m));
    let waits = beyond(big.depth_m, p.ice_depth_m, p.depth_softness_m);
    let denied = match screen.outcome {
        Outcome::Rejected | Outcome::Slipped | Outcome::Unused | Outcome::Flipped => 1.0,
        Outcome::Used | Outcome::Ghosted => p.ice_though_used,
    };
    let ice = side * waits * denied;
    let below = beyond(big.depth_m, p.drop_depth_m, p.depth_softness_m);
    let both = beyond(
        big.both_close_s.unwrap_or(0.0),
        p.blitz_both_close_s,
        p.both_close_softness_s,
    );
    let stays = big
        .back_s
        .map_or(1.0, |back| beyond(back, p.hedge_back_s, p.back_softness_s));
    let blitz = both * stays;
    let hedge = big
        .beyond_on_side_m
        .map_or(0.0, |b| beyond(b, p.hedge_beyond_m, p.beyond_softness_m));
    let mut left = 1.0;
    let mut take = |share: f32| {
        let taken = left * share;
        left -= taken;
        taken
    };
    [
        (Coverage::Ice, take(ice)),
        (Coverage::Switch, take(1.0 - (1.0 - told) * (1.0 - stood))),
        (Coverage::Drop, take(below * (1.0 - hedge))),
        (Coverage::Blitz, take(blitz)),
        (Coverage::Hedge, take(hedge)),
        (Coverage::Level, take(1.0)),
    ]
}
