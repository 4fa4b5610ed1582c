//! What a decision is fitted on.

use scrim_actions::CoverageInputs;
use scrim_tables::Id;
use scrim_tables::tags::Coverage;

/// One ball screen whose coverage is labelled.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// The game.
    pub game_id: Id,
    /// The possession.
    pub possession_id: u32,
    /// The screen, as found.
    pub screen_id: u32,
    /// What the decision looks at; `None` when the evidence is too thin, so that any decision says `unclear`.
    pub inputs: Option<CoverageInputs>,
    /// The label's word.
    pub label: Coverage,
}

impl Sample {
    /// What they are held out by: game, possession.
    pub(crate) fn place(&self) -> (&str, u32) {
        (&self.game_id, self.possession_id)
    }

    /// What orders samples: game, possession, screen.
    pub(crate) fn key(&self) -> (&str, u32, u32) {
        (&self.game_id, self.possession_id, self.screen_id)
    }
}
