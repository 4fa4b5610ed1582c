//! When the two of a candidate part.

use scrim_play::{Attacker, Scene};

/// The two are apart when they are this much farther apart than at their closest, m. Common practice, no source.
const PARTED_M: f32 = 1.0;
/// They part from the last instant at which they went from each other slower than this, m/s.
const PARTS_MPS: f32 = 0.5;
/// Who is not apart this long after the closest approach, does not part there, s.
const LATEST_S: f32 = 4.0;

/// The frame from which user and screener go from each other, after their closest approach at `at`; `at` itself where they stay
/// near each other to the end or are lost.
pub(crate) fn parting_frame(scene: &Scene, user: Attacker, screener: Attacker, at: usize) -> usize {
    let (u, s) = (&scene.attackers[user], &scene.attackers[screener]);
    let gap_m = |k: usize| u.at(k).distance_m(s.at(k));
    // A speed that was not seen is no parting.
    let part = |k: usize| {
        let away = (u.at(k) - s.at(k)).unit();
        (u.velocity_at(k) - s.velocity_at(k)).dot(away) > PARTS_MPS
    };
    let closest_m = gap_m(at);
    let latest = (at + scene.frames_in(LATEST_S)).min(scene.frames);
    let apart = (at..latest).find(|&k| gap_m(k) >= closest_m + PARTED_M);
    let Some(apart) = apart else { return at };
    (at..apart).rfind(|&k| !part(k)).unwrap_or(at)
}
