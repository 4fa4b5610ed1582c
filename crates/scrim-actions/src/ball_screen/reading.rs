//! What the four players of a would-be ball screen do, measured.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, Scene};

use super::ScreenParams;
use super::denial::Denial;

/// A handler has taken his first step when he is this far from where he stood, m.
const FIRST_STEP_M: f32 = 0.2;

/// The handler sets off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Departure {
    /// Scene frame from which he covers the distance that counts as setting off.
    pub frame: usize,
    /// Scene frame of his first step, at or after that.
    pub step: usize,
    /// His way against the direction to the screener's spot, degrees: small is toward and past it, large away from it.
    pub angle_deg: f32,
    /// How much nearer the hoop he is a second later, m.
    pub toward_hoop_m: f32,
}

/// How a team-mate came to be near the handler's defender.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Approach {
    /// He came to a near stop.
    Stopped,
    /// He slowed down or turned without stopping.
    Slowed,
    /// He ran past, neither stopping nor clearly slowing down.
    Ran,
    /// He was still on his way when the handler left.
    Coming,
}

/// Where a run past the handler leads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Run {
    /// How much nearer the hoop he is a second later, m.
    pub toward_hoop_m: f32,
    /// How far from the hoop he is when the run is looked at last, m.
    pub end_from_hoop_m: f32,
    /// How far from the handler he is then, m.
    pub end_apart_m: f32,
}

/// A would-be screen, measured. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    /// Place of the handler in the scene's attackers.
    pub handler: usize,
    /// Place of the would-be screener in the scene's attackers.
    pub mate: usize,
    /// Frames a second.
    pub hz: f64,
    /// Stopped or only slowed.
    pub approach: Approach,
    /// When the three stand as in a screen (stopped), or are nearest to it (slowed).
    pub begin: usize,
    /// When the screener came to stand there, at or before `begin`.
    pub stands_from: usize,
    /// Where the screener is then.
    pub spot: Point<AttackFrame>,
    /// Whether that is behind half court.
    pub in_back_court: bool,
    /// The last frame that was looked at.
    pub last: usize,
    /// The handler gives the ball up.
    pub touch_end: usize,
    /// How long the handler had the ball by then, s.
    pub touch_age_s: f32,
    /// How long ago the screener himself let go of the ball, s; `None` if he has not had it for long.
    pub since_own_touch_s: Option<f32>,
    /// The handler from the hoop at the beginning, m.
    pub handler_from_hoop_m: f32,
    /// How many of the ten are within 2.5 m of the handler at the beginning, himself not counted.
    pub crowd: u8,
    /// How much nearer the handler the screener came by his own steps in the second and a half before, m.
    pub closing_m: f32,
    /// The handler's mean speed around the beginning, m/s; not finite when he is not seen.
    pub handler_speed_mps: f32,
    /// How much farther from the hoop the screener is than a moment before he came, m.
    pub came_up_m: f32,
    /// Where the run of one who ran past leads; `None` for all others.
    pub run: Option<Run>,
    /// How the screen's side was taken from the handler before it was there; `None` if it was not.
    pub denial: Option<Denial>,
    /// How much nearer the hoop the screener is 0.8 s after he left (or after the closest approach), m.
    pub toward_hoop_m: f32,
    /// How far the screener moved in that time, m.
    pub after_m: f32,
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
    /// How far the handler's direction from the screener turned as he went past, degrees; 0 when he did not go.
    pub sweep_deg: f32,
    /// How far the screener moved just before the closest approach, m.
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

impl Reading {
    /// How many frames last `seconds`, rounded.
    pub fn frames_in(&self, seconds: f32) -> usize {
        (f64::from(seconds) * self.hz).round() as usize
    }
}

/// A screener may still be on the move when the handler comes, and set only just after, s.
const MOVING_S: f32 = 0.6;
/// Around the closest approach the handler's speed is looked at this long to both sides, s.
const AROUND_CLOSEST_S: f32 = 0.2;
/// Before the screener is set a handler may already be on his way, s.
const EARLY_GO_S: f32 = 0.4;
/// After the screener has left, the handler may still come past, s.
const LATE_S: f32 = 0.6;

/// Where and when to measure.
#[derive(Debug, Clone)]
pub(super) struct Place {
    /// Place of the handler in the scene's attackers.
    pub handler: usize,
    /// Place of the would-be screener in the scene's attackers.
    pub mate: usize,
    /// Stopped or only slowed.
    pub approach: Approach,
    /// The first frame of the would-be screen.
    pub begin: usize,
    /// When the screener came to stand there, at or before `begin`.
    pub stands_from: usize,
    /// Where the screener is.
    pub spot: Point<AttackFrame>,
    /// The frames that it may last in.
    pub span: Range<usize>,
}

/// Measures a would-be screen.
pub(super) fn measure(scene: &Scene, at: Place, params: &ScreenParams) -> Reading {
    let Place {
        handler,
        mate,
        approach,
        begin,
        stands_from,
        spot,
        span,
    } = at;
    let (h, s) = (&scene.attackers[handler], &scene.attackers[mate]);
    let (user_defender, screener_defender) = defenders_at(scene, handler, mate, begin);
    let settled = begin + scene.frames_in(LEAVING_S) / 2;
    let leave = (settled..span.end).find(|&k| has_left(scene, s, k, params));
    let look_until = leave
        .map_or(span.end, |k| (k + scene.frames_in(LATE_S)).min(span.end))
        .max(begin + 1);
    let touch_end = touch_end(scene, handler, begin, span.end);
    let look_from = begin
        .saturating_sub(scene.frames_in(MOVING_S))
        .max(span.start.min(begin));
    let go_from = begin.saturating_sub(scene.frames_in(EARLY_GO_S + MOVING_S));
    let defender = user_defender.map(|place| &scene.defenders[place]);
    // Once he has left, the screener may run beside the handler, nearer than he ever stood: no use of the screen.
    let stood_until = leave.map_or(look_until, |leave| stood_until(scene, s, leave, begin));
    let until = look_until.min(touch_end).min(stood_until).max(look_from + 1);
    let Approached {
        go,
        closest,
        gap_m,
        sweep_deg,
    } = approached(scene, h, s, spot, go_from, look_from, until, look_until, params);
    let around = scene.frames_in(AROUND_CLOSEST_S);
    let near = closest.saturating_sub(around)..(closest + around + 1).min(scene.frames);
    let speed_at_closest_mps = near
        .map(|k| h.speed_at(k))
        .filter(|v| v.is_finite())
        .fold(0.0, f32::max);
    let parted = leave.or(go.map(|go| go.frame)).unwrap_or(closest).max(closest);
    let until_past = look_from..(parted + around + 1).min(scene.frames);
    let least = |values: &dyn Fn(usize) -> f32| {
        let low = until_past
            .clone()
            .map(values)
            .filter(|v| v.is_finite())
            .fold(f32::INFINITY, f32::min);
        low.is_finite().then_some(low)
    };
    let defender_gap_m = defender.and_then(|d| least(&|k| d.at(k).distance_m(s.at(k))));
    let guarded_m = defender.and_then(|d| least(&|k| d.at(k).distance_m(h.at(k))));
    let lowest_speed_mps = (look_from..look_until)
        .map(|k| s.speed_at(k))
        .filter(|v| v.is_finite())
        .fold(f32::INFINITY, f32::min);
    let left = leave.unwrap_or(closest).min(scene.frames - 1);
    let later = (left + scene.frames_in(AFTER_S)).min(scene.frames - 1);
    let hoop = Point::<AttackFrame>::origin();
    let earlier = stands_from.saturating_sub(scene.frames_in(CLOSING_S));
    let crowd = scene.attackers.iter().chain(&scene.defenders);
    let crowd = crowd
        .filter(|m| m.at(begin).distance_m(h.at(begin)) < CROWD_M)
        .count()
        .saturating_sub(1);
    Reading {
        handler,
        mate,
        hz: scene.hz,
        approach,
        begin,
        stands_from,
        spot,
        in_back_court: spot.x_m > scene.half_court_x_m,
        last: span.end.min(scene.frames) - 1,
        touch_end,
        touch_age_s: touch_age_s(scene, handler, begin),
        since_own_touch_s: since_own_touch_s(scene, mate, begin),
        handler_from_hoop_m: h.at(begin).distance_m(hoop),
        crowd: crowd as u8,
        closing_m: s.at(earlier).distance_m(h.at(begin)) - s.at(stands_from).distance_m(h.at(begin)),
        handler_speed_mps: mean_speed_mps(scene, h, begin),
        came_up_m: came_up_m(scene, s, stands_from),
        run: (approach == Approach::Ran).then(|| run(scene, h, s, begin)),
        denial: None,
        toward_hoop_m: s.at(left).distance_m(hoop) - s.at(later).distance_m(hoop),
        after_m: s.at(left).distance_m(s.at(later)),
        user_defender,
        screener_defender,
        arrival_m: arrival_m(scene, s, stands_from, spot, params),
        lowest_speed_mps,
        closest,
        gap_m,
        sweep_deg,
        drift_m: s
            .at(closest)
            .distance_m(s.at(closest.saturating_sub(scene.frames_in(DRIFT_S)))),
        speed_at_closest_mps,
        defender_gap_m,
        guarded_m,
        leave,
        go,
    }
}

/// Where the run past the handler leads that is nearest to him at `k`.
fn run(scene: &Scene, h: &Mover, s: &Mover, k: usize) -> Run {
    let hoop = Point::<AttackFrame>::origin();
    let after = |seconds: f32| (k + scene.frames_in(seconds)).min(scene.frames - 1);
    Run {
        toward_hoop_m: s.at(k).distance_m(hoop) - s.at(after(RUN_S)).distance_m(hoop),
        end_from_hoop_m: s.at(after(RUN_END_S)).distance_m(hoop),
        end_apart_m: s.at(after(RUN_S)).distance_m(h.at(after(RUN_S))),
    }
}

/// A run is looked at for this long, s ...
const RUN_S: f32 = 1.0;
/// ... and where it leads after this, s.
const RUN_END_S: f32 = 1.6;

/// The mover's mean speed around `k`, m/s.
fn mean_speed_mps(scene: &Scene, mover: &Mover, k: usize) -> f32 {
    let (before, after) = (scene.frames_in(WAITED_S), scene.frames_in(WAITED_S / 2.0));
    let (mut sum, mut seen) = (0.0, 0.0_f32);
    let frames = k.saturating_sub(before)..(k + after).min(scene.frames);
    for speed in frames.map(|k| mover.speed_at(k)).filter(|v| v.is_finite()) {
        sum += speed;
        seen += 1.0;
    }
    sum / seen
}

/// Whether the handler waits for the screener is told from this long before (and half as long after) he is there, s.
const WAITED_S: f32 = 0.5;

/// How much farther from the hoop the mover is at `k` than he was a moment before, m.
pub(super) fn came_up_m(scene: &Scene, s: &Mover, k: usize) -> f32 {
    let hoop = Point::<AttackFrame>::origin();
    let before = s
        .at(k.saturating_sub(scene.frames_in(CAME_UP_S)))
        .distance_m(hoop);
    s.at(k).distance_m(hoop) - before
}

/// Coming up is told from the way of this long, s.
const CAME_UP_S: f32 = 1.2;

/// The angle between the mover's ways before and after `k`, degrees.
pub(super) fn turn_deg(scene: &Scene, s: &Mover, k: usize) -> Option<f32> {
    let long = scene.frames_in(TURN_S);
    let (before, after) = (k.checked_sub(long)?, (k + long).min(scene.frames - 1));
    (s.at(k) - s.at(before)).angle_to_deg(s.at(after) - s.at(k))
}

/// A turn is told from the ways of this long before and after, s.
const TURN_S: f32 = 0.7;

/// The screener's way after he left is looked at for this long, s.
const AFTER_S: f32 = 0.8;
/// His way before is looked at for this long, s.
const CLOSING_S: f32 = 1.5;
/// Within this of the handler a player belongs to the crowd around him, m.
const CROWD_M: f32 = 2.5;

/// How long before `k` the mate let go of the ball, s.
fn since_own_touch_s(scene: &Scene, mate: usize, k: usize) -> Option<f32> {
    let back = scene.frames_in(OWN_TOUCH_S);
    let frames = (k.saturating_sub(back)..=k)
        .rev()
        .position(|j| scene.handler[j] == Some(mate as u8))?;
    Some((frames as f64 / scene.hz) as f32)
}

/// Who let go of the ball longer ago than this is no passer who stands where he passed, s.
const OWN_TOUCH_S: f32 = 4.0;

/// The first frame from `begin` on at which the handler has had no ball for longer than a pause; `until` if there is none.
fn touch_end(scene: &Scene, handler: usize, begin: usize, until: usize) -> usize {
    let pause = scene.frames_in(PAUSE_S);
    let mut last = None;
    for k in begin..until {
        if scene.handler[k] == Some(handler as u8) {
            last = Some(k);
        } else if let Some(last) = last
            && k > last + pause
        {
            return last + 1;
        }
    }
    until
}

/// A dribble that escapes for less than this is still the same touch, s.
const PAUSE_S: f32 = 0.4;

/// How long the handler has had the ball without a pause at `k`, s.
fn touch_age_s(scene: &Scene, handler: usize, k: usize) -> f32 {
    let has = |k: &usize| scene.handler[*k] == Some(handler as u8);
    let frames = (0..=k).rev().skip_while(|k| !has(k)).take_while(has).count();
    (frames as f64 / scene.hz) as f32
}

/// Whether a screener who stood is on his way at `k`: fast, and away from where he was a moment ago. (From where he was,
/// not from where he stopped: a screener shuffles.)
fn has_left(scene: &Scene, s: &Mover, k: usize, params: &ScreenParams) -> bool {
    let before = k.saturating_sub(scene.frames_in(LEAVING_S));
    s.speed_at(k) > params.outcome.leave_speed_mps
        && s.at(k).distance_m(s.at(before)) > params.outcome.leave_m
        && s.at(k).distance_m(s.at(before)) > s.at(k.saturating_sub(1)).distance_m(s.at(before))
}

/// When a screener who has left at `leave` began to, and a moment more: the handler may just be passing.
fn stood_until(scene: &Scene, s: &Mover, leave: usize, begin: usize) -> usize {
    let slow = |k: &usize| s.speed_at(*k) < LEAVING_MPS;
    let started = (begin..leave).rev().find(slow).unwrap_or(begin);
    started + scene.frames_in(AROUND_CLOSEST_S)
}

/// A screener slower than this has not begun to leave, m/s.
const LEAVING_MPS: f32 = 1.0;

/// The way of a screener who leaves is looked at over this long, s.
const LEAVING_S: f32 = 0.6;
/// The way of a screener before the closest approach is looked at over this long, s.
const DRIFT_S: f32 = 0.4;

/// Places of the handler's and the screener's defenders. Where a matchup is not known, the nearest defender who
/// guards nobody stands in.
fn defenders_at(scene: &Scene, handler: usize, mate: usize, k: usize) -> (Option<usize>, Option<usize>) {
    let of = |attacker: usize| scene.guard[k][attacker].map(usize::from);
    let (user, screener) = (of(handler), of(mate));
    let guards_another = |place: usize| scene.guard[k].contains(&Some(place as u8));
    let nearest = |attacker: usize, but: Option<usize>| {
        let at = scene.attackers[attacker].at(k);
        (0..scene.defenders.len())
            .filter(|place| Some(*place) != but && !guards_another(*place))
            .map(|place| (place, scene.defenders[place].at(k).distance_m(at)))
            .filter(|(_, gap)| gap.is_finite())
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(place, _)| place)
    };
    let user = user.or_else(|| nearest(handler, screener));
    let screener = screener.or_else(|| nearest(mate, user));
    match (user, screener) {
        (Some(of_handler), Some(of_mate))
            if stand_exchanged(scene, (handler, of_handler), (mate, of_mate), k) =>
        {
            (screener, user)
        }
        (_, _) => (user, screener),
    }
}

/// Matchups change seldom and late: who guards whom in this last time before a screen is also told by where they stand, s.
const STAND_S: f32 = 1.0;
/// The two defenders stand so much nearer to each other's man than to their own, both together and on average, that it is
/// the matchups that are wrong, m. Common practice, no source.
const EXCHANGED_M: f32 = 1.0;

/// Whether two defenders stand as if each guarded the other's man, before frame `k`; pairs are (attacker, defender).
fn stand_exchanged(scene: &Scene, one: (usize, usize), other: (usize, usize), k: usize) -> bool {
    let gap = |attacker: usize, defender: usize, k: usize| {
        scene.defenders[defender]
            .at(k)
            .distance_m(scene.attackers[attacker].at(k))
    };
    let (mut nearer, mut seen) = (0.0, 0);
    for k in k.saturating_sub(scene.frames_in(STAND_S))..=k {
        let own = gap(one.0, one.1, k) + gap(other.0, other.1, k);
        let exchanged = gap(one.0, other.1, k) + gap(other.0, one.1, k);
        if (own - exchanged).is_finite() {
            nearer += own - exchanged;
            seen += 1;
        }
    }
    seen > 0 && nearer > EXCHANGED_M * seen as f32
}

/// The handler's way past the screener.
struct Approached {
    go: Option<Departure>,
    closest: usize,
    gap_m: f32,
    sweep_deg: f32,
}

/// Finds the handler's setting off that leads past the screener. A handler bobs toward a screener and back before he
/// comes; the first setting off after which he really passes counts, else the one that came nearest to it. Without one
/// toward the screener: the first setting off, and the closest approach of the whole time.
#[expect(
    clippy::too_many_arguments,
    reason = "one step of `measure`, which has all of these at hand"
)]
fn approached(
    scene: &Scene,
    h: &Mover,
    s: &Mover,
    spot: Point<AttackFrame>,
    go_from: usize,
    look_from: usize,
    until: usize,
    look_until: usize,
    params: &ScreenParams,
) -> Approached {
    let first = departure(scene, h, spot, go_from..look_until, params);
    let mut best: Option<Approached> = None;
    let mut next = first;
    while let Some(go) = next {
        let mut again = go.frame + scene.frames_in(AGAIN_S);
        if go.angle_deg < params.outcome.reject_angle_deg {
            let from = go.frame.max(look_from).min(until - 1);
            let (closest, gap_m) = first_approach(scene, h, s, from..until);
            let sweep_deg = sweep_deg(
                h,
                s,
                from,
                (closest + scene.frames_in(PAST_S)).min(scene.frames - 1),
            );
            let passes = sweep_deg >= PASSING_DEG && parts(scene, h, s, closest, gap_m);
            if best.as_ref().is_none_or(|best| sweep_deg > best.sweep_deg) {
                best = Some(Approached {
                    go: Some(go),
                    closest,
                    gap_m,
                    sweep_deg,
                });
            }
            if passes {
                break;
            }
            again = again.max(closest);
        } else if best.is_none() {
            // He goes away from the screener first: what he does later is another play.
            break;
        }
        next = departure(scene, h, spot, again..look_until, params);
    }
    best.unwrap_or_else(|| {
        let (closest, gap_m) = first_approach(scene, h, s, look_from..until);
        Approached {
            go: first,
            closest,
            gap_m,
            sweep_deg: 0.0,
        }
    })
}

/// Whether the two part after their closest approach: a handler who stays beside the screener has not used him yet.
fn parts(scene: &Scene, h: &Mover, s: &Mover, closest: usize, gap_m: f32) -> bool {
    let until = (closest + scene.frames_in(PARTED_S)).min(scene.frames - 1);
    (closest..=until).any(|k| h.at(k).distance_m(s.at(k)) >= gap_m + PARTED_M)
}

/// The two have parted when they are this much farther from each other than they were, m ...
const PARTED_M: f32 = 0.5;
/// ... within this, s.
const PARTED_S: f32 = 0.9;

/// How far the handler's direction from the screener turns between two frames, degrees.
fn sweep_deg(h: &Mover, s: &Mover, from: usize, to: usize) -> f32 {
    let mut sum = 0.0;
    let mut before = h.at(from) - s.at(from);
    for k in from + 1..=to {
        let now = h.at(k) - s.at(k);
        let turn = before.cross(now).atan2(before.dot(now));
        if turn.is_finite() {
            sum += turn;
            before = now;
        }
    }
    sum.abs().to_degrees()
}

/// After a setting off the next one is looked for this much later, s.
const AGAIN_S: f32 = 0.3;
/// Whether the handler has passed is looked at this long after the closest approach, s.
const PAST_S: f32 = 0.6;
/// A handler has passed when his direction from the screener has turned by this, degrees.
const PASSING_DEG: f32 = 45.0;

/// The first closest approach: the least distance until it has clearly grown again.
fn first_approach(scene: &Scene, h: &Mover, s: &Mover, frames: Range<usize>) -> (usize, f32) {
    let settle = scene.frames_in(PARTING_S);
    let mut best = (frames.start, f32::INFINITY);
    for k in frames {
        let gap = h.at(k).distance_m(s.at(k));
        if gap < best.1 {
            best = (k, gap);
        } else if gap > best.1 + PARTING_M && k > best.0 + settle {
            break;
        }
    }
    best
}

/// Handler and screener part when their distance has grown by this, m ...
const PARTING_M: f32 = 0.5;
/// ... for this long, s.
const PARTING_S: f32 = 0.3;

/// The farthest that the screener was from his spot in the time before he came to it, m.
fn arrival_m(scene: &Scene, s: &Mover, begin: usize, spot: Point<AttackFrame>, params: &ScreenParams) -> f32 {
    let from = begin.saturating_sub(scene.frames_in(params.set.arrival_s));
    (from..begin)
        .map(|k| s.at(k).distance_m(spot))
        .filter(|d| d.is_finite())
        .fold(0.0, f32::max)
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
    frames
        .into_iter()
        .take_while(|k| k + ahead < scene.frames)
        .find_map(|frame| {
            let way = h.at(frame + ahead) - h.at(frame);
            if way.length() < params.outcome.go_m {
                return None;
            }
            let angle_deg = way.angle_to_deg(spot - h.at(frame))?;
            let later = (frame + scene.frames_in(DRIVE_S)).min(scene.frames - 1);
            let hoop = Point::<AttackFrame>::origin();
            let toward_hoop_m = h.at(frame).distance_m(hoop) - h.at(later).distance_m(hoop);
            Some(Departure {
                frame,
                step: first_step(h, frame, frame + ahead),
                angle_deg,
                toward_hoop_m,
            })
        })
}

/// The first step of a mover who has set off at `frame`: the window of the distance begins before it does.
pub(super) fn first_step(h: &Mover, frame: usize, until: usize) -> usize {
    (frame..until)
        .find(|&k| h.at(k).distance_m(h.at(frame)) >= FIRST_STEP_M)
        .unwrap_or(frame)
}

/// Direction of the handler's path after `k` against the direction to the hoop, degrees.
pub(crate) fn path_angle_deg(scene: &Scene, handler: usize, k: usize) -> Option<f32> {
    let h = &scene.attackers[handler];
    let later = (k + scene.frames_in(PATH_S)).min(scene.frames.checked_sub(1)?);
    (h.at(later) - h.at(k)).angle_to_deg(Point::origin() - h.at(k))
}

/// Whether the handler drives is looked at this long after he sets off, s.
const DRIVE_S: f32 = 1.0;

/// The user's path is looked at this long after the use, s.
const PATH_S: f32 = 0.8;
