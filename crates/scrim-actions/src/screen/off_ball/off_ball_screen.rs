//! An off-ball screen, as it is found.

use scrim_floor::{AttackFrame, Point};
use scrim_tables::tags::{Outcome, ScreenKind, ScreenMeeting};
use scrim_tracks::PlayerIx;

use crate::ScreenEvidence;

/// One off-ball screen. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallScreen {
    /// The possession's id.
    pub possession: usize,
    /// What kind; `other` where no name fits clearly.
    pub kind: ScreenKind,
    /// The kind that came second, where more than one fits; of an `other`, the name that came nearest.
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
    /// The user's closest approach, or the instant at which the two went from each other.
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
