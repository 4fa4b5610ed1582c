//! Instants at which one attacker on the run passes a team-mate, neither with the ball.

use scrim_floor::Definitions;
use scrim_play::{Attacker, Scene};

/// One attacker passes another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Passing {
    /// Who runs.
    pub user: Attacker,
    /// Who is passed.
    pub screener: Attacker,
    /// Scene frame of the closest approach.
    pub at: usize,
    /// Their distance then, m.
    pub gap_m: f32,
}

/// Two attackers who stay farther apart than this are no candidate, m.
const WITHIN_M: f32 = 3.0;
/// Slower than this nobody comes off a screen, m/s.
const RUN_MPS: f32 = 1.2;
/// A stay beside the screener is this much wider than a use, m: positions are noisy.
const STAY_SLACK_M: f32 = 0.3;
/// A closest approach is the closest of this long to both sides, s.
const AROUND_S: f32 = 0.5;
/// A user who waits beside the screener is off this soon after the closest approach, s.
const WAIT_S: f32 = 1.0;
/// The user holds the ball no later than this before the passing, and not at once after, s.
const BALL_S: f32 = 0.2;

/// All passings of a possession from its half-court part on, by pair and time.
pub(super) fn find_passings(scene: &Scene, from: usize) -> Vec<Passing> {
    let near_m = WITHIN_M;
    let near_sq = near_m * near_m;
    let mut found = Vec::new();
    for (a, one) in scene.attackers.placed() {
        for (b, two) in scene.attackers.placed().filter(|&(b, _)| b > a) {
            let gap_sq = |k: usize| {
                let apart = one.at(k) - two.at(k);
                apart.dot(apart)
            };
            let around = scene.frames_in(AROUND_S);
            let mut k = from;
            while k < scene.frames {
                let here = gap_sq(k);
                // A missing place compares as not near.
                let near = here < near_sq;
                let next = (k + 1).min(scene.frames - 1);
                let mut window = k.saturating_sub(around)..(k + around + 1).min(scene.frames);
                // Most frames fall to their neighbours: those are looked at first.
                if !near
                    || gap_sq(k.saturating_sub(1)) < here
                    || gap_sq(next) < here
                    || window.any(|j| gap_sq(j) < here)
                {
                    k += 1;
                    continue;
                }
                for (user, screener) in [(a, b), (b, a)] {
                    if is_passing(scene, user, screener, k) {
                        found.push(Passing {
                            user,
                            screener,
                            at: k,
                            gap_m: here.sqrt(),
                        });
                    }
                }
                k += around;
            }
        }
    }
    found
}

/// Whether the user is on the run, and neither has the ball.
fn is_passing(scene: &Scene, user: Attacker, screener: Attacker, k: usize) -> bool {
    let around = scene.frames_in(BALL_S);
    let near = k.saturating_sub(around)..(k + around + 1).min(scene.frames);
    let has_ball = |place: Attacker| scene.handler[near.clone()].contains(&Some(place));
    let spot = scene.attackers[screener].at(k);
    // The user may come to the screener, wait, and be off only then.
    let until = (k + scene.frames_in(WAIT_S) + 1).min(scene.frames);
    let fast = (near.start..until)
        .map(|j| scene.attackers[user].speed_at(j))
        .any(|speed| speed >= RUN_MPS);
    fast && spot.x_m < scene.half_court_x_m && !has_ball(user) && !has_ball(screener)
}

/// The closest approach of the whole stay beside the screener, of which the passing is the moment that shows most: scene
/// frame and distance, m. A user may come up, wait there, and pass only then.
pub(super) fn closest_of_stay(scene: &Scene, passing: &Passing, definitions: &Definitions) -> (usize, f32) {
    let (u, s) = (&scene.attackers[passing.user], &scene.attackers[passing.screener]);
    let near_m = definitions.use_gap_m + STAY_SLACK_M;
    let gap_m = |k: usize| u.at(k).distance_m(s.at(k));
    let long = scene.frames_in(STAY_S);
    let (at, first, end) = (
        passing.at,
        passing.at.saturating_sub(long),
        (passing.at + long + 1).min(scene.frames),
    );
    let before = (first..at).rev().take_while(|&k| gap_m(k) < near_m);
    let after = (at + 1..end).take_while(|&k| gap_m(k) < near_m);
    before
        .chain(after)
        .map(|k| (k, gap_m(k)))
        .fold(
            (at, passing.gap_m),
            |best, next| if next.1 < best.1 { next } else { best },
        )
}

/// A stay is looked at this long to both sides, s: longer ago than this the screener, on the way to the spot, may have come by a
/// user who waits.
const STAY_S: f32 = 0.9;
