//! What is known of a period before its possessions.

use scrim_tracks::Period;

use crate::attempt::Attempt;
use crate::direction::PeriodDirection;
use crate::spell::Spell;

/// What is known of a period before its possessions.
#[derive(Clone, Copy)]
pub(crate) struct PeriodPlay<'a> {
    pub at: usize,
    pub period: &'a Period,
    pub spells: &'a [Spell],
    pub attempts: &'a [Attempt],
    pub direction: PeriodDirection,
}
