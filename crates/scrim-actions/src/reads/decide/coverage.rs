//! What the screener's defender did: the likeliest word of the coverage model, or why there is none.

use scrim_tables::tags::{Coverage, UnclearReason};

use super::{Decided, likeliest};
use crate::reads::evidence::ReadEvidence;
use crate::{BallScreen, COVERAGE_WORDS, CoverageInputs, ReadParams};

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
    let (Some(big), Some(swap), Some(coverage)) = (&evidence.big, &evidence.swap, &evidence.coverage) else {
        return Err(UnclearReason::NotSeen);
    };
    if evidence.seen_share < params.window.min_seen_share {
        return Err(UnclearReason::NotSeen);
    }
    if evidence.seen_after_s < params.window.min_after_s {
        return Err(UnclearReason::EndedTooSoon);
    }
    Ok(CoverageInputs::of(big, swap, coverage))
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
    let likelihoods = params.coverage_model.likelihoods(inputs);
    let words: Vec<_> = COVERAGE_WORDS.into_iter().zip(likelihoods).collect();
    match likeliest(&words) {
        Some(best) if best.confidence >= params.coverage.min_confidence => (best, None),
        Some(best) => unclear(UnclearReason::TooClose, best.confidence),
        None => unclear(UnclearReason::NotSeen, 0.0),
    }
}
