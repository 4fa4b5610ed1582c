//! Would-be screens: every place in a spell near the handler that may be one, measured.

use scrim_play::Scene;

use super::encounter::Encounter;
use super::reading::{self, Approach, Place, Reading};
use super::stop::{self, Stop};
use super::{ScreenParams, SetParams};

/// A screener may be set this long before the spell near the handler begins, s: he waits for the pass to arrive.
const SET_BEFORE_SPELL_S: f32 = 1.0;
/// A spell's slow-down is no news this near to one of its stops, s.
const NEAR_STOP_S: f32 = 1.0;
/// The speed before a slow-down is the highest of this time, s.
const PEAK_BEFORE_S: f32 = 1.2;
/// The lowest speed is looked for this long to both sides, s.
const LOW_AROUND_S: f32 = 0.5;

/// All would-be screens of one spell, in time order.
pub(super) fn find_candidates(scene: &Scene, encounter: &Encounter, params: &ScreenParams) -> Vec<Reading> {
    let mate = &scene.attackers[encounter.mate];
    let from = encounter.frames.start.saturating_sub(scene.frames_in(SET_BEFORE_SPELL_S));
    let longest = scene.frames_in(params.outcome.longest_wait_s);
    let mut found: Vec<Reading> = Vec::new();
    for stop in stop::find_stops(scene, mate, from..encounter.frames.end, &params.set) {
        let Some(begin) = set_frame(scene, encounter, &stop, from, &params.set) else { continue };
        let place = Place {
            handler: encounter.handler,
            mate: encounter.mate,
            approach: Approach::Stopped,
            begin,
            spot: stop.spot,
            span: encounter.frames.start..(begin + longest).min(scene.frames),
        };
        found.push(reading::measure(scene, place, params));
    }
    if let Some(begin) = slow_frame(scene, encounter, &params.set) {
        let near = scene.frames_in(NEAR_STOP_S);
        let told = |reading: &Reading| {
            let last = reading.closest.max(reading.leave.unwrap_or(reading.begin));
            (reading.begin.saturating_sub(near)..=last + near).contains(&begin)
        };
        if !found.iter().any(told) {
            let place = Place {
                handler: encounter.handler,
                mate: encounter.mate,
                approach: Approach::Slowed,
                begin,
                spot: mate.at(begin),
                span: encounter.frames.start..(begin + longest).min(scene.frames),
            };
            found.push(reading::measure(scene, place, params));
            found.sort_by_key(|reading| reading.begin);
        }
    }
    found
}

/// The first frame of the stop at which handler, screener and the handler's defender stand as in a screen.
fn set_frame(scene: &Scene, encounter: &Encounter, stop: &Stop, from: usize, set: &SetParams) -> Option<usize> {
    (stop.frames.start.max(from)..stop.frames.end).find(|&k| stands_as_screen(scene, encounter, k, set))
}

fn stands_as_screen(scene: &Scene, encounter: &Encounter, k: usize, set: &SetParams) -> bool {
    let (h, s) = (&scene.attackers[encounter.handler], &scene.attackers[encounter.mate]);
    let guard = scene.guard_of(encounter.handler, k);
    h.at(k).distance_m(s.at(k)) <= set.user_near_m
        && guard.is_none_or(|d| {
            d.at(k).distance_m(s.at(k)) <= set.defender_near_m && d.at(k).distance_m(h.at(k)) <= set.guarded_m
        })
}

/// Where in the spell the team-mate, who does not stop, is nearest to the handler's defender, if he clearly slows down
/// there.
fn slow_frame(scene: &Scene, encounter: &Encounter, set: &SetParams) -> Option<usize> {
    let s = &scene.attackers[encounter.mate];
    let gap = |k: usize| scene.guard_of(encounter.handler, k).map_or(f32::INFINITY, |d| d.at(k).distance_m(s.at(k)));
    let begin = encounter
        .frames
        .clone()
        .filter(|&k| stands_as_screen(scene, encounter, k, set))
        .min_by(|&a, &b| gap(a).total_cmp(&gap(b)))?;
    let highest = (begin.saturating_sub(scene.frames_in(PEAK_BEFORE_S))..=begin)
        .map(|k| s.speed_at(k))
        .filter(|v| v.is_finite())
        .fold(0.0, f32::max);
    let around = scene.frames_in(LOW_AROUND_S);
    let lowest = (begin.saturating_sub(around)..(begin + around + 1).min(scene.frames))
        .map(|k| s.speed_at(k))
        .filter(|v| v.is_finite())
        .fold(f32::INFINITY, f32::min);
    let slowed = lowest <= set.slowed_speed_mps && lowest <= highest * (1.0 - set.slowed_share);
    slowed.then_some(begin)
}
