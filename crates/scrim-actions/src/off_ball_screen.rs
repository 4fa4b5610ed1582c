//! Off-ball screens: who frees whom away from the ball, where, and what becomes of it.
//!
//! The way from tracks to rows, a module a step:
//! - `passing`: instants at which one attacker on the run passes a team-mate;
//! - `reading`: what the players then do, measured;
//! - `kind`: how well each kind fits, from the user's way and the floor;
//! - `fits`: how sure it is;
//! - `link`: what stands twice, and staggers;
//! - `would_be`: all that was weighed, for research and for fitting the weights.

mod fits;
mod kind;
mod link;
mod params;
mod passing;
mod reading;
mod would_be;

pub use fits::{OffBallFits, OffBallWeights};
pub use params::OffBallScreenParams;
pub use would_be::{OffBallCandidate, off_ball_candidates};

use scrim_floor::{AttackFrame, Half, Point};
use scrim_play::{Play, Scene};
use scrim_tables::tags::{Outcome, ScreenKind, ScreenMeeting};
use scrim_tracks::PlayerIx;

use crate::ball_screen::{end_frame, path_angle_deg};
use crate::{BallScreen, ScreenEvidence};
use kind::KindChoice;
use reading::{Reading, Setting};

/// One off-ball screen. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallScreen {
    /// The possession's id.
    pub possession: usize,
    /// What kind.
    pub kind: ScreenKind,
    /// The kind that came second, where more than one fits.
    pub runner_up: Option<ScreenKind>,
    /// What became of it.
    pub outcome: Outcome,
    /// Who screens.
    pub screener: PlayerIx,
    /// For whom.
    pub user: PlayerIx,
    /// Who guards the screener when it begins.
    pub screener_defender: Option<PlayerIx>,
    /// Who guards the user when it begins.
    pub user_defender: Option<PlayerIx>,
    /// The screener is set.
    pub set: Option<usize>,
    /// The user's closest approach, or the instant of parting.
    pub used: usize,
    /// It is over.
    pub end: usize,
    /// Where the screener stands when set, else at the use.
    pub spot: Point<AttackFrame>,
    /// Whether that is on the ball's side.
    pub strong_side: bool,
    /// The screen this one follows on (a stagger's first), by its place in the list.
    pub previous: Option<usize>,
    /// How sure it is that this is a screen, 0 to 1.
    pub confidence: f32,
    /// What was measured.
    pub evidence: ScreenEvidence,
    /// How the user's defender met it.
    pub user_defender_path: Option<ScreenMeeting>,
}

/// Finds the off-ball screens of a game, in time order (by possession, then by the use, then by screener). `scenes`: one
/// a possession of `play`, in their order ([`Scene::all`]). What is on the ball already (`ball_screens`) is not found again.
pub fn find_off_ball_screens(
    scenes: &[Scene],
    play: &Play,
    ball_screens: &[BallScreen],
    params: &OffBallScreenParams,
) -> Vec<OffBallScreen> {
    let mut found = Vec::new();
    for (possession, scene) in scenes.iter().enumerate() {
        let mut part = Vec::new();
        would_be(
            scene,
            play,
            possession,
            ball_screens,
            params,
            |reading, decision| {
                if decision.confidence >= params.min_confidence {
                    part.push(row(scene, possession, reading, decision, params));
                }
            },
        );
        link::order_and_link(part, &mut found, scene.hz, params);
    }
    found
}

/// What a would-be screen is, and how sure.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Decision {
    choice: KindChoice,
    fits: OffBallFits,
    confidence: f32,
}

/// Calls `each` for every would-be screen, however sure.
fn would_be(
    scene: &Scene,
    play: &Play,
    possession: usize,
    ball_screens: &[BallScreen],
    params: &OffBallScreenParams,
    mut each: impl FnMut(&Reading, Decision),
) {
    let of = &play.possessions[possession];
    let Some(half_court) = of.half_court else {
        return;
    };
    // Ball screens stand in the order of possessions.
    let first = ball_screens.partition_point(|screen| screen.possession < possession);
    let last = ball_screens.partition_point(|screen| screen.possession <= possession);
    let setting = Setting {
        scene,
        shots: &play.shots[of.shots.clone()],
        ball_screens: &ball_screens[first..last],
        half_court: half_court.saturating_sub(scene.first_frame),
    };
    for passing in passing::find_passings(scene, setting.half_court, params) {
        let reading = reading::measure(&setting, passing, params);
        let Some(choice) = kind::choose_kind(&reading, params) else {
            continue;
        };
        let fits = OffBallFits::of(&reading, &choice, params);
        let confidence = fits.confidence(&params.weights);
        each(
            &reading,
            Decision {
                choice,
                fits,
                confidence,
            },
        );
    }
}

fn row(
    scene: &Scene,
    possession: usize,
    reading: &Reading,
    decision: Decision,
    params: &OffBallScreenParams,
) -> OffBallScreen {
    let player = |place: usize| scene.defenders[place].player;
    let passing = reading.passing;
    let longest = scene.frames_in(params.longest_set_s);
    let set = reading.stands_from.filter(|start| start + longest >= passing.at);
    let end = end_frame(
        scene,
        [passing.user, passing.screener],
        reading.spot,
        passing.at,
        params.end_after_use_s,
        params.end_apart_m,
    );
    OffBallScreen {
        possession,
        kind: decision.choice.kind,
        runner_up: decision.choice.runner_up,
        outcome: Outcome::Used,
        screener: scene.attackers[passing.screener].player,
        user: scene.attackers[passing.user].player,
        screener_defender: reading.screener_defender.map(player),
        user_defender: reading.user_defender.map(player),
        set: set.map(|k| scene.first_frame + k),
        used: scene.first_frame + passing.at,
        end: scene.first_frame + end,
        spot: reading.spot,
        strong_side: scene.strong[passing.at] == Some(Half::of(reading.spot)),
        previous: None,
        confidence: decision.confidence,
        evidence: ScreenEvidence {
            screener_speed_mps: reading.screener_speed_mps,
            user_gap_m: passing.gap_m,
            defender_gap_m: reading.defender_gap_m,
            angle_deg: path_angle_deg(scene, passing.user, passing.at),
        },
        user_defender_path: None,
    }
}
