//! Shots: rim visits, who let them go, and what the events say of them.

use scrim_floor::{AttackDirection, Court, ShotValue};
use scrim_tracks::{Game, Period, PlayerIx, TeamSlot};

use crate::PeriodDirection;
use crate::catch::add_catches;
use crate::control::Spell;
use crate::flight::MAX_FLIGHT_S;
use crate::flight::{flight_start, unfinished};
use crate::result::THROUGH_RADIUS_M;
use crate::rim::{MAX_STAY_S, MIN_HANG_S};
use crate::rim::{RimVisit, gap_to_hoop};
use crate::told::apply_events;
use crate::{PlayParams, ShotResult};

/// Without height: a ball that leaves the hoop faster than this was passed out and not shot, m/s: faster than most balls
/// come in.
const MAX_BOUNCE_MPS: f32 = 6.0;
/// Without height: who has the ball again within this after a visit has dribbled past under the hoop, s.
const SAME_HANDS_S: f64 = 0.3;
/// A defender who has the ball for less than this before it comes to the rim has only been near the shot, s.
const MAX_NEAR_SHOT_S: f64 = 0.8;

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

/// All attempts of a period in time order: what the ball shows, corrected and completed by events. A catch at the rim
/// becomes a spell of control.
pub(crate) fn find_attempts(
    game: &Game,
    period: &Period,
    spells: &mut Vec<Spell>,
    visits: &[RimVisit],
    direction: Option<PeriodDirection>,
    params: &PlayParams,
) -> Vec<Attempt> {
    let court = &game.info.court;
    let caught = if period.ball.has_height {
        Vec::new()
    } else {
        add_catches(period, court, spells, visits, direction)
    };
    let mut attempts = from_ball(period, court, spells, visits, &caught, direction);
    attempts.extend(unfinished(period, court, spells, &attempts, direction));
    if let Some(events) = &game.events {
        apply_events(game, period, spells, events, params, &mut attempts);
    }
    attempts.sort_by_key(|attempt| (attempt.release, attempt.decided));
    attempts
}

/// Rim visits with the spell of control that led to each.
fn from_ball(
    period: &Period,
    court: &Court,
    spells: &[Spell],
    visits: &[RimVisit],
    caught: &[usize],
    direction: Option<PeriodDirection>,
) -> Vec<Attempt> {
    let longest = period.frames_in(MAX_FLIGHT_S);
    let mut attempts: Vec<Attempt> = Vec::new();
    for visit in visits {
        let flight =
            flight_start(period, visit.frames.start).filter(|_| !caught.contains(&visit.frames.start));
        let Some(from) = led_to(period, spells, flight, visit.frames.start, visit.hoop, direction) else {
            continue;
        };
        let release = from.frames.end.min(visit.frames.start);
        if visit.frames.start > release + longest {
            continue;
        }
        if !period.ball.has_height && came_past(period, court, spells, from, visit) {
            continue;
        }
        let result = match visit.fall_gap_m {
            Some(gap_m) if gap_m <= THROUGH_RADIUS_M => ShotResult::Made,
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

/// How long a ball that was not carried on is watched below the hoop, s, and how near to its centre it stays, metres.
/// Common practice, no source.
const BELOW_S: f64 = 1.0;
const BELOW_M: f32 = 1.25;

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

/// Without height: whether the ball only came past under the hoop. A ball that leaves faster than one that bounces off was
/// passed out. The player who brought it may have it on the other side at once: a player may also rebound their own shot,
/// but a dribble under the basket looks the same and is more common. A ball that hung at the ring, or stayed below it, was
/// shot all the same, whoever stands there.
fn came_past(period: &Period, court: &Court, spells: &[Spell], from: &Spell, visit: &RimVisit) -> bool {
    let after = spells.partition_point(|spell| spell.frames.end <= visit.frames.end);
    let Some(next) = spells.get(after) else {
        return false;
    };
    let thrown = visit.out_mps.is_some_and(|out_mps| out_mps > MAX_BOUNCE_MPS);
    if thrown && next.team == from.team {
        return true;
    }
    let again =
        next.player == from.player && next.frames.start <= visit.frames.end + period.frames_in(SAME_HANDS_S);
    let hung = visit.hung_s.is_some_and(|hung_s| f64::from(hung_s) >= MIN_HANG_S);
    again && !hung && !stayed_below(period, court, visit)
}

/// Whether the ball stayed near below the ring for longer than it falls, until the tracks end or for a second.
fn stayed_below(period: &Period, court: &Court, visit: &RimVisit) -> bool {
    let start = visit.frames.start;
    let end = (start + period.frames_in(BELOW_S)).min(period.frames);
    end >= start + period.frames_in(MAX_STAY_S)
        && (start..end).all(|frame| gap_to_hoop(period, court, frame).0 < BELOW_M)
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
