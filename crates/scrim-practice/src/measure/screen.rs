//! The instants and distances of screens.

use scrim_floor::{Definitions, Point};
use scrim_tables::tags::{Outcome, ScreenKind};

use super::doubt::{Doubt, HANDED_S, HANDOFF_M};
use super::exact;
use super::{Film, View, coverage, doubt, option};
use crate::labels::{Labels, ScreenLabel};
use crate::plan::ScreenPlan;

/// Nearest approach at which a user counts as having used a screener who stands (vocabulary, "Screens").
const USE_GAP_M: f64 = exact(Definitions::DEFAULT.use_gap_m);
/// The same where the user's defender had the way taken, however far off the user passes (vocabulary, "Screens").
const USE_WIDE_GAP_M: f64 = 3.0;
/// Away from the ball a pair that parts farther than this from each other never had a screen between them.
const PARTING_GAP_M: f64 = 2.3;
/// A defender this near to the screener, or whose straight way passes the screener this near, has the way taken, metres. Of the
/// real ball screens that were labelled as used it holds for 99 in 100; with 0.75 m for 96.
const IN_WAY_M: f64 = 0.9;
/// The way is to where the user is this much later, seconds. Common practice, no source.
const WAY_AHEAD_S: f64 = 0.5;
/// Within this of the user's defender a screener is come to screen who is not used then, metres: so it was in all 23 real ball
/// screens that were labelled as slipped, ghosted, unused or flipped.
const REACHED_M: f64 = 1.4;
/// The same where the user leaves the screener's side: 2.18 m at most in the 23 real ones that were labelled as rejected.
const REACHED_WIDE_M: f64 = 2.2;
/// That is from so long before the use to so long after it, seconds.
const REACHED_S: (f64, f64) = (1.5, 0.5);
/// A screener of a used ball screen, about the use, is once slower than this, m/s; who is not, runs past and sets none. The
/// fastest of the 185 real ones was 1.86 m/s at the slowest.
const RUNS_PAST_MPS: f64 = 2.0;
/// Who is on the way to screen comes at this speed and is within this of the user's defender. Common practice, no source.
const ON_THE_WAY: (f64, f64) = (1.0, 5.0);
/// Under this a screener stands (vocabulary, "Screens").
const SET_SPEED_MPS: f64 = exact(Definitions::DEFAULT.standing_mps);
/// For at least so long.
const SET_S: f64 = 0.25;
/// Both are away from the screen's spot (vocabulary, `t_end_s`).
const AWAY_M: f64 = 2.5;

/// A flipped screen is set again this soon (vocabulary, "flipped").
const FLIP_S: f64 = 3.0;

/// A plan with what was measured of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Measured {
    /// Index into the log's screens.
    pub plan: usize,
    pub set: Option<usize>,
    pub use_frame: usize,
    pub end: usize,
    pub user_gap_m: f64,
    pub screener_speed_mps: f64,
    /// Whether what happened is what the vocabulary calls by the plan's words.
    pub is_plain: bool,
}

pub(crate) fn view_of<'a>(film: &'a Film<'_>, period: u8, frame: usize) -> View<'a> {
    let record = film.record(period);
    View {
        record,
        sign: record.frames[frame].sign,
        hoop_x_m: f64::from(film.params.court.hoop_x_m()),
        hz: film.params.hz,
    }
}

/// First frame of the first stretch of `SET_S` in `[from, to]` in which the screener stands.
fn find_set(film: &Film<'_>, view: &View<'_>, from: usize, to: usize, screener: usize) -> Option<usize> {
    let need = film.span(SET_S).max(1);
    let last = view.record.frames.len() - 1;
    (from..=to).find(|&f| f + need <= last && (f..=f + need).all(|g| view.speed(g, screener) < SET_SPEED_MPS))
}

/// First frame from `from` on at which `leaver` is on his way and the two draw apart.
fn find_parting(
    film: &Film<'_>,
    view: &View<'_>,
    from: usize,
    to: usize,
    leaver: usize,
    other: usize,
) -> Option<usize> {
    let ahead = film.span(0.16).max(1);
    let last = view.record.frames.len() - 1;
    (from..=to.min(last.saturating_sub(ahead))).find(|&f| {
        view.speed(f, leaver) > 1.2 && view.gap(f + ahead, leaver, other) - view.gap(f, leaver, other) > 0.08
    })
}

/// A screener this far from where he was set has left, m. Common practice, no source.
const LEFT_M: f64 = 0.8;
/// A user over the top of a screen may be this much nearer the baseline than the screener, m. Common practice, no source.
const OVER_TOP_M: f64 = 0.3;
/// A screener this far from where they stood is on the way to the handler's other side, m. Common practice, no source.
const TURNED_M: f64 = 0.3;
/// A handler who comes off a screen is at least this fast, m/s. Common practice, no source.
const COMING_MPS: f64 = 1.4;

/// The frames about a use in which a screener comes to the user's defender.
fn about_use(film: &Film<'_>, view: &View<'_>, use_frame: usize) -> std::ops::RangeInclusive<usize> {
    let last = view.record.frames.len() - 1;
    use_frame.saturating_sub(film.span(REACHED_S.0))..=(use_frame + film.span(REACHED_S.1)).min(last)
}

/// Whether about the use the screener comes within `reach_m` of the user's defender.
fn is_reached(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, use_frame: usize, reach_m: f64) -> bool {
    about_use(film, view, use_frame).any(|f| view.gap(f, plan.user_defender, plan.screener) < reach_m)
}

/// Whether about the use the screener is slow enough to be one, at least once.
fn slows_down(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, use_frame: usize) -> bool {
    about_use(film, view, use_frame).any(|f| view.speed(f, plan.screener) < RUNS_PAST_MPS)
}

/// Whether the screener is on the way to the user's defender when the user leaves at `frame`.
fn is_on_the_way(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, frame: usize) -> bool {
    let before_s = 0.5;
    let gap = |f: usize| view.gap(f, plan.user_defender, plan.screener);
    let came_m = gap(frame.saturating_sub(film.span(before_s))) - gap(frame);
    came_m > ON_THE_WAY.0 * before_s && gap(frame) < ON_THE_WAY.1
}

/// Whether about `frame` the screener stands in the way of the user's defender.
pub(super) fn is_way_taken(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, frame: usize) -> bool {
    let last = view.record.frames.len() - 1;
    let (from, to) = (
        frame.saturating_sub(film.span(0.7)),
        (frame + film.span(0.5)).min(last),
    );
    (from..=to).any(|f| {
        view.gap(f, plan.user_defender, plan.screener) < IN_WAY_M
            || takes_way(film, view, f, plan.screener, plan.user, plan.user_defender)
    })
}

/// Whether at `frame` `screener` is in the way of `defender` to where `user` goes.
pub(super) fn takes_way(
    film: &Film<'_>,
    view: &View<'_>,
    frame: usize,
    screener: usize,
    user: usize,
    defender: usize,
) -> bool {
    let last = view.record.frames.len() - 1;
    let goal = view.spot((frame + film.span(WAY_AHEAD_S)).min(last), user);
    let (here, at) = (view.spot(frame, defender), view.spot(frame, screener));
    let way = goal - here;
    let share = (at - here).dot(way) / way.dot(way).max(1e-6);
    // Between the two, not beside one who has no way to go.
    (0.05..0.95).contains(&share) && way.length() > IN_WAY_M && at.distance(here + way * share) < IN_WAY_M
}

pub(crate) fn measure_one(film: &Film<'_>, index: usize) -> Measured {
    let plan = &film.log.screens[index];
    let (period, s, u) = (plan.period, plan.screener, plan.user);
    let call = film.frame_at(period, plan.t_call_s);
    let go = film.frame_at(period, plan.t_go_s);
    let view = view_of(film, period, call);
    let last = view.record.frames.len() - 1;
    let until = |from: usize, seconds: f64| (from + film.span(seconds)).min(last);
    let planted = plan.t_planted_s.map(|t| film.frame_at(period, t));
    // The scripted standing begins a little after the body is slow enough: look back. One who never means to stand may be slow
    // enough all the same, and one who is late stands while the user comes.
    let comes = plan.on_ball && plan.outcome == Outcome::Used;
    let set_from = planted
        .or(comes.then_some(go))
        .map(|f| f.saturating_sub(film.span(0.8)).max(call));
    let set_to = until(go, if comes { 2.4 } else { 0.3 });
    let set = set_from.and_then(|from| find_set(film, &view, from, set_to, s));

    let (use_frame, gap) = match plan.outcome {
        Outcome::Used => {
            // The approach by which he uses the screen: before he goes he may stand nearer for a while.
            let on_the_move = go.saturating_sub(film.span(0.8)).max(call);
            // The screener may still arrive while the user comes.
            let from = if plan.on_ball {
                go
            } else {
                set.map_or(on_the_move, |set| set.max(go))
            };
            let to = until(go, 2.4);
            // ... and a step the other way, to lean the defender, is not his coming.
            let comes = (from..=to)
                .find(|&f| view.speed(f, u) >= COMING_MPS)
                .unwrap_or(from);
            // Once the screener has left his spot, the two may run side by side, nearer than at the screen.
            let left = set
                .filter(|&set| set >= comes || view.spot(comes, s).distance(view.spot(set, s)) <= LEFT_M)
                .and_then(|set| {
                    (set.max(comes)..=to).find(|&f| view.spot(f, s).distance(view.spot(set, s)) > LEFT_M)
                });
            view.closest(comes, left.unwrap_or(to), s, u)
        }
        // Before the run at the defender the two may have been near each other for another reason.
        Outcome::Ghosted => view.closest(go.saturating_sub(film.span(1.5)).max(call), until(go, 1.5), s, u),
        Outcome::Rejected => {
            let part = find_parting(film, &view, go, until(go, 1.5), u, s).unwrap_or(go);
            (part, view.closest(set.unwrap_or(go), part, s, u).1)
        }
        Outcome::Flipped => {
            // The two may stay near each other all the way round: it is the spot that the screener leaves.
            let stood = view.spot(go, s);
            let left = (go..=until(go, 1.5)).find(|&f| view.spot(f, s).distance(stood) > TURNED_M);
            let part = left.unwrap_or(go);
            (part, view.closest(set.unwrap_or(call), part, s, u).1)
        }
        Outcome::Slipped => {
            let part = find_parting(film, &view, go, until(go, 1.5), s, u).unwrap_or(go);
            (part, view.closest(set.unwrap_or(call), part, s, u).1)
        }
        Outcome::Unused => {
            let by_screener = find_parting(film, &view, go, until(go, 2.0), s, u).unwrap_or(usize::MAX);
            let by_user = find_parting(film, &view, go, until(go, 2.0), u, s).unwrap_or(usize::MAX);
            let part = by_screener.min(by_user).min(until(go, 1.0));
            (part, view.closest(set.unwrap_or(go), part, s, u).1)
        }
    };
    let set = set.filter(|&f| f <= use_frame);
    let spot = view.spot(use_frame, s);
    // The last frame that is not more than 2.5 s later.
    let most = (use_frame + (2.5 * film.params.hz + 1e-6) as usize).min(last);
    let end = (use_frame..=most)
        .find(|&f| view.spot(f, s).distance(spot) > AWAY_M && view.spot(f, u).distance(spot) > AWAY_M)
        .unwrap_or(most);
    let around = (use_frame.saturating_sub(film.span(1.0)).max(call), use_frame);
    let slowest = (around.0..=around.1)
        .map(|f| view.speed(f, s))
        .fold(f64::INFINITY, f64::min);

    let on_the_move = plan.kind == ScreenKind::Handoff;
    // Where nobody came off it. Away from the ball the pair's distance alone says it: few such screens are labelled in real play.
    let came_to_screen = |reach_m: f64| {
        if plan.on_ball {
            gap <= USE_WIDE_GAP_M && is_reached(film, &view, plan, use_frame, reach_m)
        } else {
            gap <= PARTING_GAP_M
        }
    };
    let is_plain = match plan.outcome {
        Outcome::Used => {
            let taken = gap <= USE_WIDE_GAP_M && is_way_taken(film, &view, plan, use_frame);
            // Who goes below the screener does not come over the top.
            let is_over = plan.kind != ScreenKind::OverTop
                || view.spot(use_frame, u).x > view.spot(use_frame, s).x - OVER_TOP_M;
            let is_slow = !plan.on_ball || on_the_move || slows_down(film, &view, plan, use_frame);
            is_over && is_slow && ((gap <= USE_GAP_M && (set.is_some() || on_the_move)) || taken)
        }
        Outcome::Rejected if plan.early_denial => is_on_the_way(film, &view, plan, use_frame),
        Outcome::Rejected => set.is_some() && came_to_screen(REACHED_WIDE_M),
        Outcome::Flipped | Outcome::Unused => set.is_some() && came_to_screen(REACHED_M),
        Outcome::Slipped | Outcome::Ghosted => came_to_screen(REACHED_M),
    };
    Measured {
        plan: index,
        set,
        use_frame,
        end,
        user_gap_m: gap,
        screener_speed_mps: slowest,
        is_plain,
    }
}

/// A plan whose script was broken off (the period or the clock ended) before the screen came to anything.
fn was_played(film: &Film<'_>, plan: &ScreenPlan) -> bool {
    plan.t_go_s > plan.t_call_s && film.log.possessions[plan.possession].t_end_s > plan.t_go_s
}

/// Whether the user gave the ball to a screener who ran past him while the two were still so near that the pass is a
/// handoff as well: then two words fit.
fn is_handed_over(film: &Film<'_>, plan: &ScreenPlan, m: &Measured) -> bool {
    if !matches!(plan.outcome, Outcome::Slipped | Outcome::Ghosted) {
        return false;
    }
    let view = view_of(film, plan.period, m.use_frame);
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
    let view = view_of(film, plan.period, m.use_frame);
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
