//! What the coverage model looks at: a plain list of named numbers, at any speed.
//!
//! The screener's defender's depth through time, both defenders' distances to both attackers, the exchange of matchups by
//! places, two on the ball, the side taken away, and how far each word's own definition is met (`borders`).

use scrim_floor::Point;
use scrim_tables::tags::Outcome;

use super::guarding::{guard_gap_m, guard_line};
use super::on_ball::OnBallEvidence;
use super::screener_defender::ScreenerDefenderEvidence;
use super::swap::SwapEvidence;
use crate::BallScreen;
use crate::reads::borders;
use crate::reads::cast::Cast;
use crate::screen::declare::evidence;

evidence! {
    /// What the coverage model looks at. Distances m, times s; NaN where it was not seen. Times count from the use. The names are
    /// those of the model's file: `screen_guard` in a name is the screener's defender, `guard` the handler's.
    CoverageEvidence;
    /// How much nearer the hoop than the screen the screener's defender is, at the use.
    depth_at_use_m,
    /// The same at 0.5 s.
    depth_at_0_5_m,
    /// The same at 1 s.
    depth_at_1_m,
    /// The same at 1.5 s.
    depth_at_1_5_m,
    /// The same, least, from 0.6 s before to 1.5 s after.
    depth_least_m,
    /// How far beyond the screen the screener's defender comes on the handler's side of it, most, in that time.
    beyond_on_side_m,
    /// How far to the handler's side of the screen the screener's defender is at the use.
    screen_guard_side_at_use_m,
    /// The same at 0.5 s.
    screen_guard_side_at_0_5_m,
    /// The screener's defender to screener at the use.
    screen_guard_gap_at_use_m,
    /// The same at 0.5 s.
    screen_guard_gap_at_0_5_m,
    /// The same at 1 s.
    screen_guard_gap_at_1_m,
    /// The screener's defender to handler at 0.5 s.
    screen_guard_to_user_at_0_5_m,
    /// The same at 1 s.
    screen_guard_to_user_at_1_m,
    /// How much nearer each defender is to where the other should guard, the lesser of the two, mean from 0.4 to 1 s.
    exchange_from_0_4_m,
    /// The same from 1 to 1.6 s.
    exchange_from_1_m,
    /// The same from 1.6 to 2.5 s.
    exchange_from_1_6_m,
    /// The same from 2.5 to 4 s.
    exchange_from_2_5_m,
    /// The same, mean from 0.4 to 4 s.
    exchange_mean_m,
    /// The same, its highest mean over the time that a switch lasts.
    exchange_most_m,
    /// How much nearer the screener's defender is to where the handler should be guarded than to where the screener
    /// should, 1.6 to 2.5 s.
    screen_guard_exchange_m,
    /// Straight distances (each defender to their own attacker) less crossed ones, mean from 0.4 to 1 s.
    crossed_from_0_4_m,
    /// The same from 1 to 1.6 s.
    crossed_from_1_m,
    /// The same from 1.6 to 2.5 s.
    crossed_from_1_6_m,
    /// The same from 2.5 to 4 s.
    crossed_from_2_5_m,
    /// How much farther from the handler their own defender is than the screener's, mean from 1.6 to 2.5 s.
    handed_over_m,
    /// Share of the handler's time with the ball (at most 3 s) in which both are near.
    two_on_ball_share,
    /// The farther of the two from the handler, mean from 1 to 1.6 s while the handler has the ball.
    two_on_ball_m,
    /// How long both are within 1.8 m of the handler who has the ball, at most 3 s.
    both_close_s,
    /// How long the two are watched for that: until the handler passes or splits them, at most 3 s.
    watched_s,
    /// How long a screener's defender who came within 1.8 m of the handler stays: until the start back, or as long as watched; 0:
    /// never came.
    screen_guard_stays_s,
    /// When the screener's defender is last near the handler who has the ball, within 3 s; 0: never.
    screen_guard_near_until_s,
    /// How much nearer the handler than the screener the screener's defender is from 1 to 1.6 s while the handler has the ball.
    screen_guard_stays_m,
    /// How far toward the screen's side of the handler their defender is, mean of the last 0.4 s before the use.
    guard_side_m,
    /// 1 when the handler rejects the screen, else 0.
    rejected,
    /// 1 when the handler goes past the screener, else 0.
    goes_past,
    /// How far the definition of `ice` is met, 0 to 1.
    as_ice,
    /// Of `switch`.
    as_switch,
    /// Of `drop`.
    as_drop,
    /// Of `blitz`.
    as_blitz,
    /// Of `hedge`.
    as_hedge,
    /// Of `level`.
    as_level,
}

impl CoverageEvidence {
    /// How far the definition of each of [`crate::COVERAGE_WORDS`] is met; the six add up to one.
    pub fn definitions(&self) -> [f32; 6] {
        [
            self.as_ice,
            self.as_switch,
            self.as_drop,
            self.as_blitz,
            self.as_hedge,
            self.as_level,
        ]
    }
}

/// A defender this near the handler is on the ball or on the way to it, m: more than the 1.8 m of a blitz, since two who
/// run reach farther.
const NEAR_M: f32 = 2.2;
/// Two on the ball are looked for this long, s.
const LOOKED_AT_S: f32 = 3.0;
/// Half the time that an instant's mean is taken over, s.
const AROUND_S: f32 = 0.1;
/// The screener's defender shows from this long before the use, s ...
const SHOWS_FROM_S: f32 = -0.6;
/// ... to this long after it, s.
const SHOWS_TO_S: f32 = 1.5;
/// One who chases over the top trails for a moment, whatever the coverage: exchanges count from here, s ...
const EXCHANGE_FROM_S: f32 = 0.4;
/// ... to here, s.
const EXCHANGE_TO_S: f32 = 4.0;

/// Measures; `None` when one of the two defenders is not known. `passed`: the frame of the handler's pass, if any.
pub(super) fn measure(
    cast: &Cast,
    screen: &BallScreen,
    screener_defender: &ScreenerDefenderEvidence,
    swap: &SwapEvidence,
    on_ball: Option<&OnBallEvidence>,
    passed: Option<usize>,
) -> Option<CoverageEvidence> {
    let scene = cast.scene;
    let (o, b) = (
        &scene.defenders[cast.user_defender?],
        &scene.defenders[cast.screener_defender?],
    );
    let (u, s) = (&scene.attackers[cast.user], &scene.attackers[cast.screener]);
    let hoop = Point::origin();
    let screen_m = cast.spot.distance_m(hoop);
    let to_screener = cast.spot - u.at(cast.used);
    let across = cast.up.quarter_turn();
    let screen_side = if to_screener.dot(across) < 0.0 {
        -across
    } else {
        across
    };

    let to_user = |k: usize| b.at(k).distance_m(u.at(k));
    let guard_to_user = |k: usize| o.at(k).distance_m(u.at(k));
    let gap = |k: usize| b.at(k).distance_m(s.at(k));
    let guard_to_screener = |k: usize| o.at(k).distance_m(s.at(k));
    let depth = |k: usize| screen_m - b.at(k).distance_m(hoop);
    let side = |k: usize| (b.at(k) - cast.spot).dot(cast.side);
    let crossed = |k: usize| guard_to_user(k) + gap(k) - guard_to_screener(k) - to_user(k);
    let farther = |k: usize| to_user(k).max(guard_to_user(k)) + 0.0 * (to_user(k) + guard_to_user(k));
    let instant = |at_s: f32, value: &dyn Fn(usize) -> f32| {
        mean(cast, at_s - AROUND_S, at_s + AROUND_S, cast.last, value)
    };
    let span =
        |from_s: f32, to_s: f32, value: &dyn Fn(usize) -> f32| mean(cast, from_s, to_s, cast.last, value);

    // How near each is to where the other should guard: the handler's defender, the screener's.
    let places = |k: usize| {
        let (user, screener) = (
            guard_line(scene, cast.user, k),
            guard_line(scene, cast.screener, k),
        );
        let handlers = guard_gap_m(o.at(k), user) - guard_gap_m(o.at(k), screener);
        let screeners = guard_gap_m(b.at(k), screener) - guard_gap_m(b.at(k), user);
        (handlers, screeners)
    };
    let exchange = |k: usize| {
        let (handlers, screeners) = places(k);
        // `min` would take the one that is seen for both.
        handlers.min(screeners) + 0.0 * (handlers + screeners)
    };
    let exchange_of_screeners = |k: usize| places(k).1;
    let handed_over = |k: usize| guard_to_user(k) - to_user(k);

    let held_to = passed.unwrap_or(cast.last).clamp(cast.used, cast.last);
    let watched = held_to.min(cast.after_use(LOOKED_AT_S));
    let both_near = (cast.used..=watched)
        .filter(|&k| to_user(k) <= NEAR_M && guard_to_user(k) <= NEAR_M)
        .count();
    let near_until = (cast.used..=watched).rev().find(|&k| to_user(k) <= NEAR_M);
    let while_held =
        |from_s: f32, to_s: f32, value: &dyn Fn(usize) -> f32| mean(cast, from_s, to_s, held_to, value);
    let nearer_user = |k: usize| gap(k) - to_user(k);
    let guard_side = |k: usize| (o.at(k) - u.at(k)).dot(screen_side);
    let shows = frame(cast, SHOWS_FROM_S)..=frame(cast, SHOWS_TO_S);
    let [as_ice, as_switch, as_drop, as_blitz, as_hedge, as_level] =
        borders::likelihoods(screen.outcome, screener_defender, swap, on_ball, cast.definitions);
    Some(CoverageEvidence {
        depth_at_use_m: instant(0.0, &depth),
        depth_at_0_5_m: instant(0.5, &depth),
        depth_at_1_m: instant(1.0, &depth),
        depth_at_1_5_m: instant(1.5, &depth),
        // `f32::min` passes over NaN.
        depth_least_m: shows.map(depth).fold(f32::NAN, f32::min),
        beyond_on_side_m: screener_defender.beyond_on_side_m.unwrap_or(f32::NAN),
        screen_guard_side_at_use_m: instant(0.0, &side),
        screen_guard_side_at_0_5_m: instant(0.5, &side),
        screen_guard_gap_at_use_m: instant(0.0, &gap),
        screen_guard_gap_at_0_5_m: instant(0.5, &gap),
        screen_guard_gap_at_1_m: instant(1.0, &gap),
        screen_guard_to_user_at_0_5_m: instant(0.5, &to_user),
        screen_guard_to_user_at_1_m: instant(1.0, &to_user),
        exchange_from_0_4_m: span(EXCHANGE_FROM_S, 1.0, &exchange),
        exchange_from_1_m: span(1.0, 1.6, &exchange),
        exchange_from_1_6_m: span(1.6, 2.5, &exchange),
        exchange_from_2_5_m: span(2.5, EXCHANGE_TO_S, &exchange),
        exchange_mean_m: span(EXCHANGE_FROM_S, EXCHANGE_TO_S, &exchange),
        exchange_most_m: swap.margin_m,
        screen_guard_exchange_m: span(1.6, 2.5, &exchange_of_screeners),
        crossed_from_0_4_m: span(EXCHANGE_FROM_S, 1.0, &crossed),
        crossed_from_1_m: span(1.0, 1.6, &crossed),
        crossed_from_1_6_m: span(1.6, 2.5, &crossed),
        crossed_from_2_5_m: span(2.5, EXCHANGE_TO_S, &crossed),
        handed_over_m: span(1.6, 2.5, &handed_over),
        two_on_ball_share: both_near as f32 / (watched + 1 - cast.used) as f32,
        two_on_ball_m: while_held(1.0, 1.6, &farther),
        both_close_s: screener_defender.both_close_s.unwrap_or(f32::NAN),
        watched_s: screener_defender.watched_s,
        screen_guard_stays_s: screener_defender.stays_s(),
        screen_guard_near_until_s: near_until.map_or(0.0, |k| cast.since_use_s(k)),
        screen_guard_stays_m: while_held(1.0, 1.6, &nearer_user),
        guard_side_m: mean(cast, -0.4, 0.05, cast.last, &guard_side),
        rejected: f32::from(u8::from(screen.outcome == Outcome::Rejected)),
        goes_past: f32::from(u8::from(borders::goes_past(screen.outcome))),
        as_ice,
        as_switch,
        as_drop,
        as_blitz,
        as_hedge,
        as_level,
    })
}

/// The frame this long after the use (negative: before), inside what is looked at.
fn frame(cast: &Cast, seconds: f32) -> usize {
    let shift = (f64::from(seconds) * cast.scene.hz).round() as isize;
    cast.used.saturating_add_signed(shift).min(cast.last)
}

/// The mean of what is seen from `from_s` to `to_s` after the use (at least one frame), up to `last`; NaN when nothing is,
/// or when the time begins after `last`.
fn mean(cast: &Cast, from_s: f32, to_s: f32, last: usize, value: &dyn Fn(usize) -> f32) -> f32 {
    let begins = (f64::from(from_s) * cast.scene.hz).round() as isize;
    if cast.used.saturating_add_signed(begins) > last {
        return f32::NAN;
    }
    let from = frame(cast, from_s);
    let to = frame(cast, to_s).min(last + 1).max(from + 1);
    let (mut sum, mut seen) = (0.0_f32, 0.0_f32);
    for value in (from..to).map(value).filter(|value| value.is_finite()) {
        sum += value;
        seen += 1.0;
    }
    sum / seen
}
