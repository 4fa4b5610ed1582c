//! Ball screens: who comes to screen the handler's defender, and what becomes of it.
//!
//! The way from tracks to rows, a module a step:
//! - `encounter`: spells in which a team-mate is near the handler;
//! - `stop`: where in such a spell the team-mate comes to a near stop;
//! - `reading`: what the four players then do, measured;
//! - `decide`: the outcome, from the reading alone;
//! - `handoff`: the same for the ball that goes from hand to hand;
//! - `link`: flips and re-screens, and what stands twice.

mod decide;
mod encounter;
mod handoff;
mod link;
mod params;
mod reading;
mod stop;

pub use params::{HandoffParams, OutcomeParams, ScreenParams, SetParams};

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Play, Scene};
use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::{Game, PlayerIx};

/// One ball screen or handoff. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct BallScreen {
    /// The possession's id.
    pub possession: usize,
    /// `ball_screen` or `handoff`.
    pub kind: ScreenKind,
    /// What became of it.
    pub outcome: Outcome,
    /// Who screens (or hands the ball off).
    pub screener: PlayerIx,
    /// The handler (or who takes the ball).
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
    /// The screen this one follows on, by its place in the list.
    pub previous: Option<usize>,
    /// How sure it is that this is a screen, 0 to 1.
    pub confidence: f32,
    /// What was measured.
    pub evidence: ScreenEvidence,
    /// Iced before the screen was there.
    pub early_denial: bool,
}

/// What a ball screen's tag rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenEvidence {
    /// The screener's lowest speed around the screen, m/s.
    pub screener_speed_mps: f32,
    /// The user's closest approach to the screener, m.
    pub user_gap_m: f32,
    /// The user's defender to the screener, closest, m.
    pub defender_gap_m: Option<f32>,
    /// The user's path after the use against the direction to the hoop, degrees.
    pub angle_deg: Option<f32>,
}

/// Finds the ball screens and handoffs of a game, in time order (by the use, then by screener).
pub fn find_ball_screens(game: &Game, play: &Play, params: &ScreenParams) -> Vec<BallScreen> {
    let mut found = Vec::new();
    for (id, possession) in play.possessions.iter().enumerate() {
        let scene = Scene::of(game, play, possession);
        let first = found.len();
        handoff::find_handoffs(&scene, play, id, possession, params, &mut found);
        for encounter in encounter::find_encounters(&scene, params) {
            decide::find_in_encounter(&scene, id, &encounter, params, &mut found);
        }
        link::order_and_link(&mut found, first, scene.hz, params);
    }
    found
}
