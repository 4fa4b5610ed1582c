//! What the screener's defender did: the likeliest word of the coverage model, or why there is none.

use scrim_floor::Definitions;
use scrim_tables::tags::{Coverage, UnclearReason};

use crate::reads::evidence::ReadEvidence;
use crate::reads::read::Decided;
use crate::{BallScreen, COVERAGE_WORDS, CoverageInputs, ReadParams};

/// With less than this of the possession left after the use, the coverage is `unclear`, s.
const MIN_AFTER_S: f32 = 0.6;
/// With the four players seen together for less than this share of the time after the use, it is `unclear`, 0 to 1.
const MIN_SEEN_SHARE: f32 = 0.75;

/// What the decision looks at, or why there is nothing to decide.
pub(super) fn inputs(
    screen: &BallScreen,
    evidence: &ReadEvidence,
    definitions: &Definitions,
) -> Result<CoverageInputs, UnclearReason> {
    if screen.screener_defender.is_none() {
        return Err(UnclearReason::NoScreenerDefender);
    }
    if screen.user_defender.is_none() {
        return Err(UnclearReason::NoUserDefender);
    }
    let (Some(screener_defender), Some(swap), Some(coverage)) =
        (&evidence.screener_defender, &evidence.swap, &evidence.coverage)
    else {
        return Err(UnclearReason::NotSeen);
    };
    if evidence.seen_share < MIN_SEEN_SHARE {
        return Err(UnclearReason::NotSeen);
    }
    if evidence.seen_after_s < MIN_AFTER_S {
        return Err(UnclearReason::EndedTooSoon);
    }
    Ok(CoverageInputs::of(screener_defender, swap, coverage, definitions))
}

/// The word, and why it is `unclear` when it is. `likelihoods`: of each of [`COVERAGE_WORDS`].
pub(super) fn decide(
    likelihoods: Result<[f32; 6], UnclearReason>,
    params: &ReadParams,
) -> (Decided<Coverage>, Option<UnclearReason>) {
    let unclear = |reason, confidence| {
        let word = Coverage::Unclear;
        (Decided::new(word, confidence), Some(reason))
    };
    let likelihoods = match likelihoods {
        Ok(likelihoods) => likelihoods,
        Err(reason) => return unclear(reason, 0.0),
    };
    let words: Vec<_> = COVERAGE_WORDS.into_iter().zip(likelihoods).collect();
    match Decided::likeliest(&words) {
        Some(best) if best.confidence >= params.min_confidence => (best, None),
        Some(best) => unclear(UnclearReason::TooClose, best.confidence),
        None => unclear(UnclearReason::NotSeen, 0.0),
    }
}
