//! Numbers over the frames around an instant.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, Scene};

/// The frames around `at` from `from_s` to `to_s` (negative: before), at least one, inside the scene.
pub(super) fn window(scene: &Scene, at: usize, from_s: f32, to_s: f32) -> Range<usize> {
    let shift = |seconds: f32| (f64::from(seconds) * scene.hz).round() as isize;
    let start = at.saturating_add_signed(shift(from_s)).min(scene.frames - 1);
    let end = at.saturating_add_signed(shift(to_s)).min(scene.frames);
    start..end.max(start + 1)
}

/// The frame `seconds` after `at` (negative: before), inside the scene.
pub(super) fn frame(scene: &Scene, at: usize, seconds: f32) -> usize {
    window(scene, at, seconds, seconds).start
}

/// The least of `value`; NaN where nothing was seen.
pub(in crate::screen) fn least(frames: Range<usize>, value: impl Fn(usize) -> f32) -> f32 {
    // `f32::min` passes over NaN.
    frames.map(value).fold(f32::NAN, f32::min)
}

/// The largest of `value`; NaN where nothing was seen.
pub(in crate::screen) fn most(frames: Range<usize>, value: impl Fn(usize) -> f32) -> f32 {
    frames.map(value).fold(f32::NAN, f32::max)
}

/// The mean of `value` over the frames in which it was seen.
pub(in crate::screen) fn mean(frames: Range<usize>, value: impl Fn(usize) -> f32) -> f32 {
    let (mut sum, mut seen) = (0.0_f32, 0.0_f32);
    for value in frames.map(value).filter(|value| value.is_finite()) {
        sum += value;
        seen += 1.0;
    }
    sum / seen
}

/// How long `holds` is true, s.
pub(super) fn lasts_s(scene: &Scene, frames: Range<usize>, holds: impl Fn(usize) -> bool) -> f32 {
    scene.seconds(frames.filter(|&k| holds(k)).count())
}

/// The share of the frames in which `holds` is true.
pub(in crate::screen) fn share(frames: Range<usize>, holds: impl Fn(usize) -> bool) -> f32 {
    let all = frames.len();
    frames.filter(|&k| holds(k)).count() as f32 / all as f32
}

/// What comes of an unknown defender: a player who is nowhere.
fn nowhere(_: usize) -> Point<AttackFrame> {
    Point::new(f32::NAN, f32::NAN)
}

/// The place of a player who may not be known.
pub(in crate::screen) fn place_of<'a>(
    mover: Option<&'a Mover>,
) -> impl Fn(usize) -> Point<AttackFrame> + Copy + 'a {
    move |k| mover.map_or_else(|| nowhere(k), |mover| mover.at(k))
}
