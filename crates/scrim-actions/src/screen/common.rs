//! What is known of every screen, on the ball or off it.

use std::ops::{Deref, DerefMut};

use scrim_floor::{AttackFrame, Point};
use scrim_tables::tags::{Outcome, ScreenKind, ScreenMeeting};
use scrim_tracks::PlayerIx;

use super::models::OutcomeProbabilities;

/// A screen. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct Screen {
    /// The possession's id.
    pub possession: usize,
    /// What kind; off the ball `other` where no name fits clearly.
    pub kind: ScreenKind,
    /// What became of it.
    pub outcome: Outcome,
    /// Who screens (or hands the ball off).
    pub screener: PlayerIx,
    /// For whom: on the ball the handler (or who takes the ball).
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
    /// The screen this one follows on (of a stagger the first), by its place in its own list.
    pub previous: Option<usize>,
    /// How sure it is that this is a screen, 0 to 1.
    pub confidence: f32,
    /// What was measured.
    pub evidence: ScreenEvidence,
}

impl Screen {
    /// When it begins: the screener is set or, where they never are, it is used.
    pub fn begins(&self) -> usize {
        self.set.map_or(self.used, |set| set.min(self.used))
    }
}

/// What a screen's tag rests on, as far as its row shows it.
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

/// A ball screen or handoff.
#[derive(Debug, Clone, PartialEq)]
pub struct BallScreen {
    /// What every screen has.
    pub screen: Screen,
    /// How far its spot is to the right of the handler, who faces the hoop, m (negative: to the left).
    pub right_of_user_m: f32,
    /// How likely each of [`OUTCOME_WORDS`](crate::OUTCOME_WORDS) is by itself; `None` where the next screen says that it was flipped.
    pub outcomes: Option<OutcomeProbabilities>,
    /// Iced before the screen was there.
    pub early_denial: bool,
}

/// An off-ball screen.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallScreen {
    /// What every screen has.
    pub screen: Screen,
    /// The kind that came second, where more than one fits; of an `other`, the name that came nearest.
    pub runner_up: Option<ScreenKind>,
    /// How the user's defender met it.
    pub user_defender_path: Option<ScreenMeeting>,
}

impl Deref for BallScreen {
    type Target = Screen;

    fn deref(&self) -> &Screen {
        &self.screen
    }
}

impl DerefMut for BallScreen {
    fn deref_mut(&mut self) -> &mut Screen {
        &mut self.screen
    }
}

impl Deref for OffBallScreen {
    type Target = Screen;

    fn deref(&self) -> &Screen {
        &self.screen
    }
}

impl DerefMut for OffBallScreen {
    fn deref_mut(&mut self) -> &mut Screen {
        &mut self.screen
    }
}
