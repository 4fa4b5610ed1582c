//! Visits of the ball to a rim: what every field-goal attempt and free throw has in common.

use std::ops::Range;

use scrim_floor::{AttackDirection, Court};
use scrim_tracks::Period;

use crate::ShotParams;

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
}

/// Height of the ring above the floor, metres: 10 ft (FIBA Official Basketball Rules, Basketball Equipment; NBA
/// Official Rules, Rule 1).
pub(crate) const RING_HEIGHT_M: f32 = 3.05;
/// A made ball is watched from the ring down to here, metres. Common practice, no source.
const WATCHED_TO_M: f32 = 1.2;

/// Visits to either rim, in time order. Needs the ball's height.
pub fn find_rim_visits(period: &Period, court: &Court, params: &ShotParams) -> Vec<RimVisit> {
    let ball = &period.ball;
    let hoop_x_m = court.hoop_x_m();
    let same_visit = period.frames_in(params.same_visit_s);
    let mut visits: Vec<RimVisit> = Vec::new();
    for frame in 0..period.frames {
        let (x_m, y_m, z_m) = (ball.x_m[frame], ball.y_m[frame], ball.z_m[frame]);
        let at_rim = z_m > params.min_rim_height_m && (x_m.abs() - hoop_x_m).hypot(y_m) < params.rim_radius_m;
        if !at_rim {
            continue;
        }
        let hoop = if x_m > 0.0 {
            AttackDirection::PositiveX
        } else {
            AttackDirection::NegativeX
        };
        match visits.last_mut() {
            Some(visit) if visit.hoop == hoop && frame < visit.frames.end + same_visit => {
                visit.frames.end = frame + 1;
            }
            _ => visits.push(RimVisit {
                hoop,
                frames: frame..frame + 1,
                through: frame,
                fall_gap_m: None,
            }),
        }
    }
    for visit in &mut visits {
        watch_fall(period, court, visit);
    }
    visits
}

/// Follows the ball from its last moment at ring height down.
fn watch_fall(period: &Period, court: &Court, visit: &mut RimVisit) {
    let ball = &period.ball;
    let from = visit.frames.end - 1;
    visit.through = from;
    // From the ring to 1.2 m is √(2 · 1.85 / 9.81) = 0.6 s of free fall.
    let to = (from + period.frames_in(0.8)).min(period.frames);
    let (mut sum_x, mut sum_y, mut count) = (0.0f64, 0.0f64, 0u32);
    for frame in from..to {
        let (x_m, y_m, z_m) = (ball.x_m[frame], ball.y_m[frame], ball.z_m[frame]);
        if z_m < WATCHED_TO_M {
            break;
        }
        if x_m.is_finite() && z_m.is_finite() && z_m < RING_HEIGHT_M {
            sum_x += f64::from(x_m) - f64::from(visit.hoop.sign() * court.hoop_x_m());
            sum_y += f64::from(y_m);
            count += 1;
        }
    }
    if count >= 3 {
        let n = f64::from(count);
        visit.fall_gap_m = Some((sum_x / n).hypot(sum_y / n) as f32);
    }
}
