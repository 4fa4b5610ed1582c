//! Shots: rim visits, who let them go, and what the events say of them.

use scrim_floor::ShotValue;
use scrim_tracks::{Event, EventKind, Game, Period, PlayerIx, TeamSlot};

use crate::control::Spell;
use crate::rim::RimVisit;
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
        };
        // A tip without control in between belongs to the same attempt: the last word counts.
        match attempts.last_mut() {
            Some(last) if last.release == attempt.release => {
                last.decided = attempt.decided;
                last.result = attempt.result;
            }
            _ => attempts.push(attempt),
        }
    }
    attempts
}

/// Ties each shot event to the attempt it tells of; an event that the ball does not show becomes an attempt of its
/// own, released at the end of the player's last spell before it.
fn apply_events(
    game: &Game,
    period: &Period,
    spells: &[Spell],
    events: &[Event],
    params: &ShotParams,
    attempts: &mut Vec<Attempt>,
) {
    let mut told = vec![false; attempts.len()];
    let mut extra = Vec::new();
    for event in events.iter().filter(|event| event.period == period.number) {
        let (result, free_throw) = match event.kind {
            EventKind::ShotMade => (ShotResult::Made, false),
            EventKind::ShotMissed => (ShotResult::Missed, false),
            EventKind::FreeThrowMade => (ShotResult::Made, true),
            EventKind::FreeThrowMissed => (ShotResult::Missed, true),
            EventKind::PeriodStart
            | EventKind::PeriodEnd
            | EventKind::Rebound
            | EventKind::Turnover
            | EventKind::Steal
            | EventKind::Foul
            | EventKind::SubstitutionIn
            | EventKind::SubstitutionOut
            | EventKind::Timeout
            | EventKind::Violation
            | EventKind::Other(_) => continue,
        };
        let Some(t_s) = event.t_s else {
            continue;
        };
        let best = attempts
            .iter()
            .enumerate()
            .filter(|(at, attempt)| !told[*at] && event.team.is_none_or(|team| team == attempt.team))
            .filter_map(|(at, attempt)| {
                let early_s = period.t_s(attempt.release) - t_s;
                let late_s = t_s - period.t_s(attempt.decided);
                if early_s > params.event_early_s || late_s > params.event_late_s {
                    return None;
                }
                let other_player = event.player.is_some_and(|player| player != attempt.player);
                let off_s = early_s.max(late_s).max(0.0) + if other_player { 1.5 } else { 0.0 };
                Some((off_s, at))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        if let Some((_, at)) = best {
            told[at] = true;
            let attempt = &mut attempts[at];
            attempt.result = result;
            attempt.free_throw = free_throw;
            attempt.points = event.points.filter(|_| result == ShotResult::Made);
            attempt.inferred = false;
            if let Some(player) = event.player {
                attempt.player = player;
            }
            continue;
        }
        let Some(team) = event.team else { continue };
        let at_event = period.frame_at(t_s);
        let from = spells.iter().rfind(|spell| {
            spell.team == team
                && event.player.is_none_or(|player| player == spell.player)
                && spell.frames.start <= at_event
                && period.t_s(at_event) - period.t_s(spell.frames.end) <= params.event_late_s
        });
        let (Some(player), release) = (
            event.player.or(from.map(|spell| spell.player)),
            from.map_or(at_event, |s| s.frames.end.min(at_event)),
        ) else {
            continue;
        };
        extra.push(Attempt {
            player,
            team,
            release,
            decided: at_event.min(release + flight_frames(game, period, release)),
            result,
            points: event.points.filter(|_| result == ShotResult::Made),
            free_throw,
            inferred: false,
        });
    }
    attempts.extend(extra);
}

/// About how many frames a shot released at `release` flies: 0.5 s from beside the hoop and 0.1 s more for each metre.
/// Common practice, no source.
fn flight_frames(game: &Game, period: &Period, release: usize) -> usize {
    let at = period.ball.at(release.min(period.frames.saturating_sub(1)));
    let from_m = f64::from((at.x_m.abs() - game.info.court.hoop_x_m()).hypot(at.y_m));
    period.frames_in(0.5 + 0.1 * if from_m.is_finite() { from_m } else { 0.0 })
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
