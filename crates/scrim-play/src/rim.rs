//! Visits of the ball to a rim: what every field-goal attempt and free throw has in common.

use std::ops::Range;

use scrim_floor::{AttackDirection, Court};
use scrim_tracks::Period;

/// Without height: after this a ball at the rim has come down, s. from the ring to the floor a ball falls √(2 · 3.05 /
/// 9.80665) = 0.79 s.
pub(crate) const MAX_STAY_S: f64 = 0.8;
/// Without height: a ball that stays at the ring this long while it would have fallen was shot, however slowly it came,
/// s: a dribble at 3 m/s crosses the ring's reach of 0.45 m to either side in that time.
pub(crate) const MIN_HANG_S: f64 = 0.3;

/// A ball at least this high beside the hoop is a shot (or a tip), m. the ring is at 3.05 m.
const MIN_RIM_HEIGHT_M: f32 = 2.8;
/// Without height: a shot stays at the rim at least this long, s.
const MIN_STAY_S: f64 = 0.2;
/// Without height: a shot comes to the rim at least this fast, m/s.
const MIN_APPROACH_MPS: f32 = 1.0;
/// Two visits of the rim within this are one, s.
const SAME_VISIT_S: f64 = 0.6;

/// A shot comes within this of the hoop's centre, in the plane, m (the rim's radius is 0.225 m and the backboard 0.15 m
/// behind it, FIBA Official Basketball Rules, Art. 3 and Basketball Equipment).
pub(crate) const RIM_RADIUS_M: f32 = 0.75;

/// The ball at a rim.
#[derive(Debug, Clone, PartialEq)]
pub struct RimVisit {
    /// Which hoop.
    pub hoop: AttackDirection,
    /// Frames at the rim.
    pub frames: Range<usize>,
    /// Frame at which the ball is under the ring: through it, or off it.
    pub through: usize,
    /// Mean distance from the hoop's centre while it fell from the ring, metres; `None` when that cannot be seen.
    pub fall_gap_m: Option<f32>,
    /// Without height: how long the ball stayed within the ring's reach while it would have fallen, s.
    pub hung_s: Option<f32>,
    /// Without height: how fast it went away in the plane while it would have fallen, at the most, m/s.
    pub out_mps: Option<f32>,
}

/// Height of the ring above the floor, metres: 10 ft (FIBA Official Basketball Rules, Basketball Equipment; NBA
/// Official Rules, Rule 1).
pub(crate) const RING_HEIGHT_M: f32 = 3.05;
/// Within this of the hoop's centre a ball is at the ring, metres: the ring's radius of 0.225 m, the ball's of 0.12 m, and
/// 0.1 m for the tracking.
const AT_RING_M: f32 = 0.45;
/// A made ball is watched from the ring down to here, metres. Common practice, no source.
const WATCHED_TO_M: f32 = 1.2;
/// How long before the rim a ball's approach is looked at, s.
const APPROACH_S: f64 = 0.2;
/// Fewer samples of a fall than this say nothing.
const MIN_FALL_SAMPLES: u32 = 3;

/// Visits to either rim, in time order: by height where it is known, else by a ball that comes to the hoop and stays.
pub fn find_rim_visits(period: &Period, court: &Court) -> Vec<RimVisit> {
    if period.ball.has_height {
        find_by_height(period, court)
    } else {
        find_by_stay(period, court)
    }
}

/// Distance from the nearer hoop's centre, in the plane, and which hoop; not finite when the ball is missing.
pub(crate) fn gap_to_hoop(period: &Period, court: &Court, frame: usize) -> (f32, AttackDirection) {
    let (x_m, y_m) = (period.ball.x_m[frame], period.ball.y_m[frame]);
    let hoop = if x_m > 0.0 {
        AttackDirection::PositiveX
    } else {
        AttackDirection::NegativeX
    };
    ((x_m.abs() - court.hoop_x_m()).hypot(y_m), hoop)
}

fn find_by_height(period: &Period, court: &Court) -> Vec<RimVisit> {
    let same_visit = period.frames_in(SAME_VISIT_S);
    let mut visits: Vec<RimVisit> = Vec::new();
    for frame in 0..period.frames {
        // A height or a place that is missing at this frame (NaN) is at no rim: both comparisons are false.
        let high = period.ball.z_m[frame] > MIN_RIM_HEIGHT_M;
        let (gap_m, hoop) = gap_to_hoop(period, court, frame);
        let at_rim = high && gap_m < RIM_RADIUS_M;
        if !at_rim {
            continue;
        }
        match visits.last_mut() {
            Some(visit) if visit.hoop == hoop && frame < visit.frames.end + same_visit => {
                visit.frames.end = frame + 1;
            }
            _ => visits.push(RimVisit {
                hoop,
                frames: frame..frame + 1,
                through: frame,
                fall_gap_m: None,
                hung_s: None,
                out_mps: None,
            }),
        }
    }
    for visit in &mut visits {
        watch_fall(period, court, visit);
    }
    visits
}

/// Without height: the ball comes in with speed, or hangs at the ring for as long as it falls or bounces; a dribble under
/// the basket passes through. A visit begins when the ball is at the ring, or nearest to it: on the way in it may still be
/// in the shooter's hands.
fn find_by_stay(period: &Period, court: &Court) -> Vec<RimVisit> {
    let stay = period.frames_in(MIN_STAY_S);
    let longest = period.frames_in(MAX_STAY_S);
    let window = period.frames_in(APPROACH_S);
    let same_visit = period.frames_in(SAME_VISIT_S);
    let mut visits: Vec<RimVisit> = Vec::new();
    let mut frame = 0;
    while frame < period.frames {
        let (gap_m, hoop) = gap_to_hoop(period, court, frame);
        let at_rim = gap_m < RIM_RADIUS_M;
        if !at_rim {
            frame += 1;
            continue;
        }
        let first = frame;
        while frame < period.frames && gap_to_hoop(period, court, frame).0 < RIM_RADIUS_M {
            frame += 1;
        }
        let gap_at = |at: usize| gap_to_hoop(period, court, at).0;
        let Some(arrived) = (first..frame).find(|&at| gap_at(at) < AT_RING_M) else {
            continue;
        };
        let came_m = first.checked_sub(window).map(|from| gap_at(from) - gap_m);
        let fast = came_m.is_some_and(|came_m| {
            f64::from(came_m) >= f64::from(MIN_APPROACH_MPS) * window as f64 / period.hz
        });
        let falls = arrived..(arrived + longest).min(period.frames);
        let hung = falls.clone().filter(|&at| gap_at(at) < AT_RING_M).count();
        let hung_s = (hung as f64 / period.hz) as f32;
        let again = visits
            .last()
            .is_some_and(|last| arrived < last.frames.end + same_visit);
        if frame - first < stay || !(fast || f64::from(hung_s) >= MIN_HANG_S) || again {
            continue;
        }
        let end = frame.min(arrived + longest);
        // A ball that misses is soon elsewhere: the mean is taken over the whole fall, at the rim or not.
        let fall = (arrived + window).min(end)..falls.end;
        visits.push(RimVisit {
            hoop,
            frames: arrived..end,
            through: (arrived + stay).min(end - 1),
            fall_gap_m: mean_gap_m(period, court, hoop, fall),
            hung_s: Some(hung_s),
            out_mps: out_mps(period, court, falls),
        });
    }
    visits
}

/// How fast the ball goes away from the hoop within `frames`, at the most, over [`APPROACH_S`], m/s.
fn out_mps(period: &Period, court: &Court, frames: Range<usize>) -> Option<f32> {
    let window = period.frames_in(APPROACH_S);
    let gap_m = |frame: usize| gap_to_hoop(period, court, frame).0;
    // `fold` over `max` passes over a ball that is missing (NaN).
    let most_m = frames
        .filter(|&frame| frame + window < period.frames)
        .map(|frame| gap_m(frame + window) - gap_m(frame))
        .reduce(f32::max)?;
    Some((f64::from(most_m) * period.hz / window as f64) as f32)
}

/// Distance of the ball's mean place from the hoop's centre over `frames`, metres; `None` with too few samples.
fn mean_gap_m(period: &Period, court: &Court, hoop: AttackDirection, frames: Range<usize>) -> Option<f32> {
    let (mut sum_x, mut sum_y, mut count) = (0.0f64, 0.0f64, 0u32);
    for frame in frames {
        let at = period.ball.at(frame);
        if at.is_finite() {
            sum_x += f64::from(at.x_m) - f64::from(hoop.sign() * court.hoop_x_m());
            sum_y += f64::from(at.y_m);
            count += 1;
        }
    }
    let n = f64::from(count);
    (count >= MIN_FALL_SAMPLES).then(|| (sum_x / n).hypot(sum_y / n) as f32)
}

/// Follows the ball from its last moment at ring height down.
fn watch_fall(period: &Period, court: &Court, visit: &mut RimVisit) {
    let ball = &period.ball;
    let from = visit.frames.end - 1;
    visit.through = from;
    // From the ring to 1.2 m is √(2 · 1.85 / 9.81) = 0.6 s of free fall.
    let to = (from + period.frames_in(0.8)).min(period.frames);
    let below = |frame: &usize| ball.z_m[*frame] < RING_HEIGHT_M;
    let first = (from..to).find(below).unwrap_or(to);
    let low = (first..to)
        .find(|&frame| ball.z_m[frame] < WATCHED_TO_M)
        .unwrap_or(to);
    visit.fall_gap_m = mean_gap_m(period, court, visit.hoop, first..low);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::Staging;

    const HOOP: (f32, f32, f32) = (12.425, 0.0, 3.05);

    fn visits(scene: &Staging) -> Vec<RimVisit> {
        find_rim_visits(&scene.game().periods[0], &Court::fiba())
    }

    fn shot() -> Staging {
        Staging::new(6.0).hold(0, 0.0..1.0).fly(1.0..2.0, HOOP, 4.5)
    }

    #[test]
    fn a_ball_that_falls_straight_down_stays_at_the_middle() {
        let made = shot().fly(2.0..2.6, (HOOP.0, 0.0, 0.2), 0.0).rest(2.6..6.0);
        let seen = visits(&made);
        assert_eq!((seen.len(), seen[0].hoop), (1, AttackDirection::PositiveX));
        // At the ring from the last 0.75 m of a flight of 7 m in 1 s on, that is from 1.89 s (frame 47) on; above 2.8 m
        // until 0.05 s of the fall are gone (frame 51).
        assert!(seen[0].frames.start.abs_diff(47) <= 2, "{:?}", seen[0].frames);
        assert!(seen[0].through.abs_diff(51) <= 2, "{}", seen[0].through);
        assert!(seen[0].fall_gap_m.unwrap() < 0.01);
        let blind = visits(&made.without_height());
        assert_eq!(blind.len(), 1);
        assert!(blind[0].fall_gap_m.unwrap() < 0.2);
    }

    #[test]
    fn a_ball_that_bounces_off_falls_beside_the_hoop() {
        // From the ring down to (10.4, 1.5): 2.5 m away; on the mean of the fall about half of that.
        let missed = shot().fly(2.0..2.8, (10.4, 1.5, 0.2), 3.4);
        let gap_m = visits(&missed)[0].fall_gap_m.unwrap();
        assert!((0.8..2.0).contains(&gap_m), "{gap_m}");
    }

    #[test]
    fn a_pass_under_the_basket_is_no_visit() {
        let scene = Staging::new(4.0)
            .stand(1, (12.4, -6.0))
            .stand(2, (12.4, 6.0))
            .hold(1, 0.0..1.0)
            .pass(2, 1.0..2.2)
            .hold(2, 2.2..4.0);
        assert!(visits(&scene).is_empty());
        // Without height: 12 m in 1.2 s cross the 1.5 m of the rim's circle in 0.15 s.
        assert!(visits(&scene.without_height()).is_empty());
    }
}
