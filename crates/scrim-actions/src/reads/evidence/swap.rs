//! Whether the handler's and the screener's defender exchanged their attackers.

use std::ops::RangeInclusive;

use scrim_play::Mover;

use super::ball::ShotEvidence;
use super::guarding::{guard_gap_m, guard_line};
use crate::reads::cast::Cast;

/// Exchanged matchups are looked for from this long after the use, s: a chaser trails for a moment.
const SWAP_FROM_S: f32 = 0.4;
/// Exchanged matchups are looked for this long after the use, s.
const SWAP_AFTER_S: f32 = 4.0;

/// Exchanged matchups after the use, by the play's matchups and by the places of the four.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwapEvidence {
    /// The longest time for which the play's matchups have them exchanged, s.
    pub exchanged_s: f32,
    /// By how much nearer each defender stood to where the other should, m: the lesser of the two, its mean over the time
    /// that a switch lasts, the highest such mean (negative: they kept their attackers).
    pub margin_m: f32,
    /// When the time of that mean begins.
    pub begins_s: f32,
    /// The same margin at the end of what was looked at, m: one who passes the screener on the chase has it for a
    /// while, and then has their own attacker again.
    pub late_m: f32,
    /// By how much farther from the handler their own defender was than the screener's, m: the highest mean over a second
    /// in which the handler had the ball (negative: their own was the nearer one all along). A screener who does not move leaves
    /// the four too close together for the margin; a handler who is left to one defender is not.
    pub handed_m: f32,
}

/// The end of what was looked at is this long, s. Common practice, no source.
const LATE_S: f32 = 0.6;
/// The handler counts as left to one defender over this long, s. Common practice, no source.
const HANDED_S: f32 = 1.0;

pub(super) fn measure(cast: &Cast, shot: Option<&ShotEvidence>, watched: usize) -> Option<SwapEvidence> {
    let scene = cast.scene;
    let (on_ball, screeners) = (cast.user_defender?, cast.screener_defender?);
    let (o, b) = (&scene.defenders[on_ball], &scene.defenders[screeners]);
    // Once a shot is up, everyone goes for the rebound.
    let released = shot.map_or(cast.last, |shot| shot.frame);
    let to = cast.after_use(SWAP_AFTER_S).min(released).max(cast.used);
    // One who chases over the top trails for a moment, whatever the coverage.
    let from = cast.after_use(SWAP_FROM_S).min(to);
    let (mut so_far, mut longest) = (0, 0);
    let mut sums = Vec::with_capacity(to - from + 2);
    sums.push(0.0f64);
    for k in from..=to {
        let exchanged =
            scene.guard[k][cast.user] == Some(screeners) && scene.guard[k][cast.screener] == Some(on_ball);
        so_far = if exchanged { so_far + 1 } else { 0 };
        longest = longest.max(so_far);
        let user = guard_line(scene, cast.user, k);
        let screener = guard_line(scene, cast.screener, k);
        let (o, b) = (o.at(k), b.at(k));
        let on_ball_m = guard_gap_m(o, user) - guard_gap_m(o, screener);
        let screeners_m = guard_gap_m(b, screener) - guard_gap_m(b, user);
        // Both must have gone over: two on the ball, or two in the paint, are no exchange.
        let margin = on_ball_m.min(screeners_m);
        // `min` would take the one that is seen for both.
        if (on_ball_m + screeners_m).is_nan() {
            continue;
        }
        sums.push(sums[sums.len() - 1] + f64::from(margin));
    }
    let seen = sums.len() - 1;
    if seen == 0 {
        return None;
    }
    let over = scene.frames_in(cast.definitions.switch_s).min(seen);
    let (at, margin_m) = highest_mean(&sums, over)?;
    let late = scene.frames_in(LATE_S).min(seen);
    let late_m = (sums[seen] - sums[seen - late]) / late as f64;
    Some(SwapEvidence {
        exchanged_s: scene.seconds(longest),
        margin_m: margin_m as f32,
        begins_s: cast.since_use_s(from + at),
        late_m: late_m as f32,
        handed_m: handed_m(cast, o, b, from..=watched.min(to)).unwrap_or(0.0),
    })
}

/// See [`SwapEvidence::handed_m`]; `None` when nothing was seen.
fn handed_m(cast: &Cast, o: &Mover, b: &Mover, frames: RangeInclusive<usize>) -> Option<f32> {
    let h = &cast.scene.attackers[cast.user];
    let mut sums = vec![0.0f64];
    for k in frames {
        let farther = o.at(k).distance_m(h.at(k)) - b.at(k).distance_m(h.at(k));
        if farther.is_finite() {
            sums.push(sums[sums.len() - 1] + f64::from(farther));
        }
    }
    let over = cast.scene.frames_in(HANDED_S).min(sums.len() - 1);
    highest_mean(&sums, over).map(|(_, mean)| mean as f32)
}

/// The highest mean over `over` values in a row, and where it begins; `sums` are their running sums, from 0. `None` of
/// no values.
fn highest_mean(sums: &[f64], over: usize) -> Option<(usize, f64)> {
    if over == 0 {
        return None;
    }
    (0..sums.len() - over)
        .map(|at| (at, (sums[at + over] - sums[at]) / over as f64))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}
