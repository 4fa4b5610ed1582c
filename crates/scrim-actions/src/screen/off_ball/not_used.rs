//! Off-ball screens that nobody used: the user went the other way, the screener slipped to the rim, or nothing came of it.
//!
//! Team-mates stand near each other all the time, so nothing short of a player who comes a long way, stops where a screen of some kind
//! would be, and has a waiting team-mate with a defender there counts. Limits are chosen on practice games that no accuracy figure
//! uses (seeds 8002, 8003).

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Attacker, Mover, Scene};
use scrim_tables::tags::Outcome;

use super::kind::{self, KindChoice};
use super::reading::Setting;
use crate::screen::{Four, stop};

/// The screener came this far in the 1.5 s before, m.
const MIN_ARRIVAL_M: f32 = 3.2;
/// The user's defender is this near the screener when the screener is set, m ...
const DEFENDER_NEAR_M: f32 = 4.0;
/// ... and comes, or is, this near before the two go from each other, m.
const BESIDE_DEFENDER_M: f32 = 2.8;
/// The user is this near the screener when the screener is set, m ...
const USER_NEAR_M: f32 = 3.9;
/// ... and comes, or is, this near before the two go from each other, m.
const BESIDE_USER_M: f32 = 2.3;
/// A user who goes away after being nearer than this has come off the screen, not rejected it, m.
const PAST_GAP_M: f32 = 1.5;
/// The user's own defender is this near when the screener is set, m.
const GUARDED_M: f32 = 3.2;
/// Slower than this the user waits, m/s.
const WAITING_SPEED_MPS: f32 = 1.3;
/// The handler is at least so far from the screener, else it is a matter of the ball, m.
const HANDLER_AWAY_M: f32 = 5.5;
/// A user who goes covers this in 0.8 s, m.
const GO_M: f32 = 1.6;
/// A user rejects the screen by going at least at this angle from the direction to the screener, degrees.
const REJECT_ANGLE_DEG: f32 = 100.0;
/// A screener who has left is this far from the spot, m.
const LEAVE_M: f32 = 0.8;
/// A screener who leaves earlier than this slips, if it is to the rim, s.
const SLIP_WITHIN_S: f32 = 3.0;
/// A screener who slips is this much nearer the hoop 0.8 s later, m.
const SLIP_TOWARD_HOOP_M: f32 = 1.2;
/// An unused screen stood at least so long, s.
const MIN_UNUSED_S: f32 = 1.2;
/// Nobody waits longer than this, s.
const LONGEST_WAIT_S: f32 = 3.0;
/// The spot is at least so far from the hoop: nearer to it everyone stands beside someone, m.
const FROM_HOOP_M: f32 = 4.0;
/// A way past the screener would fit a kind at least so well, 0 to 1.
const MIN_KIND_FIT: f32 = 0.95;

/// A screen that nobody used. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NotUsed {
    /// Who screens for whom, and who guards each of them; the user's defender is known.
    pub four: Four,
    /// Rejected, slipped or unused.
    pub outcome: Outcome,
    /// What kind it was meant to be.
    pub choice: KindChoice,
    /// The screener is set.
    pub set: usize,
    /// The two go from each other.
    pub at: usize,
    /// Where the screener stood.
    pub spot: Point<AttackFrame>,
    /// The two to each other, closest, m.
    pub gap_m: f32,
    /// The user's defender to the screener, closest, m.
    pub defender_gap_m: f32,
    /// The screener's lowest speed, m/s.
    pub screener_speed_mps: f32,
}

/// The screener's way to the spot is looked at this long, s.
const ARRIVAL_S: f32 = 1.5;
/// Who goes, is looked at this long, s.
const GO_S: f32 = 0.8;
/// How long ago the user let go of the ball is looked for this long, s.
const TOUCH_S: f32 = 6.0;

/// All screens of a possession that nobody used, by screener, time and user.
pub(super) fn find_not_used(setting: &Setting<'_>) -> Vec<NotUsed> {
    let scene = setting.scene;
    let mut found = Vec::new();
    if setting.half_court >= scene.frames {
        return found;
    }
    for (screener, s) in scene.attackers.placed() {
        for stop in stop::find_stops(scene, s, setting.half_court..scene.frames) {
            let k = stop.frames.start;
            let settled = k >= setting.half_court + scene.frames_in(ARRIVAL_S);
            if !settled || !has_come(scene, s, k) || is_for_the_ball(setting, screener, k) {
                continue;
            }
            // They screen for one team-mate: for whom they, and the user's defender, came nearest.
            let for_one = scene
                .attackers
                .places()
                .filter(|user| *user != screener)
                .filter_map(|user| not_used(setting, screener, user, k))
                .min_by(|a, b| (a.gap_m + a.defender_gap_m).total_cmp(&(b.gap_m + b.defender_gap_m)));
            found.extend(for_one);
        }
    }
    found
}

fn has_come(scene: &Scene, s: &Mover, k: usize) -> bool {
    let before = k.saturating_sub(scene.frames_in(ARRIVAL_S));
    s.at(before).distance_m(s.at(k)) >= MIN_ARRIVAL_M
}

/// Whether the screener has come to set a ball screen, or has just set one.
fn is_for_the_ball(setting: &Setting<'_>, screener: Attacker, k: usize) -> bool {
    let scene = setting.scene;
    let (frame, around) = (scene.first_frame + k, scene.frames_in(BALL_SCREEN_S));
    setting.ball_screens.iter().any(|screen| {
        screen.screener == scene.attackers[screener].player
            && frame <= screen.used + around
            && screen.begins() <= frame + around
    })
}

/// Who sets a ball screen within this has nothing else in mind, s.
const BALL_SCREEN_S: f32 = 2.0;

/// The screen that `screener`, set at scene frame `k`, sets for `user`, if it is one and nobody used it.
fn not_used(setting: &Setting<'_>, screener: Attacker, user: Attacker, k: usize) -> Option<NotUsed> {
    let scene = setting.scene;
    let (u, s) = (&scene.attackers[user], &scene.attackers[screener]);
    let user_defender = scene.guard[k][user]?;
    let d = &scene.defenders[user_defender];
    let spot = stop::mean_place(s, k..(k + scene.frames_in(stop::SPOT_S)).min(scene.frames));
    let handler_m = scene.handler[k].map(|place| scene.attackers[place].at(k).distance_m(spot));
    // Every part as a demand that a missing place does not meet.
    let stands_as_screen = d.at(k).distance_m(spot) <= DEFENDER_NEAR_M
        && u.at(k).distance_m(spot) <= USER_NEAR_M
        && u.at(k).distance_m(d.at(k)) <= GUARDED_M
        && u.speed_at(k) <= WAITING_SPEED_MPS
        && spot.x_m < scene.half_court_x_m
        && spot.distance_m(Point::origin()) >= FROM_HOOP_M
        && handler_m.is_some_and(|m| m >= HANDLER_AWAY_M);
    if !stands_as_screen {
        return None;
    }
    let end = (k + scene.frames_in(LONGEST_WAIT_S)).min(scene.frames);
    let far = scene.frames_in(GO_S);
    let later = |j: usize| (j + far).min(scene.frames - 1);
    // The user may come nearer first; only going away rejects.
    let goes_away = (k..end).find(|&j| {
        let way = u.at(later(j)) - u.at(j);
        way.length() >= GO_M
            && way
                .angle_to_deg(spot - u.at(j))
                .is_some_and(|angle| angle >= REJECT_ANGLE_DEG)
    });
    let leaves = (k..end).find(|&j| s.at(j).distance_m(spot) >= LEAVE_M);
    let hoop = Point::<AttackFrame>::origin();
    let (outcome, at) = match (goes_away, leaves) {
        (Some(go), leave) if leave.is_none_or(|leave| go <= leave) => (Outcome::Rejected, go),
        (_, Some(leave)) => {
            let toward_m = s.at(leave).distance_m(hoop) - s.at(later(leave)).distance_m(hoop);
            let slips = leave - k <= scene.frames_in(SLIP_WITHIN_S) && toward_m >= SLIP_TOWARD_HOOP_M;
            let waits = leave - k >= scene.frames_in(MIN_UNUSED_S);
            match (slips, waits) {
                (true, _) => (Outcome::Slipped, leave),
                (false, true) => (Outcome::Unused, leave),
                (false, false) => return None,
            }
        }
        (_, None) => return None,
    };
    let least = |values: &dyn Fn(usize) -> f32| {
        (k..at + 1)
            .map(values)
            .filter(|value| value.is_finite())
            .fold(f32::INFINITY, f32::min)
    };
    let gap_m = least(&|j| u.at(j).distance_m(s.at(j)));
    let defender_gap_m = least(&|j| d.at(j).distance_m(s.at(j)));
    // Who came through beside the screener has used the screen, well or badly.
    let came_through = outcome == Outcome::Rejected && gap_m < PAST_GAP_M;
    if came_through || gap_m > BESIDE_USER_M || defender_gap_m > BESIDE_DEFENDER_M {
        return None;
    }
    let since_own_touch_s = scene.since_touch_s(user, k, scene.frames_in(TOUCH_S));
    let choice = kind::kind_meant(u.at(k), spot, scene.ball_at(k), since_own_touch_s);
    if choice.fit < MIN_KIND_FIT {
        return None;
    }
    Some(NotUsed {
        four: Four {
            user,
            screener,
            user_defender: Some(user_defender),
            screener_defender: scene.guard[k][screener],
        },
        outcome,
        choice,
        set: k,
        at,
        spot,
        gap_m,
        defender_gap_m,
        screener_speed_mps: least(&|j| s.speed_at(j)),
    })
}
