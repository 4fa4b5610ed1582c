//! The handler's defender: where they stand before the screen, and how they get past it.

use crate::reads::cast::Cast;

/// The place of the handler's defender before the screen is the mean over this long before the handler goes, s.
const BEFORE_S: f32 = 0.4;
/// The handler's defender passes the screener at most this long before the use, s.
const PATH_BEFORE_S: f32 = 0.8;
/// ... and at most this long after it, s.
const PATH_AFTER_S: f32 = 1.6;

/// The handler's defender around the use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnBallEvidence {
    /// How far they stand from the handler toward the screen's side before the handler goes, m; `None` if not seen.
    pub side_m: Option<f32>,
    /// How far above the screener (away from the hoop) they pass, m (negative: below); `None` when they do not pass.
    pub above_m: Option<f32>,
    /// How far above the screener they are when nearest, m.
    pub above_nearest_m: f32,
    /// How near they come to the screener, m.
    pub nearest_m: f32,
}

pub(super) fn measure(cast: &Cast) -> Option<OnBallEvidence> {
    let scene = cast.scene;
    let d = &scene.defenders[cast.user_defender?];
    let (h, s) = (&scene.attackers[cast.user], &scene.attackers[cast.screener]);
    let before = cast.go.saturating_sub(scene.frames_in(BEFORE_S));
    let (mut sum, mut seen) = (0.0, 0);
    for k in before..=cast.go {
        let side = (d.at(k) - h.at(k)).dot(cast.side);
        if side.is_finite() {
            sum += side;
            seen += 1;
        }
    }
    let from = cast.used.saturating_sub(scene.frames_in(PATH_BEFORE_S));
    let to = cast.after_use(PATH_AFTER_S);
    let mut nearest = (f32::INFINITY, 0.0);
    let mut passes = None;
    let mut last_along: Option<f32> = None;
    for k in from..=to {
        // The screener's own way after the use is no part of the screen: past it, their place at the use counts.
        let screener = if k <= cast.used { s.at(k) } else { cast.spot };
        let way = d.at(k) - screener;
        let (along, above) = (way.dot(cast.side), way.dot(cast.up));
        if !along.is_finite() {
            continue;
        }
        if way.length() < nearest.0 {
            nearest = (way.length(), above);
        }
        if passes.is_none() && last_along.is_some_and(|last| last < 0.0) && along >= 0.0 {
            passes = Some(above);
        }
        last_along = Some(along);
    }
    nearest.0.is_finite().then(|| OnBallEvidence {
        side_m: (seen > 0).then(|| sum / seen as f32),
        above_m: passes,
        above_nearest_m: nearest.1,
        nearest_m: nearest.0,
    })
}
