//! The word for a coverage, by the vocabulary, from where the two defenders are on the noise-free tracks.
//!
//! What was called does not matter for the word, only for whether there is one: a script that called no coverage
//! gets none. Where the geometry lies between two words, the word stays empty.

use scrim_floor::Definitions;
use scrim_tables::tags::{Coverage, Outcome};

use super::film::{Film, View, exact};
use super::measured::Measured;
use crate::plan::ScreenPlan;
use crate::record::to_attack;
use crate::vec2::Vec2;
use crate::world::World;

/// The screener's defender in a drop is so much nearer the hoop than the screener (vocabulary).
const DROP_DEPTH_M: f64 = exact(Definitions::DEFAULT.drop_depth_m);
/// In a hedge the screener's defender comes so far beyond the screen (vocabulary).
const HEDGE_BEYOND_M: f64 = exact(Definitions::DEFAULT.hedge_beyond_m);
/// Both are so near to the handler (vocabulary, "blitz").
const CLOSE_M: f64 = exact(Definitions::DEFAULT.close_m);
/// For so long (vocabulary, "blitz").
const BLITZ_S: f64 = exact(Definitions::DEFAULT.blitz_s);
/// In a hedge the screener's defender starts back this soon after the use (vocabulary).
const BACK_BY_S: f64 = exact(Definitions::DEFAULT.hedge_back_s);
/// Exchanged matchups are held so long (vocabulary, "switch").
const EXCHANGE_S: f64 = exact(Definitions::DEFAULT.switch_s);
/// An exchange that begins later than this after the use belongs to something else. Common practice, no source.
const EXCHANGE_BY_S: f64 = 1.7;
/// Nearer than this to a bound of length, a word is not sure, metres.
const DOUBT_M: f64 = 0.08;
/// Nearer than this to a bound of time, a word is not sure, seconds.
const DOUBT_S: f64 = 0.1;
/// A defender this far from the handler has left, metres. Common practice, no source.
const LEFT_M: f64 = 2.4;
/// Who leaves draws away from the handler at least so fast, and by their own steps half so fast, m/s.
const LEAVING_MPS: f64 = 0.4;
/// A handler this much nearer the hoop than the screen is past the two, metres. Common practice, no source.
const PAST_M: f64 = 1.5;
/// A defender's place on the handler is this far off, on the way to the hoop, metres. Common practice, no source.
const ON_BALL_M: f64 = 1.0;
/// Ice: the handler's defender stands this far on the screen's side of the handler, metres. Common practice, no source.
const ICE_SIDE_M: f64 = 0.2;
/// Ice: the screener's defender waits this far below the screen, metres. Common practice, no source.
const ICE_DEPTH_M: f64 = exact(Definitions::DEFAULT.ice_depth_m);

/// What the two defenders did.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Evidence {
    /// How much nearer the hoop than the screener their defender is at the use.
    pub depth_m: f64,
    /// How much farther from the hoop than the screener that defender came, from 0.6 s before the use to 1.5 s after.
    pub beyond_m: f64,
    /// How long both were close to the handler in the 3 s after the use.
    pub both_close_s: f64,
    /// The same while the handler had the ball and was not yet past them on the way to the rim: two around a driver
    /// under the rim are no blitz.
    trapped_s: f64,
    /// The same as `beyond_m`, until the ball was gone.
    held_beyond_m: f64,
    /// From the use to the first step of the screener's defender away from the handler, when it came before the ball was gone.
    back_s: Option<f64>,
    /// Whether the handler's defender left the handler in the second after they were both there.
    on_ball_left: bool,
    /// Whether the two had exchanged their players for long enough.
    is_exchanged: bool,
    /// The handler's defender toward the screen, seen from the handler, just before the use.
    on_ball_side_m: f64,
}

/// First frame from `use_frame` on at which the user has the ball no more (passed, shot or lost it).
fn ball_gone(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, use_frame: usize, last: usize) -> usize {
    let has = |f: usize| view.record.frames[f].holder.map(usize::from) == Some(plan.user);
    let soon = (use_frame + film.span(1.0)).min(last);
    let Some(first) = (use_frame..=soon).find(|&f| has(f)) else {
        return use_frame;
    };
    (first..=last).find(|&f| !has(f)).unwrap_or(last)
}

/// First frame of `defender`'s leaving of the handler: they draw away by their own steps until they are gone, and stay away.
fn find_leaving(
    film: &Film<'_>,
    view: &View<'_>,
    defender: usize,
    user: usize,
    from: usize,
    to: usize,
) -> Option<usize> {
    let last = view.record.frames.len() - 1;
    let stays = film.span(0.4);
    let gap = |f: usize| view.gap(f, defender, user);
    let was_close = (from..=to).find(|&f| gap(f) < LEFT_M)?;
    let gone = (was_close..=to)
        .find(|&f| gap(f) > LEFT_M && (f..=(f + stays).min(last)).all(|g| gap(g) > LEFT_M - 0.2))?;
    let reach = film.span(0.16).max(1);
    let leaves = |f: usize| {
        let away = (view.spot(f, defender) - view.spot(f, user)).unit();
        let rate = (gap((f + reach).min(last)) - gap(f)) * view.hz / reach as f64;
        rate > LEAVING_MPS && view.velocity(f, defender).dot(away) > LEAVING_MPS / 2.0
    };
    // Back from where they are gone, as long as they were on the way.
    let first = (was_close..gone)
        .rev()
        .find(|&f| !leaves(f))
        .map_or(was_close, |f| f + 1);
    (first < gone).then_some(first)
}

/// Whether for `EXCHANGE_S` the screener's defender had the handler and the handler's defender had left for the screener.
fn held_exchange(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, use_frame: usize, last: usize) -> bool {
    let (on_screener, on_ball, u, s) = (
        plan.screener_defender,
        plan.user_defender,
        plan.user,
        plan.screener,
    );
    let need = film.span(EXCHANGE_S);
    let by = use_frame + film.span(EXCHANGE_BY_S);
    let mut run = 0;
    for f in use_frame..=last.min(by + need) {
        let (handler, mate) = (view.spot(f, u), view.spot(f, s));
        let row = &view.record.frames[f];
        let ball = row
            .ball_m
            .map_or(handler, |[x, y, _]| to_attack([x, y], view.sign, view.hoop_x_m));
        let place = |player: Vec2, slot: usize| {
            if row.holder.map(usize::from) == Some(slot) {
                player - player.unit() * ON_BALL_M.min(player.length() / 2.0)
            } else {
                World::canonical(player, ball)
            }
        };
        let (on_handler, on_mate) = (place(handler, u), place(mate, s));
        let off = |d: usize, place: Vec2| view.spot(f, d).distance(place);
        let exchanged_m = off(on_screener, on_handler) + off(on_ball, on_mate);
        let as_before_m = off(on_ball, on_handler) + off(on_screener, on_mate);
        // The handler's defender has gone to the screener (to the body, or to where one guards it), and has not
        // merely fallen behind while the other helps.
        let has_left = view.gap(f, on_ball, s) < view.gap(f, on_ball, u)
            || off(on_ball, on_mate) < off(on_ball, on_handler);
        run = if exchanged_m < as_before_m && has_left {
            run + 1
        } else {
            0
        };
        if run > need {
            return true;
        }
    }
    false
}

pub(crate) fn measure_two(film: &Film<'_>, plan: &ScreenPlan, m: &Measured) -> Evidence {
    let view = film.view(plan.period, m.use_frame);
    let last = film
        .frame_at(plan.period, film.log.possessions[plan.possession].t_end_s)
        .max(m.use_frame);
    let (on_screener, on_ball, u) = (plan.screener_defender, plan.user_defender, plan.user);
    let gone = ball_gone(film, &view, plan, m.use_frame, last);
    let after = |seconds: f64| (m.use_frame + film.span(seconds)).min(last);
    let screen_m = view.spot(m.use_frame, plan.screener).length();
    let from = m.use_frame.saturating_sub(film.span(0.6));
    let beyond = |to: usize| {
        (from..=to.max(from))
            .map(|f| view.spot(f, on_screener).length() - screen_m)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let both_close = |f: &usize| view.gap(*f, on_screener, u) < CLOSE_M && view.gap(*f, on_ball, u) < CLOSE_M;
    let seconds = |frames: usize| frames as f64 / film.params.hz;
    let is_out = |f: &usize| view.spot(*f, u).length() > screen_m - PAST_M;
    let back = find_leaving(film, &view, on_screener, u, m.use_frame, after(3.5)).filter(|&f| f < gone);
    let on_ball_left = find_leaving(film, &view, on_ball, u, m.use_frame, gone.min(after(2.5))).is_some();
    let before = m.use_frame.saturating_sub(film.span(0.2));
    Evidence {
        depth_m: screen_m - view.spot(m.use_frame, on_screener).length(),
        beyond_m: beyond(after(1.5)),
        both_close_s: seconds((m.use_frame..=after(3.0)).filter(both_close).count()),
        trapped_s: seconds(
            (m.use_frame..=after(3.0).min(gone))
                .filter(both_close)
                .filter(is_out)
                .count(),
        ),
        held_beyond_m: beyond(after(1.5).min(gone)),
        back_s: back.map(|f| film.time_of(f) - film.time_of(m.use_frame)),
        on_ball_left,
        is_exchanged: held_exchange(film, &view, plan, m.use_frame, last),
        on_ball_side_m: (view.spot(before, on_ball) - view.spot(before, u)).dot(plan.out),
    }
}

/// Whether the two had orders to exchange their players within the time a switch takes.
fn was_exchanged(film: &Film<'_>, plan: &ScreenPlan, m: &Measured) -> bool {
    let by_s = film.time_of(m.use_frame) + EXCHANGE_BY_S;
    film.log
        .matchups
        .iter()
        .rfind(|c| c.period == plan.period && c.t_s <= by_s && c.offense == plan.user / 5)
        .is_some_and(|c| c.guards[plan.screener_defender] == plan.user)
}

/// The word that the geometry has for a called coverage; `None` where nothing was called or it lies between two.
pub(crate) fn word_for(film: &Film<'_>, plan: &ScreenPlan, m: &Measured, e: &Evidence) -> Option<Coverage> {
    let called = plan.coverage?;
    if plan.outcome == Outcome::Rejected {
        return match (e.on_ball_side_m, e.depth_m) {
            (side, depth) if side > ICE_SIDE_M && depth > ICE_DEPTH_M => Some(Coverage::Ice),
            // In front of the handler, not on a side.
            (side, _) if side < 0.0 && called != Coverage::Ice => depth_word(e),
            _ => None,
        };
    }
    if plan.outcome != Outcome::Used {
        return depth_word(e).filter(|_| called != Coverage::Ice);
    }
    match (e.is_exchanged, was_exchanged(film, plan, m)) {
        (true, true) => return Some(Coverage::Switch),
        // Ordered and not carried through, or a chase that looks like an exchange: between two.
        (true, false) | (false, true) => return None,
        (false, false) => {}
    }
    let starts_back = e.back_s.is_some_and(|s| s <= BACK_BY_S);
    if e.trapped_s >= BLITZ_S - DOUBT_S && !starts_back {
        // Two at the height of the screen who never came out may have contained the handler only: between level and blitz,
        // unless it goes on.
        let came_out = e.held_beyond_m > HEDGE_BEYOND_M - DOUBT_M;
        let least_s = if came_out {
            BLITZ_S + DOUBT_S / 2.0
        } else {
            BACK_BY_S
        };
        let long = e.trapped_s >= least_s && e.depth_m < DROP_DEPTH_M - DOUBT_M;
        let stays = e.back_s.is_none_or(|s| s >= BACK_BY_S + DOUBT_S) && !e.on_ball_left;
        return (long && stays).then_some(Coverage::Blitz);
    }
    if e.held_beyond_m >= HEDGE_BEYOND_M + DOUBT_M {
        let hedged = starts_back && e.depth_m < DROP_DEPTH_M - DOUBT_M;
        return hedged.then_some(Coverage::Hedge);
    }
    depth_word(e)
}

/// Drop or level, where the screener's defender neither came out nor is between the two.
fn depth_word(e: &Evidence) -> Option<Coverage> {
    if e.held_beyond_m > HEDGE_BEYOND_M - DOUBT_M {
        None
    } else if e.depth_m >= DROP_DEPTH_M + DOUBT_M {
        Some(Coverage::Drop)
    } else if e.depth_m.abs() <= DROP_DEPTH_M - DOUBT_M {
        Some(Coverage::Level)
    } else {
        None
    }
}
