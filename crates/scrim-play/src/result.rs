//! Whether a shot went in, when no event tells it.

use scrim_floor::{AttackDirection, Court};
use scrim_tracks::Period;

use crate::attempt::Attempt;
use crate::control::Spell;
use crate::{ShotParams, ShotResult};

/// Settles whether inferred field goals went in, by the fall of the ball and by who had it next: a rebound speaks
/// against it, a throw-in from behind the end line for it.
pub(crate) fn settle_results(
    period: &Period,
    court: &Court,
    spells: &[Spell],
    attempts: &mut [Attempt],
    params: &ShotParams,
) {
    for attempt in attempts
        .iter_mut()
        .filter(|attempt| attempt.inferred && !attempt.free_throw)
    {
        let Some((hoop, fall_gap_m)) = attempt.fall else {
            continue;
        };
        let fall = fall_gap_m.map_or(0.0, |gap_m| (1.0 - gap_m / params.through_radius_m).max(-1.5));
        let after = spells.partition_point(|spell| spell.frames.start < attempt.decided);
        let next = spells
            .get(after)
            .filter(|next| next.frames.start < attempt.decided + period.frames_in(params.next_control_s));
        let next_own = next.map(|next| next.team == attempt.team);
        let follows = match next {
            None => 0.0,
            Some(_) if next_own == Some(true) => -params.rebound_weight,
            Some(next) if throws_in(period, court, hoop, next, spells.get(after + 1), params) => {
                params.throw_in_weight
            }
            Some(_) => -params.throw_in_weight,
        };
        let evidence = params.fall_weight * fall + follows;
        attempt.result = if fall_gap_m.is_none() && next.is_none() {
            ShotResult::Unknown
        } else if evidence > 0.0 {
            ShotResult::Made
        } else {
            ShotResult::Missed
        };
    }
}

/// Whether `next` passes the ball in from the end line beside `hoop`.
fn throws_in(
    period: &Period,
    court: &Court,
    hoop: AttackDirection,
    next: &Spell,
    then: Option<&Spell>,
    params: &ShotParams,
) -> bool {
    let x_m = period.tracks[next.track].x_m[next.frames.end - 1] * hoop.sign();
    let passes = then.is_some_and(|then| then.team == next.team && then.player != next.player);
    passes && x_m >= court.length_m / 2.0 - params.end_line_m
}
