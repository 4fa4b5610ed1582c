//! Whose shot a ball at the hoop is.

use scrim_floor::AttackDirection;
use scrim_tracks::Period;

use crate::PeriodDirection;
use crate::spell::Spell;

/// A defender who has the ball for less than this before it comes to the rim has only been near the shot, s.
const MAX_NEAR_SHOT_S: f64 = 0.8;

/// The spell that a ball came from which is at the hoop at `arrived`: the last before it, but whoever seems to have it on
/// its straight way (from `flight` on) was only passed by it, and nobody shoots at the hoop that they defend. A defender who
/// was near the ball for a moment leaves it to the attacker who had it before; one who had it for longer did not shoot, and
/// unless the ball's height shows a shot neither did anybody else.
pub(crate) fn led_to<'a>(
    period: &Period,
    spells: &'a [Spell],
    flight: Option<usize>,
    arrived: usize,
    hoop: AttackDirection,
    direction: Option<PeriodDirection>,
) -> Option<&'a Spell> {
    let latest = flight.map_or(arrived, |start| start + 1);
    let before = spells.partition_point(|spell| spell.frames.start < latest);
    let mut near = 0;
    for spell in spells[..before].iter().rev() {
        if direction.is_none_or(|direction| direction.of(spell.team) == hoop) {
            return Some(spell);
        }
        near += spell.frames.end.min(arrived) - spell.frames.start;
        if !period.ball.has_height && near >= period.frames_in(MAX_NEAR_SHOT_S) {
            return None;
        }
    }
    None
}
