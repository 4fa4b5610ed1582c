//! The handler's way after the use.

use scrim_floor::Point;
use scrim_play::Mover;

use super::ball::{PassEvidence, ShotEvidence};
use super::screener::largest_space_m;
use crate::reads::cast::Cast;

/// The handler's way is looked at this long after the use, s.
const HANDLER_AFTER_S: f32 = 3.2;

/// The handler after the use, until they pass, shoot, or the window ends. Default: nothing seen.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HandlerEvidence {
    /// From the hoop at the use, m.
    pub start_m: f32,
    /// The nearest to the hoop that they came, m.
    pub nearest_m: f32,
    /// From the hoop at the end, m.
    pub end_m: f32,
    /// How much farther from the hoop they are at the end than a second before, m.
    pub backed_m: f32,
    /// When they went between their defender and the screener's, both near; `None` if they did not.
    pub split_s: Option<f32>,
    /// The time that was looked at, s.
    pub seen_s: f32,
    /// The largest space, m; `None` when no defender is seen.
    pub space_m: Option<f32>,
}

/// Two defenders farther apart than this leave a road, not a gap to split, m. Common practice, no source.
const SPLIT_GAP_M: f32 = 3.0;
/// For this long before, both are close to the handler; this long after, the handler is clear of them, s ...
const SPLIT_AROUND_S: f32 = 0.4;
/// ... by this, m.
const SPLIT_CLEAR_M: f32 = 0.5;

pub(super) fn measure(
    cast: &Cast,
    pass: Option<&PassEvidence>,
    shot: Option<&ShotEvidence>,
) -> HandlerEvidence {
    let scene = cast.scene;
    let h = &scene.attackers[cast.user];
    let hoop = Point::origin();
    let own_shot = shot.filter(|shot| shot.by_handler).map(|shot| shot.frame);
    let to = cast
        .after_use(HANDLER_AFTER_S)
        .min(pass.map_or(cast.last, |pass| pass.frame))
        .min(own_shot.unwrap_or(cast.last))
        .max(cast.used);
    let mut e = HandlerEvidence {
        start_m: h.at(cast.used).distance_m(hoop),
        nearest_m: f32::INFINITY,
        ..HandlerEvidence::default()
    };
    for k in cast.used..=to {
        let from_hoop = h.at(k).distance_m(hoop);
        if from_hoop.is_finite() {
            e.end_m = from_hoop;
            e.nearest_m = e.nearest_m.min(from_hoop);
            e.seen_s = cast.since_use_s(k);
        }
    }
    let earlier = to.saturating_sub(scene.frames_in(1.0)).max(cast.used);
    let low = (earlier..=to)
        .map(|k| h.at(k).distance_m(hoop))
        .filter(|m| m.is_finite())
        .fold(f32::INFINITY, f32::min);
    e.backed_m = if low.is_finite() { e.end_m - low } else { 0.0 };
    if let (Some(o), Some(b)) = (cast.user_defender, cast.screener_defender) {
        let (o, b) = (&scene.defenders[o], &scene.defenders[b]);
        e.split_s = (cast.used..to)
            .find(|&k| splits(cast, [h, o, b], k))
            .map(|k| cast.since_use_s(k));
    }
    e.space_m = largest_space_m(cast, cast.user);
    e
}

/// Whether the handler breaks through the line between the two defenders from frame `k` to the next: between them, both
/// on the ball before, and on to the hoop's side. One who runs by between a defender who waits and one who trails has not
/// split them.
fn splits(cast: &Cast, [h, o, b]: [&Mover; 3], k: usize) -> bool {
    let (scene, near_m) = (cast.scene, cast.definitions.close_m);
    let (from, line) = (o.at(k), b.at(k) - o.at(k));
    let across = line.quarter_turn().unit();
    let to_hoop = (Point::origin() - from).dot(across).signum();
    // The handler's distance from the line, positive on the hoop's side.
    let through_m = |k: usize| (h.at(k) - from).dot(across) * to_hoop;
    let share = (h.at(k) - from).dot(line) / line.dot(line).max(f32::MIN_POSITIVE);
    let crosses = through_m(k) <= 0.0 && through_m(k + 1) > 0.0;
    if !(crosses && line.length() < SPLIT_GAP_M && (0.1..0.9).contains(&share)) {
        return false;
    }
    let around = scene.frames_in(SPLIT_AROUND_S);
    let on_ball = |k: usize| o.at(k).distance_m(h.at(k)) <= near_m && b.at(k).distance_m(h.at(k)) <= near_m;
    k >= around
        && k + around < scene.frames
        && through_m(k + around) >= SPLIT_CLEAR_M
        && (k - around..=k).all(on_ball)
}
