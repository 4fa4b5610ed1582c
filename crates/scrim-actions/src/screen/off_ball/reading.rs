//! What the players of a candidate off-ball screen do, measured.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Attacker, Mover, Play, Scene, Shot};

use super::evidence::RunEvidence;
use super::passing::Passing;
use crate::BallScreen;
use crate::screen::{Four, of_possession, stop};

/// A candidate off-ball screen, measured. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    /// Who passes whom, and when.
    pub passing: Passing,
    /// When the screener came to stand: the beginning of the stop around the closest approach.
    pub stands_from: Option<usize>,
    /// Where the screener is.
    pub spot: Point<AttackFrame>,
    /// The two and who guards each of them.
    pub four: Four,
    /// Where the user's run began.
    pub from: Point<AttackFrame>,
    /// Where the user is at the closest approach.
    pub beside: Point<AttackFrame>,
    /// Where they are a second later.
    pub past: Point<AttackFrame>,
    /// Where they are when their run ends.
    pub to: Point<AttackFrame>,
    /// The ball at the closest approach.
    pub ball: Point<AttackFrame>,
    /// The screener's lowest speed just before and at the closest approach, m/s.
    pub screener_speed_mps: f32,
    /// The user's defender to the screener, closest, m.
    pub defender_gap_m: Option<f32>,
    /// How long ago the user let go of the ball, s.
    pub since_own_touch_s: Option<f32>,
    /// What the run adds to the evidence; how well a kind fits is not known yet.
    pub run: RunEvidence,
}

/// How far the user came and went is looked at this long, s.
const WAY_S: f32 = 1.6;
/// The user's run is looked for this long to both sides, s.
const RUN_S: f32 = 2.0;
/// Who has run for longer than this from a place beyond half court still runs in, s.
const RUNS_IN_S: f32 = 4.0;
/// Slower than this a run is over, m/s.
const RUN_SPEED_MPS: f32 = 1.2;
/// Where the user is past the screen: this long after the closest approach, s.
const PAST_S: f32 = 1.0;
/// Direction from the screener is looked at this long to both sides, s.
const SWEEP_S: f32 = 0.6;
/// The screener's way to the spot is looked at this long, s.
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
/// Who has set a ball screen is on the way from it for this long, s.
const ROLLS_S: f32 = 2.5;
/// They may be off a moment before its use, s.
const ROLLS_BEFORE_S: f32 = 0.3;
/// Who sets a ball screen this soon after the passing is on the way to it, s.
const COMES_UP_S: f32 = 2.2;
/// Who sets a ball screen is busy from a moment before they are set to a moment after its use, s.
const BUSY_AROUND_S: f32 = 0.4;
/// What stands for "long ago" in the evidence, s.
const LONG_AGO_S: f32 = 9.0;
/// A touch longer ago than this has nothing to do with it, s.
const TOUCH_S: f32 = 5.0;

/// What a possession's passings are measured against.
#[derive(Debug, Clone, Copy)]
pub(super) struct Setting<'a> {
    /// The possession.
    pub scene: &'a Scene,
    /// Its shots.
    pub shots: &'a [Shot],
    /// Its ball screens and handoffs.
    pub ball_screens: &'a [BallScreen],
    /// The scene frame at which its half-court part begins.
    pub half_court: usize,
}

impl<'a> Setting<'a> {
    /// What `scene`, the possession's, is measured against; `None` when it never got into its half court.
    pub fn of(
        scene: &'a Scene,
        play: &'a Play,
        possession: usize,
        ball_screens: &'a [BallScreen],
    ) -> Option<Self> {
        let of = &play.possessions[possession];
        Some(Self {
            scene,
            shots: &play.shots[of.shots.clone()],
            ball_screens: of_possession(ball_screens, possession, |screen| screen.possession),
            half_court: of.half_court?.saturating_sub(scene.first_frame),
        })
    }
}

/// Measures a passing.
pub(super) fn measure(setting: &Setting<'_>, passing: Passing) -> Reading {
    let scene = setting.scene;
    let Passing {
        user,
        screener,
        at,
        gap_m: _,
    } = passing;
    let (u, s) = (&scene.attackers[user], &scene.attackers[screener]);
    let frame = scene.first_frame + at;
    let back = |seconds: f32| at.saturating_sub(scene.frames_in(seconds));
    let ahead = |seconds: f32| (at + scene.frames_in(seconds)).min(scene.frames - 1);
    let stands = stands(scene, s, at);
    // Where the screener stands from the instant of being set; who does not stand is where they are at the closest approach.
    let spot = match &stands {
        Some(stop) => stop::mean_place(
            s,
            stop.start..(stop.start + scene.frames_in(stop::SPOT_S)).min(stop.end),
        ),
        None => stop::mean_place(s, back(stop::SPOT_S / 2.0)..ahead(stop::SPOT_S / 2.0) + 1),
    };
    let (run_from, run_to) = (ran_from(scene, u, at, RUN_S), ran_to(scene, u, at));
    let runs_in_from = ran_from(scene, u, at, RUNS_IN_S);
    let settled = stands
        .as_ref()
        .map_or(back(STILL_BEFORE_S), |stop| stop.start.max(back(ARRIVAL_S)));
    let guard = &scene.guard[run_from.max(settled).min(at)];
    let (user_defender, screener_defender) = (guard[user], guard[screener]);
    let d = user_defender.map(|place| &scene.defenders[place]);
    let least = |frames: Range<usize>, values: &dyn Fn(usize) -> f32| {
        let low = frames
            .map(values)
            .filter(|v| v.is_finite())
            .fold(f32::INFINITY, f32::min);
        low.is_finite().then_some(low)
    };
    let most = |frames: Range<usize>, values: &dyn Fn(usize) -> f32| {
        frames.map(values).filter(|v| v.is_finite()).fold(0.0, f32::max)
    };
    let around_use = back(DEFENDER_BEFORE_S)..ahead(DEFENDER_AFTER_S) + 1;
    let defender_gap_m = d.and_then(|d| least(around_use, &|k| d.at(k).distance_m(s.at(k))));
    let guarded_m = d.and_then(|d| least(back(1.0)..at + 1, &|k| d.at(k).distance_m(u.at(k))));
    let others = scene
        .attackers
        .placed()
        .filter(|(place, _)| *place != user && *place != screener)
        .map(|(_, mover)| mover)
        .chain(
            scene
                .defenders
                .placed()
                .filter(|(place, _)| Some(*place) != user_defender && Some(*place) != screener_defender)
                .map(|(_, mover)| mover),
        );
    let crowd = others.filter(|m| m.at(at).distance_m(spot) < CROWD_M).count() as u8;
    let since_shot = setting
        .shots
        .iter()
        .filter_map(|shot| frame.checked_sub(shot.release))
        .min();
    let screens_of = |place: Attacker| {
        let player = scene.attackers[place].player;
        setting
            .ball_screens
            .iter()
            .filter(move |screen| screen.screener == player)
    };
    let past = (at..ahead(PAST_S) + 1)
        .rev()
        .find(|&k| u.at(k).is_finite())
        .unwrap_or(at);
    let seconds = |frames: usize| scene.seconds(frames);
    let before = s.at(settled.saturating_sub(scene.frames_in(1.5)));
    let before_it = u.at(back(SWEEP_S)) - s.at(at);
    let past_deg = most(at..ahead(2.0 * SWEEP_S) + 1, &|k| {
        before_it.angle_to_deg(u.at(k) - s.at(at)).unwrap_or(0.0)
    });
    let (from, to, ball) = (u.at(run_from), u.at(run_to), scene.ball_at(at));
    let since_own_touch_s = scene.since_touch_s(user, at, scene.frames_in(TOUCH_S));
    let from_hoop_m = |at: Point<AttackFrame>| at.distance_m(Point::origin());
    let flag = |holds: bool| if holds { 1.0 } else { 0.0 };
    let run = RunEvidence {
        came_m: most(back(WAY_S)..at + 1, &|k| u.at(k).distance_m(u.at(at))),
        went_m: most(at..ahead(WAY_S) + 1, &|k| u.at(k).distance_m(u.at(at))),
        from_spot_m: from.distance_m(spot),
        run_mps: most(back(0.2)..ahead(0.8) + 1, &|k| u.speed_at(k)),
        drift_m: s.at(back(STILL_BEFORE_S)).distance_m(s.at(ahead(STILL_AFTER_S))),
        arrival_m: before.distance_m(spot),
        settled_there_s: stands.as_ref().map_or(0.0, |stop| seconds(at - stop.start)),
        past_deg,
        defender_least_m: defender_gap_m.unwrap_or(f32::NAN),
        guarded_m: guarded_m.unwrap_or(f32::NAN),
        crowd_there: f32::from(crowd),
        half_court_s: seconds(at.saturating_sub(setting.half_court)),
        runs_in_from_m: u.at(runs_in_from).x_m,
        since_user_touch_s: since_own_touch_s.unwrap_or(LONG_AGO_S),
        since_shot_s: since_shot.map_or(LONG_AGO_S, seconds).min(LONG_AGO_S),
        user_rolls: flag(screens_of(user).any(|screen| {
            screen.used <= frame + scene.frames_in(ROLLS_BEFORE_S)
                && frame <= screen.used + scene.frames_in(ROLLS_S)
        })),
        user_comes_up: flag(screens_of(user).any(|screen| {
            let set = screen.begins();
            frame <= set + scene.frames_in(BUSY_AROUND_S) && set <= frame + scene.frames_in(COMES_UP_S)
        })),
        screener_busy: flag(screens_of(screener).any(|screen| {
            screen.begins() <= frame + scene.frames_in(BUSY_AROUND_S)
                && frame <= screen.used + scene.frames_in(BUSY_AROUND_S)
        })),
        kind_fit: f32::NAN,
        ball_from_spot_m: ball.distance_m(spot),
        run_toward_hoop_m: from_hoop_m(from) - from_hoop_m(to),
        run_toward_ball_m: from.distance_m(ball) - to.distance_m(ball),
    };
    Reading {
        passing,
        spot,
        four: Four {
            user,
            screener,
            user_defender,
            screener_defender,
        },
        from,
        beside: u.at(at),
        past: u.at(past),
        to,
        ball,
        screener_speed_mps: least(back(STILL_BEFORE_S)..ahead(STILL_AFTER_S) + 1, &|k| s.speed_at(k))
            .unwrap_or(f32::INFINITY),
        defender_gap_m,
        since_own_touch_s,
        stands_from: stands.map(|stop| stop.start),
        run,
    }
}

/// The stop of the screener that the closest approach falls into, or comes just after.
fn stands(scene: &Scene, s: &Mover, at: usize) -> Option<Range<usize>> {
    let within = at.saturating_sub(scene.frames_in(STILL_BEFORE_S))
        ..(at + scene.frames_in(STILL_AFTER_S)).min(scene.frames);
    stop::find_stops(scene, s, within)
        .into_iter()
        .map(|stop| stop.frames)
        .rfind(|frames| frames.start <= at)
}

/// First frame of the user's run by the screener. They may wait beside the screener and be off only after the closest approach: a rest is
/// no end of the run unless it is long.
fn ran_from(scene: &Scene, u: &Mover, at: usize, longest_s: f32) -> usize {
    let (long, rest) = (scene.frames_in(longest_s), scene.frames_in(REST_S));
    let mut first = at;
    for k in (at.saturating_sub(long)..at).rev() {
        if is_running(u, k) {
            first = k;
        } else if first - k > rest {
            break;
        }
    }
    first
}

/// The last frame of it likewise: the user may come and stop there.
fn ran_to(scene: &Scene, u: &Mover, at: usize) -> usize {
    let (long, rest) = (scene.frames_in(RUN_S), scene.frames_in(REST_S));
    let mut last = at;
    for k in at..(at + long).min(scene.frames) {
        if is_running(u, k) {
            last = k;
        } else if k - last > rest {
            break;
        }
    }
    last
}

fn is_running(u: &Mover, k: usize) -> bool {
    u.at(k).is_finite() && u.speed_at(k) >= RUN_SPEED_MPS
}

/// A user who rests for longer than this has ended the run, s.
const REST_S: f32 = 0.6;
