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
    let reversed: Vec<bool> = part
        .iter()
        .map(|screen| is_reversed(screen, &part, frames(params.reversed_s)))
        .collect();
    let mut reversed = reversed.into_iter();
    part.retain(|_| reversed.next() == Some(false));
    // The surest first, so that each other telling of the same two meets it.
    part.sort_by(|a, b| {
        b.confidence
            .total_cmp(&a.confidence)
            .then((a.used, a.screener, a.user).cmp(&(b.used, b.screener, b.user)))
    });
    let mut kept: Vec<OffBallScreen> = Vec::with_capacity(part.len());
    for screen in part {
        let two = (screen.screener, screen.user);
        let apart = |other: &OffBallScreen| other.used.abs_diff(screen.used);
        let same = kept
            .iter_mut()
            .find(|other| (other.screener, other.user) == two && apart(other) < frames(params.same_s));
        if let Some(same) = same {
            // The use is the closest approach, also when another moment of the same screen tells more clearly what it is.
            let is_same_stay = apart(same) < frames(params.stagger_s);
            if is_same_stay && screen.evidence.user_gap_m < same.evidence.user_gap_m {
                same.used = screen.used;
                same.set = same.set.filter(|&set| set <= same.used);
                same.evidence.user_gap_m = screen.evidence.user_gap_m;
            }
            continue;
        }
        kept.push(screen);
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

/// Whether the roles were the other way round: a screener on his way to his spot runs by the man he will screen for, and
/// that is no use of a screen. Of the two tellings the later has the benefit of [`LATER_MORE`].
fn is_reversed(screen: &OffBallScreen, part: &[OffBallScreen], within: usize) -> bool {
    part.iter().any(|other| {
        (other.user, other.screener) == (screen.screener, screen.user)
            && other.used.abs_diff(screen.used) < within
            && if other.used > screen.used {
                other.confidence + LATER_MORE >= screen.confidence
            } else {
                other.confidence > screen.confidence + LATER_MORE
            }
    })
}

/// Confidence that the later of two turned tellings may lack. Common practice, no source.
const LATER_MORE: f32 = 0.1;
