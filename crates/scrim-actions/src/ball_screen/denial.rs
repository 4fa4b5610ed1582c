//! Early denial: the handler's defender takes the screen's side away before the screener, who is on his way, is there.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point, Vector};
use scrim_play::{Mover, Scene};
use serde::{Deserialize, Serialize};

use super::ScreenParams;
use super::reading::{self, Approach, Place, Reading};

/// When a handler counts as iced before any screen is there. The words: vocabulary, "Early denial"; the values: common
/// practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct DenialParams {
    /// The set has begun: the handler is this near the hoop, or nearer, m. Default 10.0.
    pub hoop_within_m: f32,
    /// The handler has waited: slower than this when he sets off, m/s. Default 1.6.
    pub waits_mps: f32,
    /// The screener is on his way: this fast a moment before, or faster, m/s. Default 1.5.
    pub coming_mps: f32,
    /// He came nearer the handler by this in the second before, m. Default 0.8.
    pub coming_m: f32,
    /// He is this near, or nearer, when the handler sets off, m. Default 4.5.
    pub screener_within_m: f32,
    /// He is to a side: this far from the line of handler and hoop, m. Default 0.5.
    pub to_a_side_m: f32,
    /// The handler's defender is at most this far from the handler, m. Default 2.2.
    pub guarded_m: f32,
    /// He has stepped this far toward the screener's side of the line of handler and hoop, m. Default 0.6.
    pub side_m: f32,
    /// He did so in the second before: by this, m. Default 0.4.
    pub step_m: f32,
    /// The handler leaves away from the screener: at this angle at least, degrees. Default 70.
    pub away_deg: f32,
    /// And he drives: he is this much nearer the hoop a second later, m (who backs out is pressed, not iced). Default 0.3.
    pub drive_m: f32,
    /// A screener who stands this near, or nearer, when the handler sets off, is there already, m. Default 1.7.
    pub there_m: f32,
}

impl Default for DenialParams {
    fn default() -> Self {
        Self {
            hoop_within_m: 10.0,
            waits_mps: 1.6,
            coming_mps: 1.5,
            coming_m: 0.8,
            screener_within_m: 4.5,
            to_a_side_m: 0.5,
            guarded_m: 2.2,
            side_m: 0.6,
            step_m: 0.4,
            away_deg: 70.0,
            drive_m: 0.3,
            there_m: 1.7,
        }
    }
}

/// How the handler's defender took the screen's side away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Denial {
    /// How far he stands toward the screener's side of the line of handler and hoop, m.
    pub side_m: f32,
    /// How much of that he came in the second before, m.
    pub step_m: f32,
}

/// The screener's way, and the defender's step, are looked at from this long before, s.
const BEFORE_S: f32 = 1.0;
/// The screener's speed is looked at this long before: he may be braking, s.
const BRAKING_S: f32 = 0.4;
/// The defender's side is looked at this long after the handler set off: he goes because the side is taken, s.
const AFTER_S: f32 = 0.2;
/// The next setting off is looked for this much later, s.
const AGAIN_S: f32 = 1.0;

/// All handlers who leave a side that is taken from them before a screen is there.
pub(super) fn find_denials(scene: &Scene, params: &ScreenParams) -> Vec<Reading> {
    let mut found = Vec::new();
    for handler in 0..scene.attackers.len() {
        let mut k = scene.frames_in(BEFORE_S);
        while k < scene.frames {
            if scene.handler[k] == Some(handler as u8) && sets_off(scene, handler, k, params) {
                let denied = (0..scene.attackers.len())
                    .filter(|mate| *mate != handler)
                    .filter_map(|mate| Some((mate, denial(scene, handler, mate, k, params)?)))
                    .max_by(|a, b| a.1.side_m.total_cmp(&b.1.side_m));
                if let Some((mate, denial)) = denied {
                    found.push(measured(scene, handler, mate, k, denial, params));
                    k += scene.frames_in(AGAIN_S);
                    continue;
                }
            }
            k += 1;
        }
    }
    found
}

/// Whether a handler who has waited sets off at `k`.
fn sets_off(scene: &Scene, handler: usize, k: usize, params: &ScreenParams) -> bool {
    let h = &scene.attackers[handler];
    let ahead = k + scene.frames_in(params.outcome.go_s);
    ahead < scene.frames
        && h.at(k).distance_m(Point::origin()) <= params.denial.hoop_within_m
        && h.speed_at(k) <= params.denial.waits_mps
        && h.at(ahead).distance_m(h.at(k)) >= params.outcome.go_m
}

/// How the side of `mate`, who is on his way, is taken from a handler who sets off at `k`; `None` if it is not.
fn denial(scene: &Scene, handler: usize, mate: usize, k: usize, params: &ScreenParams) -> Option<Denial> {
    let with = &params.denial;
    let (h, s) = (&scene.attackers[handler], &scene.attackers[mate]);
    let d = scene.guard_of(handler, k)?;
    let (before, braking) = (k - scene.frames_in(BEFORE_S), k - scene.frames_in(BRAKING_S));
    let later = (k + scene.frames_in(AFTER_S)).min(scene.frames - 1);
    let ahead = (k + scene.frames_in(params.outcome.go_s)).min(scene.frames - 1);
    let apart = |k: usize| h.at(k).distance_m(s.at(k));
    let coming = s.speed_at(braking) >= with.coming_mps
        && apart(before) - apart(k) >= with.coming_m
        && apart(k) <= with.screener_within_m;
    let guarded = d.at(k).distance_m(h.at(k)) <= with.guarded_m;
    if !(coming && guarded) {
        return None;
    }
    let screener_m = side_m(h.at(k), s.at(k));
    if screener_m.abs() < with.to_a_side_m {
        return None;
    }
    let hoop = Point::<AttackFrame>::origin();
    let second = (k + scene.frames_in(BEFORE_S)).min(scene.frames - 1);
    let drives = h.at(k).distance_m(hoop) - h.at(second).distance_m(hoop) >= with.drive_m;
    let there = apart(later) <= with.there_m && s.speed_at(later) < params.set.max_speed_mps;
    if !drives || there {
        return None;
    }
    let way = h.at(ahead) - h.at(k);
    let away = way.angle_to_deg(s.at(k) - h.at(k))? >= with.away_deg;
    // The line is drawn where the handler waits: as he leaves, his defender falls behind on that side anyway.
    let toward = |at: usize| side_m(h.at(k), d.at(at)) * screener_m.signum();
    let denial = Denial {
        side_m: toward(later),
        step_m: toward(later) - toward(before),
    };
    (away && denial.side_m >= with.side_m && denial.step_m >= with.step_m).then_some(denial)
}

/// How far `at` lies to the left of one who stands at `from` and looks to the hoop, m.
fn side_m(from: Point<AttackFrame>, at: Point<AttackFrame>) -> f32 {
    let to_hoop: Vector<AttackFrame> = (Point::origin() - from).unit();
    to_hoop.cross(at - from)
}

fn measured(
    scene: &Scene,
    handler: usize,
    mate: usize,
    k: usize,
    denial: Denial,
    params: &ScreenParams,
) -> Reading {
    let s: &Mover = &scene.attackers[mate];
    let until = (k + scene.frames_in(params.outcome.go_s)).min(scene.frames);
    let begin = reading::first_step(&scene.attackers[handler], k, until);
    let span: Range<usize> =
        k.saturating_sub(scene.frames_in(BEFORE_S))..(k + scene.frames_in(BEFORE_S)).min(scene.frames);
    let place = Place {
        handler,
        mate,
        approach: Approach::Coming,
        begin,
        stands_from: begin,
        spot: s.at(begin),
        span,
    };
    Reading {
        denial: Some(denial),
        ..reading::measure(scene, place, params)
    }
}
