//! Shots that are on their way when the tracks end.

use scrim_floor::{AttackDirection, Court};
use scrim_tracks::Period;

use crate::attempt::Attempt;
use crate::rim::RIM_RADIUS_M;
use crate::rim::gap_to_hoop;
use crate::shooter::led_to;
use crate::spell::Spell;
use crate::{PeriodDirection, ShotResult};

/// Longest time from release to the rim, s.
pub(crate) const MAX_FLIGHT_S: f64 = 3.0;

/// Acceleration of free fall, m/s².
const GRAVITY_MPS2: f32 = 9.81;
/// How far a ball rises from the hand to the ring, metres: 3.05 m less about 2.2 m. Common practice, no source.
const RISE_M: f32 = 0.85;
/// Tangent of the flattest angle at which a shot leaves the hand (40°). A flatter ball comes to the ring too flat to drop
/// through it: of a ring that is 0.45 m wide it then sees less than the ball's own 0.24 m (sin 32°).
const FLATTEST: f32 = 0.84;
/// The same for the steepest angle (70°).
const STEEPEST: f32 = 2.75;
/// A release nearer to the hoop than this says little about the angle, metres.
const NEAR_M: f32 = 3.0;
/// How long a ball has to fly straight before the tracks end, s.
const STRAIGHT_S: f64 = 0.24;
/// How far its middle may lie off the straight line and off an even pace, metres.
const STRAIGHT_M: f32 = 0.35;
/// A ball this far from who threw it is in nobody's hands, metres: twice the usual distance of a dribble.
const LEFT_M: f32 = 1.0;
/// A slower ball does not fly, m/s.
const SLOWEST_MPS: f32 = 2.5;

/// The first frame of the straight flight that brings the ball to the rim at `arrived`, if it came in one.
pub(crate) fn flight_start(period: &Period, arrived: usize) -> Option<usize> {
    // At the very rim the ball slows down.
    straight_until(period, arrived.checked_sub(period.frames_in(0.08))?)
}

/// The first frame of the straight flight that goes on at `end`: a thrown ball keeps its way and pace in the plane until
/// somebody or something stops it, whoever stands or runs beside it. The first frame may lie a little before the release,
/// in the thrower's hands.
fn straight_until(period: &Period, end: usize) -> Option<usize> {
    let least = period.frames_in(STRAIGHT_S);
    let longest = period.frames_in(MAX_FLIGHT_S);
    let to = period.ball.at(end);
    let mut start = None;
    for length in least..=longest.min(end) {
        let from = period.ball.at(end - length);
        let off_m = |frame: usize| {
            let share = (frame + length - end) as f32 / length as f32;
            let at = period.ball.at(frame);
            (at.x_m - (from.x_m + (to.x_m - from.x_m) * share))
                .hypot(at.y_m - (from.y_m + (to.y_m - from.y_m) * share))
        };
        let speed_mps = from.distance_m(to) * period.hz as f32 / length as f32;
        // A place that is missing (NaN) is off every line.
        let straight = (end - length + 1..end).all(|frame| off_m(frame) <= STRAIGHT_M);
        if !straight || speed_mps.is_nan() || speed_mps < SLOWEST_MPS {
            break;
        }
        start = Some(end - length);
    }
    start
}

/// Tangent of the angle at which a ball left the hand that came from `from_m` away at this pace in the plane, rose from the
/// hand to the ring, and dropped.
fn tangent(from_m: f32, speed_mps: f32) -> f32 {
    RISE_M / from_m + GRAVITY_MPS2 * from_m / (2.0 * speed_mps * speed_mps)
}

/// Whether the straight flight from `start` to `arrived` at the rim is too flat for a shot: it was thrown to somebody there.
pub(crate) fn is_flat(period: &Period, court: &Court, start: usize, arrived: usize) -> bool {
    let from_m = gap_to_hoop(period, court, start).0;
    let to_m = gap_to_hoop(period, court, arrived).0;
    let speed_mps = (from_m - to_m) * period.hz as f32 / (arrived - start).max(1) as f32;
    from_m >= NEAR_M && tangent(from_m, speed_mps) < FLATTEST
}

/// The attempt whose ball is in the air when the period's tracks end: it flies straight at a hoop, away from who threw it,
/// at the pace of a ball that rises from there to the ring and drops. Whether it goes in is not known.
pub(crate) fn unfinished(
    period: &Period,
    court: &Court,
    spells: &[Spell],
    attempts: &[Attempt],
    direction: Option<PeriodDirection>,
) -> Option<Attempt> {
    let last = period.frames.checked_sub(1)?;
    let start = straight_until(period, last)?;
    let [here, there] = [last, start].map(|frame| period.ball.at(frame));
    let seconds = (last - start) as f32 / period.hz as f32;
    let (x_mps, y_mps) = ((here.x_m - there.x_m) / seconds, (here.y_m - there.y_m) / seconds);
    let hoop = if here.x_m >= 0.0 {
        AttackDirection::PositiveX
    } else {
        AttackDirection::NegativeX
    };
    let from = led_to(period, spells, Some(start), last, hoop, direction)?;
    let release = from.frames.end.min(last);
    if attempts.last().is_some_and(|attempt| attempt.decided >= start) {
        return None;
    }
    let hoop_x_m = hoop.sign() * court.hoop_x_m();
    let speed_mps = x_mps.hypot(y_mps);
    let (to_x_m, to_y_m) = (hoop_x_m - here.x_m, -here.y_m);
    let arrives_s = (to_x_m * x_mps + to_y_m * y_mps) / (speed_mps * speed_mps);
    let past_m = (to_x_m * y_mps - to_y_m * x_mps).abs() / speed_mps;
    let from_m = (hoop_x_m - there.x_m).hypot(there.y_m);
    let tangent = tangent(from_m, speed_mps);
    let left_m = period.track(from.track).at(last).distance_m(here);
    // A place that is missing (NaN) makes each of these false.
    let flies = left_m >= LEFT_M
        && past_m <= RIM_RADIUS_M
        && arrives_s > -0.1
        && f64::from(arrives_s) <= MAX_FLIGHT_S
        && (from_m < NEAR_M || (FLATTEST..=STEEPEST).contains(&tangent));
    flies.then(|| Attempt {
        player: from.player,
        team: from.team,
        release,
        decided: last,
        result: ShotResult::Unknown,
        points: None,
        free_throw: !period.live[release],
        inferred: true,
        fall: None,
    })
}
