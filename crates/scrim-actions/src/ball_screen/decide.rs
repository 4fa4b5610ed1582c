//! The outcome of a would-be screen, from its reading alone.

use scrim_floor::{AttackFrame, Half, Point};
use scrim_play::Scene;
use scrim_tables::tags::{Outcome, ScreenKind};

use super::encounter::Encounter;
use super::reading::{self, Reading};
use super::stop::{self, Stop};
use super::{BallScreen, ScreenEvidence, ScreenParams};

/// A slip is told from a use by who goes first: the screener may leave this long after the closest approach, s.
const SLIP_AFTER_CLOSEST_S: f32 = 0.4;
/// A handler slower than this at the closest approach does not use a screen, m/s.
const MIN_USE_SPEED_MPS: f32 = 1.0;
/// A slip leads at least this much nearer the hoop in the time below, m.
const SLIP_TOWARD_HOOP_M: f32 = 0.6;
/// The time in which it does, s.
const SLIP_LOOK_S: f32 = 0.8;
/// A screener may be set this long before the spell near the handler begins, s: he waits for the pass to arrive.
const SET_BEFORE_SPELL_S: f32 = 1.0;

/// Finds the screens of one spell.
pub(super) fn find_in_encounter(
    scene: &Scene,
    possession: usize,
    encounter: &Encounter,
    params: &ScreenParams,
    found: &mut Vec<BallScreen>,
) {
    let mate = &scene.attackers[encounter.mate];
    let within = encounter.frames.start.saturating_sub(scene.frames_in(SET_BEFORE_SPELL_S))..encounter.frames.end;
    let mut free_from = 0;
    for stop in stop::find_stops(scene, mate, within, &params.set) {
        let Some(begin) = set_frame(scene, encounter, &stop, params) else { continue };
        if begin < free_from {
            continue;
        }
        let longest = scene.frames_in(params.outcome.longest_wait_s);
        let span = encounter.frames.start..(begin + longest).min(scene.frames);
        let reading = reading::measure(
            scene,
            encounter.handler,
            encounter.mate,
            begin,
            stop.spot,
            span,
            params,
        );
        let Some((outcome, at)) = outcome_of(scene, encounter, begin, &reading, params) else { continue };
        let confidence = confidence_of(&reading, outcome, params);
        if confidence < params.outcome.min_confidence {
            continue;
        }
        free_from = at.max(begin + 1);
        found.push(screen_row(scene, possession, encounter, Some(begin), stop.spot, outcome, at, &reading, confidence, params));
    }
}

/// The first frame of the stop at which handler, screener and the handler's defender stand as in a screen.
fn set_frame(scene: &Scene, encounter: &Encounter, stop: &Stop, params: &ScreenParams) -> Option<usize> {
    let (h, s) = (&scene.attackers[encounter.handler], &scene.attackers[encounter.mate]);
    let from = encounter.frames.start.saturating_sub(scene.frames_in(SET_BEFORE_SPELL_S));
    (stop.frames.start.max(from)..stop.frames.end).find(|&k| {
        let guard = scene.guard_of(encounter.handler, k);
        h.at(k).distance_m(s.at(k)) <= params.set.user_near_m
            && guard.is_none_or(|d| {
                d.at(k).distance_m(s.at(k)) <= params.set.defender_near_m
                    && d.at(k).distance_m(h.at(k)) <= params.set.guarded_m
            })
    })
}

/// What became of the screen and when; `None` when nothing is left to call a screen.
fn outcome_of(
    scene: &Scene,
    encounter: &Encounter,
    begin: usize,
    reading: &Reading,
    params: &ScreenParams,
) -> Option<(Outcome, usize)> {
    let outcome = &params.outcome;
    let mate = &scene.attackers[encounter.mate];
    let slips = reading.leave.is_some_and(|leave| {
        let later = (leave + scene.frames_in(SLIP_LOOK_S)).min(scene.frames - 1);
        let hoop = Point::<AttackFrame>::origin();
        mate.at(leave).distance_m(hoop) - mate.at(later).distance_m(hoop) >= SLIP_TOWARD_HOOP_M
            && leave <= begin + scene.frames_in(outcome.slip_within_s)
    });
    let leaves_by = |k: usize| reading.leave.is_some_and(|leave| leave <= k);
    let toward = reading.go.is_some_and(|go| go.angle_deg < outcome.reject_angle_deg);
    let passes = reading.gap_m <= outcome.use_gap_m
        && reading.speed_at_closest_mps >= MIN_USE_SPEED_MPS
        && reading.drift_m <= outcome.leave_m;
    if slips && leaves_by(reading.closest + scene.frames_in(SLIP_AFTER_CLOSEST_S)) {
        return Some((Outcome::Slipped, reading.closest.max(begin)));
    }
    if passes && toward {
        return Some((Outcome::Used, reading.closest));
    }
    if let Some(go) = reading.go {
        if !leaves_by(go.frame) && go.angle_deg >= outcome.reject_angle_deg {
            return Some((Outcome::Rejected, go.frame));
        }
        if passes {
            return Some((Outcome::Used, reading.closest));
        }
    }
    if slips {
        return reading.leave.map(|leave| (Outcome::Slipped, leave));
    }
    reading.leave.map(|leave| (Outcome::Unused, leave))
}

/// How sure it is that this is a screen: the mean of how well each part fits, 0 to 1.
fn confidence_of(reading: &Reading, outcome: Outcome, params: &ScreenParams) -> f32 {
    let set = &params.set;
    let came = ramp(reading.arrival_m, 0.3, set.min_arrival_m);
    let still = ramp(reading.lowest_speed_mps, set.max_speed_mps, 0.5 * set.max_speed_mps);
    let on_defender = reading.defender_gap_m.map_or(0.5, |gap| ramp(gap, set.defender_near_m, 0.9));
    let guarded = reading.guarded_m.map_or(0.5, |gap| ramp(gap, set.guarded_m, 1.7));
    let close = match outcome {
        Outcome::Used => ramp(reading.gap_m, params.outcome.use_gap_m, 1.1),
        _ => ramp(reading.gap_m, set.user_near_m, 1.6),
    };
    0.25 * came + 0.1 * still + 0.3 * on_defender + 0.15 * guarded + 0.2 * close
}

/// 0 at `none` and before, 1 at `full` and beyond, straight between.
fn ramp(value: f32, none: f32, full: f32) -> f32 {
    ((value - none) / (full - none)).clamp(0.0, 1.0)
}

#[expect(clippy::too_many_arguments, reason = "the row's parts, gathered in one place")]
fn screen_row(
    scene: &Scene,
    possession: usize,
    encounter: &Encounter,
    set: Option<usize>,
    spot: Point<AttackFrame>,
    outcome: Outcome,
    at: usize,
    reading: &Reading,
    confidence: f32,
    params: &ScreenParams,
) -> BallScreen {
    let player = |place: usize| scene.defenders[place].player;
    BallScreen {
        possession,
        kind: ScreenKind::BallScreen,
        outcome,
        screener: scene.attackers[encounter.mate].player,
        user: scene.attackers[encounter.handler].player,
        screener_defender: reading.screener_defender.map(player),
        user_defender: reading.user_defender.map(player),
        set: set.map(|k| scene.first_frame + k),
        used: scene.first_frame + at,
        end: scene.first_frame + end_frame(scene, encounter.handler, encounter.mate, spot, at, params),
        spot,
        strong_side: Half::of(scene.ball_at(at)) == Half::of(spot),
        previous: None,
        confidence,
        evidence: ScreenEvidence {
            screener_speed_mps: reading.lowest_speed_mps,
            user_gap_m: reading.gap_m,
            defender_gap_m: reading.defender_gap_m,
            angle_deg: reading::path_angle_deg(scene, encounter.handler, at),
        },
        early_denial: false,
    }
}

/// When both are away from the spot, or long enough after the use.
pub(super) fn end_frame(
    scene: &Scene,
    user: usize,
    screener: usize,
    spot: Point<AttackFrame>,
    at: usize,
    params: &ScreenParams,
) -> usize {
    let latest = (at + scene.frames_in(params.outcome.end_after_use_s)).min(scene.frames.saturating_sub(1));
    let away = |place: usize, k: usize| {
        scene.attackers[place].at(k).distance_m(spot) > params.outcome.end_apart_m
    };
    (at..latest).find(|&k| away(user, k) && away(screener, k)).unwrap_or(latest)
}
