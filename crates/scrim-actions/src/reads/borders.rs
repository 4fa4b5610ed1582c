//! The vocabulary's borders of coverages, and how far each word's own definition is met.
//!
//! Each question ("is the screener's defender below the screen?") is answered softly: by a likelihood of one half at the
//! border that grows smoothly with the distance from it. The questions, in order; the first "yes" says the word:
//! 1. Did the handler's defender stand on the screen's side before it, and the screener's defender wait below? `ice`.
//! 2. Are the matchups exchanged for long enough? `switch`, whatever went before: a hedge that turns into a switch and a
//!    late switch after both chased the handler are switches.
//! 3. Is the screener's defender below the screen at the use, and does not step out past it either? `drop`.
//! 4. Were both on the ball for long enough, and did the screener's defender not start back in time? `blitz`.
//! 5. Was the screener's defender beyond the screen on the handler's side? `hedge`.
//! 6. Else `level`: a soft show, too.
//!
//! Where the borders lie is in [`Definitions`]; here is how soft they are. The answers are evidence among other evidence: the coverage
//! model decides. Where no source is named, a number is common practice with no source.

use scrim_floor::Definitions;
use scrim_tables::tags::Outcome;

use super::evidence::{OnBallEvidence, ScreenerDefenderEvidence, SwapEvidence};

/// Softness of the depth, m.
const DEPTH_SOFTNESS_M: f32 = 0.25;
/// Softness of that, m.
const BEYOND_SOFTNESS_M: f32 = 0.2;
/// Softness of that, s.
const BOTH_CLOSE_SOFTNESS_S: f32 = 0.2;
/// Softness of that, s.
const BACK_SOFTNESS_S: f32 = 0.15;
/// Each defender stands at least this much nearer the other's attacker than their own over that time, m.
pub(super) const SWITCH_MARGIN_M: f32 = 0.3;
/// Softness of that, m.
const SWITCH_SOFTNESS_M: f32 = 0.25;
/// The play's matchups say a switch when they have the two exchanged for this long, s: they change seldom and late, so that
/// a play that ends soon leaves them little time.
pub(super) const MATCHUPS_S: f32 = 0.5;
/// Softness of that, s.
const MATCHUPS_SOFTNESS_S: f32 = 0.15;
/// Icing: the handler's defender stands this far toward the screen's side of the handler, m.
const ICE_SIDE_M: f32 = 0.3;
/// Softness of that, m.
const ICE_SOFTNESS_M: f32 = 0.1;
/// How likely a screen that looks iced still is so when the handler went past it.
const ICE_THOUGH_USED: f32 = 0.1;

/// How far the definition of each of [`crate::COVERAGE_WORDS`] is met; the six add up to one.
pub(super) fn likelihoods(
    outcome: Outcome,
    screener_defender: &ScreenerDefenderEvidence,
    swap: &SwapEvidence,
    on_ball: Option<&OnBallEvidence>,
    definitions: &Definitions,
) -> [f32; 6] {
    let matchups = beyond(swap.exchanged_s, MATCHUPS_S, MATCHUPS_SOFTNESS_S);
    let stood = beyond(swap.margin_m, SWITCH_MARGIN_M, SWITCH_SOFTNESS_M);
    let side = on_ball
        .and_then(|o| o.side_m)
        .map_or(0.0, |side| beyond(side, ICE_SIDE_M, ICE_SOFTNESS_M));
    let waits = beyond(
        screener_defender.depth_m,
        definitions.ice_depth_m,
        DEPTH_SOFTNESS_M,
    );
    let denied = if goes_past(outcome) { ICE_THOUGH_USED } else { 1.0 };
    let ice = side * waits * denied;
    let below = beyond(
        screener_defender.depth_m,
        definitions.drop_depth_m,
        DEPTH_SOFTNESS_M,
    );
    let both = beyond(
        screener_defender.both_close_s.unwrap_or(0.0),
        definitions.blitz_s,
        BOTH_CLOSE_SOFTNESS_S,
    );
    let stays = screener_defender.back_s.map_or(1.0, |back| {
        beyond(back, definitions.hedge_back_s, BACK_SOFTNESS_S)
    });
    let blitz = both * stays;
    let hedge = screener_defender
        .beyond_on_side_m
        .map_or(0.0, |b| beyond(b, definitions.hedge_beyond_m, BEYOND_SOFTNESS_M));
    let mut left = 1.0;
    let mut take = |share: f32| {
        let taken = left * share;
        left -= taken;
        taken
    };
    [
        take(ice),
        take(1.0 - (1.0 - matchups) * (1.0 - stood)),
        take(below * (1.0 - hedge)),
        take(blitz),
        take(hedge),
        take(1.0),
    ]
}

/// Whether the user goes past the screener.
pub(super) fn goes_past(outcome: Outcome) -> bool {
    match outcome {
        Outcome::Used | Outcome::Ghosted => true,
        Outcome::Rejected | Outcome::Slipped | Outcome::Unused | Outcome::Flipped => false,
    }
}

/// How likely `value` truly lies beyond `border`: the logistic function of their distance in units of `softness`.
pub(super) fn beyond(value: f32, border: f32, softness: f32) -> f32 {
    1.0 / (1.0 + (-(value - border) / softness.max(f32::MIN_POSITIVE)).exp())
}
