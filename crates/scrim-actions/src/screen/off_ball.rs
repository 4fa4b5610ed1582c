//! Off-ball screens: who frees whom away from the ball, where, and what becomes of it.
//!
//! The way from tracks to rows, a module a step:
//! - `passing`: instants at which one attacker on the run passes a team-mate;
//! - `reading`: what the players then do, measured;
//! - `way`: how well each kind fits, from the user's way and the floor; `kind`: the name, or `other` where none fits clearly;
//! - `evidence`: that of the four and of the run; `candidates`: a model says how sure each is, for the detector, for research and
//!   for fitting the model;
//! - `meeting`: how the user's defender met it;
//! - `not_used`: screens that nobody used;
//! - `link`: what stands twice, and staggers.

mod candidates;
mod evidence;
mod kind;
mod link;
mod meeting;
mod not_used;
mod params;
mod passing;
mod reading;
mod way;

pub use candidates::{OffBallCandidate, off_ball_candidates};
pub use evidence::{OffBallEvidence, off_ball_evidence_names};
pub use params::OffBallScreenParams;

use scrim_floor::{AttackFrame, Definitions, Point};
use scrim_play::{Play, Scene};
use scrim_tables::tags::Outcome;

use super::ending::{end_frame, path_angle_deg};
use super::four::Four;
use super::params::{END_AFTER_USE_S, END_APART_M};
use super::scene_screen::SceneScreen;
use crate::{BallScreen, OffBallScreen, ScreenEvidence};
use candidates::{Decision, each_candidate};
use not_used::NotUsed;
use reading::{Reading, Setting};

/// Who has stood longer than this at the use, stood there anyway: `set` is not known, s.
const LONGEST_SET_S: f32 = 4.0;

/// How sure such a row is: one value for all, the share of them that were right on those games.
const NOT_USED_CONFIDENCE: f32 = 0.75;

/// Finds the off-ball screens of a game, in time order (by possession, then by the use, then by screener). `scenes`: one
/// a possession of `play`, in their order ([`Scene::all`]). What is on the ball already (`ball_screens`) is not found again.
pub fn find_off_ball_screens(
    scenes: &[Scene],
    play: &Play,
    ball_screens: &[BallScreen],
    params: &OffBallScreenParams,
    definitions: &Definitions,
) -> Vec<OffBallScreen> {
    let mut found = Vec::new();
    for (possession, scene) in scenes.iter().enumerate() {
        let Some(setting) = Setting::of(scene, play, possession, ball_screens) else {
            continue;
        };
        let mut part = Vec::new();
        each_candidate(&setting, params, |reading, decision| {
            if decision.confidence >= params.least_confidence(decision.choice.kind) {
                part.push(used(scene, possession, reading, decision, definitions));
            }
        });
        for screen in not_used::find_not_used(&setting) {
            part.push(off_ball_screen_not_used(scene, possession, &screen));
        }
        link::order_and_link(part, &mut found, scene.hz, definitions);
    }
    found
}

/// A screen that the user came off.
fn used(
    scene: &Scene,
    possession: usize,
    reading: &Reading,
    decision: Decision,
    definitions: &Definitions,
) -> OffBallScreen {
    let passing = reading.passing;
    let (at, gap_m) = passing::closest_of_stay(scene, &passing, definitions);
    let longest = scene.frames_in(LONGEST_SET_S);
    let set = reading
        .stands_from
        .filter(|&start| start <= at && start + longest >= at);
    // The contract: where the screener stands when set, else where they are at the use.
    let spot = if set.is_some() {
        reading.spot
    } else {
        scene.attackers[passing.screener].at(at)
    };
    let screen = SceneScreen {
        possession,
        kind: decision.choice.kind,
        outcome: Outcome::Used,
        four: reading.four,
        set,
        used: at,
        end: end_of(scene, &reading.four, spot, at),
        spot,
        confidence: decision.confidence,
        evidence: ScreenEvidence {
            screener_speed_mps: reading.screener_speed_mps,
            user_gap_m: gap_m,
            defender_gap_m: reading.defender_gap_m,
            angle_deg: path_angle_deg(scene, passing.user, at),
        },
    };
    OffBallScreen {
        screen: screen.of_period(scene),
        runner_up: decision.choice.runner_up,
        user_defender_path: meeting::meeting(scene, reading),
    }
}

/// A screen that nobody used.
fn off_ball_screen_not_used(scene: &Scene, possession: usize, found: &NotUsed) -> OffBallScreen {
    let (at, spot) = (found.at, found.spot);
    let screen = SceneScreen {
        possession,
        kind: found.choice.kind,
        outcome: found.outcome,
        four: found.four,
        set: Some(found.set),
        used: at,
        end: end_of(scene, &found.four, spot, at),
        spot,
        confidence: NOT_USED_CONFIDENCE,
        evidence: ScreenEvidence {
            screener_speed_mps: found.screener_speed_mps,
            user_gap_m: found.gap_m,
            defender_gap_m: Some(found.defender_gap_m),
            angle_deg: path_angle_deg(scene, found.four.user, at),
        },
    };
    OffBallScreen {
        screen: screen.of_period(scene),
        runner_up: found.choice.runner_up,
        user_defender_path: None,
    }
}

/// When a screen at scene frame `at` (the use, or when the two went from each other) is over.
fn end_of(scene: &Scene, four: &Four, spot: Point<AttackFrame>, at: usize) -> usize {
    end_frame(
        scene,
        [four.user, four.screener],
        spot,
        at,
        END_AFTER_USE_S,
        END_APART_M,
    )
}

#[cfg(test)]
mod tests;
