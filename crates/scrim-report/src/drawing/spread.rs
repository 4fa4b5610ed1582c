//! Marks that stand where players do, moved apart so that none covers another or leaves the floor.

use scrim_floor::{AttackFrame, Court, Vector};

use super::sketch::CIRCLE_M;
use super::tracks::Spot;

/// Two marks' middles are at least so far apart, m: two circles and a little paper between them.
pub(super) const APART_M: f32 = 2.0 * CIRCLE_M + 0.06;
/// What is moved moves a little farther than it must, m, so that rounding does not bring it back.
const SLACK_M: f32 = 0.002;
/// Ten marks on half a floor come apart within a few dozen rounds; more would be a mistake.
const ROUNDS: usize = 2_000;

/// A mark, and how readily it gives way: attackers stay nearer to where they are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mark {
    pub spot: Spot,
    pub gives_way: f32,
}

/// Moves the marks apart. The same marks in the same order always come to the same spots.
pub(super) fn spread(marks: &mut [Mark], court: &Court) {
    for mark in marks.iter_mut() {
        mark.spot = on_floor(mark.spot, court);
    }
    for round in 0..ROUNDS {
        let mut is_clear = true;
        for one in 0..marks.len() {
            for two in one + 1..marks.len() {
                let (a, b) = (marks[one], marks[two]);
                let off = b.spot - a.spot;
                let short_m = APART_M - off.length();
                if short_m <= 0.0 {
                    continue;
                }
                is_clear = false;
                let way = direction(off, one + two, round);
                let share = a.gives_way / (a.gives_way + b.gives_way);
                let push_m = short_m + SLACK_M;
                marks[one].spot = on_floor(a.spot + way * (-push_m * share), court);
                marks[two].spot = on_floor(b.spot + way * (push_m * (1.0 - share)), court);
            }
        }
        if is_clear {
            return;
        }
    }
}

/// From the one to the other. Two on one spot part along the floor; who is held by a sideline must slip past it, so that each later
/// round turns a little.
fn direction(off: Vector<AttackFrame>, pair: usize, round: usize) -> Vector<AttackFrame> {
    let straight = match off.unit() {
        zero if zero == Vector::zero() => Vector::new(0.0, 1.0),
        way => way,
    };
    let turn = 0.02 * (round % 50) as f32 * if pair.is_multiple_of(2) { 1.0 } else { -1.0 };
    (straight + straight.quarter_turn() * turn).unit()
}

/// The nearest spot at which a mark lies wholly on the attacked half.
fn on_floor(spot: Spot, court: &Court) -> Spot {
    let side_m = court.width_m / 2.0 - CIRCLE_M;
    Spot::new(
        spot.x_m.clamp(
            CIRCLE_M - court.hoop_from_end_line_m,
            court.half_court_x_m() - CIRCLE_M,
        ),
        spot.y_m.clamp(-side_m, side_m),
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn check(marks: &[Mark], court: &Court) {
        for (k, one) in marks.iter().enumerate() {
            assert_eq!(one.spot, on_floor(one.spot, court), "{k} is off the floor");
            for two in &marks[k + 1..] {
                let apart_m = one.spot.distance_m(two.spot);
                assert!(apart_m >= 2.0 * CIRCLE_M, "{apart_m} m apart: {marks:?}");
            }
        }
    }

    proptest! {
        #[test]
        fn no_mark_covers_another_or_leaves_the_floor(
            middle in (-3.0_f32..14.0, -9.0_f32..9.0),
            across_m in 0.0_f32..6.0,
            places in prop::collection::vec((-1.0_f32..1.0, -1.0_f32..1.0), 10),
        ) {
            let court = Court::fiba();
            let mut marks: Vec<Mark> = places
                .iter()
                .enumerate()
                .map(|(k, (x, y))| Mark {
                    spot: Spot::new(middle.0 + x * across_m, middle.1 + y * across_m),
                    gives_way: if k < 5 { 0.3 } else { 1.0 },
                })
                .collect();
            spread(&mut marks, &court);
            check(&marks, &court);
        }
    }

    #[test]
    fn marks_with_room_stay_where_they_are() {
        let court = Court::fiba();
        let spots = [(1.0, 0.0), (3.0, 2.0), (8.0, -4.0)].map(|(x_m, y_m)| Spot::new(x_m, y_m));
        let mut marks = spots.map(|spot| Mark { spot, gives_way: 1.0 });
        spread(&mut marks, &court);
        assert_eq!(marks.map(|mark| mark.spot), spots);
    }

    #[test]
    fn an_attacker_moves_less_than_the_defender_on_them() {
        let court = Court::fiba();
        let at = Spot::new(6.0, 1.0);
        let mut marks = [
            Mark {
                spot: at,
                gives_way: 0.3,
            },
            Mark {
                spot: Spot::new(6.2, 1.0),
                gives_way: 1.0,
            },
        ];
        spread(&mut marks, &court);
        // 1.3 m apart are wanted and 0.2 there are: of 1.1 m the attacker makes 3 of 13.
        let moved = [at, Spot::new(6.2, 1.0)]
            .iter()
            .zip(marks)
            .map(|(from, mark)| from.distance_m(mark.spot))
            .collect::<Vec<_>>();
        assert!(
            (moved[0] - 1.1 * 3.0 / 13.0).abs() < 0.01 && (moved[1] - 1.1 * 10.0 / 13.0).abs() < 0.01,
            "{moved:?}"
        );
        check(&marks, &court);
    }
}
