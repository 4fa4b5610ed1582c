//! Order, flips and re-screens, and what stands twice.

use scrim_tables::tags::{Outcome, ScreenKind};

use super::double::DOUBLE_S;
use super::{BallScreen, ScreenParams};

/// Puts one possession's finds in time order, drops what stands twice, links re-screens, and adds them to `found`.
pub(super) fn order_and_link(
    mut part: Vec<BallScreen>,
    found: &mut Vec<BallScreen>,
    hz: f64,
    params: &ScreenParams,
) {
    let first = found.len();
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    let same = frames(params.handoff.same_within_s);
    part.sort_by_key(|screen| (screen.used, screen.screener, screen.user, screen.kind));
    let handoffs: Vec<_> = part
        .iter()
        .filter(|screen| screen.kind == ScreenKind::Handoff)
        .map(|screen| (screen.screener, screen.user, screen.used))
        .collect();
    part.retain(|screen| {
        screen.kind == ScreenKind::Handoff
            || !handoffs.iter().any(|&(giver, taker, used)| {
                let pair = (screen.screener, screen.user);
                (pair == (giver, taker) || pair == (taker, giver)) && used.abs_diff(screen.used) <= same
            })
    });
    let mut part = without_repeats(part, hz);
    link_rescreens(&mut part, first, frames(params.outcome.flip_within_s));
    found.append(&mut part);
}

/// Two finds of one user within this are one screen, s: the better one stays.
const SAME_S: f32 = 1.0;
/// The two of a double come for it: neither is set longer than this before the handler comes by, s. Who stood there long
/// before, the handler only passes.
const DOUBLE_STAND_S: f32 = 3.2;
/// After a screen was used, its two are near each other for a while; a new screen of the same two is set no earlier than
/// this after the use, s.
const SETTLED_S: f32 = 1.0;
/// A screener who sets himself again on the same side within this after he left his spot has only shuffled, s.
const SHUFFLE_S: f32 = 2.0;
/// The way around the handler to his other side takes longer than this, s.
const WALK_AROUND_S: f32 = 0.7;
/// A screen this far to a side of the handler is on that side, m; nearer, it is before or behind him.
const CLEAR_SIDE_M: f32 = 0.4;

/// Drops finds that tell a screen again.
fn without_repeats(part: Vec<BallScreen>, hz: f64) -> Vec<BallScreen> {
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    let mut kept: Vec<BallScreen> = Vec::with_capacity(part.len());
    for screen in part {
        let rival = kept.iter().rposition(|other| is_repeat(other, &screen, &frames));
        match rival {
            Some(place) if has_shuffled(&kept[place], &screen) || is_better(&screen, &kept[place]) => {
                kept[place] = screen;
            }
            Some(_) => {}
            None => kept.push(screen),
        }
    }
    kept.sort_by_key(|screen| (screen.used, screen.screener, screen.user, screen.kind));
    kept
}

/// Whether `later` (by its use) tells the same screen as `earlier`.
fn is_repeat(earlier: &BallScreen, later: &BallScreen, frames: &dyn Fn(f32) -> usize) -> bool {
    if earlier.user != later.user {
        return false;
    }
    let apart = earlier.used.abs_diff(later.used);
    if apart < frames(SAME_S) {
        // Two screeners in a row, both used, are a double screen; anything else this close is one screen told twice.
        let came_for_it = |screen: &BallScreen| {
            screen.outcome == Outcome::Used
                && screen
                    .set
                    .is_none_or(|set| screen.used <= set + frames(DOUBLE_STAND_S))
        };
        let both_used = came_for_it(earlier) && came_for_it(later);
        return earlier.screener == later.screener || !both_used || apart < frames(DOUBLE_S);
    }
    let begin = later.set.unwrap_or(later.used);
    if earlier.screener == later.screener {
        let settled = match earlier.outcome {
            Outcome::Used => frames(SETTLED_S),
            Outcome::Rejected | Outcome::Slipped | Outcome::Ghosted | Outcome::Flipped | Outcome::Unused => 0,
        };
        begin < earlier.used + settled
            || (earlier.outcome == Outcome::Unused
                && begin
                    < earlier.used
                        + frames(if is_other_side(earlier, later) {
                            WALK_AROUND_S
                        } else {
                            SHUFFLE_S
                        }))
    } else {
        // A screener who stands by, unused, while the handler comes off another's screen.
        later.outcome == Outcome::Unused && begin < earlier.used
            || earlier.outcome == Outcome::Unused
                && earlier.set.is_some_and(|set| set < later.used)
                && begin < earlier.used
    }
}

/// Whether `later` is the screen for which the same screener, unused, only shuffled his feet.
fn has_shuffled(earlier: &BallScreen, later: &BallScreen) -> bool {
    earlier.screener == later.screener
        && earlier.outcome == Outcome::Unused
        && later.outcome != Outcome::Unused
}

/// Whether the two screens are clearly on different sides of the handler.
fn is_other_side(one: &BallScreen, two: &BallScreen) -> bool {
    let (a, b) = (one.right_of_user_m, two.right_of_user_m);
    a * b < 0.0 && a.abs() >= CLEAR_SIDE_M && b.abs() >= CLEAR_SIDE_M
}

/// Whether `screen` is the better account of what `other` tells too: handoffs first, then what was used, then the surer;
/// of equals the later, for which the screener stood his ground.
fn is_better(screen: &BallScreen, other: &BallScreen) -> bool {
    let rank = |s: &BallScreen| {
        let used = match s.outcome {
            Outcome::Used | Outcome::Rejected | Outcome::Slipped => 0.2,
            Outcome::Ghosted | Outcome::Flipped => 0.1,
            Outcome::Unused => 0.0,
        };
        (s.kind == ScreenKind::Handoff, s.confidence + used)
    };
    let (one, two) = (rank(screen), rank(other));
    one.0.cmp(&two.0).then(one.1.total_cmp(&two.1)).is_ge()
}

/// Links each screen to the one before of the same two, if it follows soon, and calls the earlier one flipped if it was
/// abandoned for the other side.
fn link_rescreens(part: &mut [BallScreen], first: usize, within: usize) {
    for place in 0..part.len() {
        let earlier = (0..place).rev().find(|&other| {
            (part[other].screener, part[other].user) == (part[place].screener, part[place].user)
                && part[place].set.unwrap_or(part[place].used) <= part[other].used + within
        });
        let Some(other) = earlier else { continue };
        part[place].previous = Some(first + other);
        let abandoned = match part[other].outcome {
            Outcome::Unused | Outcome::Rejected | Outcome::Slipped | Outcome::Ghosted => true,
            Outcome::Used | Outcome::Flipped => false,
        };
        let both_screens =
            part[other].kind == ScreenKind::BallScreen && part[place].kind == ScreenKind::BallScreen;
        if abandoned && both_screens && is_other_side(&part[other], &part[place]) {
            part[other].outcome = Outcome::Flipped;
        }
    }
}
