//! Who has the ball at each frame: the cheapest path through {loose, each player on the floor}.
//!
//! A ball within reach is consistent with every player near it, so nearness alone would flicker. Taking and giving up
//! control cost something; a defender who passes closer to the ball than its dribbler for a moment does not pay.
//!
//! - `path`: the cheapest path.
//! - `evidence`: what the ball says for and against each player.

mod evidence;
mod path;

use std::ops::Range;

use scrim_tracks::{Event, EventKind, Period, PlayerIx, TeamSlot};

use crate::control::path::cheapest_path;
use crate::rim::RimVisit;
use crate::{ControlParams, PeriodDirection};

/// One player's unbroken control of the ball.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spell {
    /// Who.
    pub player: PlayerIx,
    /// The place in [`Period::tracks`].
    pub track: usize,
    /// Their team.
    pub team: TeamSlot,
    /// Frames of the period.
    pub frames: Range<usize>,
}

/// What is known of a period besides its tracks when control is found.
#[derive(Debug, Clone, Copy, Default)]
pub struct ControlContext<'a> {
    /// Which hoop a team attacks. It speaks against a player who carries the ball toward their own hoop, or shoots at it:
    /// a defender who runs beside a drive is often nearer to the ball than the driver.
    pub direction: Option<PeriodDirection>,
    /// Visits of the ball to the rims, in time order.
    pub visits: &'a [RimVisit],
    /// What the events say of who has the ball, in time order.
    pub reported: &'a [EventControl],
}

/// The events give a team the ball.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventControl {
    /// Which team.
    pub team: TeamSlot,
    /// Frames of the period.
    pub frames: Range<usize>,
}

/// What rebounds and steals of `events` say of a period's control. An event is often reported a moment late: it counts
/// from its own instant on.
pub fn event_control(period: &Period, events: &[Event], params: &ControlParams) -> Vec<EventControl> {
    let length = period.frames_in(params.told_s);
    let mut reported: Vec<EventControl> = Vec::new();
    for event in events.iter().filter(|event| event.period == period.number) {
        let (EventKind::Rebound | EventKind::Steal, Some(team), Some(t_s)) =
            (&event.kind, event.team, event.t_s)
        else {
            continue;
        };
        let start = period.frame_at(t_s);
        // A later word ends an earlier one.
        if let Some(last) = reported.last_mut() {
            last.frames.end = last.frames.end.min(start.max(last.frames.start));
        }
        reported.push(EventControl {
            team,
            frames: start..(start + length).min(period.frames),
        });
    }
    reported
}

/// Spells of control in a period, in time order; they do not overlap. Works without ball height, with less to go by
/// around the rim.
pub fn find_control(period: &Period, context: ControlContext<'_>, params: &ControlParams) -> Vec<Spell> {
    let path = cheapest_path(period, context, params);
    let min_frames = period.frames_in(params.min_control_s);
    let mut spells = Vec::new();
    let mut start = 0;
    for frame in 1..=path.len() {
        if frame < path.len() && path[frame] == path[start] {
            continue;
        }
        if let Some(track) = path[start]
            && frame - start >= min_frames
        {
            let of = &period.tracks[usize::from(track)];
            spells.push(Spell {
                player: of.player,
                track: usize::from(track),
                team: of.team,
                frames: start..frame,
            });
        }
        start = frame;
    }
    spells
}
