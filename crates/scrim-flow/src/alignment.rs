//! When the set begins, and the shape of the five then.
//!
//! The instant: men who still run in have no shape. So it is the first stretch, after the possession got into the half court
//! (all five are past it, the ball is in bounds) and before the first action, in which every man off the ball is in his place
//! (slow), or a little later, when they are slower still; when there is none, the stretch in which they are slowest. The shape is
//! that of the men's mean places over the stretch, which also takes out noise.

mod shape;

pub use shape::{Shape, classify_shape};

use std::ops::Range;

use scrim_floor::{AttackFrame, Court, Point, Vector};
use scrim_play::{SIDE_SIZE, Scene};
use scrim_tables::tags::{Alignment, Entry};

use crate::{Action, AlignmentParams, is_spacing};

/// The shape of the five when the set begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aligned {
    /// The shape.
    pub alignment: Alignment,
    /// By how much it is that shape and no other, m (see [`Shape::margin_m`]).
    pub margin_m: f32,
    /// The middle of the stretch of time it was read in, a frame of the period.
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
    params: &AlignmentParams,
) -> Option<Aligned> {
    let half_court = half_court?.checked_sub(scene.first_frame)?;
    if scene.attackers.len() != SIDE_SIZE {
        return None;
    }
    let start = all_in(scene, court, half_court, params)?;
    let stretch = stretch(scene, start, end_of_search(scene, start, actions, params), params);
    let mut spots = [Point::origin(); SIDE_SIZE];
    for (spot, place) in spots.iter_mut().zip(0..) {
        *spot = mean_spot(scene, place, stretch.clone())?;
    }
    let middle = (stretch.start + stretch.end) / 2;
    let ball = ball_man(scene, middle, &spots);
    let shape = classify_shape(&spots, ball, court, params);
    Some(Aligned {
        alignment: shape.alignment,
        margin_m: shape.margin_m,
        at: scene.first_frame + middle,
    })
}

/// The first scene frame from `half_court` on at which no man is seen behind half court and the ball is not seen out of
/// bounds (it is thrown in from there); `None` when that takes too long.
fn all_in(scene: &Scene, court: &Court, half_court: usize, params: &AlignmentParams) -> Option<usize> {
    let latest = half_court + scene.frames_in(params.longest_wait_s);
    (half_court..latest.min(scene.frames)).find(|&k| {
        let behind = |x_m: f32| x_m > scene.half_court_x_m;
        let ball = scene.ball_at(k);
        let out = ball.y_m.abs() > court.width_m / 2.0 || ball.x_m < -court.hoop_from_end_line_m;
        !out && !scene.attackers.iter().any(|mover| behind(mover.x_m[k]))
    })
}

/// The scene frame at which the search for the set's begin ends: where the first action's players set off.
fn end_of_search(scene: &Scene, start: usize, actions: &[Action], params: &AlignmentParams) -> usize {
    let latest = start + scene.frames_in(params.longest_wait_s);
    // Spacing cuts are how men come to their places; what was over before all had come says nothing about the set.
    let first = actions
        .iter()
        .filter(|action| !is_spacing(action.word) && action.instant >= scene.first_frame + start)
        .map(|action| sets_off(scene, action, params))
        .min()
        .unwrap_or(latest);
    first
        .min(latest)
        .max(start + scene.frames_in(params.shortest_look_s))
        .min(scene.frames)
}

/// The scene frame at which an action's players set off. A screener may have stood in his place of the shape all along: then
/// it is his user's start that counts.
fn sets_off(scene: &Scene, action: &Action, params: &AlignmentParams) -> usize {
    let begin = action.begin.saturating_sub(scene.first_frame);
    if action.screener.is_none() {
        return begin;
    }
    let to_the_screen = begin.saturating_sub(scene.frames_in(params.under_way_s));
    if matches!(action.word, Entry::BallScreen | Entry::Handoff) {
        return to_the_screen;
    }
    let instant = action
        .instant
        .saturating_sub(scene.first_frame)
        .min(scene.frames - 1);
    let waits_from = instant.saturating_sub(scene.frames_in(params.longest_run_s));
    let user = scene.attackers.iter().find(|mover| mover.player == action.user);
    let to_the_use = user.map_or(to_the_screen, |user| {
        let stands = |k: &usize| user.speed_at(*k) < params.quiet_speed_mps;
        // He may stand at the screen for a moment: his start is the last frame of standing before he runs. Who has not run yet
        // sets off later.
        let mut back = (waits_from..=instant).rev().skip_while(stands);
        match back.next() {
            None => instant,
            Some(_) => back.find(stands).unwrap_or(waits_from),
        }
    });
    to_the_screen.max(to_the_use.min(instant))
}

/// The first stretch of scene frames from `start` to `end` in which all men off the ball are in their places (the quietest of
/// those that begin within its length), or else the one in which they move least. Not empty.
fn stretch(scene: &Scene, start: usize, end: usize, params: &AlignmentParams) -> Range<usize> {
    let length = scene.frames_in(params.quiet_s).min(end - start).max(1);
    let mut quietest = (f32::INFINITY, start);
    let mut last = end - length;
    let mut from = start;
    while from <= last {
        if let Some(speed) = fastest_off_ball_mps(scene, from..from + length) {
            if speed < params.quiet_speed_mps && quietest.0 >= params.quiet_speed_mps {
                // The last man may still be on his way to his place, slowing down: the shape is that of when he is there.
                last = last.min(from + length);
            }
            if speed < quietest.0 {
                quietest = (speed, from);
            }
        }
        from += 1;
    }
    quietest.1..quietest.1 + length
}

/// The speed of the fastest man who is seen and has not the ball, m/s; `None` when none is seen. It is that of his way over
/// all the frames: the noise of single instants cancels out.
fn fastest_off_ball_mps(scene: &Scene, frames: Range<usize>) -> Option<f32> {
    let handler = scene.handler[(frames.start + frames.end) / 2].map(usize::from);
    let mut fastest: Option<f32> = None;
    for (place, mover) in scene.attackers.iter().enumerate() {
        let (mut sum, mut seen) = (Vector::zero(), 0_u16);
        for k in frames.clone() {
            let velocity = mover.velocity_at(k);
            if velocity.x.is_finite() && velocity.y.is_finite() {
                sum = sum + velocity;
                seen += 1;
            }
        }
        if seen > 0 && Some(place) != handler {
            let speed = sum.length() / f32::from(seen);
            fastest = Some(fastest.map_or(speed, |most| most.max(speed)));
        }
    }
    fastest
}

/// The mean place of an attacker over some frames; `None` when he is not seen in any.
fn mean_spot(scene: &Scene, attacker: usize, frames: Range<usize>) -> Option<Point<AttackFrame>> {
    let (mut x_m, mut y_m, mut seen) = (0.0_f64, 0.0_f64, 0_u32);
    for spot in frames.map(|k| scene.attackers[attacker].at(k)) {
        if spot.is_finite() {
            x_m += f64::from(spot.x_m);
            y_m += f64::from(spot.y_m);
            seen += 1;
        }
    }
    let count = f64::from(seen);
    (seen > 0).then(|| Point::new((x_m / count) as f32, (y_m / count) as f32))
}

/// Who has the ball: the handler, or the man nearest to it, or (when it is not seen) the one farthest from the hoop.
fn ball_man(scene: &Scene, k: usize, spots: &[Point<AttackFrame>; SIDE_SIZE]) -> usize {
    if let Some(place) = scene.handler[k] {
        return usize::from(place);
    }
    let ball = scene.ball_at(k);
    let from_ball_m = |spot: Point<AttackFrame>| {
        if ball.is_finite() {
            spot.distance_m(ball)
        } else {
            -spot.distance_m(Point::origin())
        }
    };
    let nearest = (0..SIDE_SIZE).min_by(|&a, &b| from_ball_m(spots[a]).total_cmp(&from_ball_m(spots[b])));
    nearest.unwrap_or(0)
}

#[cfg(test)]
mod tests;
