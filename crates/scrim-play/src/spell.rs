//! Control of the ball by one player.

use std::ops::Range;

use scrim_tracks::{PlayerIx, TeamSlot, TrackIx};

/// One player's unbroken control of the ball.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spell {
    /// Who.
    pub player: PlayerIx,
    /// Their track.
    pub track: TrackIx,
    /// Their team.
    pub team: TeamSlot,
    /// Frames of the period.
    pub frames: Range<usize>,
}

impl Spell {
    /// The part of the spell inside `frames`, if it is the team's and there is any.
    pub(crate) fn clipped(&self, frames: &Range<usize>, team: TeamSlot) -> Option<Range<usize>> {
        let start = self.frames.start.max(frames.start);
        let end = self.frames.end.min(frames.end);
        (self.team == team && start < end).then_some(start..end)
    }
}
