//! What the players of a would-be off-ball screen do, measured.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, Scene};

use super::OffBallScreenParams;
use super::passing::Passing;
use crate::ball_screen::stop;

/// A would-be off-ball screen, measured. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    /// Who passes whom, and when.
    pub passing: Passing,
    /// Frames a second.
    pub hz: f64,
    /// The screener stands: the stop around the closest approach.
    pub stands: Option<Range<usize>>,
    /// Where the screener is.
    pub spot: Point<AttackFrame>,
    /// Place of the user's defender in the scene's defenders.
    pub user_defender: Option<usize>,
    /// Place of the screener's defender.
    pub screener_defender: Option<usize>,
    /// Where the user's run began.
    pub from: Point<AttackFrame>,
    /// Where he is at the closest approach.
    pub beside: Point<AttackFrame>,
    /// Where he is a second later.
    pub past: Point<AttackFrame>,
    /// Where he is when his run ends.
    pub to: Point<AttackFrame>,
    /// The ball at the closest approach.
    pub ball: Point<AttackFrame>,
    /// How far the user came from, m.
    pub came_m: f32,
    /// How far he went, m.
    pub went_m: f32,
    /// His highest speed around the closest approach, m/s.
    pub user_speed_mps: f32,
    /// The screener's lowest speed just before and at the closest approach, m/s.
    pub screener_speed_mps: f32,
    /// How far the screener moved just before the closest approach, m.
    pub drift_m: f32,
    /// How far the screener came to his spot in the time before, m.
    pub arrival_m: f32,
    /// How far the user's direction from the screener turned, degrees.
    pub sweep_deg: f32,
    /// The user's defender to the screener, closest, m.
    pub defender_gap_m: Option<f32>,
    /// The user's defender to the user, closest before the screen, m.
    pub guarded_m: Option<f32>,
    /// By how much the user gained on his defender past the screen, m.
    pub freed_m: Option<f32>,
    /// How many of the other eight are within 2.5 m of the screener, the two defenders not counted.
    pub crowd: u8,
    /// Time since the half-court part began, s.
    pub settled_s: f32,
    /// How long ago the user let go of the ball, s.
    pub since_own_touch_s: Option<f32>,
    /// How long after the use the user gets the ball, s.
    pub until_own_touch_s: Option<f32>,
    /// Whether a team-mate had the ball at the closest approach or just before.
    pub in_control: bool,
}

/// The user's run is looked for this long to both sides, s.
const RUN_S: f32 = 2.0;
/// Slower than this a run is over, m/s.
const RUN_SPEED_MPS: f32 = 1.2;
/// Where the user is past the screen: this long after the closest approach, s.
const PAST_S: f32 = 1.0;
/// Direction from the screener is looked at this long to both sides, s.
const SWEEP_S: f32 = 0.6;
/// The screener's way to his spot is looked at this long, s.
const ARRIVAL_S: f32 = 3.0;
/// The screener's speed is looked at from this long before the closest approach ..., s.
const STILL_BEFORE_S: f32 = 0.5;
/// ... to this long after it, s.
const STILL_AFTER_S: f32 = 0.2;
/// Whoever is this near the screener belongs to a crowd, m.
const CROWD_M: f32 = 2.5;
/// The defender is looked at from this long before ..., s.
const DEFENDER_BEFORE_S: f32 = 0.4;
/// ... to this long after the closest approach, s.
const DEFENDER_AFTER_S: f32 = 0.8;
/// A touch longer ago, or later, than this has nothing to do with it, s.
const TOUCH_S: f32 = 5.0;
/// A pass in flight for less than this leaves the team in control, s.
const FLIGHT_S: f32 = 1.2;

/// Measures a passing; `from` is the first frame of the half-court part.
pub(super) fn measure(scene: &Scene, passing: Passing, from: usize, params: &OffBallScreenParams) -> Reading {
    let Passing {
        user,
        screener,
        at,
        gap_m: _,
    } = passing;
    let (u, s) = (&scene.attackers[user], &scene.attackers[screener]);
    let back = |seconds: f32| at.saturating_sub(scene.frames_in(seconds));
    let ahead = |seconds: f32| (at + scene.frames_in(seconds)).min(scene.frames - 1);
    let stands = stands(scene, s, at, params);
    let spot = stop::mean_place(s, back(stop::SPOT_S / 2.0)..ahead(stop::SPOT_S / 2.0) + 1);
    let (run_from, run_to) = run(scene, u, at);
    let settled = stands
        .as_ref()
        .map_or(back(STILL_BEFORE_S), |stop| stop.start.max(back(ARRIVAL_S)));
    let (user_defender, screener_defender) = defenders(scene, user, screener, run_from.max(settled).min(at));
    let d = user_defender.map(|place| &scene.defenders[place]);
    let least = |frames: Range<usize>, values: &dyn Fn(usize) -> f32| {
        let low = frames.map(values).filter(|v| v.is_finite()).fold(f32::INFINITY, f32::min);
        low.is_finite().then_some(low)
    };
    let most = |frames: Range<usize>, values: &dyn Fn(usize) -> f32| {
        frames.map(values).filter(|v| v.is_finite()).fold(0.0, f32::max)
    };
    let around_use = back(DEFENDER_BEFORE_S)..ahead(DEFENDER_AFTER_S) + 1;
    let defender_gap_m = d.and_then(|d| least(around_use, &|k| d.at(k).distance_m(s.at(k))));
    let guarded_m = d.and_then(|d| least(back(1.0)..at + 1, &|k| d.at(k).distance_m(u.at(k))));
    let freed_m = d.map(|d| {
        d.at(ahead(SWEEP_S)).distance_m(u.at(ahead(SWEEP_S))) - d.at(back(SWEEP_S)).distance_m(u.at(back(SWEEP_S)))
    });
    let others = scene
        .attackers
        .iter()
        .enumerate()
        .filter(|(place, _)| *place != user && *place != screener)
        .map(|(_, mover)| mover)
        .chain(
            scene
                .defenders
                .iter()
                .enumerate()
                .filter(|(place, _)| Some(*place) != user_defender && Some(*place) != screener_defender)
                .map(|(_, mover)| mover),
        );
    let crowd = others.filter(|m| m.at(at).distance_m(spot) < CROWD_M).count() as u8;
    let touch = scene.frames_in(TOUCH_S);
    let seconds = |frames: usize| (frames as f64 / scene.hz) as f32;
    let has = |k: &usize| scene.handler[*k] == Some(user as u8);
    let since_own_touch_s = (at.saturating_sub(touch)..=at).rev().position(|k| has(&k)).map(seconds);
    let until_own_touch_s = (at..(at + touch).min(scene.frames)).position(|k| has(&k)).map(seconds);
    let before = s.at(settled.saturating_sub(scene.frames_in(1.5)));
    let sweep_deg = (u.at(back(SWEEP_S)) - s.at(at))
        .angle_to_deg(u.at(ahead(SWEEP_S)) - s.at(at))
        .unwrap_or(0.0);
    Reading {
        passing,
        hz: scene.hz,
        spot,
        user_defender,
        screener_defender,
        from: u.at(run_from),
        beside: u.at(at),
        past: u.at(ahead(PAST_S)),
        to: u.at(run_to),
        ball: scene.ball_at(at),
        came_m: most(run_from..at + 1, &|k| u.at(k).distance_m(u.at(at))),
        went_m: most(at..run_to + 1, &|k| u.at(k).distance_m(u.at(at))),
        user_speed_mps: most(back(0.2)..ahead(0.2) + 1, &|k| u.speed_at(k)),
        screener_speed_mps: least(back(STILL_BEFORE_S)..ahead(STILL_AFTER_S) + 1, &|k| s.speed_at(k))
            .unwrap_or(f32::INFINITY),
        drift_m: s.at(back(STILL_BEFORE_S)).distance_m(s.at(ahead(STILL_AFTER_S))),
        arrival_m: before.distance_m(spot),
        sweep_deg,
        defender_gap_m,
        guarded_m,
        freed_m: freed_m.filter(|m| m.is_finite()),
        crowd,
        settled_s: seconds(at.saturating_sub(from)),
        since_own_touch_s,
        until_own_touch_s,
        in_control: (back(FLIGHT_S)..at + 1).any(|k| scene.handler[k].is_some()),
        stands,
    }
}

/// The stop of the screener that the closest approach falls into, or comes just after.
fn stands(scene: &Scene, s: &Mover, at: usize, params: &OffBallScreenParams) -> Option<Range<usize>> {
    let set = crate::SetParams {
        max_speed_mps: params.max_set_speed_mps,
        min_set_s: params.min_set_s,
        ..crate::SetParams::default()
    };
    let within = at.saturating_sub(scene.frames_in(STILL_BEFORE_S))..(at + scene.frames_in(STILL_AFTER_S)).min(scene.frames);
    stop::find_stops(scene, s, within, &set)
        .into_iter()
        .map(|stop| stop.frames)
        .filter(|frames| frames.start <= at)
        .next_back()
}

/// First and last frame of the user's run through `at`.
fn run(scene: &Scene, u: &Mover, at: usize) -> (usize, usize) {
    let long = scene.frames_in(RUN_S);
    let runs = |k: &usize| u.at(*k).is_finite() && u.speed_at(*k) >= RUN_SPEED_MPS;
    let first = (at.saturating_sub(long)..at).rev().take_while(runs).last().unwrap_or(at);
    let last = (at..(at + long).min(scene.frames)).take_while(runs).last().unwrap_or(at);
    (first, last)
}

/// Places of the user's and the screener's defenders at `k`.
fn defenders(scene: &Scene, user: usize, screener: usize, k: usize) -> (Option<usize>, Option<usize>) {
    let of = |attacker: usize| scene.guard[k][attacker].map(usize::from);
    (of(user), of(screener))
}
