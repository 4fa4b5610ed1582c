//! Flips, looked for backwards: whoever comes off a screen may have come to the screener's other side before.
//!
//! As the handler sees it the screener swings from one side to the other and back: because the screener goes round (they give the side
//! up), or because the handler turns back and comes off the same screener the other way. The first side is held for a moment only, so
//! that it rarely looks like a screen of its own; the second is taken up and found, and from there the way leads back.

use std::ops::Range;

use scrim_floor::Point;
use scrim_play::Scene;

use super::declare::{evidence, joined};
use super::evidence::{PairEvidence, least, mean, measure, most, place_of, share};
use super::four::Four;
use super::models;
use super::stop::STANDS_MPS;

evidence! {
    /// The evidence of a change of sides. Distances m, speeds m/s, angles degrees, times s; NaN where it was not seen.
    SideChangeEvidence;
    /// From the closest approach on the first side to that on the second.
    since_first_s,
    /// From the turn between the two to the closest approach on the second.
    since_turn_s,
    /// How far sideways the screener swings in the handler's eyes, from before the first side to the turn.
    swing_there_m,
    /// The same from the turn to after the second side.
    swing_back_m,
    /// How far to the side the screener is at the turn; negative: the swing did not pass the handler.
    turn_side_m,
    /// The handler to the screener, most between the two sides.
    between_gap_m,
    /// How much nearer the hoop than the handler the screener was on the first side.
    first_below_m,
    /// The handler's defender to the screener around the first side, least.
    first_defender_gap_m,
    /// How long the screener stays on the spot of the first side.
    on_spot_s,
    /// How long they are slower than 1 m/s there.
    first_slow_s,
    /// Their lowest speed there.
    first_low_mps,
    /// The screener's highest speed between the two sides.
    between_high_mps,
    /// How far the screener's second place is from the first.
    screener_moved_m,
    /// How far the handler went between the two sides.
    user_moved_m,
    /// The handler's mean speed from the first side to the turn.
    user_leaves_first_mps,
    /// The handler's lowest speed between the two sides.
    user_low_mps,
    /// How far the handler's direction turned, from the first side to the second.
    user_turns_deg,
    /// How much nearer the hoop the handler came between the two.
    user_comes_down_m,
    /// The share of that time in which the handler had the ball.
    held_between,
}

/// How many pieces of evidence the model of flips has.
const EVIDENCE: usize = PairEvidence::NAMES.len() + SideChangeEvidence::NAMES.len();

/// The evidence of a flip: that of the four on the first side, then that of the change of sides.
pub type FlipEvidence = [f32; EVIDENCE];

/// The names of [`FlipEvidence`], in its order.
pub fn flip_evidence_names() -> [&'static str; EVIDENCE] {
    joined(&PairEvidence::NAMES, &SideChangeEvidence::NAMES)
}

/// The first side lies this long before the second at most, s: a flip's second screen comes within 3 s (vocabulary), and is used
/// a moment later.
const LOOK_BACK_S: f32 = 4.0;
/// The first side lies this long before the turn at most, s: nobody stands longer at the side that they give up.
const FIRST_BEFORE_TURN_S: f32 = 2.5;
/// Which way the handler comes off is seen from this long before the closest approach to as long after it, s.
const PASSING_S: f32 = 0.4;
/// How near the handler's defender comes on the first side is looked at from this long before it, s.
const DEFENDER_BEFORE_S: f32 = 1.0;
/// Less of a swing there or back is none, m: sway, and the noise of the tracking.
const LEAST_SWING_M: f32 = 0.4;
/// Who is this far from the spot of the first side has left it, m.
const LEFT_M: f32 = 0.5;
/// The first side is where the screener is near and slow: one m/s faster weighs as much as this much farther, m.
const FAST_WEIGHS_S: f32 = 0.5;

/// The first side of what may be a flip. Frames are the scene's.
pub(super) struct FirstSide {
    /// Who plays which part on it.
    pub four: Four,
    /// When it is given up: the screener leaves the spot, or the handler has come off it (vocabulary, `t_use_s` of `flipped`).
    pub given_up: usize,
    /// What the four do there, closest to each other.
    pub evidence: PairEvidence,
    /// What the model looks at.
    pub values: FlipEvidence,
}

impl FirstSide {
    /// How likely it is that this was the first side of a flip.
    pub fn probability(&self) -> f32 {
        models::flip_probability(&self.values)
    }
}

/// Going back through `frames`, from `from`: the highest `value` before it has fallen by [`LEAST_SWING_M`], and the frame where it has;
/// `None` where it never does. What is not seen is passed over.
fn last_turn(frames: Range<usize>, from: usize, value: impl Fn(usize) -> f32) -> Option<(usize, usize)> {
    let mut top = from;
    for k in frames.rev() {
        if value(k) > value(top) || value(top).is_nan() {
            top = k;
        } else if value(k) < value(top) - LEAST_SWING_M {
            return Some((top, k));
        }
    }
    None
}

/// The frame of the highest `value`; `None` where nothing is seen.
fn highest(frames: Range<usize>, value: impl Fn(usize) -> f32) -> Option<usize> {
    let seen = frames.filter(|&k| value(k).is_finite());
    seen.max_by(|&a, &b| value(a).total_cmp(&value(b)))
}

/// Looks back from a screen whose closest approach is at `second`; `None` where the screener did not swing to the other side and
/// back before the handler's eyes.
pub(super) fn find_first_side(scene: &Scene, four: &Four, second: usize) -> Option<FirstSide> {
    let (u, s) = (&scene.attackers[four.user], &scene.attackers[four.screener]);
    let back = |from: usize, seconds: f32| from.saturating_sub(scene.frames_in(seconds));
    let after = |from: usize, seconds: f32| (from + scene.frames_in(seconds)).min(scene.frames - 1);
    // In the attack frame a player who looks from +x to the hoop has +y on the right.
    let right_m = |k: usize| {
        let to_hoop = (Point::origin() - u.at(k)).unit();
        (s.at(k) - u.at(k)).cross(to_hoop)
    };
    let gap_m = |k: usize| u.at(k).distance_m(s.at(k));
    let passed = after(second, PASSING_S);
    // The handler goes past the screener toward this side, and the screener swings to the other.
    let way = (right_m(passed) - right_m(back(second, PASSING_S))).signum();
    if way.is_nan() {
        return None;
    }
    let swing_m = |k: usize| way * right_m(k);
    let earliest = back(second, LOOK_BACK_S);
    // Backwards from the second side: down to the turn, up to the first side, and as far as the screener was there.
    let (turn, rises) = last_turn(earliest..second, second, |k| -swing_m(k))?;
    let (high, begins) = match last_turn(earliest..rises, rises, swing_m) {
        Some((high, falls)) => (high, falls),
        None => (highest(earliest..rises + 1, swing_m)?, earliest),
    };
    let near_and_slow = |k: usize| gap_m(k) + FAST_WEIGHS_S * s.speed_at(k);
    let first = (begins.max(back(turn, FIRST_BEFORE_TURN_S))..turn)
        .filter(|&k| near_and_slow(k).is_finite())
        .min_by(|&a, &b| near_and_slow(a).total_cmp(&near_and_slow(b)))?;
    let swing_there_m = swing_m(high) - swing_m(turn);
    let swing_back_m = most(second..passed + 1, swing_m) - swing_m(turn);
    if swing_there_m.min(swing_back_m) < LEAST_SWING_M {
        return None;
    }
    let has_left = |k: usize| s.at(k).distance_m(s.at(first)) > LEFT_M;
    let left = (first..second).find(|&k| has_left(k));
    let came = (earliest..first)
        .rfind(|&k| has_left(k))
        .map_or(earliest, |k| k + 1);
    let on_spot = came..left.unwrap_or(second);
    // Between the sides the screener passes before the handler's eyes: who goes round has left the first side by then.
    let crossing = (first..second)
        .find(|&k| swing_m(k) * swing_m(turn) > 0.0)
        .unwrap_or(first);
    let given_up = left.unwrap_or(second).min(crossing.max(first));

    let four = Four::of(scene, four.user, four.screener, first);
    let evidence = measure(scene, &four, first);
    let defender = place_of(four.user_defender.map(|place| &scene.defenders[place]));
    let around = back(first, DEFENDER_BEFORE_S)..after(first, PASSING_S) + 1;
    let between = first..second + 1;
    let seconds = |frames: usize| (frames as f64 / scene.hz) as f32;
    let heading = |k: usize| u.at(after(k, PASSING_S)) - u.at(back(k, PASSING_S));
    let to_hoop = (Point::origin() - u.at(first)).unit();
    let change = SideChangeEvidence {
        since_first_s: seconds(second - first),
        since_turn_s: seconds(second - turn),
        swing_there_m,
        swing_back_m,
        turn_side_m: -swing_m(turn),
        between_gap_m: most(between.clone(), gap_m),
        first_below_m: (s.at(first) - u.at(first)).dot(to_hoop),
        first_defender_gap_m: least(around, |k| defender(k).distance_m(s.at(k))),
        on_spot_s: seconds(on_spot.len()),
        first_slow_s: seconds(on_spot.clone().filter(|&k| s.speed_at(k) < STANDS_MPS).count()),
        first_low_mps: least(on_spot, |k| s.speed_at(k)),
        between_high_mps: most(between.clone(), |k| s.speed_at(k)),
        screener_moved_m: s.at(second).distance_m(s.at(first)),
        user_moved_m: u.at(second).distance_m(u.at(first)),
        user_leaves_first_mps: mean(first..turn + 1, |k| u.speed_at(k)),
        user_low_mps: least(between.clone(), |k| u.speed_at(k)),
        user_turns_deg: heading(first).angle_to_deg(heading(second)).unwrap_or(f32::NAN),
        user_comes_down_m: (u.at(second) - u.at(first)).dot(to_hoop),
        held_between: share(between, |k| scene.handler[k] == Some(four.user)),
    };
    Some(FirstSide {
        four,
        given_up,
        evidence,
        values: joined(&evidence.values(), &change.values()),
    })
}
