//! Runs: an attacker's motion without the ball, cut into pieces that lead one way.

use std::ops::Range;

use scrim_play::{Mover, Scene};

use super::BoutParams;

/// The runs of the attacker at `place`, in time order, of the scene frames for which `counts` holds. A run never
/// bridges a frame that does not count, nor one at which he is missing.
pub(super) fn find_bouts(
    scene: &Scene,
    place: usize,
    counts: &[bool],
    params: &BoutParams,
) -> Vec<Range<usize>> {
    let mover = &scene.attackers[place];
    let on = |k: usize| counts[k] && mover.at(k).is_finite() && mover.speed_at(k).is_finite();
    let runs = |k: usize| on(k) && mover.speed_at(k) >= params.edge_mps;
    let pause = scene.frames_in(params.max_pause_s);
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut k = 0;
    while k < scene.frames {
        if !runs(k) {
            k += 1;
            continue;
        }
        let start = k;
        while k < scene.frames && runs(k) {
            k += 1;
        }
        match found.last_mut() {
            Some(last)
                if start - last.end <= pause
                    && (last.end..start).all(on)
                    && !turns(scene, mover, (last.end + start) / 2, last.start..k, params) =>
            {
                last.end = k;
            }
            _ => found.push(start..k),
        }
    }
    found
        .into_iter()
        .flat_map(|run| split_at_turns(scene, mover, run, params))
        .filter(|run| is_run(mover, run, params))
        .collect()
}

/// Whether the mover's way turns at `k` by enough to end a run there; told within `run`.
fn turns(scene: &Scene, mover: &Mover, k: usize, run: Range<usize>, params: &BoutParams) -> bool {
    let reach = scene.frames_in(params.turn_reach_s);
    let before = k.saturating_sub(reach).max(run.start);
    let after = (k + reach).min(run.end - 1);
    (mover.at(k) - mover.at(before))
        .angle_to_deg(mover.at(after) - mover.at(k))
        .is_some_and(|turn| turn >= params.turn_deg)
}

/// The run, cut where he slows down and turns.
fn split_at_turns(scene: &Scene, mover: &Mover, run: Range<usize>, params: &BoutParams) -> Vec<Range<usize>> {
    let reach = scene.frames_in(params.turn_reach_s);
    let fastest = |frames: Range<usize>| frames.map(|k| mover.speed_at(k)).fold(0.0, f32::max);
    let mut pieces = Vec::new();
    let mut start = run.start;
    for k in run.start + 1..run.end.saturating_sub(1) {
        let (before, after) = (
            k.saturating_sub(reach).max(run.start),
            (k + reach + 1).min(run.end),
        );
        let speed_mps = mover.speed_at(k);
        // The slowest of its surroundings, the first of equals.
        let slowest = (before..k).all(|j| mover.speed_at(j) > speed_mps)
            && (k + 1..after).all(|j| mover.speed_at(j) >= speed_mps);
        let dips = speed_mps <= params.turn_speed_share * fastest(before..k).min(fastest(k + 1..after));
        if slowest && dips && turns(scene, mover, k, run.clone(), params) {
            pieces.push(start..k);
            start = k;
        }
    }
    pieces.push(start..run.end);
    pieces
}

/// Whether it leads far enough, and fast enough, to be more than a step.
fn is_run(mover: &Mover, run: &Range<usize>, params: &BoutParams) -> bool {
    let last = run.end - 1;
    let farthest = run.clone().map(|k| mover.speed_at(k)).fold(0.0, f32::max);
    farthest >= params.min_peak_mps && mover.at(run.start).distance_m(mover.at(last)) >= params.min_net_m
}
