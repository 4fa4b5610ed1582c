//! What two shapes are at least apart, for a small part of the work.
//!
//! Source: E. Keogh & C. A. Ratanamahatana, "Exact indexing of dynamic time warping", Knowledge and Information Systems 7, 2005,
//! 358–386, section 4: an instant is at least as far from whatever it is compared with as from the box around all that it may be
//! compared with. In the symmetric form each instant of both counts once, so both are held against the other's boxes, and the two sums
//! added.

use crate::distance::WARP;
use crate::shape::{
    INSTANTS, Metres, ORDERS, OTHERS, WAYS, WEIGHT, WEIGHTS, WITH_A_PART, WITHOUT_A_PART, other,
};

/// Sums of rounded numbers may come out a little above what they bound: they are taken so much smaller. 32 additions of f32 err by
/// less than 32 · 2⁻²⁴ = 2e-6 of the sum.
const ROUNDING: f32 = 1.0 - 1e-5;

/// Least and greatest at each instant.
type Range = [[f32; INSTANTS]; 2];

/// A shape, and around each instant of its ways the box of where it is up to [`WARP`] instants before and after.
#[derive(Debug, Clone)]
pub(crate) struct Boxed {
    metres: Metres,
    x: [Range; WAYS],
    y: [Range; WAYS],
}

impl Boxed {
    /// With the boxes of all ways.
    pub(crate) fn of(metres: Metres) -> Self {
        let mut boxed = Self::without_boxes(metres);
        boxed.add_boxes(WITH_A_PART);
        boxed.add_boxes(WITHOUT_A_PART);
        boxed
    }

    fn without_boxes(metres: Metres) -> Self {
        let none = [[[0.0; INSTANTS]; 2]; WAYS];
        Self {
            metres,
            x: none,
            y: none,
        }
    }

    fn add_boxes(&mut self, ways: impl IntoIterator<Item = usize>) {
        for way in ways {
            self.x[way] = range(&self.metres.x[way]);
            self.y[way] = range(&self.metres.y[way]);
        }
    }
}

fn range(values: &[f32; INSTANTS]) -> Range {
    let (mut low, mut high) = (*values, *values);
    for shift in 1..=WARP {
        for instant in 0..INSTANTS - shift {
            let (here, there) = (values[instant], values[instant + shift]);
            low[instant] = less(low[instant], there);
            high[instant] = more(high[instant], there);
            low[instant + shift] = less(low[instant + shift], here);
            high[instant + shift] = more(high[instant + shift], here);
        }
    }
    [low, high]
}

// Plain comparisons: those of the standard library look after NaN, which a shape never has, and take longer.
fn less(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

fn more(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// At most [`both_apart_m`](crate::distance::both_apart_m) of the same two; `a` is one and its mirror image, with all boxes. A bound over
/// `enough_m` need not be the best: the work ends as soon as there is one.
pub(crate) fn at_least_m(a: &[Boxed; 2], b: Metres, enough_m: f32) -> f32 {
    const SCALE: f32 = ROUNDING / (WEIGHT * (2 * INSTANTS) as f32);
    let mut b = Boxed::without_boxes(b);
    b.add_boxes(WITH_A_PART);
    let fixed = |image: &Boxed| -> f32 {
        WITH_A_PART
            .iter()
            .map(|way| between(image, &b, [*way, *way]))
            .sum()
    };
    let of_both = [fixed(&a[0]), fixed(&a[1])];
    // The image that is nearer so far is looked at first: mostly the other needs no second look.
    let near = usize::from(of_both[1] < of_both[0]);
    if of_both[near] * SCALE > enough_m {
        return of_both[near] * SCALE;
    }
    b.add_boxes(WITHOUT_A_PART);
    let whole = of_both[near] + others(&a[near], &b);
    let far = of_both[1 - near];
    if far >= whole || far * SCALE > enough_m {
        return less(whole, far) * SCALE;
    }
    less(whole, far + others(&a[1 - near], &b)) * SCALE
}

/// The least over all orders of the three without a part.
fn others(a: &Boxed, b: &Boxed) -> f32 {
    let mut pairs = [[0.0; OTHERS]; OTHERS];
    for (first, row) in pairs.iter_mut().enumerate() {
        for (second, sum) in row.iter_mut().enumerate() {
            let (ones, others) = (other(first), other(second));
            *sum = between(a, b, [ones[0], others[0]]) + between(a, b, [ones[1], others[1]]);
        }
    }
    let of_order =
        |order: &[usize; OTHERS]| -> f32 { (0..OTHERS).map(|first| pairs[first][order[first]]).sum() };
    ORDERS.iter().map(of_order).fold(f32::INFINITY, less)
}

/// The sum over the instants of both ways of how far each is outside the other's boxes, weighted.
fn between(a: &Boxed, b: &Boxed, [of_a, of_b]: [usize; 2]) -> f32 {
    let one = outside(&a.metres, of_a, b, of_b);
    WEIGHTS[of_a] * (one + outside(&b.metres, of_b, a, of_a))
}

fn outside(metres: &Metres, way: usize, boxes: &Boxed, of: usize) -> f32 {
    let mut distances = [0.0; INSTANTS];
    for (instant, distance) in distances.iter_mut().enumerate() {
        let off = |at: f32, range: &Range| more(more(range[0][instant] - at, at - range[1][instant]), 0.0);
        let dx = off(metres.x[way][instant], &boxes.x[of]);
        let dy = off(metres.y[way][instant], &boxes.y[of]);
        *distance = (dx * dx + dy * dy).sqrt();
    }
    distances.iter().sum()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::distance::apart_m;
    use crate::shape::Shape;
    use crate::staging::{moved, shape};

    fn bound_m(a: &Shape, b: &Shape, enough_m: f32) -> f32 {
        let a = Metres::of(a);
        let images = [Boxed::of(a.clone()), Boxed::of(a.mirrored())];
        at_least_m(&images, Metres::of(b), enough_m)
    }

    proptest! {
        #[test]
        fn no_two_are_nearer_than_their_bound(a in shape(), b in shape(), by_cm in 0_i16..200, enough_m in 0.0_f32..4.0) {
            for b in [b, moved(&a, by_cm), moved(&a, by_cm).mirrored()] {
                let whole_m = bound_m(&a, &b, f32::INFINITY);
                prop_assert!(whole_m <= apart_m(&a, &b));
                // One that was enough is over it, or the best.
                let early_m = bound_m(&a, &b, enough_m);
                prop_assert!(early_m == whole_m || (early_m > enough_m && early_m <= whole_m));
            }
        }
    }

    #[test]
    fn of_those_who_stand_the_bound_is_the_distance() {
        // Boxes of one point: all moved by 1 m are 1 m outside.
        let still = Shape::of_numbers([0; crate::shape::NUMBERS]);
        let bound_m = bound_m(&still, &moved(&still, 100), f32::INFINITY);
        assert!((0.9999..=1.0).contains(&bound_m), "{bound_m}");
    }
}
