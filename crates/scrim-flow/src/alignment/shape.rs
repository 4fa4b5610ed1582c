//! The shape of five players on the floor.
//!
//! Each word has a rule, and a rule has a slack in metres: how far the player nearest to breaking it may still move (negative:
//! how far they are from fulfilling it). Players keep a shape only roughly, so no rule is a wall: a slack of
//! [`SLACK_M`] more makes a word e times as likely against the others, and that a player is inside is a
//! logistic in the same measure. Left and right are never kept apart, so mirror images are one.
//!
//! | shape | rule |
//! |---|---|
//! | `horns` | the ball at the top, above two players at the high post, one on either side; two low and wide, one on either side |
//! | `four_high` | the same, but the two wide ones at the free-throw line extended or above |
//! | `box` | the ball at the top, above two at the high post; one at each block |
//! | `stack` | three or more players off the ball close together in a line |
//! | `five_out` | nobody inside |
//! | `four_out_one_in` | one player inside |
//! | `three_out_two_in` | two players inside |
//! | `other` | three or more inside |
//!
//! Inside is in the middle (within 4.0 m of the line through both hoops, at the free-throw line or above) a step inside the
//! three-point line, elsewhere well inside it: on the wings, in the corners and along the baseline players of the perimeter stand
//! a step inside the line, and at the high post those inside stand close to it.

use scrim_floor::{AttackFrame, Court, Point};
use scrim_play::{Attacker, Five, Place, SIDE_SIZE};
use scrim_tables::tags::Alignment;

/// How roughly players keep a shape, m: a rule that is kept or broken by so much more makes its shape e times more or
/// less likely.
pub const SLACK_M: f32 = 0.6;

/// In the middle of the floor, at the free-throw line or above, a player is inside from this far inside the three-point
/// line, m.
const STEP_INSIDE_M: f32 = 0.5;
/// Anywhere else a player is inside from this far inside the three-point line, m.
const WELL_INSIDE_M: f32 = 2.0;

/// A shape, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Which.
    pub alignment: Alignment,
    /// How far it is from the shape that came second, m: so far a player on the border would have to move for the two to be
    /// as likely.
    pub margin_m: f32,
}

/// Where the five attackers are.
pub type Spots = Five<Attacker, Point<AttackFrame>>;

const WORDS: usize = Alignment::ALL.len();

// All lengths below: measured on labelled real possessions and held against practice games, to the next 0.1 to 0.5 m.
/// The middle of the floor reaches this far from the line through both hoops, m.
const MIDDLE_M: f32 = 4.0;
/// ... and from this far below the free-throw line upward, m.
const MIDDLE_BELOW_M: f32 = 0.5;
/// Who has the ball is inside only when they are this much farther in than the others, m: they come up with it, and drive.
const HANDLER_M: f32 = 1.2;
/// The high post: within this of the line through both hoops, m,
const HIGH_POST_M: f32 = 3.9;
/// ... from this far below the free-throw line, m,
const HIGH_POST_BELOW_M: f32 = 1.3;
/// ... to this far outside the three-point line, m.
const HIGH_POST_OUT_M: f32 = 0.4;
/// Two players at the high post are at least this far apart across the floor, m,
const HIGH_POST_APART_M: f32 = 2.0;
/// ... and at most this far along it, m.
const HIGH_POST_LEVEL_M: f32 = 2.2;
/// The ball at the top is within this of the line through both hoops, m.
const TOP_M: f32 = 4.5;
/// Who is wide is at most this far inside the three-point line, m,
const WIDE_INSIDE_M: f32 = 1.5;
/// ... and at least this far from the line through both hoops, m.
const WIDE_M: f32 = 4.4;
/// Low ends, and the free-throw line extended begins, this far below the free-throw line, m.
const LOW_BELOW_M: f32 = 0.5;
/// A player is at a block within this of its middle, m.
const BLOCK_M: f32 = 2.4;
/// Where a block's middle is before the hoop, m.
const BLOCK_X_M: f32 = 1.0;
/// Players are in a stack when none is farther than this from their line, m,
const STACK_OFF_LINE_M: f32 = 0.6;
/// ... and neighbours are at most this far apart, m (three from block to elbow are 1.6 m apart).
const STACK_APART_M: f32 = 2.4;
/// A word that says where each player stands goes before a mere count of those inside, as long as its rule is broken by less
/// than this, m.
const LEAD_M: f32 = 0.3;

/// How likely each shape is, at an instant or over several.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Fits([f32; WORDS]);

impl Fits {
    /// How likely one is.
    pub(super) const fn of(&self, alignment: Alignment) -> f32 {
        self.0[alignment as usize]
    }

    /// Their sum.
    pub(super) fn total(&self) -> f32 {
        self.0.iter().sum()
    }

    /// Adds those of another instant, weighted.
    pub(super) fn add(&mut self, other: &Self, weight: f32) {
        for (sum, fit) in self.0.iter_mut().zip(other.0) {
            *sum += weight * fit;
        }
    }

    /// The likeliest shape; of equals the one that the vocabulary names first.
    pub(super) fn best(&self, slack_m: f32) -> Shape {
        let (mut best, mut first, mut second) = (Alignment::Other, 0.0_f32, 0.0_f32);
        for &alignment in Alignment::ALL {
            let fit = self.of(alignment);
            if fit > first {
                (best, second, first) = (alignment, first, fit);
            } else {
                second = second.max(fit);
            }
        }
        let odds = first.max(f32::MIN_POSITIVE) / second.max(f32::MIN_POSITIVE);
        Shape {
            alignment: best,
            margin_m: slack_m.max(0.01) * odds.ln(),
        }
    }
}

/// The shape of five players at `spots` (attack frame, finite), of whom `ball` has the ball.
pub fn classify_shape(spots: &Spots, ball: Attacker, court: &Court, slack_m: f32) -> Shape {
    shape_fits(spots, ball, court, slack_m).best(slack_m)
}

/// How likely each shape is of five players at `spots`. They sum to 1.
pub(super) fn shape_fits(spots: &Spots, ball: Attacker, court: &Court, slack_m: f32) -> Fits {
    let softness_m = slack_m.max(0.01);
    let mut others = [Point::origin(); SIDE_SIZE - 1];
    let off_ball = Attacker::ALL.into_iter().filter(|&place| place != ball);
    for (other, place) in others.iter_mut().zip(off_ball) {
        *other = spots[place];
    }
    let places = Places { court, others };
    let named = [
        (
            Alignment::Horns,
            places.high_post_and(spots[ball], Places::corners),
        ),
        (
            Alignment::FourHigh,
            places.high_post_and(spots[ball], Places::wings),
        ),
        (Alignment::Box, places.high_post_and(spots[ball], Places::blocks)),
        // The middle player's way counts twice in it, for the line and for the gaps.
        (Alignment::Stack, 0.5 * places.stack()),
    ];
    let mut fits = Fits::default();
    let mut sum = 1.0;
    for (alignment, slack_m) in named {
        let fit = (slack_m / softness_m).min(MOST_ODDS).exp();
        fits.0[alignment as usize] = fit;
        sum += fit;
    }
    let mut inside = spots.map(|spot| inside_m(spot, court));
    inside[ball] -= HANDLER_M;
    let [none, one, two] = few_inside(inside.values().map(|slack_m| logistic(slack_m / softness_m)));
    fits.0[Alignment::FiveOut as usize] = none;
    fits.0[Alignment::FourOutOneIn as usize] = one;
    fits.0[Alignment::ThreeOutTwoIn as usize] = two;
    fits.0[Alignment::Other as usize] = (1.0 - none - one - two).max(0.0);
    for fit in &mut fits.0 {
        *fit /= sum;
    }
    fits
}

/// No shape counts for more than this, in natural logarithms of odds: beyond is no number.
const MOST_ODDS: f32 = 60.0;

fn logistic(x: f32) -> f32 {
    1.0 / (1.0 + (-x).exp())
}

/// The slack of "is inside".
fn inside_m(spot: Point<AttackFrame>, court: &Court) -> f32 {
    let within_line_m = -court.beyond_arc_m(spot);
    let above_m = spot.x_m - (court.free_throw_x_m() - MIDDLE_BELOW_M);
    let middle = (within_line_m - STEP_INSIDE_M).min(MIDDLE_M - spot.y_m.abs());
    middle.min(above_m).max(within_line_m - WELL_INSIDE_M)
}

/// How likely none, one and two of the players are inside. `inside`: how likely each is.
fn few_inside(inside: [f32; SIDE_SIZE]) -> [f32; 3] {
    let mut counts = [1.0, 0.0, 0.0];
    for one in inside {
        let [none, first, second] = counts;
        counts = [
            none * (1.0 - one),
            first * (1.0 - one) + none * one,
            second * (1.0 - one) + first * one,
        ];
    }
    counts
}

/// The four without the ball on their court.
struct Places<'a> {
    court: &'a Court,
    others: [Point<AttackFrame>; 4],
}

impl Places<'_> {
    /// The slack of "the ball at the top, two at the high post below it, and the other two as `rest` has it": of the best way
    /// to share the four out, with the lead of a named shape.
    fn high_post_and(
        &self,
        ball: Point<AttackFrame>,
        rest: impl Fn(&Self, Point<AttackFrame>, Point<AttackFrame>) -> f32,
    ) -> f32 {
        let mut best = f32::NEG_INFINITY;
        for [a, b, c, d] in PAIRS {
            let [a, b, c, d] = [a, b, c, d].map(|place: usize| self.others[place]);
            let below_ball = ball.x_m - a.x_m.max(b.x_m);
            let pair = self.high_post(a).min(self.high_post(b)).min(below_ball);
            let apart = (a.y_m - b.y_m).abs() - HIGH_POST_APART_M;
            let level = HIGH_POST_LEVEL_M - (a.x_m - b.x_m).abs();
            best = best.max(pair.min(apart).min(level).min(rest(self, c, d)));
        }
        best.min(TOP_M - ball.y_m.abs()) + LEAD_M
    }

    fn high_post(&self, spot: Point<AttackFrame>) -> f32 {
        let above_m = spot.x_m - (self.court.free_throw_x_m() - HIGH_POST_BELOW_M);
        let out_m = HIGH_POST_OUT_M - self.court.beyond_arc_m(spot);
        (HIGH_POST_M - spot.y_m.abs()).min(above_m).min(out_m)
    }

    fn wide(&self, spot: Point<AttackFrame>) -> f32 {
        (self.court.beyond_arc_m(spot) + WIDE_INSIDE_M).min(spot.y_m.abs() - WIDE_M)
    }

    /// Two who are wide, one on either side.
    fn wide_pair(&self, one: Point<AttackFrame>, other: Point<AttackFrame>) -> f32 {
        let apart = (one.y_m - other.y_m).abs() - WIDE_M;
        self.wide(one).min(self.wide(other)).min(apart)
    }

    fn corners(&self, one: Point<AttackFrame>, other: Point<AttackFrame>) -> f32 {
        let low = self.court.free_throw_x_m() - LOW_BELOW_M - one.x_m.max(other.x_m);
        self.wide_pair(one, other).min(low)
    }

    fn wings(&self, one: Point<AttackFrame>, other: Point<AttackFrame>) -> f32 {
        let high = one.x_m.min(other.x_m) - (self.court.free_throw_x_m() - LOW_BELOW_M);
        self.wide_pair(one, other).min(high)
    }

    fn blocks(&self, one: Point<AttackFrame>, other: Point<AttackFrame>) -> f32 {
        let slack = |spot: Point<AttackFrame>, side: f32| {
            BLOCK_M - spot.distance_m(Point::new(BLOCK_X_M, side * self.court.lane_width_m / 2.0))
        };
        let straight = slack(one, -1.0).min(slack(other, 1.0));
        straight.max(slack(one, 1.0).min(slack(other, -1.0)))
    }

    /// The slack of "three close together in a line". The line is that through the two farthest apart of the three.
    fn stack(&self) -> f32 {
        let mut best = f32::NEG_INFINITY;
        for [one, two, three, _] in TRIOS {
            let [a, b, c] = [one, two, three].map(|place: usize| self.others[place]);
            // The player in the middle is the one opposite to the longest side.
            let (end, middle, other_end) = [(a, b, c), (b, c, a), (c, a, b)]
                .into_iter()
                .max_by(|x, y| x.0.distance_m(x.2).total_cmp(&y.0.distance_m(y.2)))
                .unwrap_or((a, b, c));
            let along = (other_end - end).unit();
            let off_line_m = (middle - end).cross(along).abs();
            let apart_m = end.distance_m(middle).max(middle.distance_m(other_end));
            best = best.max((STACK_OFF_LINE_M - off_line_m).min(STACK_APART_M - apart_m));
        }
        best
    }
}

/// Two of four, then the other two.
const PAIRS: [[usize; 4]; 6] = [
    [0, 1, 2, 3],
    [0, 2, 1, 3],
    [0, 3, 1, 2],
    [1, 2, 0, 3],
    [1, 3, 0, 2],
    [2, 3, 0, 1],
];

/// Three of four, then the other.
const TRIOS: [[usize; 4]; 4] = [[1, 2, 3, 0], [0, 2, 3, 1], [0, 1, 3, 2], [0, 1, 2, 3]];
