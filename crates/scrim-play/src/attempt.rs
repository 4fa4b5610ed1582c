//! Shots: rim visits, who let them go, and what the events say of them.

use scrim_floor::{AttackDirection, ShotValue};
use scrim_tracks::{Game, Period, PlayerIx, TeamSlot};

use crate::control::Spell;
use crate::rim::RimVisit;
use crate::told::apply_events;
use crate::{ShotParams, ShotResult};

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
    /// Told by an event: worth this.
    pub points: Option<u8>,
    pub free_throw: bool,
    pub inferred: bool,
    /// Which hoop it came to, and [`RimVisit::fall_gap_m`]; `None` when the ball was not seen at a rim.
    pub fall: Option<(AttackDirection, Option<f32>)>,
}

impl Attempt {
    /// What a made one is worth, told or by the spot's value.
    pub fn worth(&self, by_spot: ShotValue) -> ShotValue {
        match self.points {
            Some(3) => ShotValue::Three,
            Some(2) => ShotValue::Two,
            Some(_) | None => by_spot,
        }
    }
}

/// All attempts of a period in time order: what the ball shows, corrected and completed by events.
pub(crate) fn find_attempts(
    game: &Game,
    period: &Period,
    spells: &[Spell],
    visits: &[RimVisit],
    params: &ShotParams,
) -> Vec<Attempt> {
    let mut attempts = from_ball(period, spells, visits, params);
    if let Some(events) = &game.events {
        apply_events(game, period, spells, events, params, &mut attempts);
    }
    attempts.sort_by_key(|attempt| (attempt.release, attempt.decided));
    attempts
}

/// Rim visits with the spell of control that led to each.
fn from_ball(period: &Period, spells: &[Spell], visits: &[RimVisit], params: &ShotParams) -> Vec<Attempt> {
    let longest = period.frames_in(params.max_flight_s);
    let mut attempts: Vec<Attempt> = Vec::new();
    for visit in visits {
        let before = spells.partition_point(|spell| spell.frames.start < visit.frames.start);
        let Some(from) = before.checked_sub(1).map(|at| &spells[at]) else {
            continue;
        };
        let release = from.frames.end.min(visit.frames.start);
        if visit.frames.start > release + longest {
            continue;
        }
        if !period.ball.has_height && dribbled_past(period, spells, from, visit, params) {
            continue;
        }
        let result = match visit.fall_gap_m {
            Some(gap_m) if gap_m <= params.through_radius_m => ShotResult::Made,
            Some(_) => ShotResult::Missed,
            None => ShotResult::Unknown,
        };
        let attempt = Attempt {
            player: from.player,
            team: from.team,
            release,
            decided: visit.through,
            result,
            points: None,
            free_throw: !period.live[release.min(period.frames - 1)],
            inferred: true,
            fall: Some((visit.hoop, visit.fall_gap_m)),
        };
        // A tip without control in between belongs to the same attempt: the last word counts.
        match attempts.last_mut() {
            Some(last) if last.release == attempt.release => {
                last.decided = attempt.decided;
                last.result = attempt.result;
                last.fall = attempt.fall;
            }
            _ => attempts.push(attempt),
        }
    }
    attempts
}

/// Whether the player who brought the ball to the hoop has it on the other side at once. A player may also rebound his
/// own shot, but without height a dribble under the basket looks the same and is more common.
fn dribbled_past(
    period: &Period,
    spells: &[Spell],
    from: &Spell,
    visit: &RimVisit,
    params: &ShotParams,
) -> bool {
    let after = spells.partition_point(|spell| spell.frames.end <= visit.frames.end);
    spells.get(after).is_some_and(|next| {
        next.player == from.player
            && next.frames.start <= visit.frames.end + period.frames_in(params.same_hands_s)
    })
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
