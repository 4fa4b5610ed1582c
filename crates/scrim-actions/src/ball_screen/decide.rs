//! The outcome of a would-be screen and how sure it is, from its reading alone.

use scrim_tables::tags::Outcome;

use super::ScreenParams;
use super::fits::ScreenFits;
use super::reading::{Approach, Reading};

/// A slip is told from a use by who goes first: the screener may leave this long after the closest approach, s.
const SLIP_AFTER_CLOSEST_S: f32 = 1.0;
/// A screener who stands his ground moves no more than this in the 0.4 s before the closest approach, m.
const MAX_USE_DRIFT_M: f32 = 0.65;
/// A handler slower than this at the closest approach does not use a screen, m/s.
const MIN_USE_SPEED_MPS: f32 = 0.8;
/// A slip may begin with the pass that feeds it: the screener leaves at most this long after the handler let go, s.
const SLIP_AFTER_PASS_S: f32 = 0.3;
/// A screen whose handler has given the ball up is over this much later at the latest, s.
const GIVEN_UP_S: f32 = 0.5;
/// With no clear setting off, he must be this fast beside the screener, m/s.
const MIN_SLOW_USE_SPEED_MPS: f32 = 1.3;
/// Who slips without having stopped came this near to the handler at least, m. Common practice, no source.
const MOVING_SLIP_GAP_M: f32 = 2.0;
/// A slip leads at least this much nearer the hoop within 0.8 s, m.
const SLIP_TOWARD_HOOP_M: f32 = 1.2;
/// A ghost runs on: this far in the 0.8 s after he left, m ...
const GHOST_RUN_M: f32 = 1.2;
/// ... and not to the hoop: no nearer than this in the same time, m.
const GHOST_TOWARD_HOOP_M: f32 = 0.6;
/// Who never slows down slips when he came up from the hoop by this, m ...
const RUN_SLIP_CAME_UP_M: f32 = 0.5;
/// ... and is so much nearer to it again a second later, m: who comes down past the handler only cuts.
const RUN_SLIP_TOWARD_HOOP_M: f32 = 2.0;
/// He comes to the handler's side, this near, m.
const RUN_SLIP_GAP_M: f32 = 1.2;
/// The run of a ghost ends this far from the hoop at least, m ...
const GHOST_END_M: f32 = 6.0;
/// ... and leads away from the handler: this far at least, m.
const GHOST_APART_M: f32 = 2.0;
/// A handler who rejects a screen drives: he is this much nearer the hoop (or at least no farther) a second later, m.
const REJECT_TOWARD_HOOP_M: f32 = 0.0;

/// What became of a would-be screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Decision {
    /// The outcome.
    pub outcome: Outcome,
    /// Scene frame of the use, or of the parting.
    pub at: usize,
    /// How sure it is that this is a screen, 0 to 1.
    pub confidence: f32,
    /// What that rests on.
    pub fits: ScreenFits,
    /// Iced before the screen was there.
    pub early_denial: bool,
}

/// Decides, however sure; `None` when nothing about it is a screen.
pub(super) fn decide(reading: &Reading, params: &ScreenParams) -> Option<Decision> {
    if reading.in_back_court {
        return None;
    }
    let (outcome, at) = outcome_of(reading, params)?;
    let fits = ScreenFits::of(reading, outcome, at, params);
    Some(Decision {
        outcome,
        at,
        confidence: fits.confidence(outcome, &params.weights),
        fits,
        early_denial: reading.denial.is_some(),
    })
}

/// What became of the screen and when; `None` when nothing is left to call a screen.
fn outcome_of(reading: &Reading, params: &ScreenParams) -> Option<(Outcome, usize)> {
    let outcome = &params.outcome;
    if reading.denial.is_some() {
        return Some((Outcome::Rejected, reading.begin));
    }
    if let Some(run) = reading.run {
        let to_perimeter = run.end_from_hoop_m >= GHOST_END_M && run.end_apart_m >= GHOST_APART_M;
        let to_rim = reading.gap_m <= RUN_SLIP_GAP_M
            && run.toward_hoop_m >= RUN_SLIP_TOWARD_HOOP_M
            && reading.came_up_m >= RUN_SLIP_CAME_UP_M;
        return match (to_perimeter, to_rim) {
            (true, _) => Some((Outcome::Ghosted, reading.begin)),
            (false, true) => Some((Outcome::Slipped, reading.begin)),
            (false, false) => None,
        };
    }
    let leaves_by = |k: usize| reading.leave.is_some_and(|leave| leave <= k);
    // Who does not even stop was at a screen only if the two came near.
    let was_there = match reading.approach {
        Approach::Stopped | Approach::Coming => true,
        Approach::Slowed | Approach::Ran => reading.gap_m <= MOVING_SLIP_GAP_M,
    };
    let slips = was_there
        && reading.toward_hoop_m >= SLIP_TOWARD_HOOP_M
        && leaves_by(reading.touch_end + reading.frames_in(SLIP_AFTER_PASS_S))
        && leaves_by(reading.stands_from + reading.frames_in(outcome.slip_within_s));
    let beside = reading.gap_m <= outcome.use_gap_m && reading.drift_m <= MAX_USE_DRIFT_M;
    if slips && leaves_by(reading.closest + reading.frames_in(SLIP_AFTER_CLOSEST_S)) {
        return Some((Outcome::Slipped, reading.closest.max(reading.begin)));
    }
    if let Some(go) = reading.go {
        let toward = go.angle_deg < outcome.reject_angle_deg;
        if toward && beside && reading.speed_at_closest_mps >= MIN_USE_SPEED_MPS {
            return Some((Outcome::Used, reading.closest));
        }
        if !toward
            && !leaves_by(go.frame)
            && go.frame <= reading.touch_end
            && go.toward_hoop_m >= REJECT_TOWARD_HOOP_M
        {
            return Some((Outcome::Rejected, go.step));
        }
    } else if beside && reading.speed_at_closest_mps >= MIN_SLOW_USE_SPEED_MPS {
        return Some((Outcome::Used, reading.closest));
    }
    // Who gave the ball up has no use for the screen any more, though screener and he may stand there for a while.
    let given_up = reading.touch_end + reading.frames_in(GIVEN_UP_S);
    let parting = reading.leave.unwrap_or(reading.last).min(given_up);
    match (slips, reading.approach) {
        (true, _) => Some((Outcome::Slipped, parting)),
        (false, Approach::Stopped) => Some((Outcome::Unused, parting)),
        (false, Approach::Ran | Approach::Coming) => None,
        (false, Approach::Slowed) => {
            let runs_through = reading.after_m >= GHOST_RUN_M && reading.toward_hoop_m <= GHOST_TOWARD_HOOP_M;
            reading
                .leave
                .filter(|_| runs_through)
                .map(|_| (Outcome::Ghosted, reading.closest))
        }
    }
}
