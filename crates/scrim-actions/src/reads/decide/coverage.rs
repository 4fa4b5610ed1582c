//! What the screener's defender did.
//!
//! The rules answer first, and a [`CoverageModel`](crate::CoverageModel) may weigh their answer against the evidence again.
//! The rules' questions, in order; the first "yes" tells the word:
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
use crate::{BallScreen, COVERAGE_WORDS, CoverageInputs, CoverageParams, ReadParams};

/// What the decision looks at, or why there is nothing to decide.
pub(super) fn inputs(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    params: &ReadParams,
) -> Result<CoverageInputs, UnclearReason> {
    if screen.screener_defender.is_none() {
        return Err(UnclearReason::NoScreenerDefender);
    }
    if screen.user_defender.is_none() {
        return Err(UnclearReason::NoUserDefender);
    }
    let (Some(big), Some(swap)) = (&evidence.big, &evidence.swap) else {
        return Err(UnclearReason::NotSeen);
    };
    if evidence.seen_share < params.window.min_seen_share {
        return Err(UnclearReason::NotSeen);
    }
    if evidence.seen_after_s < params.window.min_after_s {
        return Err(UnclearReason::EndedTooSoon);
    }
    let rules = weigh(screen, big, swap, evidence, &params.coverage);
    Ok(CoverageInputs::of(big, swap, rules, &params.coverage))
}

/// The word, and why it is `unclear` when it is.
pub(super) fn decide(
    inputs: Result<&CoverageInputs, UnclearReason>,
    params: &ReadParams,
) -> (Decided<Coverage>, Option<UnclearReason>) {
    let unclear = |reason, confidence| {
        let word = Coverage::Unclear;
        (Decided { word, confidence }, Some(reason))
    };
    let inputs = match inputs {
        Ok(inputs) => inputs,
        Err(reason) => return unclear(reason, 0.0),
    };
    let likelihoods = params.coverage_likelihoods(inputs);
    let words: Vec<_> = COVERAGE_WORDS.into_iter().zip(likelihoods).collect();
    match likeliest(&words) {
        Some(best) if best.confidence >= params.coverage.min_confidence => (best, None),
        Some(best) => unclear(UnclearReason::TooClose, best.confidence),
        None => unclear(UnclearReason::NotSeen, 0.0),
    }
}

/// How likely the rules have each of [`COVERAGE_WORDS`]; they add up to one.
fn weigh(
    screen: &BallScreen,
    big: &BigEvidence,
    swap: &SwapEvidence,
    evidence: &ReadEvidence,
    p: &CoverageParams,
) -> [f32; 6] {
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
        take(ice),
        take(1.0 - (1.0 - told) * (1.0 - stood)),
        take(below * (1.0 - hedge)),
        take(blitz),
        take(hedge),
        take(1.0),
    ]
}
