//! What is known of a period before its possessions.

use std::ops::Range;

use scrim_tracks::{Period, TeamSlot};

use crate::attempt::Attempt;
use crate::control::Spell;
use crate::direction::PeriodDirection;

/// What is known of a period before its possessions.
#[derive(Clone, Copy)]
pub(crate) struct PeriodPlay<'a> {
    pub at: usize,
    pub period: &'a Period,
    pub spells: &'a [Spell],
    pub attempts: &'a [Attempt],
    pub direction: PeriodDirection,
}

/// The part of `spell` inside `frames`, if any.
pub(crate) fn clipped(spell: &Spell, frames: &Range<usize>, team: TeamSlot) -> Option<Range<usize>> {
    let start = spell.frames.start.max(frames.start);
    let end = spell.frames.end.min(frames.end);
    (spell.team == team && start < end).then_some(start..end)
}
