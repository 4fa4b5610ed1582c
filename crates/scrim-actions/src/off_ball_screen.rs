//! Off-ball screens: who frees whom away from the ball, where, and what becomes of it.

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Play, Scene};
use scrim_tables::tags::{Outcome, ScreenKind, ScreenMeeting};
use scrim_tracks::PlayerIx;
use serde::{Deserialize, Serialize};

use crate::{BallScreen, ScreenEvidence};

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

/// When a team-mate away from the ball counts as set to screen, and what became of it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OffBallScreenParams {}

/// Finds the off-ball screens of a game, in time order (by possession, then by the use, then by screener). `scenes`: one
/// a possession of `play`, in their order ([`Scene::all`]). What is on the ball already (`ball_screens`) is not found again.
pub fn find_off_ball_screens(
    _scenes: &[Scene],
    _play: &Play,
    _ball_screens: &[BallScreen],
    _params: &OffBallScreenParams,
) -> Vec<OffBallScreen> {
    Vec::new()
}
