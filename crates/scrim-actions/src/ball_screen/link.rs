//! Order, flips and re-screens, and what stands twice.

use scrim_tables::tags::{Outcome, ScreenKind};

use super::{BallScreen, ScreenParams};

/// Puts one possession's finds (from place `first` on) in time order, drops what stands twice and links re-screens.
pub(super) fn order_and_link(found: &mut Vec<BallScreen>, first: usize, hz: f64, params: &ScreenParams) {
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    let same = frames(params.handoff.same_within_s);
    let mut part = found.split_off(first);
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
    let within = frames(params.outcome.flip_within_s);
    for place in 0..part.len() {
        let earlier = (0..place).rev().find(|&other| {
            (part[other].screener, part[other].user) == (part[place].screener, part[place].user)
                && part[place].used - part[other].used <= within
        });
        if let Some(other) = earlier {
            part[place].previous = Some(first + other);
            if part[other].kind == ScreenKind::BallScreen
                && part[place].kind == ScreenKind::BallScreen
                && matches!(part[other].outcome, Outcome::Unused | Outcome::Rejected | Outcome::Slipped)
            {
                part[other].outcome = Outcome::Flipped;
            }
        }
    }
    found.append(&mut part);
}
