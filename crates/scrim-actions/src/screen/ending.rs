//! When a screen is over, and which way the user goes after it.

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Attacker, Scene};

/// When a screen used at scene frame `at` is over: both (user and screener) are farther than `apart_m` from its spot, or
/// `after_use_s` have gone.
pub(crate) fn end_frame(
    scene: &Scene,
    both: [Attacker; 2],
    spot: Point<AttackFrame>,
    at: usize,
    after_use_s: f32,
    apart_m: f32,
) -> usize {
    let latest = (at + scene.frames_in(after_use_s)).min(scene.frames.saturating_sub(1));
    let is_away = |k: usize| {
        both.iter()
            .all(|&place| scene.attackers[place].at(k).distance_m(spot) > apart_m)
    };
    (at..latest).find(|&k| is_away(k)).unwrap_or(latest)
}

/// The user's path after scene frame `k` against the direction to the hoop, degrees; `None` where it is not seen.
pub(crate) fn path_angle_deg(scene: &Scene, user: Attacker, k: usize) -> Option<f32> {
    let u = &scene.attackers[user];
    let later = (k + scene.frames_in(PATH_S)).min(scene.frames.checked_sub(1)?);
    (u.at(later) - u.at(k)).angle_to_deg(Point::origin() - u.at(k))
}

/// The user's path is looked at this long after the use, s.
const PATH_S: f32 = 0.8;
