//! When the set begins, and the shape of the five then.
//!
//! Players who still run in have no shape, and real ones never stand. So the shape is read over a stretch of time: from when all
//! have come (all five past half court, the ball in bounds, nobody off the ball far outside the three-point line) until the first
//! action's players set off. It is the shape that is likeliest over all instants of the stretch; the calmer an instant, the more
//! it counts.

mod shape;

pub use shape::{SLACK_M, Shape, Spots, classify_shape};

use scrim_floor::{AttackFrame, Court, Point};
use scrim_play::{Attacker, Place, SIDE_SIZE, Scene};
use scrim_tables::tags::{Alignment, Entry};

use shape::{Fits, shape_fits};

use crate::{Action, is_spacing};

/// The last player comes past half court at most this long after the ball and four others, s; and at most this long is
/// waited for players who are still far outside the three-point line.
const LONGEST_WAIT_S: f32 = 6.0;
/// The set begins at most this long after all have come, s.
const LONGEST_LOOK_S: f32 = 3.0;
/// A screener is on the way this long before the screen is set, s.
const UNDER_WAY_S: f32 = 1.25;

/// The shape of the five when the set begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aligned {
    /// The shape.
    pub alignment: Alignment,
    /// By how much it is that shape and no other, m (see [`Shape::margin_m`]).
    pub margin_m: f32,
    /// The instant of the stretch of time it was read in at which it was clearest, a frame of the period.
    pub at: usize,
}

/// The alignment of a possession; `None` when it never got into the half court, has not five attackers, or they never come past
/// half court together.
///
/// `half_court`: the possession's first half-court frame (of the period). `actions`: the possession's, in any order.
pub fn find_alignment(
    scene: &Scene,
    court: &Court,
    half_court: Option<usize>,
    actions: &[Action],
) -> Option<Aligned> {
    let half_court = half_court?.checked_sub(scene.first_frame)?;
    if scene.attackers.len() != SIDE_SIZE {
        return None;
    }
    let come = all_in(scene, court, half_court)?;
    let start = in_reach(scene, court, come);
    let end = end_of_search(scene, come, start, actions);
    let mut sum = Fits::default();
    // Of each shape, by its number: the frame at which it was clearest, and how much that counted.
    let mut clearest = [(0.0_f32, start); Alignment::ALL.len()];
    for k in (start..end).step_by(scene.frames_in(SAMPLE_S)) {
        let Some(spots) = spots_at(scene, k) else {
            continue;
        };
        let ball = ball_player(scene, k, &spots);
        let fits = shape_fits(&spots, ball, court, SLACK_M);
        let weight = (-fastest_off_ball_mps(scene, k, ball) / CALM_MPS).exp();
        sum.add(&fits, weight);
        for &alignment in Alignment::ALL {
            let counts = weight * fits.of(alignment);
            let best = &mut clearest[alignment as usize];
            if counts > best.0 {
                *best = (counts, k);
            }
        }
    }
    if sum.total() <= 0.0 {
        return None;
    }
    let shape = sum.best(SLACK_M);
    Some(Aligned {
        alignment: shape.alignment,
        margin_m: shape.margin_m,
        at: scene.first_frame + clearest[shape.alignment as usize].1,
    })
}

/// The shape is read this often, s: real players go 0.2 m in that time.
const SAMPLE_S: f32 = 0.12;
/// An instant at which the fastest player off the ball is faster by this counts less by a factor of e, m/s. Chosen on real
/// and practice possessions.
const CALM_MPS: f32 = 3.0;
/// Who is farther outside the three-point line than this without the ball has not come yet, m. Chosen likewise.
const COME_M: f32 = 3.0;
/// The stretch is at least this long, even when an action begins sooner, s: in early offence the shape is that of the players
/// who run into the first screen. Chosen likewise.
const SHORTEST_LOOK_S: f32 = 1.5;
/// The user of an off-ball screen sets off no earlier than this before the use, s: the screener may have stood in their place of
/// the shape all along. Common practice, no source.
const LONGEST_RUN_S: f32 = 2.0;

/// The first scene frame from `half_court` on at which no player is seen behind half court and the ball is not seen out of
/// bounds (it is thrown in from there); `None` when that takes too long.
fn all_in(scene: &Scene, court: &Court, half_court: usize) -> Option<usize> {
    let latest = half_court + scene.frames_in(LONGEST_WAIT_S);
    (half_court..latest.min(scene.frames)).find(|&k| {
        let behind = |x_m: f32| x_m > scene.half_court_x_m;
        let ball = scene.ball_at(k);
        let out = ball.y_m.abs() > court.width_m / 2.0 || ball.x_m < -court.hoop_from_end_line_m;
        !out && !scene.attackers.iter().any(|mover| behind(mover.x_m[k]))
    })
}

/// The first scene frame from `come` on at which nobody off the ball is far outside the three-point line; `come` when that
/// takes too long.
fn in_reach(scene: &Scene, court: &Court, come: usize) -> usize {
    let latest = come + scene.frames_in(LONGEST_WAIT_S);
    let in_reach = |k: &usize| {
        spots_at(scene, *k).is_some_and(|spots| {
            let ball = ball_player(scene, *k, &spots);
            let far = |(place, spot): (Attacker, &Point<AttackFrame>)| {
                place != ball && court.beyond_arc_m(*spot) > COME_M
            };
            !spots.iter().any(far)
        })
    };
    (come..latest.min(scene.frames)).find(in_reach).unwrap_or(come)
}

/// The scene frame at which the search for the set ends: where the first action's players set off. `come`: all are past half
/// court; `start`: the search begins.
fn end_of_search(scene: &Scene, come: usize, start: usize, actions: &[Action]) -> usize {
    let shortest = start + scene.frames_in(SHORTEST_LOOK_S);
    let latest = start + scene.frames_in(LONGEST_LOOK_S);
    // Spacing cuts are how players come to their places, and so are cuts that begin while others still come; what was over
    // before all had come says nothing about the set.
    let first = actions
        .iter()
        .filter(|action| !is_spacing(action.word) && action.instant >= scene.first_frame + come)
        .map(|action| (sets_off(scene, action), action.screener.is_some()))
        .filter(|&(sets_off, is_screen)| is_screen || sets_off >= shortest)
        .map(|(sets_off, _)| sets_off)
        .min();
    first
        .unwrap_or(latest)
        .min(latest)
        .max(shortest)
        .min(scene.frames)
}

/// The scene frame at which an action's players set off.
fn sets_off(scene: &Scene, action: &Action) -> usize {
    let begin = action.begin.saturating_sub(scene.first_frame);
    if action.screener.is_none() {
        return begin;
    }
    let to_the_screen = begin.saturating_sub(scene.frames_in(UNDER_WAY_S));
    if matches!(action.word, Entry::BallScreen | Entry::Handoff) {
        return to_the_screen;
    }
    let instant = action.instant.saturating_sub(scene.first_frame);
    to_the_screen.max(instant.saturating_sub(scene.frames_in(LONGEST_RUN_S)))
}

/// Where the five are at scene frame `k`; `None` when one of them is not seen.
fn spots_at(scene: &Scene, k: usize) -> Option<Spots> {
    let spots = Spots::from_fn(|place| scene.attackers[place].at(k));
    let is_seen = |spot: &Point<AttackFrame>| spot.is_finite();
    spots.values().iter().all(is_seen).then_some(spots)
}

/// The speed of the fastest player off the ball, m/s; 0 when none is known.
fn fastest_off_ball_mps(scene: &Scene, k: usize, ball: Attacker) -> f32 {
    let off_ball = scene.attackers.placed().filter(|&(place, _)| place != ball);
    // `max` passes over what is not known (NaN).
    off_ball.map(|(_, mover)| mover.speed_at(k)).fold(0.0, f32::max)
}

/// Who has the ball: the handler, or the player nearest to it, or (when it is not seen) the one farthest from the hoop.
fn ball_player(scene: &Scene, k: usize, spots: &Spots) -> Attacker {
    if let Some(place) = scene.handler[k] {
        return place;
    }
    let ball = scene.ball_at(k);
    let from_ball_m = |spot: Point<AttackFrame>| {
        if ball.is_finite() {
            spot.distance_m(ball)
        } else {
            -spot.distance_m(Point::origin())
        }
    };
    let places = Attacker::ALL.into_iter();
    let nearest = places.min_by(|&a, &b| from_ball_m(spots[a]).total_cmp(&from_ball_m(spots[b])));
    nearest.unwrap_or(Attacker::ALL[0])
}

#[cfg(test)]
mod tests;
