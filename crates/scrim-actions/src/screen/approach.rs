//! Candidates: instants at which two attackers come nearest to each other.

use scrim_play::{Attacker, Scene};

/// One candidate: a user, a team-mate who may screen for them, and the instant of their closest approach. Places and
/// frames are the scene's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Approach {
    /// Who may use a screen.
    pub user: Attacker,
    /// Who may set it.
    pub screener: Attacker,
    /// The frame of the closest approach.
    pub at: usize,
}

/// Two closest approaches of the same two are at least this far apart, s.
const APART_S: f32 = 0.6;

/// All closest approaches of `user` and `screener` nearer than `within_m`, in time order, among the frames that
/// `counts` accepts.
pub(crate) fn find_approaches(
    scene: &Scene,
    user: Attacker,
    screener: Attacker,
    within_m: f32,
    counts: impl Fn(usize) -> bool,
    found: &mut Vec<Approach>,
) {
    let (u, s) = (&scene.attackers[user], &scene.attackers[screener]);
    let places = u.x_m.iter().zip(&u.y_m).zip(s.x_m.iter().zip(&s.y_m));
    let gaps_m2: Vec<f32> = places
        .map(|((ux_m, uy_m), (sx_m, sy_m))| {
            let (x_m, y_m) = (ux_m - sx_m, uy_m - sy_m);
            x_m * x_m + y_m * y_m
        })
        .collect();
    let gaps_m2 = &gaps_m2[..scene.frames];
    let around = scene.frames_in(APART_S);
    let limit = within_m * within_m;
    // At the very ends of a scene nothing is a closest approach: what came before or comes after is not seen.
    for at in 2..scene.frames.saturating_sub(2) {
        let gap = gaps_m2[at];
        // A missing place compares as not near.
        let is_near = gap < limit;
        // Of equal ones the first counts.
        let is_closer_than = |k: usize| {
            let rival = gaps_m2[k];
            rival.is_nan() || if k < at { gap < rival } else { gap <= rival }
        };
        // Most frames fall to their neighbours: those are looked at first.
        if !is_near || !is_closer_than(at - 1) || !is_closer_than(at + 1) || !counts(at) {
            continue;
        }
        let mut rivals = at.saturating_sub(around)..(at + around + 1).min(scene.frames);
        if rivals.all(|k| k == at || is_closer_than(k)) {
            found.push(Approach { user, screener, at });
        }
    }
}
