//! The screens of a game as labels, scripted and doubtful ones in one order.

use scrim_floor::Point;
use scrim_tables::tags::Outcome;

use super::doubt::{Doubt, HANDED_S, HANDOFF_M};
use super::film::Film;
use super::measured::{Measured, measure_one};
use super::{coverage, doubt, option};
use crate::labels::{Labels, ScreenLabel};
use crate::plan::ScreenPlan;

/// A flipped screen is set again this soon (vocabulary, "flipped").
const FLIP_S: f64 = 3.0;

/// A plan whose script was broken off (the period or the clock ended) before the screen came to anything.
fn was_played(film: &Film<'_>, plan: &ScreenPlan) -> bool {
    film.log.possessions[plan.possession].t_end_s > plan.t_go_s
}

/// Whether the user gave the ball to a screener who ran past while the two were still so near that the pass is a
/// handoff as well: then two words fit.
fn is_handed_over(film: &Film<'_>, plan: &ScreenPlan, m: &Measured) -> bool {
    if !matches!(plan.outcome, Outcome::Slipped | Outcome::Ghosted) {
        return false;
    }
    let view = film.view(plan.period, m.use_frame);
    let last = view.record.frames.len() - 1;
    let soon = m.use_frame..=(m.use_frame + film.span(1.5)).min(last);
    let has = |f: usize, slot: usize| view.holder(f) == Some(slot);
    let Some(let_go) = soon.clone().rev().find(|&f| has(f, plan.user)) else {
        return false;
    };
    let has_caught = (let_go..=(let_go + film.span(HANDED_S)).min(last)).any(|f| has(f, plan.screener));
    has_caught && view.gap(let_go, plan.user, plan.screener) < HANDOFF_M
}

/// The screens of a game as they were measured.
pub(crate) struct Screens {
    /// By the log's index.
    pub measured: Vec<Measured>,
    /// The label's id of each, likewise.
    pub ids: Vec<u32>,
    /// Closeness that may be a screen.
    pub doubts: Vec<Doubt>,
}

pub(crate) fn measure_screens(film: &Film<'_>, labels: &mut Labels) -> Screens {
    let mut measured: Vec<Measured> = Vec::with_capacity(film.log.screens.len());
    for (index, plan) in film.log.screens.iter().enumerate() {
        let mut one = measure_one(film, index);
        one.is_plain &= was_played(film, plan) && !is_handed_over(film, plan, &one);
        measured.push(one);
    }
    // A screen that comes too late after the first is another one, not that one flipped.
    for second in 0..measured.len() {
        let first = film.log.screens[second].previous;
        let set = measured[second].set.unwrap_or(measured[second].use_frame);
        if let Some(first) = first
            && film.log.screens[first].outcome == Outcome::Flipped
            && set > measured[first].use_frame + film.span(FLIP_S)
        {
            measured[first].is_plain = false;
        }
    }
    let doubts = doubt::find_doubts(film, &measured);
    // In time order, scripted and doubtful ones together: an id is a place in this order.
    enum Source {
        Plan(usize),
        Doubt(usize),
    }
    let mut order: Vec<(u8, usize, Source)> = measured
        .iter()
        .map(|m| (film.log.screens[m.plan].period, m.use_frame, Source::Plan(m.plan)))
        .chain(
            doubts
                .iter()
                .enumerate()
                .map(|(i, d)| (d.period, d.use_frame, Source::Doubt(i))),
        )
        .collect();
    order.sort_by_key(|o| (o.0, o.1));
    let mut ids = vec![0; measured.len()];
    for (id, (_, _, source)) in order.iter().enumerate() {
        if let Source::Plan(plan) = source {
            ids[*plan] = id as u32;
        }
    }
    for (id, (_, _, source)) in order.iter().enumerate() {
        let id = id as u32;
        match source {
            Source::Doubt(i) => labels.screens.push(doubts[*i].row(film, id)),
            Source::Plan(index) => {
                let m = measured[*index];
                let plan = &film.log.screens[*index];
                let previous = plan
                    .previous
                    .filter(|&p| measured[p].is_plain && measured[p].use_frame <= m.use_frame)
                    .map(|p| ids[p]);
                labels.screens.push(screen_row(film, plan, &m, id, previous));
                if m.is_plain && plan.on_ball {
                    labels.coverages.push(coverage::coverage_row(film, plan, &m, id));
                    labels.options.push(option::option_row(film, plan, &m, id));
                }
            }
        }
    }
    Screens {
        measured,
        ids,
        doubts,
    }
}

fn screen_row(
    film: &Film<'_>,
    plan: &ScreenPlan,
    m: &Measured,
    id: u32,
    previous: Option<u32>,
) -> ScreenLabel {
    let view = film.view(plan.period, m.use_frame);
    let at = m.set.unwrap_or(m.use_frame);
    let spot = view.spot(at, plan.screener);
    let zone = film
        .params
        .court
        .zone_of(Point::new(spot.x as f32, spot.y as f32));
    let name = |slot| film.player_id(plan.period, m.use_frame, slot);
    let plain = m.is_plain;
    ScreenLabel {
        game_id: film.game_id.clone(),
        period: plan.period,
        possession_id: plan.possession as u32,
        screen_id: id,
        on_ball: plan.on_ball,
        screen_kind: plain.then_some(plan.kind),
        outcome: plain.then_some(plan.outcome),
        screener_id: name(plan.screener),
        user_id: name(plan.user),
        screener_defender_id: plain.then(|| name(plan.screener_defender)),
        user_defender_id: plain.then(|| name(plan.user_defender)),
        t_set_s: m
            .set
            .filter(|_| plain && !plan.early_denial)
            .map(|f| film.time_of(f)),
        t_use_s: film.time_of(m.use_frame),
        t_end_s: plain.then(|| film.time_of(m.end)),
        x_m: plain.then_some(spot.x as f32),
        y_m: plain.then_some(spot.y as f32),
        zone: plain.then_some(zone),
        previous_screen_id: previous.filter(|_| plain),
        screener_speed_mps: plain.then_some(m.screener_speed_mps as f32),
        user_gap_m: plain.then_some(m.user_gap_m as f32),
        early_denial: (plain && plan.on_ball).then_some(plan.early_denial),
    }
}
