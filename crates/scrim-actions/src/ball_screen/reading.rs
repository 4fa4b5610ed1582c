//! What the four players of a would-be ball screen do, measured.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, SIDE_SIZE, Scene};

use super::ScreenParams;

/// The handler sets off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Departure {
    /// Scene frame.
    pub frame: usize,
    /// His way against the direction to the screener's spot, degrees: small is toward and past it, large away from it.
    pub angle_deg: f32,
}

/// A would-be screen, measured. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    /// Place of the handler's defender in the scene's defenders.
    pub user_defender: Option<usize>,
    /// Place of the screener's defender.
    pub screener_defender: Option<usize>,
    /// How far the screener came in the time before, m.
    pub arrival_m: f32,
    /// The screener's lowest speed, m/s.
    pub lowest_speed_mps: f32,
    /// Closest approach of the two.
    pub closest: usize,
    /// Their distance then, m.
    pub gap_m: f32,
    /// How far the screener is from his spot at the closest approach, m.
    pub drift_m: f32,
    /// The handler's highest speed around the closest approach, m/s.
    pub speed_at_closest_mps: f32,
    /// The handler's defender to the screener, closest until just after the closest approach, m.
    pub defender_gap_m: Option<f32>,
    /// The handler's defender to the handler, closest in the same time, m.
    pub guarded_m: Option<f32>,
    /// The screener leaves his spot for good.
    pub leave: Option<usize>,
    /// The handler sets off.
    pub go: Option<Departure>,
}

/// Around the closest approach the handler's speed is looked at this long to both sides, s.
const AROUND_CLOSEST_S: f32 = 0.2;
/// Before the screener is set a handler may already be on his way, s.
const EARLY_GO_S: f32 = 0.4;
/// After the screener has left, the handler may still come past, s.
const LATE_S: f32 = 0.6;

/// Measures the would-be screen of `mate` for `handler` that begins at scene frame `begin` on `spot`, as long as it may
/// last in `span`.
pub(super) fn measure(
    scene: &Scene,
    handler: usize,
    mate: usize,
    begin: usize,
    spot: Point<AttackFrame>,
    span: Range<usize>,
    params: &ScreenParams,
) -> Reading {
    let (h, s) = (&scene.attackers[handler], &scene.attackers[mate]);
    let (user_defender, screener_defender) = defenders_at(scene, handler, mate, begin);
    let leave = (begin..span.end).find(|&k| {
        s.at(k).distance_m(spot) > params.outcome.leave_m && s.speed_at(k) > params.outcome.leave_speed_mps
    });
    let look_until = leave.map_or(span.end, |k| (k + scene.frames_in(LATE_S)).min(span.end)).max(begin + 1);
    let look_from = begin.saturating_sub(scene.frames_in(AROUND_CLOSEST_S)).max(span.start.min(begin));
    let (closest, gap_m) = closest_approach(h, s, look_from..look_until);
    let around = scene.frames_in(AROUND_CLOSEST_S);
    let near = closest.saturating_sub(around)..(closest + around + 1).min(scene.frames);
    let speed_at_closest_mps = near.map(|k| h.speed_at(k)).filter(|v| v.is_finite()).fold(0.0, f32::max);
    let until_past = look_from..(closest + around + 1).min(scene.frames);
    let least = |values: &dyn Fn(usize) -> f32| {
        let low = until_past.clone().map(values).filter(|v| v.is_finite()).fold(f32::INFINITY, f32::min);
        low.is_finite().then_some(low)
    };
    let defender = user_defender.map(|place| &scene.defenders[place]);
    let defender_gap_m = defender.and_then(|d| least(&|k| d.at(k).distance_m(s.at(k))));
    let guarded_m = defender.and_then(|d| least(&|k| d.at(k).distance_m(h.at(k))));
    let lowest_speed_mps =
        (look_from..look_until).map(|k| s.speed_at(k)).filter(|v| v.is_finite()).fold(f32::INFINITY, f32::min);
    Reading {
        user_defender,
        screener_defender,
        arrival_m: arrival_m(scene, s, begin, spot, params),
        lowest_speed_mps,
        closest,
        gap_m,
        drift_m: s.at(closest).distance_m(spot),
        speed_at_closest_mps,
        defender_gap_m,
        guarded_m,
        leave,
        go: departure(scene, h, spot, begin.saturating_sub(scene.frames_in(EARLY_GO_S))..look_until, params),
    }
}

/// Places of the handler's and the screener's defenders. Where matchups are not known, the nearest defender who is
/// not the other's stands in.
fn defenders_at(scene: &Scene, handler: usize, mate: usize, k: usize) -> (Option<usize>, Option<usize>) {
    let of = |attacker: usize| scene.guard[k][attacker].map(usize::from);
    let (user, screener) = (of(handler), of(mate));
    let nearest = |attacker: usize, but: Option<usize>| {
        let at = scene.attackers[attacker].at(k);
        (0..scene.defenders.len())
            .filter(|place| Some(*place) != but)
            .map(|place| (place, scene.defenders[place].at(k).distance_m(at)))
            .filter(|(_, gap)| gap.is_finite())
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(place, _)| place)
    };
    let user = user.or_else(|| nearest(handler, screener));
    let screener = screener.or_else(|| nearest(mate, user));
    (user, screener)
}

fn closest_approach(h: &Mover, s: &Mover, frames: Range<usize>) -> (usize, f32) {
    let mut best = (frames.start, f32::INFINITY);
    for k in frames {
        let gap = h.at(k).distance_m(s.at(k));
        if gap < best.1 {
            best = (k, gap);
        }
    }
    best
}

/// The farthest that the screener was from his spot in the time before he came to it, m.
fn arrival_m(scene: &Scene, s: &Mover, begin: usize, spot: Point<AttackFrame>, params: &ScreenParams) -> f32 {
    let from = begin.saturating_sub(scene.frames_in(params.set.arrival_s));
    (from..begin).map(|k| s.at(k).distance_m(spot)).filter(|d| d.is_finite()).fold(0.0, f32::max)
}

/// The first frame from which the handler covers the distance that counts as setting off.
fn departure(
    scene: &Scene,
    h: &Mover,
    spot: Point<AttackFrame>,
    frames: Range<usize>,
    params: &ScreenParams,
) -> Option<Departure> {
    let ahead = scene.frames_in(params.outcome.go_s);
    frames.into_iter().take_while(|k| k + ahead < scene.frames).find_map(|frame| {
        let way = h.at(frame + ahead) - h.at(frame);
        if way.length() < params.outcome.go_m {
            return None;
        }
        way.angle_to_deg(spot - h.at(frame)).map(|angle_deg| Departure { frame, angle_deg })
    })
}

/// Direction of the handler's path after `k` against the direction to the hoop, degrees.
pub(super) fn path_angle_deg(scene: &Scene, handler: usize, k: usize) -> Option<f32> {
    let h = &scene.attackers[handler];
    let later = (k + scene.frames_in(PATH_S)).min(scene.frames.checked_sub(1)?);
    (h.at(later) - h.at(k)).angle_to_deg(Point::origin() - h.at(k))
}

/// The user's path is looked at this long after the use, s.
const PATH_S: f32 = 0.8;

/// Place in the scene's attackers is always below this.
const _: () = assert!(SIDE_SIZE <= u8::MAX as usize);
