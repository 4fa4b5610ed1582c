//! Order, re-screens and doubles, the sides that were given up, and what stands twice.

use std::cmp::Ordering;

use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::PlayerIx;

use super::common::BallScreen;
use super::params::ScreenParams;

/// Two finds of the same two players within this are one screen, s: the surer one stays ...
pub const SAME_SCREEN_S: f64 = 1.6;
/// ... but of two that are farther apart than this, s, the other stays as well if it is this sure: a flip, or a screen set again.
const AGAIN_S: f64 = 1.1;
const AGAIN_CONFIDENCE: f32 = 0.65;

/// Whether a find says again what a surer find of the same two players says, `apart_s` away. `same_parts`: in both the same one
/// screens.
pub fn is_said_already(apart_s: f64, same_parts: bool, confidence: f32) -> bool {
    let is_another = same_parts && apart_s >= AGAIN_S && confidence >= AGAIN_CONFIDENCE;
    apart_s < SAME_SCREEN_S && !is_another
}

/// A screen this far to a side of the handler is on that side, m; nearer, it is before or behind the handler.
const CLEAR_SIDE_M: f32 = 0.3;

/// A find less sure than what is written may be the first side of a flip if it is at least this sure ...
pub(super) const FLIPPED_CONFIDENCE: f32 = 0.15;
/// ... and the second side this sure. Chosen on practice games.
const SECOND_SIDE_CONFIDENCE: f32 = 0.6;

/// One find of the detector.
pub(super) struct Find {
    pub screen: BallScreen,
    /// Closest approach; the period's frame.
    pub approach: usize,
    /// When the screener leaves the spot; the period's frame.
    pub leaves: usize,
    /// Not sure enough to be written, unless as the first side of a flip.
    pub is_weak: bool,
    /// The first side, if this one is the second of a flip by the model of flips.
    pub given_up: Option<GivenUp>,
}

/// The side of a flip that the screener gave up.
pub(super) struct GivenUp {
    pub screen: BallScreen,
    /// Closest approach on the second side; the period's frame.
    pub approach: usize,
}

impl GivenUp {
    /// Whether a find of the same two players lies on this side: nearer to when it was given up than to the second side.
    fn holds(&self, find: &Find) -> bool {
        let (here, there) = (
            self.screen.used.abs_diff(find.approach),
            self.approach.abs_diff(find.approach),
        );
        are_same_two(&self.screen, &find.screen) && here < there
    }
}

/// Puts one possession's finds in time order, drops what stands twice, adds the sides that were given up, links what belongs
/// together, and adds all to `found`.
pub(super) fn order_and_link(
    mut part: Vec<Find>,
    found: &mut Vec<BallScreen>,
    hz: f64,
    params: &ScreenParams,
) {
    let frames = |seconds: f32| (f64::from(seconds) * hz).round() as usize;
    keep_surest(&mut part, hz);
    part.sort_by_key(|find| in_time(&find.screen));
    mark_flips(&mut part, frames(params.flip_within_s));
    part.retain(|find| !find.is_weak || find.screen.outcome == Outcome::Flipped);
    let mut part = with_given_up(part, hz);
    part.sort_by_key(in_time);
    link_rescreens(&mut part, found.len(), frames(params.flip_within_s));
    link_doubles(&mut part, found.len(), frames(DOUBLE_S));
    found.append(&mut part);
}

/// Of the finds of the same two players, whoever of them screens, the surest stays, and what does not say the same again.
fn keep_surest(part: &mut Vec<Find>, hz: f64) {
    part.sort_by(|Find { screen: a, .. }, Find { screen: b, .. }| surest_first(a, b));
    let mut kept: Vec<Find> = Vec::with_capacity(part.len());
    for find in part.drain(..) {
        let screen = &find.screen;
        let stands_twice = kept.iter().any(|other| {
            let same_parts = is_same_pair(screen, &other.screen);
            let is_first_side = find.given_up.as_ref().is_some_and(|side| side.holds(other));
            are_same_two(screen, &other.screen)
                && !is_first_side
                && is_said_already(apart_s(screen, &other.screen, hz), same_parts, screen.confidence)
        });
        if !stands_twice {
            kept.push(find);
        }
    }
    *part = kept;
}

/// Whether the two screens are clearly on different sides of the handler.
fn is_other_side(one: &BallScreen, two: &BallScreen) -> bool {
    let (a, b) = (one.right_of_user_m, two.right_of_user_m);
    a * b < 0.0 && a.abs() >= CLEAR_SIDE_M && b.abs() >= CLEAR_SIDE_M
}

/// Calls a screen flipped that the same two abandoned for the other side, and that is taken up there within `within`. It ends when
/// the screener leaves the first side: who stood at the second before that never changed sides.
fn mark_flips(part: &mut [Find], within: usize) {
    for place in 0..part.len() {
        let second = &part[place];
        if second.is_weak {
            continue;
        }
        let begin = second.screen.begins();
        let is_first_side = |first: &Find| {
            let abandoned = match first.screen.outcome {
                Outcome::Unused | Outcome::Rejected | Outcome::Slipped | Outcome::Ghosted => true,
                Outcome::Used | Outcome::Flipped => false,
            };
            abandoned
                && is_same_pair(&first.screen, &second.screen)
                && first.leaves <= begin
                && begin <= first.screen.used + within
                && first.screen.kind == ScreenKind::BallScreen
                && second.screen.kind == ScreenKind::BallScreen
                && is_other_side(&first.screen, &second.screen)
                && (!first.is_weak || second.screen.confidence >= SECOND_SIDE_CONFIDENCE)
        };
        // The last one before, weak ones that are not part of a flip left out.
        let first = (0..place)
            .rev()
            .filter(|&other| is_same_pair(&part[other].screen, &second.screen))
            .find(|&other| !part[other].is_weak || is_first_side(&part[other]))
            .filter(|&other| is_first_side(&part[other]));
        if let Some(first) = first {
            let first = &mut part[first];
            first.screen.outcome = Outcome::Flipped;
            first.screen.outcomes = None;
            first.screen.used = first.leaves;
            first.screen.end = first.screen.end.max(first.screen.used);
        }
    }
}

/// The finds, and the sides that were given up in place of what was found on them.
fn with_given_up(mut part: Vec<Find>, hz: f64) -> Vec<BallScreen> {
    let mut sides: Vec<GivenUp> = part.iter_mut().filter_map(|find| find.given_up.take()).collect();
    sides.sort_by(|a, b| surest_first(&a.screen, &b.screen));
    let mut kept: Vec<GivenUp> = Vec::with_capacity(sides.len());
    for side in sides {
        let screen = &side.screen;
        let is_known = |other: &GivenUp| {
            is_same_pair(screen, &other.screen) && apart_s(screen, &other.screen, hz) < SAME_SCREEN_S
        };
        if !kept.iter().any(is_known) {
            kept.push(side);
        }
    }
    part.retain(|find| {
        let stands_for =
            |side: &GivenUp| side.holds(find) && apart_s(&side.screen, &find.screen, hz) < SAME_SCREEN_S;
        !kept.iter().any(stands_for)
    });
    let found = part.into_iter().map(|find| find.screen);
    found.chain(kept.into_iter().map(|side| side.screen)).collect()
}

/// By the use, then by the players, so that the order never depends on anything else.
fn in_time(screen: &BallScreen) -> (usize, PlayerIx, PlayerIx, ScreenKind) {
    (screen.used, screen.screener, screen.user, screen.kind)
}

/// The surer screen first, of equally sure ones the earlier, so that the choice never depends on anything else.
fn surest_first(a: &BallScreen, b: &BallScreen) -> Ordering {
    b.confidence
        .total_cmp(&a.confidence)
        .then_with(|| in_time(a).cmp(&in_time(b)))
}

fn apart_s(one: &BallScreen, two: &BallScreen, hz: f64) -> f64 {
    one.used.abs_diff(two.used) as f64 / hz
}

/// Whether the same two are in both, whoever screens.
fn are_same_two(one: &BallScreen, two: &BallScreen) -> bool {
    is_same_pair(one, two) || (one.screener, one.user) == (two.user, two.screener)
}

/// Whether the same one screens for the same one.
fn is_same_pair(one: &BallScreen, two: &BallScreen) -> bool {
    (one.screener, one.user) == (two.screener, two.user)
}

/// Links each screen to the one before of the same two, if it follows within `within` frames.
fn link_rescreens(part: &mut [BallScreen], first: usize, within: usize) {
    for place in 0..part.len() {
        let begin = part[place].begins();
        let earlier = (0..place)
            .rev()
            .find(|&other| is_same_pair(&part[other], &part[place]) && begin <= part[other].used + within);
        part[place].previous = earlier.map(|other| first + other);
    }
}

/// Two screeners for one user within this are a double, s (vocabulary, of a stagger off the ball).
const DOUBLE_S: f32 = 1.5;

/// Links the second of two screens that another team-mate sets for the same user to the first, if both are used and no more than
/// `within` apart.
fn link_doubles(part: &mut [BallScreen], first: usize, within: usize) {
    for place in 0..part.len() {
        let screen = &part[place];
        let is_first = |other: &BallScreen| {
            other.user == screen.user
                && other.screener != screen.screener
                && other.outcome == Outcome::Used
                && other.used + within >= screen.used
        };
        if screen.outcome == Outcome::Used && screen.previous.is_none() {
            let other = (0..place).rev().find(|&other| is_first(&part[other]));
            part[place].previous = other.map(|other| first + other);
        }
    }
}

#[cfg(test)]
mod tests {
    use scrim_floor::Point;

    use super::*;
    use crate::{Screen, ScreenEvidence};

    const HZ: f64 = 25.0;

    /// A screen of player 1 for player 0, used at `used_s`, `right_m` to the user's right.
    fn screen(used_s: f64, outcome: Outcome, right_m: f32, confidence: f32) -> BallScreen {
        BallScreen {
            screen: Screen {
                possession: 0,
                kind: ScreenKind::BallScreen,
                outcome,
                screener: PlayerIx(1),
                user: PlayerIx(0),
                screener_defender: None,
                user_defender: None,
                set: None,
                used: (used_s * HZ) as usize,
                end: (used_s * HZ) as usize + 10,
                spot: Point::new(7.0, right_m),
                strong_side: true,
                previous: None,
                confidence,
                evidence: ScreenEvidence {
                    screener_speed_mps: 0.5,
                    user_gap_m: 1.0,
                    defender_gap_m: None,
                    angle_deg: None,
                },
            },
            right_of_user_m: right_m,
            outcomes: None,
            early_denial: false,
        }
    }

    fn find(screen: BallScreen) -> Find {
        Find {
            approach: screen.used,
            leaves: screen.used,
            is_weak: screen.confidence < ScreenParams::default().min_confidence,
            given_up: None,
            screen,
        }
    }

    fn linked(part: Vec<Find>) -> Vec<BallScreen> {
        let mut found = Vec::new();
        order_and_link(part, &mut found, HZ, &ScreenParams::default());
        found
    }

    /// A screen at `used_s` whose screener gave up the other side at `left_s`.
    fn second_side(used_s: f64, left_s: f64, confidence: f32) -> Find {
        Find {
            given_up: Some(GivenUp {
                screen: screen(left_s, Outcome::Flipped, 1.0, 0.7),
                approach: (used_s * HZ) as usize,
            }),
            ..find(screen(used_s, Outcome::Used, -1.0, confidence))
        }
    }

    #[test]
    fn the_side_that_was_given_up_is_a_row_of_its_own_however_soon_the_other_follows() {
        for left_s in [2.2, 4.4] {
            let found = linked(vec![second_side(5.0, left_s, 0.9)]);
            let outcomes: Vec<_> = found.iter().map(|row| (row.outcome, row.previous)).collect();
            assert_eq!(
                outcomes,
                [(Outcome::Flipped, None), (Outcome::Used, Some(0))],
                "{left_s} s"
            );
        }
    }

    #[test]
    fn what_was_found_on_the_side_that_was_given_up_is_that_side() {
        // Found there with less or more confidence than the second side, which then stays although it follows soon.
        for (confidence, other) in [(0.9, Outcome::Unused), (0.5, Outcome::Used)] {
            let found = linked(vec![
                second_side(4.0, 3.2, 0.6),
                find(screen(3.0, other, 1.0, confidence)),
            ]);
            let outcomes: Vec<_> = found.iter().map(|row| row.outcome).collect();
            assert_eq!(outcomes, [Outcome::Flipped, Outcome::Used], "{confidence}");
        }
    }

    #[test]
    fn an_earlier_screen_of_the_same_two_stays_beside_a_flip() {
        let found = linked(vec![
            second_side(6.0, 5.0, 0.9),
            find(screen(2.0, Outcome::Used, 1.0, 0.9)),
        ]);
        let outcomes: Vec<_> = found.iter().map(|row| row.outcome).collect();
        assert_eq!(outcomes, [Outcome::Used, Outcome::Flipped, Outcome::Used]);
    }

    #[test]
    fn a_screen_that_came_to_nothing_and_one_on_the_other_side_soon_after_are_a_flip() {
        let found = linked(vec![
            find(screen(5.2, Outcome::Used, -1.0, 0.9)),
            find(screen(3.0, Outcome::Unused, 1.0, 0.8)),
        ]);
        assert_eq!(found.len(), 2);
        assert_eq!(
            (found[0].outcome, found[1].outcome),
            (Outcome::Flipped, Outcome::Used)
        );
        assert_eq!((found[0].previous, found[1].previous), (None, Some(0)));
    }

    #[test]
    fn a_screen_that_was_set_before_the_other_side_was_left_makes_no_flip() {
        for (set_s, outcome) in [(2.9, Outcome::Unused), (3.1, Outcome::Flipped)] {
            let mut second = screen(4.8, Outcome::Used, -1.0, 0.9);
            second.set = Some((set_s * HZ) as usize);
            let found = linked(vec![find(screen(3.0, Outcome::Unused, 1.0, 0.8)), find(second)]);
            assert_eq!(found[0].outcome, outcome, "{set_s} s");
        }
    }

    #[test]
    fn a_used_screen_or_one_on_the_same_side_or_one_later_is_no_flip() {
        for (outcome, right_m, used_s) in [
            (Outcome::Used, -1.0, 5.2),
            (Outcome::Unused, 1.0, 5.2),
            (Outcome::Unused, -1.0, 6.5),
        ] {
            let found = linked(vec![
                find(screen(3.0, outcome, 1.0, 0.8)),
                find(screen(used_s, Outcome::Used, right_m, 0.9)),
            ]);
            assert_eq!(found[0].outcome, outcome);
        }
    }

    #[test]
    fn of_two_screeners_for_one_user_within_1_5_s_the_second_screen_points_to_the_first() {
        for (used_s, outcome, previous) in [
            (4.4, Outcome::Used, Some(0)),
            (4.6, Outcome::Used, None),
            (4.4, Outcome::Rejected, None),
        ] {
            let mut second = screen(used_s, outcome, 1.0, 0.9);
            second.screener = PlayerIx(2);
            let found = linked(vec![find(second), find(screen(3.0, Outcome::Used, 1.0, 0.8))]);
            assert_eq!(found[1].previous, previous, "{used_s} s, {outcome:?}");
        }
    }

    #[test]
    fn of_two_finds_of_the_same_two_players_the_surer_stays_whoever_screens() {
        let mut turned = screen(3.5, Outcome::Used, 1.0, 0.6);
        (turned.screener, turned.user) = (turned.user, turned.screener);
        let found = linked(vec![find(turned), find(screen(3.0, Outcome::Used, 1.0, 0.8))]);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].user, PlayerIx(0));
        // More than 1.6 s later it is another screen; after 1.1 s only a sure one is.
        for (second_s, confidence, rows) in [(4.8, 0.4, 2), (4.4, 0.6, 1), (4.4, 0.7, 2), (4.0, 0.7, 1)] {
            let later = linked(vec![
                find(screen(3.0, Outcome::Used, 1.0, 0.8)),
                find(screen(second_s, Outcome::Used, 1.0, confidence)),
            ]);
            assert_eq!(later.len(), rows, "{second_s} s, {confidence}");
        }
    }
}
