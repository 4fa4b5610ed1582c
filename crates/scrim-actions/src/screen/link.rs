//! Order, flips and re-screens, and what stands twice.

use scrim_tables::tags::{Outcome, ScreenKind};

use super::{BallScreen, ScreenParams};

/// Two finds of the same two players within this are one screen, s: the surer one stays.
const SAME_S: f32 = 1.6;
/// A screen this far to a side of the handler is on that side, m; nearer, it is before or behind the handler.
const CLEAR_SIDE_M: f32 = 0.3;

/// Puts one possession's finds in time order, drops what stands twice, links re-screens, and adds them to `found`.
pub(super) fn order_and_link(
    mut part: Vec<BallScreen>,
    found: &mut Vec<BallScreen>,
    hz: f64,
    params: &ScreenParams,
) {
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    keep_surest(&mut part, frames(SAME_S));
    part.sort_by_key(|screen| (screen.used, screen.screener, screen.user, screen.kind));
    link_rescreens(&mut part, found.len(), frames(params.flip_within_s));
    found.append(&mut part);
}

/// Of the finds of the same two players, whoever of them screens, that are less than `same` frames apart, the surest stays.
fn keep_surest(part: &mut Vec<BallScreen>, same: usize) {
    // Of equally sure ones the earlier, so that the choice never depends on anything else.
    part.sort_by(|a, b| {
        let key = |screen: &BallScreen| (screen.used, screen.screener, screen.user);
        b.confidence
            .total_cmp(&a.confidence)
            .then_with(|| key(a).cmp(&key(b)))
    });
    let mut kept: Vec<BallScreen> = Vec::with_capacity(part.len());
    for screen in part.drain(..) {
        let stands_twice = kept.iter().any(|other| {
            let pair = (screen.screener, screen.user);
            (pair == (other.screener, other.user) || pair == (other.user, other.screener))
                && other.used.abs_diff(screen.used) < same
        });
        if !stands_twice {
            kept.push(screen);
        }
    }
    *part = kept;
}

/// Whether the two screens are clearly on different sides of the handler.
fn is_other_side(one: &BallScreen, two: &BallScreen) -> bool {
    let (a, b) = (one.right_of_user_m, two.right_of_user_m);
    a * b < 0.0 && a.abs() >= CLEAR_SIDE_M && b.abs() >= CLEAR_SIDE_M
}

/// Links each screen to the one before of the same two, if it follows within `within` frames, and calls the earlier one
/// flipped if it was abandoned for the other side.
fn link_rescreens(part: &mut [BallScreen], first: usize, within: usize) {
    for place in 0..part.len() {
        let begin = part[place].set.unwrap_or(part[place].used);
        let earlier = (0..place).rev().find(|&other| {
            (part[other].screener, part[other].user) == (part[place].screener, part[place].user)
                && begin <= part[other].used + within
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
