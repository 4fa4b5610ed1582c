//! When a screener sets off for the hoop.

use scrim_floor::Point;
use scrim_play::{Mover, Scene};

/// A screener has set off who is this much nearer the hoop than at the closest approach, m. Common practice, no source.
const SET_OFF_M: f32 = 1.0;
/// They set off at the last instant before that at which they came nearer the hoop slower than this, m/s.
const SETS_OFF_MPS: f32 = 0.5;
/// It is looked for from this long before the closest approach, s: who slips has left before anyone comes ...
const EARLIEST_S: f32 = 1.0;
/// ... to this long after it, s.
const LATEST_S: f32 = 3.0;

/// The frame from which the screener goes for the hoop, about the closest approach at `at`; `None` where they do not, or are lost.
pub(crate) fn setting_off_frame(scene: &Scene, screener: &Mover, at: usize) -> Option<usize> {
    let hoop_m = |k: usize| screener.at(k).distance_m(Point::origin());
    let earliest = at.saturating_sub(scene.frames_in(EARLIEST_S));
    let latest = (at + scene.frames_in(LATEST_S)).min(scene.frames);
    let gone = (at..latest).find(|&k| hoop_m(at) - hoop_m(k) >= SET_OFF_M)?;
    // A speed that was not seen is no way to the hoop.
    let comes_nearer = |k: usize| {
        let to_hoop = (Point::origin() - screener.at(k)).unit();
        screener.velocity_at(k).dot(to_hoop) > SETS_OFF_MPS
    };
    let waits = (earliest..gone).rfind(|&k| !comes_nearer(k));
    Some(waits.unwrap_or(earliest))
}
