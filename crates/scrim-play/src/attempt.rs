//! A shot, before possessions are known.

use scrim_floor::{AttackDirection, ShotValue};
use scrim_tracks::{PlayerIx, TeamSlot};

use crate::spell::Spell;

/// How a shot ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShotResult {
    /// In.
    Made,
    /// Not in.
    Missed,
    /// It is not known.
    Unknown,
}

/// A field-goal attempt or a free throw, before possessions are known.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Attempt {
    pub player: PlayerIx,
    pub team: TeamSlot,
    /// Frame of the release.
    pub release: usize,
    /// Frame at which it is decided: through the ring, or off it.
    pub decided: usize,
    pub result: ShotResult,
    /// What it is worth by an event.
    pub points: Option<u8>,
    pub free_throw: bool,
    pub inferred: bool,
    /// Which hoop it came to, and [`crate::RimVisit::fall_gap_m`]; `None` when the ball was not seen at a rim.
    pub fall: Option<(AttackDirection, Option<f32>)>,
}

impl Attempt {
    /// What a made one is worth: by an event, or by the spot.
    pub fn worth(&self, by_spot: ShotValue) -> ShotValue {
        match self.points {
            Some(3) => ShotValue::Three,
            Some(2) => ShotValue::Two,
            Some(_) | None => by_spot,
        }
    }
}

/// Takes out of `spells` what lies inside a flight: a ball on its way to the rim is nobody's.
pub(crate) fn cut_flights(attempts: &[Attempt], spells: &mut Vec<Spell>) {
    for attempt in attempts {
        let flight = attempt.release..attempt.decided;
        let first = spells.partition_point(|spell| spell.frames.end <= flight.start);
        for spell in spells[first..]
            .iter_mut()
            .take_while(|spell| spell.frames.start < flight.end)
        {
            if spell.frames.start >= flight.start {
                spell.frames.start = spell.frames.end.min(flight.end);
            } else {
                spell.frames.end = flight.start;
            }
        }
        spells.retain(|spell| !spell.frames.is_empty());
    }
}
