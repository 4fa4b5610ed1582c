//! The shape of five men on the floor.
//!
//! The rules, in order; the first that holds decides. Each is a slack in metres: how far the man nearest to breaking it may
//! still move (negative: how far he is from fulfilling it). Left and right are never told apart, so mirror images are one.
//!
//! | shape | rule |
//! |---|---|
//! | `horns` | the ball outside at the top, a man at each elbow, a man in each corner |
//! | `box` | the ball outside, a man at each elbow, a man at each block |
//! | `stack` | three or more men off the ball close together in a line |
//! | `four_high` | four players or all five at the free-throw line extended or above; two or more of them inside, or one at each elbow |
//! | `five_out` | nobody inside |
//! | `four_out_one_in` | one man inside |
//! | `three_out_two_in` | two men inside |
//! | `other` | none of these |
//!
//! Inside is more than a step inside the three-point line.

use scrim_floor::{AttackFrame, Court, Point};
use scrim_play::SIDE_SIZE;
use scrim_tables::tags::Alignment;

use crate::AlignmentParams;

/// A shape, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Which.
    pub alignment: Alignment,
    /// How far one man may move, at least, before the five are another shape, m.
    pub margin_m: f32,
}

type Spots = [Point<AttackFrame>; SIDE_SIZE];

/// Where a block's and a corner's middle is before the hoop, m. Common practice, no source.
const LOW_X_M: f32 = 1.0;

/// The shape of five men at `spots` (attack frame, finite), of whom the one at place `ball` has the ball.
pub fn classify_shape(spots: &Spots, ball: usize, court: &Court, params: &AlignmentParams) -> Shape {
    let outside = spots.map(|spot| court.beyond_arc_m(spot) + params.step_inside_m);
    let mut others = [Point::origin(); SIDE_SIZE - 1];
    let off_ball = (0..SIDE_SIZE).filter(|&place| place != ball);
    for (other, place) in others.iter_mut().zip(off_ball) {
        *other = spots[place];
    }
    let elbow = Point::new(court.free_throw_x_m(), court.lane_width_m / 2.0);
    let block = Point::new(LOW_X_M, court.lane_width_m / 2.0);
    let corner = Point::new(LOW_X_M, court.corner_line_y_m());
    let elbows = Pair(elbow, params.elbow_m);
    let half_width_m = params.top_deg.to_radians().tan() * spots[ball].x_m;
    let top = outside[ball].min(half_width_m - spots[ball].y_m.abs());
    let rules = [
        (
            Alignment::Horns,
            top.min(two_pairs(&others, elbows, Pair(corner, params.corner_m))),
        ),
        (
            Alignment::Box,
            outside[ball].min(two_pairs(&others, elbows, Pair(block, params.block_m))),
        ),
        (Alignment::Stack, stack(&others, params)),
        (
            Alignment::FourHigh,
            four_high(spots, &outside, one_at_each(&others, elbows), court, params),
        ),
        (Alignment::FiveOut, inside(outside, 0)),
        (Alignment::FourOutOneIn, inside(outside, 1)),
        (Alignment::ThreeOutTwoIn, inside(outside, 2)),
    ];
    // A shape holds as long as its own rule does and no rule before it.
    let mut margin_m = f32::INFINITY;
    for (alignment, slack) in rules {
        if slack >= 0.0 {
            return Shape {
                alignment,
                margin_m: margin_m.min(slack),
            };
        }
        margin_m = margin_m.min(-slack);
    }
    Shape {
        alignment: Alignment::Other,
        margin_m,
    }
}

/// A spot on the right and its mirror image, and how near a man must be to either, m.
#[derive(Clone, Copy)]
struct Pair(Point<AttackFrame>, f32);

/// The slack of "a man at each of these four spots": of the best way to share the four men out.
fn two_pairs(others: &[Point<AttackFrame>; 4], first: Pair, second: Pair) -> f32 {
    let mut best = f32::NEG_INFINITY;
    for (a, b) in TWO_OF_FOUR {
        let mut rest = (0..4).filter(|&man| man != a && man != b);
        let (Some(c), Some(d)) = (rest.next(), rest.next()) else {
            continue;
        };
        best = best.max(each_side(others, a, b, first).min(each_side(others, c, d, second)));
    }
    best
}

/// The slack of "a man at the spot, and another at its mirror image".
fn one_at_each(others: &[Point<AttackFrame>; 4], pair: Pair) -> f32 {
    TWO_OF_FOUR
        .map(|(a, b)| each_side(others, a, b, pair))
        .into_iter()
        .fold(f32::NEG_INFINITY, f32::max)
}

const TWO_OF_FOUR: [(usize, usize); 6] = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)];

/// The slack of "one of these two men at the spot, the other at its mirror image".
fn each_side(others: &[Point<AttackFrame>; 4], one: usize, other: usize, Pair(right, within): Pair) -> f32 {
    let slack =
        |man: usize, side: f32| within - others[man].distance_m(Point::new(right.x_m, side * right.y_m));
    let straight = slack(one, -1.0).min(slack(other, 1.0));
    straight.max(slack(one, 1.0).min(slack(other, -1.0)))
}

/// The slack of "three men close together in a line". The line is that through the two farthest apart of the three.
fn stack(others: &[Point<AttackFrame>; 4], params: &AlignmentParams) -> f32 {
    let mut best = f32::NEG_INFINITY;
    for left_out in 0..4 {
        let mut trio = [Point::origin(); 3];
        for (man, other) in trio.iter_mut().zip((0..4).filter(|&man| man != left_out)) {
            *man = others[other];
        }
        let [a, b, c] = trio;
        // The man in the middle is the one opposite to the longest side.
        let (end, middle, other_end) = [(a, b, c), (b, c, a), (c, a, b)]
            .into_iter()
            .max_by(|x, y| x.0.distance_m(x.2).total_cmp(&y.0.distance_m(y.2)))
            .unwrap_or((a, b, c));
        let along = (other_end - end).unit();
        let off_line_m = (middle - end).cross(along).abs();
        let apart_m = end.distance_m(middle).max(middle.distance_m(other_end));
        best = best.max((params.stack_off_line_m - off_line_m).min(params.stack_apart_m - apart_m));
    }
    best
}

/// The slack of "four high, and two or more inside or a player at each elbow". `outside`: how far each is outside, m; `elbows`: the
/// slack of the men at the elbows, who may be no farther in than those outside when they stand a step high.
fn four_high(
    spots: &Spots,
    outside: &[f32; SIDE_SIZE],
    elbows: f32,
    court: &Court,
    params: &AlignmentParams,
) -> f32 {
    let lowest_x_m = court.free_throw_x_m() - params.high_m;
    let mut high = spots.map(|spot| spot.x_m - lowest_x_m);
    high.sort_unstable_by(f32::total_cmp);
    // One player inside alone makes it four out and one in, however high the four outside stand.
    let mut inside = *outside;
    inside.sort_unstable_by(f32::total_cmp);
    // The lowest may be anywhere; the next lowest is the fourth who must be high.
    high[1].min(elbows.max(-inside[1]))
}

/// The slack of "exactly `count` men inside". `outside`: how far each is outside, m.
fn inside(mut outside: [f32; SIDE_SIZE], count: usize) -> f32 {
    outside.sort_unstable_by(f32::total_cmp);
    let last_inside = count.checked_sub(1).map_or(f32::INFINITY, |last| -outside[last]);
    last_inside.min(outside[count])
}
