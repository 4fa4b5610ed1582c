//! The instants and distances of one screen that was planned.

use scrim_floor::Definitions;
use scrim_tables::tags::{Outcome, ScreenKind};

use super::film::{Film, View, exact};
use super::reach::{is_on_the_way, is_reached, is_way_taken, slows_down};

/// Nearest approach at which a user counts as having used a screener who stands (vocabulary, "Screens").
const USE_GAP_M: f64 = exact(Definitions::DEFAULT.use_gap_m);
/// The same where the user's defender had the way taken, however far off the user passes (vocabulary, "Screens").
const USE_WIDE_GAP_M: f64 = 3.0;
/// Away from the ball a pair that parts farther than this from each other never had a screen between them.
const PARTING_GAP_M: f64 = 2.3;
/// Within this of the user's defender a screener is come to screen who is not used then, metres: so it was in all 23 real ball
/// screens that were labelled as slipped, ghosted, unused or flipped.
const REACHED_M: f64 = 1.4;
/// The same where the user leaves the screener's side: 2.18 m at most in the 23 real ones that were labelled as rejected.
const REACHED_WIDE_M: f64 = 2.2;
/// Under this a screener stands (vocabulary, "Screens").
const SET_SPEED_MPS: f64 = exact(Definitions::DEFAULT.standing_mps);
/// For at least so long.
const SET_S: f64 = 0.25;
/// Both are away from the screen's spot (vocabulary, `t_end_s`).
const AWAY_M: f64 = 2.5;
/// A screener this far from where the screen was set has left, m. Common practice, no source.
const LEFT_M: f64 = 0.8;
/// A user over the top of a screen may be this much nearer the baseline than the screener, m. Common practice, no source.
const OVER_TOP_M: f64 = 0.3;
/// A screener this far from where they stood is on the way to the handler's other side, m. Common practice, no source.
const TURNED_M: f64 = 0.3;
/// A handler who comes off a screen is at least this fast, m/s. Common practice, no source.
const COMING_MPS: f64 = 1.4;

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

/// First frame of the first stretch of `SET_S` in `[from, to]` in which the screener stands.
fn find_set(film: &Film<'_>, view: &View<'_>, from: usize, to: usize, screener: usize) -> Option<usize> {
    let need = film.span(SET_S).max(1);
    let last = view.record.frames.len() - 1;
    (from..=to).find(|&f| f + need <= last && (f..=f + need).all(|g| view.speed(g, screener) < SET_SPEED_MPS))
}

/// First frame from `from` on at which `leaver` is on the way and the two draw apart.
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

pub(crate) fn measure_one(film: &Film<'_>, index: usize) -> Measured {
    let plan = &film.log.screens[index];
    let (period, s, u) = (plan.period, plan.screener, plan.user);
    let call = film.frame_at(period, plan.t_call_s);
    let go = film.frame_at(period, plan.t_go_s);
    let view = film.view(period, call);
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
            // The approach by which the user uses the screen: they may stand nearer for a while before they go.
            let on_the_move = go.saturating_sub(film.span(0.8)).max(call);
            // The screener may still arrive while the user comes.
            let from = if plan.on_ball {
                go
            } else {
                set.map_or(on_the_move, |set| set.max(go))
            };
            let to = until(go, 2.4);
            // ... and a step the other way, to lean the defender, is not the coming.
            let comes = (from..=to)
                .find(|&f| view.speed(f, u) >= COMING_MPS)
                .unwrap_or(from);
            // Once the screener has left the spot, the two may run side by side, nearer than at the screen.
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
        Outcome::Flipped => match plan.t_turn_s {
            Some(turn_s) => view.closest(go, film.frame_at(period, turn_s), s, u),
            None => {
                // The two may stay near each other all the way round: it is the spot that the screener leaves.
                let stood = view.spot(go, s);
                let left = (go..=until(go, 1.5)).find(|&f| view.spot(f, s).distance(stood) > TURNED_M);
                let part = left.unwrap_or(go);
                (part, view.closest(set.unwrap_or(call), part, s, u).1)
            }
        },
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
