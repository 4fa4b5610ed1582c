//! How far two shapes are apart: dynamic time warping over all ways at once.
//!
//! Source: H. Sakoe & S. Chiba, "Dynamic programming algorithm optimization for spoken word recognition", IEEE Transactions on
//! Acoustics, Speech, and Signal Processing 26, 1978, 43–49: the symmetric form without a slope constraint (P = 0), with their
//! adjustment window. Its weights sum to the lengths of both, so that the distance is a mean per instant.

use crate::shape::{INSTANTS, Metres, ORDERS, OTHERS, Shape, WEIGHT, WEIGHTS, WITH_A_PART, other};

/// An instant of one is compared with those of the other that are at most so many instants off. Common practice (a fifth of the
/// length), no source.
pub(crate) const WARP: usize = 3;

/// Instants that one instant is compared with.
const SPAN: usize = 2 * WARP + 1;

/// Distances of all pairs of instants: by how far they are apart (from `WARP` earlier to `WARP` later), then by the first's instant.
/// Where the second is outside there is a number that is never used.
type Grid = [[f32; INSTANTS]; SPAN];

/// How far two shapes are apart, m: the mean over the ten, the ball and all instants of the distance between the two, after the best
/// warp of time, order of the three attackers without a part (each with their defender), and of one and its mirror image.
pub fn apart_m(a: &Shape, b: &Shape) -> f32 {
    let (a, b) = (Metres::of(a), Metres::of(b));
    both_apart_m(&[a.clone(), a.mirrored()], &b)
}

/// The same of a shape that was turned into metres before, with its mirror image.
pub(crate) fn both_apart_m(a: &[Metres; 2], b: &Metres) -> f32 {
    as_they_are_m(&a[0], b).min(as_they_are_m(&a[1], b))
}

/// Without mirror images.
fn as_they_are_m(a: &Metres, b: &Metres) -> f32 {
    let mut fixed = [[0.0; INSTANTS]; SPAN];
    for way in WITH_A_PART {
        add_way(&mut fixed, a, b, [way, way]);
    }
    let mut pairs = [[[[0.0; INSTANTS]; SPAN]; OTHERS]; OTHERS];
    for (first, row) in pairs.iter_mut().enumerate() {
        for (second, grid) in row.iter_mut().enumerate() {
            for (one, another) in other(first).into_iter().zip(other(second)) {
                add_way(grid, a, b, [one, another]);
            }
        }
    }
    let of_order = |order: &[usize; OTHERS]| {
        let mut sum = fixed;
        for (first, second) in order.iter().enumerate() {
            for (sums, values) in sum.iter_mut().zip(&pairs[first][*second]) {
                for (total, value) in sums.iter_mut().zip(values) {
                    *total += value;
                }
            }
        }
        warped(&sum)
    };
    ORDERS.iter().map(of_order).fold(f32::INFINITY, f32::min) / WEIGHT
}

/// Adds the distances between a way of one and a way of the other.
fn add_way(grid: &mut Grid, a: &Metres, b: &Metres, [of_a, of_b]: [usize; 2]) {
    let (x, y) = (padded(&b.x[of_b]), padded(&b.y[of_b]));
    let weight = WEIGHTS[of_a];
    for (shift, distances) in grid.iter_mut().enumerate() {
        for instant in 0..INSTANTS {
            let dx = a.x[of_a][instant] - x[instant + shift];
            let dy = a.y[of_a][instant] - y[instant + shift];
            distances[instant] += weight * (dx * dx + dy * dy).sqrt();
        }
    }
}

/// With room for what is before the first and after the last instant.
fn padded(values: &[f32; INSTANTS]) -> [f32; INSTANTS + 2 * WARP] {
    let mut padded = [0.0; INSTANTS + 2 * WARP];
    padded[WARP..WARP + INSTANTS].copy_from_slice(values);
    padded
}

/// The least weighted sum over all ways through the grid, over the sum of the weights.
fn warped(grid: &Grid) -> f32 {
    // By the second's instant less the first's, with one more on either side that nothing comes from.
    let mut before = [f32::INFINITY; SPAN + 2];
    for instant in 0..INSTANTS {
        let mut now = [f32::INFINITY; SPAN + 2];
        for (shift, distances) in grid.iter().enumerate() {
            let second = instant + shift;
            if !(WARP..WARP + INSTANTS).contains(&second) {
                continue;
            }
            let distance = distances[instant];
            now[shift + 1] = if instant == 0 && shift == WARP {
                2.0 * distance
            } else {
                // From the same instant of the first, from the same of the second, from the one before in both.
                let one = now[shift].min(before[shift + 2]) + distance;
                one.min(before[shift + 1] + 2.0 * distance)
            };
        }
        before = now;
    }
    before[WARP + 1] / (2 * INSTANTS) as f32
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    use super::*;
    use crate::shape::{NUMBERS, WAYS};
    use crate::staging::{moved, shape, with_others};

    proptest! {
        #[test]
        fn it_is_the_same_both_ways_and_nothing_to_itself(a in shape(), b in shape()) {
            prop_assert!((apart_m(&a, &b) - apart_m(&b, &a)).abs() < 1e-4);
            prop_assert_eq!(apart_m(&a, &a), 0.0);
        }

        #[test]
        fn mirror_images_are_one(a in shape(), b in shape()) {
            prop_assert_eq!(apart_m(&a, &a.mirrored()), 0.0);
            prop_assert!((apart_m(&a, &b) - apart_m(&a, &b.mirrored())).abs() < 1e-4);
        }

        #[test]
        fn the_order_of_the_three_without_a_part_says_nothing(a in shape(), b in shape(), order in 0..6_usize) {
            let again = with_others(&a, ORDERS[order]);
            prop_assert!(apart_m(&a, &again) < 1e-4);
            prop_assert!((apart_m(&a, &b) - apart_m(&again, &b)).abs() < 1e-4);
        }
    }

    #[test]
    fn all_moved_by_a_metre_are_a_metre_apart() {
        // Everybody stands on the middle line: no warp, order or mirror image is nearer than 1 m along x.
        let still = Shape::of_numbers([0; NUMBERS]);
        assert_abs_diff_eq!(apart_m(&still, &moved(&still, 100)), 1.0, epsilon = 1e-5);
        // The ball alone: one way of eleven.
        let mut numbers = [0; NUMBERS];
        numbers[NUMBERS - 2 * INSTANTS..NUMBERS - INSTANTS].fill(100);
        let ball = Shape::of_numbers(numbers);
        assert_abs_diff_eq!(apart_m(&still, &ball), 1.0 / WAYS as f32, epsilon = 1e-5);
    }

    /// Everybody at 0 m, and from an instant on at 1 m.
    fn step_at(instant: usize) -> Shape {
        let mut numbers = [0; NUMBERS];
        for way in numbers.chunks_exact_mut(2 * INSTANTS) {
            way[instant..INSTANTS].fill(100);
        }
        Shape::of_numbers(numbers)
    }

    #[test]
    fn what_comes_a_little_later_is_the_same_and_what_comes_much_later_is_not() {
        // A warp takes one step to the other; beyond it one instant is left over. It costs 1 m at each of two steps of the way through
        // the grid (one in each direction), or one step of double weight: 2 of the weights' sum of 32.
        assert_eq!(apart_m(&step_at(6), &step_at(6 + WARP)), 0.0);
        let one = 2.0 / (2 * INSTANTS) as f32;
        assert_abs_diff_eq!(apart_m(&step_at(6), &step_at(7 + WARP)), one, epsilon = 1e-6);
    }

    /// The plain definition: all ways through the grid, by recursion from the end (no table, no order of work).
    fn by_definition(grid: &[Vec<f32>], i: usize, j: usize) -> f32 {
        if i.abs_diff(j) > WARP {
            return f32::INFINITY;
        }
        let d = grid[i][j];
        match (i, j) {
            (0, 0) => 2.0 * d,
            (0, _) => by_definition(grid, 0, j - 1) + d,
            (_, 0) => by_definition(grid, i - 1, 0) + d,
            (_, _) => (by_definition(grid, i - 1, j) + d)
                .min(by_definition(grid, i, j - 1) + d)
                .min(by_definition(grid, i - 1, j - 1) + 2.0 * d),
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4))]
        #[test]
        fn the_table_gives_the_papers_recursion(values in proptest::collection::vec(0.0_f32..9.0, 64)) {
            // The recursion's work grows as three to the length: the last instants repeat one that costs nothing to stay on.
            const SHORT: usize = 8;
            let mut plain = vec![vec![0.0; INSTANTS]; INSTANTS];
            let mut grid: Grid = [[0.0; INSTANTS]; SPAN];
            for i in 0..INSTANTS {
                for j in i.saturating_sub(WARP)..INSTANTS.min(i + WARP + 1) {
                    let d = if i < SHORT && j < SHORT { values[i * SHORT + j] } else { 0.0 };
                    plain[i][j] = d;
                    grid[j + WARP - i][i] = d;
                }
            }
            let expected = (0..INSTANTS)
                .flat_map(|i| (0..INSTANTS).map(move |j| (i, j)))
                .filter(|(i, j)| i.max(j) == &SHORT && i.abs_diff(*j) <= WARP)
                .map(|(i, j)| by_definition(&plain, i, j))
                .fold(f32::INFINITY, f32::min);
            prop_assert!((warped(&grid) * (2 * INSTANTS) as f32 - expected).abs() < 1e-4);
        }
    }
}
