//! The outcome of a would-be screen and how sure it is, from its reading alone.

use scrim_tables::tags::Outcome;

use super::ScreenParams;
use super::reading::{Approach, Reading};

/// A slip is told from a use by who goes first: the screener may leave this long after the closest approach, s.
const SLIP_AFTER_CLOSEST_S: f32 = 1.0;
/// A screener who stands his ground moves no more than this in the 0.4 s before the closest approach, m.
const MAX_USE_DRIFT_M: f32 = 0.65;
/// A handler slower than this at the closest approach does not use a screen, m/s.
const MIN_USE_SPEED_MPS: f32 = 0.8;
/// A slip may begin with the pass that feeds it: the screener leaves at most this long after the handler let go, s.
const SLIP_AFTER_PASS_S: f32 = 0.3;
/// With no clear setting off, he must be this fast beside the screener, m/s.
const MIN_SLOW_USE_SPEED_MPS: f32 = 1.3;
/// A slip leads at least this much nearer the hoop within 0.8 s, m.
const SLIP_TOWARD_HOOP_M: f32 = 1.2;
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
    /// Iced before the screen was there.
    pub early_denial: bool,
}

/// Decides; `None` when it is no screen.
pub(super) fn decide(reading: &Reading, params: &ScreenParams) -> Option<Decision> {
    if let Some(at) = early_denial(reading, params) {
        let (outcome, confidence) = (
            Outcome::Rejected,
            confidence_of(reading, Outcome::Rejected, at, params),
        );
        return (confidence >= params.outcome.min_confidence).then_some(Decision {
            outcome,
            at,
            confidence,
            early_denial: true,
        });
    }
    let (outcome, at) = outcome_of(reading, params)?;
    let confidence = confidence_of(reading, outcome, at, params);
    (confidence >= params.outcome.min_confidence).then_some(Decision {
        outcome,
        at,
        confidence,
        early_denial: false,
    })
}

/// The instant at which the handler leaves an early denial: his defender stands on the screener's side, and he goes away
/// from it before the screener, who is on his way, is set.
fn early_denial(reading: &Reading, params: &ScreenParams) -> Option<usize> {
    let go = reading.go?;
    let early = match reading.approach {
        Approach::Stopped => go.frame <= reading.begin,
        Approach::Slowed => go.frame <= reading.begin + reading.frames_in(SLOWED_GO_S),
    };
    let iced = go.denied_m.is_some_and(|m| m >= params.outcome.denied_m);
    let away = go.from_screener_deg >= EARLY_AWAY_DEG;
    let coming = reading.closing_m >= params.set.min_arrival_m
        && go.screener_speed_mps >= params.set.max_speed_mps;
    (early && iced && away && coming).then_some(go.frame)
}

/// Without a stop the instant of the screen is less sure by this, s.
const SLOWED_GO_S: f32 = 0.2;
/// The handler leaves a denial away from the screener: at least at this angle, degrees.
const EARLY_AWAY_DEG: f32 = 75.0;

/// What became of the screen and when; `None` when nothing is left to call a screen.
fn outcome_of(reading: &Reading, params: &ScreenParams) -> Option<(Outcome, usize)> {
    let outcome = &params.outcome;
    let leaves_by = |k: usize| reading.leave.is_some_and(|leave| leave <= k);
    let slips = reading.toward_hoop_m >= SLIP_TOWARD_HOOP_M
        && leaves_by(reading.touch_end + reading.frames_in(SLIP_AFTER_PASS_S))
        && leaves_by(reading.begin + reading.frames_in(outcome.slip_within_s));
    let beside = reading.gap_m <= outcome.use_gap_m && reading.drift_m <= MAX_USE_DRIFT_M;
    if slips && leaves_by(reading.closest + reading.frames_in(SLIP_AFTER_CLOSEST_S)) {
        return Some((Outcome::Slipped, reading.closest.max(reading.begin)));
    }
    if let Some(go) = reading.go {
        let toward = go.angle_deg < outcome.reject_angle_deg;
        if toward && beside && reading.speed_at_closest_mps >= MIN_USE_SPEED_MPS {
            return Some((Outcome::Used, reading.closest));
        }
        if !toward && !leaves_by(go.frame) && go.frame <= reading.touch_end && go.toward_hoop_m >= REJECT_TOWARD_HOOP_M {
            return Some((Outcome::Rejected, go.frame));
        }
    } else if beside && reading.speed_at_closest_mps >= MIN_SLOW_USE_SPEED_MPS {
        return Some((Outcome::Used, reading.closest));
    }
    let parting = reading.leave.unwrap_or(reading.last);
    match (slips, reading.approach) {
        (true, _) => Some((Outcome::Slipped, parting)),
        (false, Approach::Stopped) => Some((Outcome::Unused, parting)),
        (false, Approach::Slowed) => reading.leave.map(|leave| (Outcome::Ghosted, leave)),
    }
}

/// How sure it is that this is a screen, 0 to 1: the product of how well each part fits, each with a floor that tells
/// how much a screen can do without it.
fn confidence_of(reading: &Reading, outcome: Outcome, at: usize, params: &ScreenParams) -> f32 {
    let set = &params.set;
    if reading.in_back_court {
        return 0.0;
    }
    let part = |floor: f32, fit: f32| floor + (1.0 - floor) * fit;
    let uses = outcome == Outcome::Used;
    let came = part(
        if uses { 0.5 } else { 0.2 },
        ramp(reading.arrival_m, 0.3, set.min_arrival_m),
    );
    let to_ball = part(if uses { 0.6 } else { 0.3 }, ramp(reading.closing_m, -0.3, 0.9));
    let still = part(
        0.8,
        ramp(
            reading.lowest_speed_mps,
            set.max_speed_mps,
            0.5 * set.max_speed_mps,
        ),
    );
    // A screener who came for it may miss a defender who trails already.
    let on_defender = part(
        if uses { 0.2 + 0.4 * set_for_it } else { 0.2 },
        reading
            .defender_gap_m
            .map_or(0.5, |gap| ramp(gap, set.defender_near_m, 1.3)),
    );
    let guarded = part(
        0.4,
        reading.guarded_m.map_or(0.5, |gap| ramp(gap, set.guarded_m, 1.7)),
    );
    let past = if uses { part(0.5, ramp(reading.sweep_deg, 15.0, 45.0)) } else { 1.0 };
    let close = match outcome {
        Outcome::Used => part(0.5, ramp(reading.gap_m, params.outcome.use_gap_m + 0.2, 1.2)),
        _ => part(0.4, ramp(reading.gap_m, set.user_near_m, 1.7)),
    };
    let out = ramp(reading.handler_from_hoop_m, 2.0, 4.5);
    let settled = part(0.7, ramp(reading.touch_age_s, 0.0, 0.8));
    let clear = ramp(f32::from(reading.crowd), 7.0, 4.0);
    // Nobody stands for long where he only came to screen.
    let wait_s = (at.saturating_sub(reading.begin) as f64 / reading.hz) as f32;
    let patient = if outcome == Outcome::Unused {
        ramp(wait_s, 6.0, 3.0)
    } else {
        1.0
    };
    let ran_through = match outcome {
        Outcome::Ghosted => ramp(reading.after_m, 0.8, 1.6) * ramp(reading.toward_hoop_m, 0.3, -0.5),
        _ => 1.0,
    };
    out * clear * came * to_ball * still * on_defender * guarded * close * past * settled * patient * ran_through
}

/// 0 at `none` and before, 1 at `full` and beyond, straight between.
fn ramp(value: f32, none: f32, full: f32) -> f32 {
    ((value - none) / (full - none)).clamp(0.0, 1.0)
}
