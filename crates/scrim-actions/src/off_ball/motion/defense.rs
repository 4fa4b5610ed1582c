//! What the defence did about an off-ball player: how far their defender was pulled, how much space they had.

use std::ops::Range;

use scrim_play::{Attacker, Defender, Scene, canonical_position};
use scrim_tracks::PlayerIx;

/// Who guards the attacker: at frame `at`, else whoever does so for most of `window`; of equals the first in
/// the scene's order.
pub(crate) fn defender_of(
    scene: &Scene,
    attacker: Attacker,
    at: usize,
    window: &Range<usize>,
) -> Option<PlayerIx> {
    if let Some(guard) = scene.guard_of(attacker, at) {
        return Some(guard.player);
    }
    let frames = |defender: Defender| {
        window
            .clone()
            .filter(|&k| scene.guard[k][attacker] == Some(defender))
            .count()
    };
    scene
        .defenders
        .places()
        .map(|defender| (frames(defender), defender))
        .filter(|&(frames, _)| frames > 0)
        .max_by_key(|&(frames, defender)| (frames, std::cmp::Reverse(defender)))
        .map(|(_, defender)| scene.defenders[defender].player)
}

/// How far the attacker's defender of the moment is from canonical position at frame `k`, m; `None` where one of the
/// three is not known.
pub(crate) fn pull_m(scene: &Scene, attacker: Attacker, k: usize) -> Option<f32> {
    let defender = scene.guard_of(attacker, k)?.at(k);
    let pull_m = defender.distance_m(canonical_position(
        scene.attackers[attacker].at(k),
        scene.ball_at(k),
    ));
    pull_m.is_finite().then_some(pull_m)
}

/// The largest value over the frames, and where it is first reached.
pub(crate) fn largest(frames: Range<usize>, value: impl Fn(usize) -> Option<f32>) -> Option<(f32, usize)> {
    let mut largest: Option<(f32, usize)> = None;
    for k in frames {
        if let Some(value) = value(k)
            && largest.is_none_or(|(most, _)| value > most)
        {
            largest = Some((value, k));
        }
    }
    largest
}
