//! Runs: an attacker's motion without the ball, cut into pieces that lead one way.

use std::ops::Range;

use scrim_floor::{Definitions, Point};
use scrim_play::{Attacker, Mover, Scene};

use super::CutParams;

/// A pause up to this does not end a run that goes on the same way, s.
const MAX_PAUSE_S: f32 = 0.3;
/// A runner arrives, and what follows is another run, on slowing down to this share of the highest speed before and after.
const STOP_SPEED_SHARE: f32 = 0.5;
/// The same on turning there: who curls round a screen keeps their speed.
const TURN_SPEED_SHARE: f32 = 0.7;
/// What counts as a turn, degrees.
const TURN_DEG: f32 = 60.0;
/// What counts as a turn there, from the whole way in to the whole way out, degrees (a way through along the baseline is
/// straight).
const RIM_TURN_DEG: f32 = 30.0;
/// A turn is measured from the ways of this long before and after, s.
const TURN_REACH_S: f32 = 0.6;

/// The runs of the attacker at `place`, in time order, of the scene frames for which `counts` holds. A run never
/// bridges a frame that does not count, nor one at which the attacker is missing.
pub(super) fn find_bouts(
    scene: &Scene,
    place: Attacker,
    counts: &[bool],
    params: &CutParams,
    definitions: &Definitions,
) -> Vec<Range<usize>> {
    let mover = &scene.attackers[place];
    let on = |k: usize| counts[k] && mover.at(k).is_finite() && mover.speed_at(k).is_finite();
    let runs = |k: usize| on(k) && mover.speed_at(k) >= definitions.standing_mps;
    let pause = scene.frames_in(MAX_PAUSE_S);
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
                    && !turns(scene, mover, (last.end + start) / 2, &(last.start..k)) =>
            {
                last.end = k;
            }
            _ => found.push(start..k),
        }
    }
    let mut pieces: Vec<Range<usize>> = found
        .into_iter()
        .flat_map(|run| split(scene, mover, run, params, definitions))
        .collect();
    pieces.retain(|run| is_run(mover, run, params));
    pieces
}

/// Whether the mover's way turns at `k` by enough to end a run there; measured within `run`.
fn turns(scene: &Scene, mover: &Mover, k: usize, run: &Range<usize>) -> bool {
    let reach = scene.frames_in(TURN_REACH_S);
    let before = k.saturating_sub(reach).max(run.start);
    let after = (k + reach).min(run.end - 1);
    (mover.at(k) - mover.at(before))
        .angle_to_deg(mover.at(after) - mover.at(k))
        .is_some_and(|turn| turn >= TURN_DEG)
}

/// The run, cut where the mover all but stops, slows down and turns, or turns back out under the hoop: first
/// at the place where the first two are clearest, then each piece again.
fn split(
    scene: &Scene,
    mover: &Mover,
    run: Range<usize>,
    params: &CutParams,
    definitions: &Definitions,
) -> Vec<Range<usize>> {
    let mut pieces = Vec::new();
    // Taken from the end, the earlier part put on top: the pieces come in time order.
    let mut whole = vec![run];
    while let Some(run) = whole.pop() {
        let parts =
            clearest_break(scene, mover, &run).or_else(|| turn_at_rim(mover, &run, params, definitions));
        match parts {
            Some(k) => whole.extend([k..run.end, run.start..k]),
            None => pieces.push(run),
        }
    }
    pieces
}

/// The frame at which the mover slows down most, as a share of the highest speeds before and after it within the run,
/// if that is little enough to make two runs of it.
fn clearest_break(scene: &Scene, mover: &Mover, run: &Range<usize>) -> Option<usize> {
    let mut after_mps: Vec<f32> = run
        .clone()
        .rev()
        .scan(0.0_f32, |fastest, k| {
            *fastest = fastest.max(mover.speed_at(k));
            Some(*fastest)
        })
        .collect();
    after_mps.reverse();
    let mut before_mps = 0.0_f32;
    let mut clearest: Option<(f32, usize)> = None;
    for k in run.clone() {
        let speed_mps = mover.speed_at(k);
        before_mps = before_mps.max(speed_mps);
        let share = speed_mps / before_mps.min(after_mps[k - run.start]).max(f32::MIN_POSITIVE);
        let breaks = share <= STOP_SPEED_SHARE || share <= TURN_SPEED_SHARE && turns(scene, mover, k, run);
        // A piece of a run has at least one frame.
        if breaks && k > run.start && clearest.is_none_or(|(least, _)| share < least) {
            clearest = Some((share, k));
        }
    }
    clearest.map(|(_, k)| k)
}

/// The frame at which the mover is nearest the hoop, on coming in to it and going out again another way: a cut to the rim
/// ends there, and what follows only clears the floor.
fn turn_at_rim(
    mover: &Mover,
    run: &Range<usize>,
    params: &CutParams,
    definitions: &Definitions,
) -> Option<usize> {
    let hoop_m = |k: usize| mover.at(k).distance_m(Point::origin());
    let nearest = run.clone().min_by(|&a, &b| hoop_m(a).total_cmp(&hoop_m(b)))?;
    let (first, last) = (run.start, run.end - 1);
    let least_m = hoop_m(nearest);
    let in_and_out = least_m <= definitions.at_rim_m
        && hoop_m(first) - least_m >= params.min_net_m
        && hoop_m(last) - least_m >= params.min_net_m;
    let turned = (mover.at(nearest) - mover.at(first))
        .angle_to_deg(mover.at(last) - mover.at(nearest))
        .is_some_and(|turn| turn >= RIM_TURN_DEG);
    (in_and_out && turned && nearest > first).then_some(nearest)
}

/// Whether it leads far enough, and fast enough, to be more than a step.
fn is_run(mover: &Mover, run: &Range<usize>, params: &CutParams) -> bool {
    let last = run.end - 1;
    let fastest = run.clone().map(|k| mover.speed_at(k)).fold(0.0, f32::max);
    fastest >= params.min_peak_mps && mover.at(run.start).distance_m(mover.at(last)) >= params.min_net_m
}
