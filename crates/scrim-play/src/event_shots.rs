//! Shots that the events report, matched to those that the ball shows.

use scrim_tracks::{Event, EventKind, Game, Period, PlayerIx, TeamSlot};

use crate::attempt::Attempt;
use crate::spell::Spell;
use crate::{PlayParams, ShotResult};

/// A shot or free throw as an event reports it.
#[derive(Debug, Clone, Copy)]
struct EventShot {
    t_s: f64,
    team: Option<TeamSlot>,
    player: Option<PlayerIx>,
    points: Option<u8>,
    result: ShotResult,
    free_throw: bool,
}

/// The shots and free throws that the events of a period report, in the events' order; those without an instant are
/// left out.
fn event_shots(period: &Period, events: &[Event]) -> Vec<EventShot> {
    let shot_of = |event: &Event| {
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
            | EventKind::Other(_) => return None,
        };
        let points = event.points.filter(|_| result == ShotResult::Made);
        let (team, player) = (event.team, event.player);
        Some(EventShot {
            t_s: event.t_s?,
            team,
            player,
            points,
            result,
            free_throw,
        })
    };
    events
        .iter()
        .filter(|event| event.period == period.number)
        .filter_map(shot_of)
        .collect()
}

/// The attempt that `shot` is: of those inside the search window, the one whose span from release to rim is
/// nearest. `delay_s`: how much later than the rim this table's events are reported, as a rule.
fn attempt_of(
    period: &Period,
    attempts: &[Attempt],
    taken: &[bool],
    shot: &EventShot,
    delay_s: f64,
    params: &PlayParams,
) -> Option<usize> {
    let cost = |attempt: &Attempt| {
        let early_s = period.t_s(attempt.release) - shot.t_s;
        let late_s = shot.t_s - period.t_s(attempt.decided);
        if early_s > params.event_early_s || late_s > params.event_late_s {
            return None;
        }
        let off_s = (early_s + delay_s).max(late_s - delay_s).max(0.0);
        let other_player = shot.player.is_some_and(|player| player != attempt.player);
        let other_kind = shot.free_throw != attempt.free_throw;
        // Who shot is seldom wrong in a table; who shot is sometimes wrong in the tracks.
        Some(off_s + if other_player { 1.5 } else { 0.0 } + if other_kind { 1.5 } else { 0.0 })
    };
    attempts
        .iter()
        .enumerate()
        .filter(|(at, attempt)| !taken[*at] && shot.team.is_none_or(|team| team == attempt.team))
        .filter_map(|(at, attempt)| Some((cost(attempt)?, at)))
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
        .map(|(_, at)| at)
}

/// Fewer matches than this do not show how late a table is.
const MIN_MATCHES: usize = 5;

/// How much later than the rim the shots of a period are reported, as a rule: the median over the matches.
fn event_delay_s(period: &Period, attempts: &[Attempt], shots: &[EventShot], params: &PlayParams) -> f64 {
    let mut taken = vec![false; attempts.len()];
    let mut delays_s: Vec<f64> = Vec::with_capacity(shots.len());
    for shot in shots {
        if let Some(at) = attempt_of(period, attempts, &taken, shot, 0.0, params) {
            taken[at] = true;
            delays_s.push(shot.t_s - period.t_s(attempts[at].decided));
        }
    }
    if delays_s.len() < MIN_MATCHES {
        return 0.0;
    }
    delays_s.sort_by(f64::total_cmp);
    delays_s[delays_s.len() / 2]
}

/// Matches each reported shot to its attempt; one that the ball does not show becomes an attempt of its own,
/// released at the end of the player's last spell before it. An attempt that no event
/// reports, where shots of its kind are reported, is taken out: the table writes every attempt down, and a ball is thrown at a rim after the whistle too.
pub(crate) fn apply_events(
    game: &Game,
    period: &Period,
    spells: &[Spell],
    events: &[Event],
    params: &PlayParams,
    attempts: &mut Vec<Attempt>,
) {
    let shots = event_shots(period, events);
    let delay_s = event_delay_s(period, attempts, &shots, params);
    let mut taken = vec![false; attempts.len()];
    let mut extra = Vec::new();
    for shot in &shots {
        if let Some(at) = attempt_of(period, attempts, &taken, shot, delay_s, params) {
            taken[at] = true;
            let attempt = &mut attempts[at];
            attempt.result = shot.result;
            attempt.free_throw = shot.free_throw;
            attempt.points = shot.points;
            attempt.inferred = false;
            attempt.player = shot.player.unwrap_or(attempt.player);
            continue;
        }
        let Some(team) = shot.team else { continue };
        let at_event = period.frame_at(shot.t_s - delay_s);
        let from = spells.iter().rfind(|spell| {
            spell.team == team
                && shot.player.is_none_or(|player| player == spell.player)
                && spell.frames.start <= at_event
                && period.t_s(at_event) - period.t_s(spell.frames.end) <= params.event_late_s
        });
        let release = from.map_or(at_event, |spell| spell.frames.end.min(at_event));
        let Some(player) = shot.player.or(from.map(|spell| spell.player)) else {
            continue;
        };
        extra.push(Attempt {
            player,
            team,
            release,
            decided: at_event.min(release + flight_frames(game, period, release)),
            result: shot.result,
            points: shot.points,
            free_throw: shot.free_throw,
            inferred: false,
            fall: None,
        });
    }
    let all_reported = [false, true].map(|free_throw| shots.iter().any(|shot| shot.free_throw == free_throw));
    let mut taken = taken.iter();
    attempts.retain(|attempt| {
        let is_reported = taken.next().is_some_and(|&taken| taken);
        is_reported || !all_reported[usize::from(attempt.free_throw)]
    });
    attempts.extend(extra);
}

/// About how many frames a shot released at `release` flies: 0.5 s from beside the hoop and 0.1 s more for each metre.
/// Common practice, no source.
fn flight_frames(game: &Game, period: &Period, release: usize) -> usize {
    let at = period.ball.at(release.min(period.frames.saturating_sub(1)));
    let from_m = f64::from((at.x_m.abs() - game.info.court.hoop_x_m()).hypot(at.y_m));
    period.frames_in(0.5 + 0.1 * if from_m.is_finite() { from_m } else { 0.0 })
}
