//! Cuts: the scripted ones where they came out as meant, moves along the perimeter, and every other run as doubt.

use scrim_tables::tags::CutKind;

use super::cut_word::{confirm_cut, spacing_word, zone};
use super::film::Film;
use super::run::{MOVING_MPS, Run, find_runs, find_stop};
use super::screen::Screens;
use crate::labels::{CutLabel, Labels};
use crate::plan::{CutPlan, PossessionPlan};

/// A cut, or a run that may be one.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cut {
    pub period: u8,
    pub possession: usize,
    pub run: Run,
    /// `None`: in doubt.
    pub kind: Option<CutKind>,
    /// The screen it came off, by the log's index.
    pub screen: Option<usize>,
    /// A screener on the way to their screen.
    pub is_approach: bool,
}

/// A player who is ordered to go starts this soon, seconds.
const START_S: f64 = 0.8;
/// No run of a script is longer, seconds.
const LONGEST_S: f64 = 6.0;
/// What is left of a run before and after a scripted cut is a run of its own from here on, seconds.
const REST_S: f64 = 0.5;
/// A screener's run belongs to their screen when it ends so soon before or after the set, seconds.
const APPROACH_S: f64 = 0.9;

/// The run of a scripted cut: from the first moving frame after the order until the player stops, catches or the play ends.
fn planned_run(film: &Film<'_>, plan: &CutPlan, to: usize) -> Option<Run> {
    let go = film.frame_at(plan.period, plan.t_go_s);
    let view = film.view(plan.period, go);
    let soon = (go + film.span(START_S)).min(to);
    let from = (go..=soon).find(|&f| view.speed(f, plan.slot) >= MOVING_MPS)?;
    let most = (from + film.span(LONGEST_S)).min(to);
    let caught = (from..=most)
        .find(|&f| view.holder(f) == Some(plan.slot))
        .unwrap_or(most);
    let next = film
        .log
        .cuts
        .iter()
        .filter(|c| c.period == plan.period && c.slot == plan.slot && c.t_go_s > plan.t_go_s)
        .map(|c| film.frame_at(c.period, c.t_go_s))
        .min()
        .unwrap_or(most);
    let stop = find_stop(film, plan.period, plan.slot, from, caught.min(next).max(from));
    (stop > from).then_some(Run {
        slot: plan.slot,
        from,
        to: stop,
    })
}

/// Whether the run is a screener's way to where they set a screen.
fn is_approach(film: &Film<'_>, screens: &Screens, period: u8, run: &Run) -> bool {
    let reach = film.span(APPROACH_S);
    screens.measured.iter().any(|m| {
        let plan = &film.log.screens[m.plan];
        plan.period == period
            && plan.screener == run.slot
            && m.set
                .is_some_and(|set| run.to.abs_diff(set) <= reach && run.from < set)
    })
}

/// What is left of `run` around the spans of `planned`.
fn rest_of(film: &Film<'_>, run: Run, planned: &[Cut]) -> Vec<Run> {
    let mut pieces = vec![run];
    for cut in planned.iter().filter(|c| c.run.slot == run.slot) {
        pieces = pieces
            .into_iter()
            .flat_map(|piece| {
                if cut.run.to < piece.from || cut.run.from > piece.to {
                    return vec![piece];
                }
                let before = Run {
                    to: cut.run.from.saturating_sub(1).max(piece.from),
                    ..piece
                };
                let after = Run {
                    from: (cut.run.to + 1).min(piece.to),
                    ..piece
                };
                vec![before, after]
            })
            .filter(|piece| piece.to >= piece.from + film.span(REST_S))
            .collect();
    }
    pieces
}

fn cuts_of(film: &Film<'_>, screens: &Screens, possession: usize, plan: &PossessionPlan) -> Vec<Cut> {
    let from = film.frame_at(plan.period, plan.t_start_s);
    let to = film.frame_at(plan.period, plan.t_end_s).max(from);
    let view = film.view(plan.period, from);
    let mut cuts: Vec<Cut> = Vec::new();
    for cut in film.log.cuts.iter().filter(|c| c.possession == possession) {
        let screen = cut.screen.map(|s| (&film.log.screens[s], &screens.measured[s]));
        if let Some(run) = planned_run(film, cut, to) {
            cuts.push(Cut {
                period: plan.period,
                possession,
                run,
                kind: confirm_cut(film, cut, screen, &run),
                screen: cut.screen.filter(|&s| screens.measured[s].is_plain),
                is_approach: false,
            });
        }
    }
    let planned = cuts.clone();
    let half = f64::from(film.params.court.half_court_x_m());
    for run in find_runs(film, possession) {
        for piece in rest_of(film, run, &planned) {
            let held = (piece.from..=piece.to)
                .filter(|&f| view.holder(f) == Some(piece.slot))
                .count();
            // The dribbler's way is no run away from the ball, and nobody cuts in the back court.
            if 2 * held > piece.to - piece.from || view.spot(piece.to, piece.slot).x > half {
                continue;
            }
            let approach = is_approach(film, screens, plan.period, &piece);
            let whole = held == 0 && view.spot(piece.from, piece.slot).x < half && piece.to < to;
            let kind = spacing_word(film, plan.period, &piece).filter(|_| whole && !approach);
            cuts.push(Cut {
                period: plan.period,
                possession,
                run: piece,
                kind,
                screen: None,
                is_approach: approach,
            });
        }
    }
    cuts
}

pub(crate) fn measure_cuts(film: &Film<'_>, screens: &Screens, labels: &mut Labels) -> Vec<Cut> {
    let mut all = Vec::new();
    for (possession, plan) in film.log.possessions.iter().enumerate() {
        if plan.is_doubtful {
            continue;
        }
        all.extend(cuts_of(film, screens, possession, plan));
    }
    all.sort_by_key(|c| (c.period, c.run.from, c.run.slot));
    for (id, cut) in all.iter().enumerate() {
        labels.cuts.push(cut_row(film, screens, cut, id as u32));
    }
    all
}

fn cut_row(film: &Film<'_>, screens: &Screens, cut: &Cut, id: u32) -> CutLabel {
    let Run { slot, from, to } = cut.run;
    let view = film.view(cut.period, from);
    let plain = cut.kind.is_some();
    CutLabel {
        game_id: film.game_id.clone(),
        period: cut.period,
        possession_id: cut.possession as u32,
        cut_id: id,
        player_id: film.player_id(cut.period, from, slot),
        cut_kind: cut.kind,
        t_start_s: film.time_of(from),
        t_end_s: film.time_of(to),
        zone_from: plain.then(|| zone(film, view.spot(from, slot))),
        zone_to: plain.then(|| zone(film, view.spot(to, slot))),
        screen_id: cut.screen.filter(|_| plain).map(|s| screens.ids[s]),
        peak_speed_mps: plain.then(|| view.peak_mps(from, to, slot) as f32),
        path_m: plain.then(|| view.path_m(from, to, slot) as f32),
    }
}
