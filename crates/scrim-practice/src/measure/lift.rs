//! The ball screens at which a shooter could lift, with both ways it could go: the noise-free frames of the one that was played,
//! and what was kept of the other.

use super::Film;
use super::measured::measure_one;
use crate::lift_truth::{LiftInstant, LiftRow};
use crate::plan::{LiftPlan, Room};

/// From one instant of a row to the next, and from when to when, seconds from the use.
const STEP_S: f64 = 0.2;
/// See [`STEP_S`].
const FROM_S: f64 = -1.0;
/// See [`STEP_S`].
const UNTIL_S: f64 = 3.0;

pub(crate) fn measure_lifts(film: &Film<'_>, screen_ids: &[Option<u32>]) -> Vec<LiftRow> {
    let row = |lift: &LiftPlan| lift_row(film, lift, screen_ids[lift.screen]);
    film.log.lifts.iter().map(row).collect()
}

fn lift_row(film: &Film<'_>, lift: &LiftPlan, screen_id: Option<u32>) -> LiftRow {
    let plan = &film.log.screens[lift.screen];
    let period = plan.period;
    let record = film.record(period);
    let use_frame = measure_one(film, lift.screen).use_frame;
    let name = |slot| film.player_id(period, use_frame, slot);
    let parting = film.frame_at(period, lift.t_s);
    let possession = &film.log.possessions[plan.possession];
    let begin = film.frame_at(period, possession.t_start_s);
    let end = film.frame_at(period, possession.t_end_s);
    let room = |frame| Room::at(&record.frames[frame], plan.screener, lift.low_man);
    let played = |frame: usize| (begin..=end).contains(&frame).then(|| room(frame));
    let other = |frame: usize| match frame.checked_sub(parting) {
        // Before the ways part there is only one.
        None => played(frame),
        Some(since) => lift.other.get(since).copied(),
    };
    let steps = ((UNTIL_S - FROM_S) / STEP_S).round() as i64;
    let instants = (0..=steps).filter_map(|step| {
        let from_use_s = FROM_S + step as f64 * STEP_S;
        let offset = (from_use_s * film.params.hz).round() as i64;
        let frame = usize::try_from(use_frame as i64 + offset).ok()?;
        let (played, other) = (played(frame), other(frame));
        let (lift, stay) = if lift.lifts {
            (played, other)
        } else {
            (other, played)
        };
        Some(LiftInstant {
            from_use_s,
            lift_space_m: lift.map(|room| room.space_m),
            stay_space_m: stay.map(|room| room.space_m),
            lift_low_man_gap_m: lift.map(|room| room.low_man_gap_m),
            stay_low_man_gap_m: stay.map(|room| room.low_man_gap_m),
        })
    });
    LiftRow {
        game_id: film.game_id.clone(),
        period,
        possession_id: plan.possession as u32,
        screen_id,
        t_use_s: film.time_of(use_frame),
        screener_id: name(plan.screener),
        shooter_id: name(lift.shooter),
        low_man_id: name(lift.low_man),
        coverage_called: lift.called,
        p_lift: lift.p_lift,
        lifted: lift.lifts,
        held: lift.lifts && lift.would_hold,
        t_lift_s: lift.t_s,
        instants: instants.collect(),
    }
}
