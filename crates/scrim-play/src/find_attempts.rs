//! All shots of a period: rim visits, who let them go, and what the events say of them.

use scrim_floor::Court;
use scrim_tracks::{Game, Period};

use crate::attempt::Attempt;
use crate::catch::add_catches;
use crate::event_shots::apply_events;
use crate::flight::{MAX_FLIGHT_S, flight_start, unfinished};
use crate::result::THROUGH_RADIUS_M;
use crate::rim::{MAX_STAY_S, MIN_HANG_S, RimVisit, gap_to_hoop};
use crate::shooter::led_to;
use crate::spell::Spell;
use crate::{PeriodDirection, PlayParams, ShotResult};

/// Without height: a ball that leaves the hoop faster than this was passed out and not shot, m/s: faster than most balls
/// come in.
const MAX_BOUNCE_MPS: f32 = 6.0;
/// Without height: who has the ball again within this after a visit has dribbled past under the hoop, s.
const SAME_HANDS_S: f64 = 0.3;

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
