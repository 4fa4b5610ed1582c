//! What two shapes are at least apart, for a small part of the work.
//!
//! Source: E. Keogh & C. A. Ratanamahatana, "Exact indexing of dynamic time warping", Knowledge and Information Systems 7, 2005,
//! 358–386, section 4: an instant is at least as far from whatever it is compared with as from the box around all that it may be
//! compared with. In the symmetric form each instant of both counts once, so both are held against the other's boxes, and the two sums
//! added.

use crate::distance::WARP;
use crate::shape::{INSTANTS, Metres, ORDERS, OTHERS, WAYS, WEIGHT, WEIGHTS, WITH_A_PART, other};

/// Sums of rounded numbers may come out a little above what they bound: they are taken so much smaller. 32 additions of f32 err by
/// less than 32 · 2⁻²⁴ = 2e-6 of the sum.
const ROUNDING: f32 = 1.0 - 1e-5;

/// Around each instant of each way the box of where it is up to `WARP` instants before and after.
#[derive(Debug, Clone)]
struct Boxes {
    x: [Range; WAYS],
    y: [Range; WAYS],
}

/// Least and greatest at each instant.
type Range = [[f32; INSTANTS]; 2];

/// A shape with its boxes.
#[derive(Debug, Clone)]
pub(crate) struct Boxed {
    pub(crate) metres: Metres,
    boxes: Boxes,
}

impl Boxed {
    pub(crate) fn of(metres: Metres) -> Self {
        let boxes = Boxes {
            x: std::array::from_fn(|way| range(&metres.x[way])),
            y: std::array::from_fn(|way| range(&metres.y[way])),
        };
        Self { metres, boxes }
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

/// At most [`both_apart_m`](crate::distance::both_apart_m) of the same two; `a` is one and its mirror image.
pub(crate) fn at_least_m(a: &[Boxed; 2], b: &Boxed) -> f32 {
    less(as_they_are_m(&a[0], b), as_they_are_m(&a[1], b))
}

fn as_they_are_m(a: &Boxed, b: &Boxed) -> f32 {
    let fixed: f32 = WITH_A_PART.iter().map(|way| between(a, b, [*way, *way])).sum();
    let mut pairs = [[0.0; OTHERS]; OTHERS];
    for (first, row) in pairs.iter_mut().enumerate() {
        for (second, sum) in row.iter_mut().enumerate() {
            let (ones, others) = (other(first), other(second));
            *sum = between(a, b, [ones[0], others[0]]) + between(a, b, [ones[1], others[1]]);
        }
    }
    let of_order =
        |order: &[usize; OTHERS]| -> f32 { (0..OTHERS).map(|first| pairs[first][order[first]]).sum() };
    let least = ORDERS.iter().map(of_order).fold(f32::INFINITY, less);
    (fixed + least) * ROUNDING / (WEIGHT * (2 * INSTANTS) as f32)
}

/// The sum over the instants of both ways of how far each is outside the other's boxes, weighted.
fn between(a: &Boxed, b: &Boxed, [of_a, of_b]: [usize; 2]) -> f32 {
    let one = outside(&a.metres, of_a, &b.boxes, of_b);
    WEIGHTS[of_a] * (one + outside(&b.metres, of_b, &a.boxes, of_a))
}

fn outside(metres: &Metres, way: usize, boxes: &Boxes, of: usize) -> f32 {
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

    fn bound_m(a: &Shape, b: &Shape) -> f32 {
        let a = Metres::of(a);
        at_least_m(
            &[Boxed::of(a.clone()), Boxed::of(a.mirrored())],
            &Boxed::of(Metres::of(b)),
        )
    }

    proptest! {
        #[test]
        fn no_two_are_nearer_than_their_bound(a in shape(), b in shape(), by_cm in 0_i16..200) {
            prop_assert!(bound_m(&a, &b) <= apart_m(&a, &b));
            let near = moved(&a, by_cm);
            prop_assert!(bound_m(&a, &near) <= apart_m(&a, &near));
        }
    }

    #[test]
    fn of_those_who_stand_the_bound_is_the_distance() {
        // Boxes of one point: all moved by 1 m are 1 m outside.
        let still = Shape::of_numbers([0; crate::shape::NUMBERS]);
        let bound_m = bound_m(&still, &moved(&still, 100));
        assert!((0.9999..=1.0).contains(&bound_m), "{bound_m}");
    }
}
