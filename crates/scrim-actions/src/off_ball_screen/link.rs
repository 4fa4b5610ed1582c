//! What stands twice, and what belongs together: one row a screen, staggers linked.

use super::{OffBallScreen, OffBallScreenParams};

/// Orders a possession's rows in time, keeps one of each screen, links staggers, and adds them to `found`.
pub(super) fn order_and_link(
    mut part: Vec<OffBallScreen>,
    found: &mut Vec<OffBallScreen>,
    hz: f64,
    params: &OffBallScreenParams,
) {
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    // The surest first, so that each other telling of the same two meets it.
    part.sort_by(|a, b| {
        b.confidence
            .total_cmp(&a.confidence)
            .then((a.used, a.screener, a.user).cmp(&(b.used, b.screener, b.user)))
    });
    let mut kept: Vec<OffBallScreen> = Vec::with_capacity(part.len());
    for screen in part {
        let is_same = |other: &OffBallScreen| {
            let same_two = (other.screener, other.user) == (screen.screener, screen.user)
                || (other.screener, other.user) == (screen.user, screen.screener);
            same_two && other.used.abs_diff(screen.used) < frames(params.same_s)
        };
        if !kept.iter().any(is_same) {
            kept.push(screen);
        }
    }
    kept.sort_by_key(|screen| (screen.used, screen.screener, screen.user));
    let first = found.len();
    for place in 1..kept.len() {
        let before = (0..place).rev().find(|&other| {
            kept[other].user == kept[place].user
                && kept[other].screener != kept[place].screener
                && kept[place].used - kept[other].used <= frames(params.stagger_s)
        });
        kept[place].previous = before.map(|other| first + other);
    }
    found.extend(kept);
}
