//! Whether a screener comes to the user's defender: how near, how slow, in the way or on the way.

use super::film::{Film, View};
use crate::plan::ScreenPlan;

/// A defender this near to the screener, or whose straight way passes the screener this near, has the way taken, metres. Of the
/// real ball screens that were labelled as used it holds for 99 in 100; with 0.75 m for 96.
const IN_WAY_M: f64 = 0.9;
/// The way is to where the user is this much later, seconds. Common practice, no source.
const WAY_AHEAD_S: f64 = 0.5;
/// That is from so long before the use to so long after it, seconds.
const REACHED_S: (f64, f64) = (1.5, 0.5);
/// A screener of a used ball screen, about the use, is once slower than this, m/s; who is not, runs past and sets none. The
/// fastest of the 185 real ones was 1.86 m/s at the slowest.
const RUNS_PAST_MPS: f64 = 2.0;
/// Who is on the way to screen comes at this speed and is within this of the user's defender. Common practice, no source.
const ON_THE_WAY: (f64, f64) = (1.0, 5.0);

/// The frames about a use in which a screener comes to the user's defender.
fn about_use(film: &Film<'_>, view: &View<'_>, use_frame: usize) -> std::ops::RangeInclusive<usize> {
    let last = view.record.frames.len() - 1;
    use_frame.saturating_sub(film.span(REACHED_S.0))..=(use_frame + film.span(REACHED_S.1)).min(last)
}

/// Whether about the use the screener comes within `reach_m` of the user's defender.
pub(super) fn is_reached(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    use_frame: usize,
    reach_m: f64,
) -> bool {
    about_use(film, view, use_frame).any(|f| view.gap(f, plan.user_defender, plan.screener) < reach_m)
}

/// Whether about the use the screener is slow enough to be one, at least once.
pub(super) fn slows_down(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, use_frame: usize) -> bool {
    about_use(film, view, use_frame).any(|f| view.speed(f, plan.screener) < RUNS_PAST_MPS)
}

/// Whether the screener is on the way to the user's defender when the user leaves at `frame`.
pub(super) fn is_on_the_way(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, frame: usize) -> bool {
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
