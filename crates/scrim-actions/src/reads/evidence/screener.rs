//! The screener's way after the use.

use scrim_floor::Point;
use scrim_play::Attacker;

use crate::reads::cast::Cast;

/// The screener's way is looked at this long after the use, s.
const SCREENER_AFTER_S: f32 = 3.5;
/// Space is looked at this long after the use, s (tables, `options`).
const SPACE_AFTER_S: f32 = 2.0;

/// The screener after the use. Default: nothing seen.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ScreenerEvidence {
    /// From the hoop at the use, m.
    pub start_m: f32,
    /// The nearest to the hoop that they came, m.
    pub nearest_m: f32,
    /// From the hoop at the end of the window, m.
    pub end_m: f32,
    /// How far from their place at the use they end, m.
    pub moved_m: f32,
    /// The farthest from their place at the use, m.
    pub farthest_m: f32,
    /// Whether they screen again for the same user, soon (the next screen is linked to this one).
    pub rescreens: bool,
    /// The time that was looked at, s.
    pub seen_s: f32,
    /// The largest space, m; `None` when no defender is seen.
    pub space_m: Option<f32>,
}

pub(super) fn measure(cast: &Cast) -> ScreenerEvidence {
    let scene = cast.scene;
    let s = &scene.attackers[cast.screener];
    let hoop = Point::origin();
    let to = cast.after_use(SCREENER_AFTER_S);
    let mut e = ScreenerEvidence {
        start_m: cast.spot.distance_m(hoop),
        nearest_m: f32::INFINITY,
        rescreens: cast.rescreens,
        ..ScreenerEvidence::default()
    };
    for k in cast.used..=to {
        let at = s.at(k);
        if !at.is_finite() {
            continue;
        }
        e.end_m = at.distance_m(hoop);
        e.nearest_m = e.nearest_m.min(e.end_m);
        e.moved_m = at.distance_m(cast.spot);
        e.farthest_m = e.farthest_m.max(e.moved_m);
        e.seen_s = cast.since_use_s(k);
    }
    e.space_m = largest_space_m(cast, cast.screener);
    e
}

/// The largest space of an attacker within the window after the use, m.
pub(super) fn largest_space_m(cast: &Cast, attacker: Attacker) -> Option<f32> {
    (cast.used..=cast.after_use(SPACE_AFTER_S))
        .filter_map(|k| cast.scene.space_m(attacker, k))
        .max_by(f32::total_cmp)
}
