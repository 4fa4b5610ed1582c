//! How a possession ended, and the points of it.

use scrim_tables::tags::EndKind;
use scrim_tracks::{EventKind, Game, TeamSlot};

use crate::control::ControlRule;
use crate::period_play::PeriodPlay;
use crate::possession::{Ended, Stretch};
use crate::{Shot, ShotResult};

/// An event this long before a stop of play may report it, s.
const REPORTED_BEFORE_S: f64 = 3.0;
/// An event this long after the end of a possession may report it, s.
const REPORTED_AFTER_S: f64 = 5.0;
/// Without events: a ball out of bounds this shortly before or after a stop was the reason, s.
const OUT_S: f64 = 0.8;
/// How far past the line a ball is surely out, m.
const OUT_M: f32 = 0.3;

/// How the possession ended: what the tracks show, and where they leave it open, what the events or else what follows
/// says. `shots` are its field goals.
pub(crate) fn end_kind(
    game: &Game,
    of: PeriodPlay<'_>,
    stretch: &Stretch,
    next: Option<&Stretch>,
    shots: &[Shot],
    rule: &ControlRule,
) -> EndKind {
    let next_team = next.map(|next| next.team);
    let missed_last = shots.last().is_some_and(|shot| {
        let team = event_rebound(game, of, stretch, shot);
        team.map_or_else(
            || !held_again(of, stretch, shot, rule),
            |team| team != stretch.team,
        )
    });
    // The last shot was not rebounded by the shooters, and nothing shows whether it went in.
    let open = missed_last
        && shots.last().is_some_and(|shot| {
            shot.result == ShotResult::Unknown && event_rebound(game, of, stretch, shot).is_none()
        });
    match stretch.ended {
        Ended::Made => EndKind::ShotMade,
        Ended::OtherTeam if open => EndKind::Unknown,
        Ended::OtherTeam if missed_last => EndKind::ShotMissed,
        Ended::OtherTeam => EndKind::Turnover,
        Ended::Stopped | Ended::PeriodOver => {
            if let Some(kind) = event_stop(game, of, stretch, next) {
                return kind;
            }
            if stretch.ended == Ended::PeriodOver {
                let rebounded = shots
                    .last()
                    .and_then(|shot| event_rebound(game, of, stretch, shot));
                let lost = rebounded.is_some_and(|team| team != stretch.team);
                return if lost {
                    EndKind::ShotMissed
                } else if open {
                    EndKind::Unknown
                } else {
                    EndKind::PeriodEnd
                };
            }
            let stopped = stop_inferred(game, of, stretch, next, next_team, missed_last);
            if open && stopped == EndKind::ShotMissed {
                EndKind::Unknown
            } else {
                stopped
            }
        }
    }
}

/// Which team the events give the rebound of `shot`: the first rebound reported from its release until a moment after the
/// possession's end.
fn event_rebound(game: &Game, of: PeriodPlay<'_>, stretch: &Stretch, shot: &Shot) -> Option<TeamSlot> {
    let from_s = of.period.t_s(shot.release);
    let to_s = of.period.t_s(stretch.frames.end) + REPORTED_AFTER_S;
    let mut events = game
        .events
        .iter()
        .flatten()
        .filter(|event| event.period == of.period.number);
    events
        .find(|event| {
            event.kind == EventKind::Rebound && event.t_s.is_some_and(|t_s| from_s <= t_s && t_s <= to_s)
        })
        .and_then(|event| event.team)
}

/// What the event nearest to a stop of play says of it; of two at one instant a turnover before a foul before the rest.
fn event_stop(game: &Game, of: PeriodPlay<'_>, stretch: &Stretch, next: Option<&Stretch>) -> Option<EndKind> {
    let events = game.events.as_ref()?;
    let end_s = of.period.t_s(stretch.frames.end);
    let lost = next.is_some_and(|next| next.team != stretch.team);
    let mut nearest: Option<(f64, u8, EndKind)> = None;
    for event in events.iter().filter(|event| event.period == of.period.number) {
        let Some(t_s) = event.t_s else { continue };
        if t_s < end_s - REPORTED_BEFORE_S || t_s > end_s + REPORTED_AFTER_S {
            continue;
        }
        let ours = event.team == Some(stretch.team);
        let (order, kind) = match event.kind {
            EventKind::Turnover if ours => (0, EndKind::Turnover),
            // A foul of the attackers that costs them the ball is a turnover.
            EventKind::Foul if ours && lost => (1, EndKind::Turnover),
            EventKind::Foul => (1, EndKind::Foul),
            EventKind::Violation if lost => (2, EndKind::Turnover),
            EventKind::Violation => (2, EndKind::DeadBall),
            EventKind::Timeout => (3, EndKind::DeadBall),
            EventKind::Turnover
            | EventKind::PeriodStart
            | EventKind::PeriodEnd
            | EventKind::ShotMade
            | EventKind::ShotMissed
            | EventKind::FreeThrowMade
            | EventKind::FreeThrowMissed
            | EventKind::Rebound
            | EventKind::Steal
            | EventKind::SubstitutionIn
            | EventKind::SubstitutionOut
            | EventKind::Other(_) => continue,
        };
        let off_s = (t_s - end_s).abs();
        if nearest.is_none_or(|best| (off_s, order) < (best.0, best.1)) {
            nearest = Some((off_s, order, kind));
        }
    }
    nearest.map(|(_, _, kind)| kind)
}

/// What a stop of play was, by what follows it.
fn stop_inferred(
    game: &Game,
    of: PeriodPlay<'_>,
    stretch: &Stretch,
    next: Option<&Stretch>,
    next_team: Option<TeamSlot>,
    missed_last: bool,
) -> EndKind {
    let period = of.period;
    let until = next.map_or(period.frames, |next| next.frames.start);
    let free_throws = of
        .attempts
        .iter()
        .any(|a| a.free_throw && a.team == stretch.team && (stretch.frames.end..until).contains(&a.release));
    if free_throws {
        return EndKind::Foul;
    }
    let around = period.frames_in(OUT_S);
    let end = stretch.frames.end;
    let went_out = (end.saturating_sub(around)..(end + around).min(period.frames)).any(|frame| {
        let ball = period.ball.at(frame);
        ball.is_finite() && !game.info.court.contains(ball, OUT_M)
    });
    match next_team {
        // The same team throws in: the ball went out off a defender, or, as most whistles are, it was a foul.
        Some(team) if team == stretch.team && went_out => EndKind::DeadBall,
        Some(team) if team == stretch.team => EndKind::Foul,
        Some(_) if missed_last => EndKind::ShotMissed,
        Some(_) => EndKind::Turnover,
        None => EndKind::Unknown,
    }
}

/// Whether the shooting team had the ball again after `shot`: for longer than a ball takes that drops past them.
fn held_again(of: PeriodPlay<'_>, stretch: &Stretch, shot: &Shot, rule: &ControlRule) -> bool {
    let held: usize = of
        .spells
        .iter()
        .filter(|spell| spell.frames.start >= shot.release)
        .filter_map(|spell| spell.clipped(&stretch.frames, stretch.team))
        .map(|frames| frames.len())
        .sum();
    held >= of.period.frames_in(rule.min_team_control_s)
}

/// Points of the possession: its field goals and the free throws after it.
pub(crate) fn points(
    game: &Game,
    of: PeriodPlay<'_>,
    stretch: &Stretch,
    next: Option<&Stretch>,
    shots: &[Shot],
    end_kind: EndKind,
) -> (Option<u8>, bool) {
    let inferred = game.events.is_none();
    let field: u8 = shots
        .iter()
        .filter(|shot| shot.result == ShotResult::Made)
        .map(|shot| shot.value.points())
        .sum();
    let until = next.map_or(of.period.frames, |next| next.frames.start);
    let free = of
        .attempts
        .iter()
        .filter(|a| a.free_throw && a.team == stretch.team && a.result == ShotResult::Made)
        .filter(|a| (stretch.frames.start..until).contains(&a.decided))
        .count();
    let unknown = shots.iter().any(|shot| shot.result == ShotResult::Unknown);
    if unknown && end_kind != EndKind::ShotMade {
        return (None, inferred);
    }
    (
        Some(field.saturating_add(u8::try_from(free).unwrap_or(u8::MAX))),
        inferred,
    )
}
