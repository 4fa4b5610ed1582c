//! What stands twice, and what belongs together: one row a screen, staggers linked.

use scrim_floor::Definitions;
use scrim_tables::tags::Outcome;

use crate::OffBallScreen;

/// Two rows of the same two within this are one screen, s.
const SAME_S: f32 = 2.5;
/// Two screeners for one user within this of each other, m ...
const SAME_SPOT_M: f32 = 1.5;
/// ... and this soon after each other are one screen, and the surer stands, s; else they are a stagger.
const SAME_SPOT_S: f32 = 1.0;
/// Of two screens of the same two in turned roles within this only the surer is one, s: a screener on the way to the spot
/// runs by the team-mate to be screened for.
const REVERSED_S: f32 = 4.0;

/// Orders a possession's rows in time, keeps one of each screen, links staggers, and adds them to `found`.
pub(super) fn order_and_link(
    mut part: Vec<OffBallScreen>,
    found: &mut Vec<OffBallScreen>,
    hz: f64,
    definitions: &Definitions,
) {
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    let reversed: Vec<bool> = part
        .iter()
        .map(|screen| is_reversed(screen, &part, frames(REVERSED_S)))
        .collect();
    let mut reversed = reversed.into_iter();
    part.retain(|_| reversed.next() == Some(false));
    // What was used first, then the surest, so that each other row of the same screen meets it.
    let not_used = |screen: &OffBallScreen| screen.outcome != Outcome::Used;
    part.sort_by(|a, b| {
        not_used(a)
            .cmp(&not_used(b))
            .then(b.confidence.total_cmp(&a.confidence))
            .then((a.used, a.screener, a.user).cmp(&(b.used, b.screener, b.user)))
    });
    let mut kept: Vec<OffBallScreen> = Vec::with_capacity(part.len());
    for screen in part {
        let is_same = |other: &OffBallScreen| is_same(other, &screen, &frames);
        if kept.iter().any(is_same) {
            continue;
        }
        kept.push(screen);
    }
    kept.sort_by_key(|screen| (screen.used, screen.screener, screen.user));
    let first = found.len();
    for place in 1..kept.len() {
        let both_used = |other: usize| !not_used(&kept[other]) && !not_used(&kept[place]);
        let before = (0..place).rev().find(|&other| {
            kept[other].user == kept[place].user
                && both_used(other)
                && kept[other].screener != kept[place].screener
                && kept[place].used - kept[other].used <= frames(definitions.stagger_s)
        });
        kept[place].previous = before.map(|other| first + other);
    }
    found.extend(kept);
}

/// Whether `screen` repeats `other`, the better row.
fn is_same(other: &OffBallScreen, screen: &OffBallScreen, frames: &dyn Fn(f32) -> usize) -> bool {
    let apart = other.used.abs_diff(screen.used);
    let soon = apart < frames(SAME_S);
    let same_two = other.screener == screen.screener && other.user == screen.user;
    // Two beside each other, and the user passes both: one of them screens.
    let same_spot = other.user == screen.user
        && apart < frames(SAME_SPOT_S)
        && other.spot.distance_m(screen.spot) < SAME_SPOT_M;
    // Who screens or is screened for does not at the same time screen in vain for another, nor on the way there.
    let on_his_way = other.used > screen.used && apart < frames(ON_HIS_WAY_S);
    let in_vain = screen.outcome != Outcome::Used
        && other.outcome == Outcome::Used
        && [other.screener, other.user].contains(&screen.screener);
    soon && (same_two || in_vain) || in_vain && on_his_way || same_spot
}

/// A player's next action within this is what they were on the way to, s. Common practice, no source.
const ON_HIS_WAY_S: f32 = 3.0;

/// Whether the roles were the other way round: a screener on the way to the spot runs by the team-mate to be screened for, and
/// that is no use of a screen. Of the two rows the later has the benefit of [`LATER_MORE`].
fn is_reversed(screen: &OffBallScreen, part: &[OffBallScreen], within: usize) -> bool {
    part.iter().any(|other| {
        (other.user, other.screener) == (screen.screener, screen.user)
            && other.outcome == Outcome::Used
            && other.used.abs_diff(screen.used) < within
            && if other.used > screen.used {
                other.confidence + LATER_MORE >= screen.confidence
            } else {
                other.confidence > screen.confidence + LATER_MORE
            }
    })
}

/// Confidence that the later of two turned rows may lack. Common practice, no source.
const LATER_MORE: f32 = 0.1;
