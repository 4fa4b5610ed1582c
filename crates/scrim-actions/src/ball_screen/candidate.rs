//! Would-be screens: every place in a spell near the handler that may be one, measured.

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, Scene};

use super::encounter::Encounter;
use super::reading::{self, Approach, Place, Reading};
use super::stop::{self, Stop};
use super::{ScreenParams, SetParams};

/// A screener may be set this long before the spell near the handler begins, s: he waits for the pass to arrive.
const SET_BEFORE_SPELL_S: f32 = 1.0;
/// A screener may have stood this long before handler and defender are there, s; who stood longer did not come for it.
const REMEMBERED_S: f32 = 3.0;
/// A spell's slow-down is no news this near to one of its stops, s.
const NEAR_STOP_S: f32 = 1.0;
/// The speed before a slow-down is the highest of this time, s.
const PEAK_BEFORE_S: f32 = 1.2;
/// The lowest speed is looked for this long to both sides, s.
const LOW_AROUND_S: f32 = 0.5;

/// All would-be screens of one spell, in time order.
pub(super) fn find_candidates(scene: &Scene, encounter: &Encounter, params: &ScreenParams) -> Vec<Reading> {
    let mate = &scene.attackers[encounter.mate];
    let from = encounter
        .frames
        .start
        .saturating_sub(scene.frames_in(SET_BEFORE_SPELL_S));
    let longest = scene.frames_in(params.outcome.longest_wait_s);
    let near = frames_near(scene);
    // Who does not stand is where he is.
    let moving = |approach: Approach, begin: usize| {
        let place = Place {
            handler: encounter.handler,
            mate: encounter.mate,
            approach,
            begin,
            stands_from: begin,
            spot: mate.at(begin),
            span: encounter.frames.start..(begin + longest).min(scene.frames),
        };
        reading::measure(scene, place, params)
    };
    let mut found: Vec<Reading> = Vec::new();
    for stop in stop::find_stops(scene, mate, from..encounter.frames.end, &params.set) {
        let Some(begin) = set_frame(scene, encounter, &stop, from, &params.set) else {
            continue;
        };
        let place = Place {
            handler: encounter.handler,
            mate: encounter.mate,
            approach: Approach::Stopped,
            begin,
            stands_from: stop
                .frames
                .start
                .max(begin.saturating_sub(scene.frames_in(REMEMBERED_S))),
            spot: spot_at(scene, mate, begin, stop.frames.end),
            span: encounter.frames.start..(begin + longest).min(scene.frames),
        };
        found.push(reading::measure(scene, place, params));
    }
    if let Some(begin) = slow_frame(scene, encounter, &params.set) {
        let told = |reading: &Reading| {
            let last = reading.closest.max(reading.leave.unwrap_or(reading.begin));
            (reading.begin.saturating_sub(near)..=last + near).contains(&begin)
        };
        if !found.iter().any(told) {
            found.push(moving(Approach::Slowed, begin));
        }
    }
    // One who runs through may slow down a little: both accounts are weighed.
    if let Some(begin) = run_frame(scene, encounter, &params.set)
        && !found
            .iter()
            .any(|reading| reading.approach == Approach::Stopped && reading.begin.abs_diff(begin) < near)
    {
        found.push(moving(Approach::Ran, begin));
    }
    found.sort_by_key(|reading| reading.begin);
    found
}

/// Two accounts of one approach begin nearer to each other than this.
pub(super) fn frames_near(scene: &Scene) -> usize {
    scene.frames_in(NEAR_STOP_S)
}

/// Where the screener stands from `begin` on: his mean place over the first moments.
fn spot_at(scene: &Scene, mate: &Mover, begin: usize, end: usize) -> Point<AttackFrame> {
    stop::mean_place(
        mate,
        begin..(begin + scene.frames_in(stop::SPOT_S)).min(end).max(begin + 1),
    )
}

/// When the screener is set: the first frame of the stop at which handler, screener and the handler's defender stand as
/// in a screen.
fn set_frame(
    scene: &Scene,
    encounter: &Encounter,
    stop: &Stop,
    from: usize,
    set: &SetParams,
) -> Option<usize> {
    (stop.frames.start.max(from)..stop.frames.end).find(|&k| stands_as_screen(scene, encounter, k, set))
}

/// Whether handler, screener and the handler's defender stand as in a screen at `k`: the handler near and guarded, and
/// his defender at the screener, or there in a moment (a defender who trails from a first screen meets the second late).
fn stands_as_screen(scene: &Scene, encounter: &Encounter, k: usize, set: &SetParams) -> bool {
    let (h, s) = (
        &scene.attackers[encounter.handler],
        &scene.attackers[encounter.mate],
    );
    if h.at(k).distance_m(s.at(k)) > set.user_near_m {
        return false;
    }
    let Some(d) = scene.guard_of(encounter.handler, k) else {
        return true;
    };
    let soon = (k + scene.frames_in(TRAILING_S)).min(scene.frames - 1);
    d.at(k).distance_m(h.at(k)) <= set.guarded_m
        && [k, (k + soon) / 2, soon]
            .iter()
            .any(|&k| d.at(k).distance_m(s.at(k)) <= set.defender_near_m)
}

/// A defender who trails his man reaches the screener this much later, s.
const TRAILING_S: f32 = 0.6;

/// Where in the spell the team-mate, who does not stop, is nearest to handler and defender, if he clearly slows down or
/// turns there.
fn slow_frame(scene: &Scene, encounter: &Encounter, set: &SetParams) -> Option<usize> {
    let (h, s) = (
        &scene.attackers[encounter.handler],
        &scene.attackers[encounter.mate],
    );
    let apart = |k: usize| {
        let to_handler = h.at(k).distance_m(s.at(k));
        scene
            .guard_of(encounter.handler, k)
            .map_or(to_handler, |d| to_handler + d.at(k).distance_m(s.at(k)))
    };
    let begin = encounter
        .frames
        .clone()
        .filter(|&k| stands_as_screen(scene, encounter, k, set))
        .min_by(|&a, &b| apart(a).total_cmp(&apart(b)))?;
    let speeds = |from: usize, to: usize| {
        (from..to.min(scene.frames))
            .map(|k| s.speed_at(k))
            .filter(|v| v.is_finite())
    };
    let highest = speeds(begin.saturating_sub(scene.frames_in(PEAK_BEFORE_S)), begin + 1).fold(0.0, f32::max);
    let around = scene.frames_in(LOW_AROUND_S);
    let lowest = speeds(begin.saturating_sub(around), begin + around + 1).fold(f32::INFINITY, f32::min);
    let slowed = lowest <= set.slowed_speed_mps && lowest <= highest * (1.0 - set.slowed_share);
    let turned = reading::turn_deg(scene, s, begin).is_some_and(|turn| turn >= set.turned_deg)
        || reading::came_up_m(scene, s, begin) >= set.came_up_m;
    (slowed && turned).then_some(begin)
}

/// Where in the spell the team-mate, who runs past, is nearest to the handler, if the two and the handler's defender then
/// stand as in a screen and he is on the run all the while.
fn run_frame(scene: &Scene, encounter: &Encounter, set: &SetParams) -> Option<usize> {
    let (h, s) = (
        &scene.attackers[encounter.handler],
        &scene.attackers[encounter.mate],
    );
    let apart = |k: usize| h.at(k).distance_m(s.at(k));
    let nearest = encounter
        .frames
        .clone()
        .filter(|&k| apart(k).is_finite())
        .min_by(|&a, &b| apart(a).total_cmp(&apart(b)))?;
    let around = scene.frames_in(LOW_AROUND_S);
    let mut run = nearest.saturating_sub(around)..(nearest + around + 1).min(scene.frames);
    let runs = run.all(|k| s.speed_at(k) >= set.max_speed_mps);
    (runs && stands_as_screen(scene, encounter, nearest, set)).then_some(nearest)
}
