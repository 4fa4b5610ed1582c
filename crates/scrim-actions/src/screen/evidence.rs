//! What the four players of a candidate do: the user, the screener and their defenders, around the closest approach.
//!
//! Every value is a distance, a speed, an angle or a time, at any speed of user and screener; none of them rules a screen
//! out. What was not seen is NaN, and the models take NaN as "not known".

mod frames;
mod names;

use std::ops::Range;

use scrim_floor::{AttackFrame, Point, Segment};
use scrim_play::{Mover, Scene};

use super::four::Four;
use super::parting::parting_frame;
use super::setting_off::setting_off_frame;
use super::stop::STANDS_MPS;
use frames::{frame, lasts_s, window};
pub(super) use frames::{least, mean, most, place_of, share};
pub use names::PairEvidence;

const HOOP: Point<AttackFrame> = Point::origin();

/// How far ahead a defender sees where the user goes, s.
const AHEAD_S: f32 = 0.5;
/// The screener is in a defender's way when this near to it, m: two bodies of about 0.4 m radius.
const IN_WAY_M: f32 = 0.8;
/// Who was on the ball longer ago than this has nothing to do with it, s.
const OWN_TOUCH_S: f32 = 4.0;
/// What `since_own_touch_s` holds for those.
const LONG_AGO_S: f32 = 9.0;
/// Nobody stands longer than this for one screen, s.
const STOOD_S: f32 = 4.0;
/// Who left the spot less than this ago still counts as standing, s.
const PAUSE_S: f32 = 0.4;
/// How far back a long way is looked at, s.
const LONG_S: f32 = 3.0;
/// A defender this near touches the screener, m.
const TOUCHES_M: f32 = 1.0;
/// Within this the two are near each other, m.
const NEAR_M: f32 = 2.0;
/// Players within this of the user are a crowd, m.
const CROWD_M: f32 = 2.5;

/// Measures a candidate.
pub(crate) fn measure(scene: &Scene, four: &Four, k: usize) -> PairEvidence {
    let (u, s) = (&scene.attackers[four.user], &scene.attackers[four.screener]);
    let d = four.user_defender.map(|place| &scene.defenders[place]);
    let b = four.screener_defender.map(|place| &scene.defenders[place]);
    let (du, db) = (place_of(d), place_of(b));
    let w = |from_s, to_s| window(scene, k, from_s, to_s);
    let f = |seconds| frame(scene, k, seconds);
    let ball = |j: usize| scene.ball_at(j);
    let gap = |j: usize| u.at(j).distance_m(s.at(j));
    let guard = |j: usize| du(j).distance_m(u.at(j));
    let defender_gap = |j: usize| du(j).distance_m(s.at(j));
    let screen_guard_to_user = |j: usize| db(j).distance_m(u.at(j));
    let defender_speed = |j: usize| d.map_or(f32::NAN, |d| d.speed_at(j));
    let has_ball = |j: usize| scene.handler[j] == Some(four.user);
    let screener_has_ball = |j: usize| scene.handler[j] == Some(four.screener);
    let ahead = scene.frames_in(AHEAD_S);

    // The screener against the defender's straight way to where the user will be.
    let (mut way_gap_m, mut way_share, mut way_frames) = (f32::NAN, f32::NAN, 0_usize);
    for j in w(-0.8, 0.5) {
        let to = u.at((j + ahead).min(scene.frames - 1));
        let way = Segment::new(du(j), to);
        let share = way.share_along(s.at(j)).clamp(0.0, 1.0);
        let off_m = (way.start + way.span() * share).distance_m(s.at(j));
        if off_m < IN_WAY_M {
            way_frames += 1;
        }
        if off_m.is_finite() && (way_gap_m.is_nan() || off_m < way_gap_m) {
            (way_gap_m, way_share) = (off_m, share);
        }
    }
    let path_m = |frames: Range<usize>| -> f32 {
        let end = frames.end.min(scene.frames - 1);
        (frames.start..end).map(|j| du(j).distance_m(du(j + 1))).sum()
    };
    let around = f(-0.8)..f(0.8);
    let turn = |at: &dyn Fn(usize) -> Point<AttackFrame>, seconds: f32| {
        let (before, after) = (f(-seconds), f(seconds));
        (at(k) - at(before))
            .angle_to_deg(at(after) - at(k))
            .unwrap_or(f32::NAN)
    };
    let crossed = |j: usize| du(j).distance_m(s.at(j)) + screen_guard_to_user(j);
    let straight = |j: usize| guard(j) + db(j).distance_m(s.at(j));
    let exchange = |frames: Range<usize>| mean(frames, |j| straight(j) - crossed(j));
    let moved = |at: &dyn Fn(usize) -> Point<AttackFrame>, from_s, to_s| at(f(to_s)) - at(f(from_s));
    let lag = |from_s, to_s| {
        let user = moved(&|j| u.at(j), from_s, to_s);
        (user - moved(&du, from_s, to_s)).length()
    };
    let since_own_touch_s = {
        let back = w(-OWN_TOUCH_S, 0.04);
        let last = back.end;
        back.rev()
            .find(|&j| screener_has_ball(j))
            .map_or(LONG_AGO_S, |j| scene.seconds(last - 1 - j))
    };
    let stood_s = {
        let (back, pause) = (scene.frames_in(STOOD_S), scene.frames_in(PAUSE_S));
        let slow = |&j: &usize| s.speed_at(j) < STANDS_MPS;
        // They may be on their way again as the user passes.
        match (k.saturating_sub(pause)..=k).rev().find(slow) {
            Some(last) => {
                let gone = (last.saturating_sub(back)..=last).rev().take_while(slow);
                scene.seconds(gone.count())
            }
            None => 0.0,
        }
    };
    let touch_age_s = {
        let gone = (0..=k)
            .rev()
            .skip_while(|&j| !has_ball(j) && k - j < ahead)
            .take_while(|&j| has_ball(j))
            .count();
        scene.seconds(gone)
    };
    let others = || {
        let attackers = scene.attackers.placed();
        attackers
            .filter(|&(place, _)| place != four.user && place != four.screener)
            .map(|(_, mover)| mover)
    };
    let rivals = |from: &dyn Fn(usize) -> Point<AttackFrame>, frames: Range<usize>| {
        others()
            .map(|other| least(frames.clone(), |j| from(j).distance_m(other.at(j))))
            .fold(f32::NAN, f32::min)
    };
    let others_slow = {
        let around = w(-3.0, 1.0);
        let slow = |other: &Mover| share(around.clone(), |j| other.speed_at(j) < STANDS_MPS);
        let (sum, seen) = others().fold((0.0, 0.0), |(sum, seen), other| (sum + slow(other), seen + 1.0));
        sum / seen
    };
    let rival_gap_m = rivals(&|j| u.at(j), w(-0.6, 0.6));
    let rival_defender_gap_m = rivals(&du, w(-0.8, 0.6));
    let mut near = [f32::INFINITY; 3];
    let mut crowd = 0.0;
    for other in scene.attackers.iter().chain(&scene.defenders) {
        if std::ptr::eq(other, u) {
            continue;
        }
        let away = other.at(k).distance_m(u.at(k));
        if away < CROWD_M {
            crowd += 1.0;
        }
        if away < near[2] {
            near[2] = away;
            near.sort_by(f32::total_cmp);
        }
    }
    let from_hoop = |at: Point<AttackFrame>| at.distance_m(HOOP);
    let sweep_deg = {
        let before = u.at(f(-0.8)) - s.at(k);
        let after = u.at(f(0.8)) - s.at(k);
        before.angle_to_deg(after).unwrap_or(f32::NAN)
    };
    let parting = parting_frame(scene, four.user, four.screener, k);
    let after_parting = window(scene, parting, 0.0, 0.6);
    let leaves = |one: &Mover, other: &Mover| {
        mean(after_parting.clone(), |j| {
            one.velocity_at(j).dot((one.at(j) - other.at(j)).unit())
        })
    };
    let sets_off = setting_off_frame(scene, s, k);
    let at_sets_off = |value: &dyn Fn(usize) -> f32| sets_off.map_or(f32::NAN, value);
    PairEvidence {
        defender_gap_later_m: least(w(0.6, 1.8), defender_gap),
        sets_off_after_s: at_sets_off(&|j| ((j as f64 - k as f64) / scene.hz) as f32),
        sets_off_gap_m: at_sets_off(&gap),
        sets_off_user_mps: at_sets_off(&|j| u.speed_at(j)),
        parts_after_s: scene.seconds(parting - k),
        user_leaves_mps: leaves(u, s),
        screener_leaves_mps: leaves(s, u),
        parting_defender_gap_m: defender_gap(parting),
        others_slow,
        gap_m: gap(k),
        defender_gap_m: least(w(-1.0, 0.6), defender_gap),
        defender_gap_use_m: defender_gap(k),
        guard_m: guard(k),
        guard_opens_m: most(w(0.2, 1.2), guard) - guard(k),
        guard_before_m: mean(w(-1.2, -0.4), guard),
        guard_after_m: mean(w(0.4, 1.4), guard),
        guard_most_m: most(w(-0.4, 1.0), guard),
        screen_guard_gap_m: db(k).distance_m(s.at(k)),
        screen_guard_to_user_m: screen_guard_to_user(k),
        screen_guard_to_user_least_m: least(w(0.0, 1.2), screen_guard_to_user),
        screen_guard_depth_m: from_hoop(s.at(k)) - from_hoop(db(k)),
        way_gap_m,
        way_share,
        way_taken_s: scene.seconds(way_frames),
        detour_m: path_m(around.clone()) - du(around.start).distance_m(du(around.end)),
        defender_turn_deg: turn(&du, 0.6),
        defender_low_mps: least(w(-0.6, 0.4), defender_speed),
        defender_mps: defender_speed(k),
        defender_lag_m: lag(-0.2, 0.6) - lag(-1.0, -0.2),
        near_defender_s: lasts_s(scene, w(-1.0, 0.8), |j| defender_gap(j) < TOUCHES_M),
        swap_m: exchange(w(0.7, 1.6)) - exchange(w(-1.4, -0.6)),
        screener_low_mps: least(w(-0.8, 0.3), |j| s.speed_at(j)),
        screener_mps: mean(w(-0.3, 0.2), |j| s.speed_at(j)),
        screener_after_mps: mean(w(0.4, 1.0), |j| s.speed_at(j)),
        slow_s: lasts_s(scene, w(-1.0, 0.6), |j| s.speed_at(j) < STANDS_MPS),
        stood_s,
        screener_came_long_m: s.at(f(-LONG_S)).distance_m(s.at(k)),
        screener_to_user_long_m: s.at(f(-LONG_S)).distance_m(u.at(k)) - gap(k),
        screener_to_defender_long_m: s.at(f(-LONG_S)).distance_m(du(k)) - defender_gap(k),
        screener_came_down_long_m: from_hoop(s.at(f(-LONG_S))) - from_hoop(s.at(k)),
        user_slow_s: lasts_s(scene, w(-1.5, 0.0), |j| u.speed_at(j) < STANDS_MPS),
        user_mps: u.speed_at(k),
        user_high_mps: most(w(0.0, 0.8), |j| u.speed_at(j)),
        user_before_mps: mean(w(-1.0, 0.0), |j| u.speed_at(j)),
        passing_mps: (u.velocity_at(k) - s.velocity_at(k)).length(),
        closing_mps: mean(w(-0.6, 0.0), |j| {
            let toward = (s.at(j) - u.at(j)) * (1.0 / (gap(j) + 0.1));
            u.velocity_at(j).dot(toward)
        }),
        user_from_hoop_m: from_hoop(u.at(k)),
        screener_from_hoop_m: from_hoop(s.at(k)),
        from_middle_m: u.at(k).y_m.abs(),
        screener_came_down_m: from_hoop(s.at(f(-1.4))) - from_hoop(s.at(k)),
        screener_rolls_m: from_hoop(s.at(k)) - from_hoop(s.at(f(1.4))),
        user_drives_m: from_hoop(u.at(k)) - from_hoop(u.at(f(1.0))),
        user_came_down_m: from_hoop(u.at(f(-1.0))) - from_hoop(u.at(k)),
        screener_came_m: s.at(f(-1.4)).distance_m(s.at(k)),
        screener_left_m: s.at(k).distance_m(s.at(f(1.4))),
        screener_to_user_m: s.at(f(-1.4)).distance_m(u.at(k)) - gap(k),
        screener_to_defender_m: s.at(f(-1.4)).distance_m(du(k)) - defender_gap(k),
        user_to_screener_m: u.at(f(-1.4)).distance_m(s.at(k)) - gap(k),
        gap_before_m: gap(f(-1.4)),
        gap_after_m: gap(f(1.2)),
        gap_least_before_m: least(w(-3.0, -0.7), gap),
        gap_least_after_m: least(w(0.7, 3.0), gap),
        near_s: lasts_s(scene, w(-2.5, 2.5), |j| gap(j) < NEAR_M),
        rival_gap_m,
        rival_defender_gap_m,
        rival_lead_m: rival_defender_gap_m - least(w(-0.8, 0.6), defender_gap),
        sweep_deg,
        user_turn_deg: turn(&|j| u.at(j), 0.6),
        since_own_touch_s,
        touch_age_s,
        held_before: share(w(-1.0, 0.04), has_ball),
        held_after: share(w(0.0, 1.0), has_ball),
        given_back: share(w(0.2, 1.6), screener_has_ball),
        ball_gap_m: ball(k).distance_m(u.at(k)),
        third_gap_m: near[2],
        crowd,
        played_s: (k as f64 / scene.hz).min(12.0) as f32,
        past_half_court_m: scene.half_court_x_m - u.at(k).x_m,
    }
}
