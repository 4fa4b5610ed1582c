//! By what rule control is found, and what is known of a period besides its tracks.

use std::ops::Range;

use scrim_tracks::{Event, EventKind, Period, TeamSlot};

use crate::direction::PeriodDirection;
use crate::params::PlayParams;
use crate::rim::RimVisit;

/// A player whom the events give the ball has it for this long after, s.
const REPORTED_S: f64 = 1.5;

/// Who has the ball: the cheapest path through {loose, each player} over all frames of a period (Viterbi, "Error bounds for
/// convolutional codes and an asymptotically optimum decoding algorithm", IEEE Trans. Inf. Theory 13(2), 1967). Costs are
/// per second, so that they do not depend on the frame rate; changes cost once. Common practice, no source.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ControlRule {
    /// See [`PlayParams::reach_m`].
    pub reach_m: f32,
    /// See [`PlayParams::max_height_m`].
    pub max_height_m: f32,
    /// Cost of taking control. With the loose cost of 6 a second, a ball near at hand is controlled after about 0.2 s.
    pub gain_cost: f32,
    /// Cost of giving control up.
    pub lose_cost: f32,
    /// Further cost of taking a ball that the other team had last.
    pub change_team_cost: f32,
    /// A team that has the ball for less than this between two spells of the other has only deflected it, s.
    pub min_team_control_s: f64,
}

impl ControlRule {
    pub(crate) fn of(params: &PlayParams) -> Self {
        Self {
            reach_m: params.reach_m,
            max_height_m: params.max_height_m,
            gain_cost: 1.0,
            lose_cost: 0.5,
            change_team_cost: 2.0,
            min_team_control_s: 0.5,
        }
    }
}

/// What is known of a period besides its tracks when control is found.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct ControlContext<'a> {
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
pub(crate) struct EventControl {
    /// Which team.
    pub team: TeamSlot,
    /// Frames of the period.
    pub frames: Range<usize>,
}

/// What rebounds and steals of `events` say of a period's control. An event is often reported a moment late: it counts
/// from its own instant on.
pub(crate) fn event_control(period: &Period, events: &[Event]) -> Vec<EventControl> {
    let length = period.frames_in(REPORTED_S);
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
