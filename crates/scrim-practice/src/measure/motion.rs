//! What the other three did while a ball screen was on.

use scrim_floor::Definitions;
use scrim_tables::tags::{Activity, CutKind, Outcome, ScreenKind};

use super::cut::Cut;
use super::film::{Film, View, exact};
use super::measured::Measured;
use super::run::MOVING_MPS;
use super::screen::Screens;
use crate::labels::{Labels, OffBallMotionLabel};
use crate::plan::ScreenPlan;
use crate::vec2::Vec2;
use crate::world::World;

/// The window begins this long before the set (vocabulary, "Off-ball motion").
const BEFORE_S: f64 = exact(Definitions::DEFAULT.motion_before_s);
/// And ends this long after the screen's end (likewise).
const AFTER_S: f64 = exact(Definitions::DEFAULT.motion_after_s);
/// A stationary player is never farther from their mean place (likewise).
const STATIONARY_M: f64 = exact(Definitions::DEFAULT.stationary_m);
/// Nearer than this to that bound the word is not sure, metres.
const DOUBT_M: f64 = 0.1;
/// A shorter window shows too little of what a player did, seconds.
const LEAST_WINDOW_S: f64 = 2.0;
/// A cut belongs to the window when so much of it lies inside, seconds.
const IN_WINDOW_S: f64 = 0.6;
/// An unnamed run this fast may be a cut, m/s; one this long too, metres. Common practice, no source.
const MAY_BE_CUT_MPS: f64 = 3.6;
/// See [`MAY_BE_CUT_MPS`].
const MAY_BE_CUT_M: f64 = 5.5;

/// Frames of the window: first, last, and whether all of it lies within the possession.
struct Window {
    from: usize,
    to: usize,
    is_whole: bool,
}

/// Spacing moves: the vocabulary's `shift`.
const fn is_spacing(kind: CutKind) -> bool {
    matches!(kind, CutKind::Lift | CutKind::Drift | CutKind::Fill)
}

fn window(film: &Film<'_>, plan: &ScreenPlan, m: &Measured) -> Option<Window> {
    let possession = &film.log.possessions[plan.possession];
    let first = film.frame_at(plan.period, possession.t_start_s);
    let last = film.frame_at(plan.period, possession.t_end_s);
    let set = m.set.filter(|_| !plan.early_denial)?;
    let from = set.saturating_sub(film.span(BEFORE_S));
    // The last frame that is not later.
    let to = m.end + (AFTER_S * film.params.hz + 1e-6) as usize;
    let inside = (from.max(first), to.min(last));
    (inside.1 >= inside.0 + film.span(LEAST_WINDOW_S)).then_some(Window {
        from: inside.0,
        to: inside.1,
        is_whole: inside == (from, to),
    })
}

/// The farthest they are from their mean place.
fn spread_m(view: &View<'_>, w: &Window, slot: usize) -> f64 {
    let count = (w.to - w.from + 1) as f64;
    let sum = (w.from..=w.to).fold(Vec2::ZERO, |sum, f| sum + view.spot(f, slot));
    let mean = sum * (1.0 / count);
    (w.from..=w.to)
        .map(|f| view.spot(f, slot).distance(mean))
        .fold(0.0, f64::max)
}

/// Whether the off-ball screens, plain or doubtful, have `slot` in them within the window, and as what.
fn screen_part(
    film: &Film<'_>,
    screens: &Screens,
    period: u8,
    w: &Window,
    slot: usize,
) -> Option<Option<Activity>> {
    let inside = |f: usize| (w.from..=w.to).contains(&f);
    for m in &screens.measured {
        let plan = &film.log.screens[m.plan];
        if plan.period != period || plan.on_ball || !(inside(m.use_frame) || m.set.is_some_and(inside)) {
            continue;
        }
        if plan.screener == slot {
            return Some(Some(Activity::Screen).filter(|_| m.is_plain && m.set.is_some_and(inside)));
        }
        if plan.user == slot {
            let used = m.is_plain && plan.outcome == Outcome::Used && inside(m.use_frame);
            return Some(Some(Activity::OffScreen).filter(|_| used));
        }
    }
    let doubtful = screens.doubts.iter().any(|d| {
        d.period == period && !d.on_ball && inside(d.use_frame) && (d.screener == slot || d.user == slot)
    });
    doubtful.then_some(None)
}

fn activity(
    film: &Film<'_>,
    view: &View<'_>,
    screens: &Screens,
    cuts: &[Cut],
    plan: &ScreenPlan,
    w: &Window,
    slot: usize,
) -> Option<Activity> {
    if let Some(part) = screen_part(film, screens, plan.period, w, slot) {
        return part;
    }
    if (w.from..=w.to).any(|f| view.holder(f) == Some(slot)) {
        // With the ball in hand they are no longer off the ball.
        return None;
    }
    let spread = spread_m(view, w, slot);
    if spread <= STATIONARY_M - DOUBT_M {
        return Some(Activity::Stationary);
    }
    if spread < STATIONARY_M + DOUBT_M {
        return None;
    }
    let part = |c: &&Cut| {
        let overlap = c.run.to.min(w.to).saturating_sub(c.run.from.max(w.from));
        c.period == plan.period
            && c.run.slot == slot
            && c.run.from <= w.to
            && c.run.to >= w.from
            && overlap >= film.span(IN_WINDOW_S)
    };
    let runs: Vec<&Cut> = cuts.iter().filter(part).collect();
    if runs.iter().any(|c| c.kind.is_some_and(|k| !is_spacing(k))) {
        return Some(Activity::Cut);
    }
    // A fast or long run without a name may be a cut; a short and easy one is a spacing move.
    let easy = runs.iter().all(|c| {
        let (from, to) = (c.run.from.max(w.from), c.run.to.min(w.to));
        c.kind.is_some()
            || (view.peak_mps(from, to, slot) < MAY_BE_CUT_MPS && view.path_m(from, to, slot) < MAY_BE_CUT_M)
    });
    (easy && !runs.is_empty()).then_some(Activity::Shift)
}

pub(crate) fn measure_motion(film: &Film<'_>, screens: &Screens, cuts: &[Cut], labels: &mut Labels) {
    let mut rows = Vec::new();
    for m in &screens.measured {
        let plan = &film.log.screens[m.plan];
        if !m.is_plain || plan.kind != ScreenKind::BallScreen {
            continue;
        }
        let Some(w) = window(film, plan, m) else { continue };
        let view = film.view(plan.period, m.use_frame);
        let team = plan.user / 5 * 5;
        for slot in (team..team + 5).filter(|&s| s != plan.user && s != plan.screener) {
            let activity = activity(film, &view, screens, cuts, plan, &w, slot);
            rows.push(motion_row(
                film,
                &view,
                plan,
                m,
                &w,
                slot,
                activity,
                screens.ids[m.plan],
            ));
        }
    }
    rows.sort_by(|a, b| (a.screen_id, &a.player_id).cmp(&(b.screen_id, &b.player_id)));
    labels.off_ball_motion = rows;
}

#[expect(clippy::too_many_arguments, reason = "one row's facts, each of its own type")]
fn motion_row(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    m: &Measured,
    w: &Window,
    slot: usize,
    activity: Option<Activity>,
    id: u32,
) -> OffBallMotionLabel {
    let whole = |number: f64| w.is_whole.then_some(number as f32);
    let frames = || w.from..=w.to;
    let path_m = view.path_m(w.from, w.to, slot);
    let moving = frames().filter(|&f| view.speed(f, slot) > MOVING_MPS).count();
    let offense = slot / 5;
    let rivals = (1 - offense) * 5;
    let guard_at = |f: usize| {
        let t_s = film.time_of(f);
        (rivals..rivals + 5).find(|&d| film.guarded_by(plan.period, t_s, offense, d) == Some(slot))
    };
    let guard =
        guard_at(w.from).filter(|&g| w.is_whole && frames().step_by(5).all(|f| guard_at(f) == Some(g)));
    let pull = |g: usize| {
        frames()
            .map(|f| {
                let expected = World::canonical(view.spot(f, slot), view.ball(f, plan.user));
                view.spot(f, g).distance(expected)
            })
            .fold(0.0, f64::max)
    };
    let space = frames()
        .map(|f| {
            (rivals..rivals + 5)
                .map(|d| view.gap(f, d, slot))
                .fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max);
    let (ball_y, own_y) = (
        view.ball(m.use_frame, plan.user).y,
        view.spot(m.use_frame, slot).y,
    );
    let sides_plain = ball_y.abs() > 1.5 && own_y.abs() > 0.5;
    OffBallMotionLabel {
        game_id: film.game_id.clone(),
        period: plan.period,
        possession_id: plan.possession as u32,
        screen_id: id,
        player_id: film.player_id(plan.period, m.use_frame, slot),
        strong_side: sides_plain.then_some(ball_y * own_y > 0.0),
        activity,
        path_m: whole(path_m),
        net_m: whole(view.spot(w.from, slot).distance(view.spot(w.to, slot))),
        mean_speed_mps: whole(path_m * film.params.hz / (w.to - w.from) as f64),
        peak_speed_mps: whole(view.peak_mps(w.from, w.to, slot)),
        moving_share: whole(moving as f64 / (w.to - w.from + 1) as f64),
        defender_id: guard.map(|g| film.player_id(plan.period, m.use_frame, g)),
        defender_pull_m: guard.map(|g| pull(g) as f32),
        max_space_m: whole(space),
    }
}
