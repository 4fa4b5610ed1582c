//! Order, flips and re-screens, and what stands twice.

use scrim_tables::tags::{Outcome, ScreenKind};

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
    drop_repeats(&mut part, frames(SAME_S), frames(SETTLED_S));
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

/// Two finds of one user within this are one screen, s: the surer one stays.
const SAME_S: f32 = 1.0;
/// After a screen was used, its two are near each other for a while; a new screen of the same two is set no earlier than
/// this after the use, s.
const SETTLED_S: f32 = 1.0;

/// Drops finds that tell a screen again: the same two before the first screen has settled, or the same user at nearly
/// the same instant with a less sure screener.
fn drop_repeats(part: &mut Vec<BallScreen>, same: usize, settled: usize) {
    let begin = |screen: &BallScreen| screen.set.unwrap_or(screen.used);
    let mut kept: Vec<BallScreen> = Vec::with_capacity(part.len());
    for screen in part.drain(..) {
        let rival = kept.iter().rposition(|other| {
            let pair = (other.screener, other.user) == (screen.screener, screen.user);
            (pair && begin(&screen) < other.used + settled)
                || (other.user == screen.user && other.used.abs_diff(screen.used) < same)
        });
        match rival {
            Some(place) if kept[place].confidence >= screen.confidence || kept[place].kind == ScreenKind::Handoff => {}
            Some(place) => kept[place] = screen,
            None => kept.push(screen),
        }
    }
    kept.sort_by_key(|screen| (screen.used, screen.screener, screen.user, screen.kind));
    *part = kept;
}
