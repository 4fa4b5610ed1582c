//! Whether a shot went in, when no event reports it: by the ball's fall where its height is known, else by what follows.

use scrim_floor::{AttackDirection, Court};
use scrim_tracks::Period;

use crate::ShotResult;
use crate::attempt::Attempt;
use crate::rim::gap_to_hoop;
use crate::spell::Spell;

/// Without events: weight of that fall, from 1 (straight down) to −1.5.
const FALL_WEIGHT: f32 = 2.5;
/// Without events: weight of a throw-in from the end line (for) or of any other control by the defence (against).
const THROW_IN_WEIGHT: f32 = 1.0;
/// Without events: weight of control by the shooting team, against a made shot.
const REBOUND_WEIGHT: f32 = 1.5;
/// Who throws in stands at most this far inside the end line, m.
const END_LINE_M: f32 = 1.2;
/// Without height: after a made shot the other team has the ball behind the end line, or at most this far inside it, m:
/// in the hands of a player who stands behind the line.
const BEHIND_LINE_M: f32 = 0.25;
/// Without height: a ball that somebody has this far from the hoop, and that was not behind the end line before, did not
/// go in, m: nobody throws in from there.
const AWAY_M: f32 = 4.5;
/// Control later than this after the shot says nothing of it, s.
const NEXT_CONTROL_S: f64 = 8.0;

/// A ball that falls through the hoop stays within this of its centre, on the mean, m: about the ring's radius and the
/// tracking's error.
pub(crate) const THROUGH_RADIUS_M: f32 = 0.4;

/// Settles whether inferred field goals went in.
pub(crate) fn settle_results(period: &Period, court: &Court, spells: &[Spell], attempts: &mut [Attempt]) {
    if period.ball.has_height {
        settle_by_fall(period, court, spells, attempts);
    } else {
        for at in 0..attempts.len() {
            if attempts[at].inferred && !attempts[at].free_throw {
                attempts[at].result = by_what_follows(period, court, spells, attempts, at);
            }
        }
    }
}

/// Without height the fall of the ball says too little: who stands below the hoop holds it still as well. After a made shot
/// the other team takes the ball behind the end line; after a missed one somebody takes it away from the hoop, or shoots
/// again. Where the tracks end or play stops before either, it is not known.
fn by_what_follows(
    period: &Period,
    court: &Court,
    spells: &[Spell],
    attempts: &[Attempt],
    at: usize,
) -> ShotResult {
    let attempt = &attempts[at];
    let Some((hoop, _)) = attempt.fall else {
        return ShotResult::Unknown;
    };
    let again = attempts[at + 1..]
        .iter()
        .find(|next| !next.free_throw && next.release >= attempt.decided);
    let until = (attempt.decided + period.frames_in(NEXT_CONTROL_S))
        .min(again.map_or(period.frames, |next| next.release))
        .min(period.frames);
    let behind_m = court.length_m / 2.0 - BEHIND_LINE_M;
    let mut after = spells.partition_point(|spell| spell.frames.end <= attempt.decided);
    for frame in attempt.decided..until {
        if !period.live[frame] {
            return ShotResult::Unknown;
        }
        while spells.get(after).is_some_and(|spell| spell.frames.end <= frame) {
            after += 1;
        }
        let holder = spells.get(after).filter(|spell| spell.frames.start <= frame);
        // A ball that is missing (NaN) is neither behind the line nor away.
        if period.ball.x_m[frame] * hoop.sign() >= behind_m
            && holder.is_some_and(|holder| holder.team != attempt.team)
        {
            return ShotResult::Made;
        }
        let (gap_m, nearer) = gap_to_hoop(period, court, frame);
        if holder.is_some() && (gap_m > AWAY_M || nearer != hoop && gap_m.is_finite()) {
            return ShotResult::Missed;
        }
    }
    match again {
        Some(next) if next.release == until && next.team == attempt.team => ShotResult::Missed,
        _ => ShotResult::Unknown,
    }
}

/// Settles whether inferred field goals went in, by the fall of the ball and by who had it next: a rebound speaks
/// against it, a throw-in from behind the end line for it.
fn settle_by_fall(period: &Period, court: &Court, spells: &[Spell], attempts: &mut [Attempt]) {
    for attempt in attempts
        .iter_mut()
        .filter(|attempt| attempt.inferred && !attempt.free_throw)
    {
        let Some((hoop, fall_gap_m)) = attempt.fall else {
            continue;
        };
        let fall = fall_gap_m.map_or(0.0, |gap_m| (1.0 - gap_m / THROUGH_RADIUS_M).max(-1.5));
        let after = spells.partition_point(|spell| spell.frames.start < attempt.decided);
        let next = spells
            .get(after)
            .filter(|next| next.frames.start < attempt.decided + period.frames_in(NEXT_CONTROL_S));
        let next_own = next.map(|next| next.team == attempt.team);
        let follows = match next {
            None => 0.0,
            Some(_) if next_own == Some(true) => -REBOUND_WEIGHT,
            Some(next) if throws_in(period, court, hoop, next, spells.get(after + 1)) => THROW_IN_WEIGHT,
            Some(_) => -THROW_IN_WEIGHT,
        };
        let evidence = FALL_WEIGHT * fall + follows;
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
) -> bool {
    let x_m = period.track(next.track).x_m[next.frames.end - 1] * hoop.sign();
    let passes = then.is_some_and(|then| then.team == next.team && then.player != next.player);
    passes && x_m >= court.length_m / 2.0 - END_LINE_M
}
