//! What follows what, seen through words that are sometimes read as another.

use nalgebra::DMatrix;

use crate::rate::score_interval;
use crate::{Interval, Z_95};

/// How one of several words is read, from labelled cases.
///
/// The matrix method: a table of read words is the table of true ones times the chances of each reading, and times their inverse it is
/// the true one again (J. Kuha & C. Skinner, "Categorical data analysis and misclassification", in *Survey Measurement and Process
/// Quality*, Wiley 1997, section 28.4; from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Misread {
    /// Labelled cases of each word.
    labelled: Vec<f64>,
    /// Row: true word, column: chance to be read so.
    read: DMatrix<f64>,
    /// The inverse of `read`.
    back: DMatrix<f64>,
}

/// A word with fewer labelled cases is taken as it is read, and nothing is said of it: no source.
const LEAST_LABELLED: f64 = 10.0;

/// Words must be read right more often than this, so that a reading says which word it is and the inverse is not blown up: for any
/// such table it exists (its diagonal dominates each row).
const LEAST_RIGHT: f64 = 0.6;

impl Misread {
    /// From labelled cases: `counts[true][read]`, square. `None` when no word has labelled cases enough, or one that has is read
    /// right in no more than 6 of 10 cases: then reading says too little.
    pub fn of(counts: &[Vec<u32>]) -> Option<Self> {
        let words = counts.len();
        let mut read = DMatrix::identity(words, words);
        let mut labelled = vec![0.0; words];
        for (word, row) in counts.iter().enumerate() {
            let all: f64 = row.iter().map(|&count| f64::from(count)).sum();
            if all < LEAST_LABELLED {
                continue;
            }
            labelled[word] = all;
            for (seen, &count) in row.iter().enumerate() {
                read[(word, seen)] = f64::from(count) / all;
            }
            if read[(word, word)] <= LEAST_RIGHT {
                return None;
            }
        }
        if labelled.iter().all(|&all| all == 0.0) {
            return None;
        }
        let back = read.clone().try_inverse()?;
        Some(Self { labelled, read, back })
    }

    /// Whether `word` has labelled cases enough.
    pub fn knows(&self, word: usize) -> bool {
        self.labelled.get(word).is_some_and(|&all| all > 0.0)
    }
}

/// Pairs of what was read first and what was read next, and how each is read.
///
/// Readings of the two are taken as independent of each other, and labelled cases as independent of the pairs.
#[derive(Debug, Clone)]
pub struct ReadPairs<'a> {
    counts: DMatrix<f64>,
    misread: &'a Misread,
    next_too: bool,
    /// The true table, as far as it is known.
    truth: DMatrix<f64>,
}

impl<'a> ReadPairs<'a> {
    /// `counts[first][next]`, as read. `next_too`: the next is such a word too, read likewise; else it is always read right.
    pub fn of(counts: DMatrix<f64>, misread: &'a Misread, next_too: bool) -> Self {
        let back_rows = misread.back.transpose() * &counts;
        let truth = if next_too {
            back_rows * &misread.back
        } else {
            back_rows
        };
        Self {
            counts,
            misread,
            next_too,
            truth,
        }
    }

    /// Of the pairs whose first is truly `first`, the share whose next is truly `next`, with 95 % bounds, all within 0 and 1.
    /// `None` when nothing is known of how one of the two words is read, or when what is left of such pairs says less than a
    /// single pair would.
    ///
    /// The variance is that of a ratio of two sums over independent pairs (the delta method), and of the labelled cases that the
    /// readings are known from, as independent multinomials. Bounds: Wilson's for as many pairs as would have that variance (an
    /// effective sample size, L. Kish, *Survey Sampling*, Wiley 1965, section 8.2), and never for more than were read.
    pub fn rate(&self, first: usize, next: usize) -> Option<Interval> {
        if !self.misread.knows(first) || self.next_too && !self.misread.knows(next) {
            return None;
        }
        let back_of = |seen: usize| self.misread.back[(seen, first)];
        let back_to = |seen: usize| {
            if self.next_too {
                self.misread.back[(seen, next)]
            } else {
                f64::from(u8::from(seen == next))
            }
        };
        let (hits, all) = (self.truth[(first, next)], self.truth.row(first).sum());
        let read_all = self.counts.row(first).sum();
        if all <= 0.0 || read_all <= 0.0 {
            return None;
        }
        let rate = (hits / all).clamp(0.0, 1.0);
        let of_pairs: f64 = self
            .cells()
            .map(|((row, column), count)| (back_of(row) * (back_to(column) - rate)).powi(2) * count)
            .sum();
        let variance = (of_pairs + self.of_labels(first, next, rate)) / (all * all);
        // A rate of 0 or 1 has no variance as counted; with two hits and two misses (about) more it has, as in Wilson's interval.
        let z2 = Z_95 * Z_95;
        let drawn_in = (rate * read_all + z2 / 2.0) / (read_all + z2);
        let spread = |rate: f64| rate * (1.0 - rate);
        let variance = variance + (spread(drawn_in) - spread(rate)) / read_all;
        let effective = (spread(drawn_in) / variance).min(read_all);
        (effective >= 1.0).then(|| score_interval(rate, effective))
    }

    fn cells(&self) -> impl Iterator<Item = ((usize, usize), f64)> + '_ {
        let rows = self.counts.nrows();
        let places = (0..self.counts.ncols()).flat_map(move |column| (0..rows).map(move |row| (row, column)));
        places.map(|place| (place, self.counts[place]))
    }

    /// The variance of `hits − rate · all` that comes of the labels: chances of reading, known from so many cases.
    fn of_labels(&self, first: usize, next: usize, rate: f64) -> f64 {
        let truth = &self.truth;
        let of_word = |word: usize| {
            // When a true `word` is read as `seen` a little oftener, pairs leave the row `first` ...
            let by_row = truth[(word, next)] - rate * truth.row(word).sum();
            // ... and the column `next`.
            let by_column = if self.next_too { truth[(first, word)] } else { 0.0 };
            self.misread.of_row(word, |seen| {
                let to_column = if self.next_too {
                    self.misread.back[(seen, next)]
                } else {
                    0.0
                };
                self.misread.back[(seen, first)] * by_row + to_column * by_column
            })
        };
        (0..self.misread.labelled.len()).map(of_word).sum()
    }
}

impl Misread {
    /// The variance of `Σ gradient(seen) · chance(word is read as seen)`, the chances being known from the word's labelled cases.
    fn of_row(&self, word: usize, gradient: impl Fn(usize) -> f64) -> f64 {
        let labelled = self.labelled[word];
        if labelled == 0.0 {
            return 0.0;
        }
        let words = self.labelled.len();
        // One case more, shared out evenly: what was never read so is not thereby impossible.
        let chance =
            |seen: usize| (self.read[(word, seen)] * labelled + 1.0 / words as f64) / (labelled + 1.0);
        let mean: f64 = (0..words).map(|seen| chance(seen) * gradient(seen)).sum();
        let square: f64 = (0..words).map(|seen| chance(seen) * gradient(seen).powi(2)).sum();
        (square - mean * mean).max(0.0) / labelled
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    use super::*;
    use crate::wilson;

    fn pairs(counts: &[[u32; 2]; 2]) -> DMatrix<f64> {
        DMatrix::from_fn(2, 2, |row, column| f64::from(counts[row][column]))
    }

    #[test]
    fn a_hand_worked_example() {
        // Nine of ten are read right, either way: the inverse of (0.9 0.1 / 0.1 0.9) is (9 −1 / −1 9) / 8.
        let misread = Misread::of(&[vec![90, 10], vec![10, 90]]).unwrap();
        let counts = pairs(&[[60, 20], [10, 110]]);
        let of = ReadPairs::of(counts.clone(), &misread, false);
        // Row 0 of the true table: (9 · 60 − 10) / 8 and (9 · 20 − 110) / 8, 66.25 and 8.75.
        assert_abs_diff_eq!(of.rate(0, 0).unwrap().value, 66.25 / 75.0, epsilon = 1e-12);
        // With the next read likewise: (9 · 66.25 − 8.75) / 8 = 73.4375 of 75.
        let both = ReadPairs::of(counts, &misread, true);
        assert_abs_diff_eq!(both.rate(0, 0).unwrap().value, 73.4375 / 75.0, epsilon = 1e-12);
    }

    #[test]
    fn words_without_labels_give_nothing() {
        let counts = pairs(&[[60, 20], [10, 110]]);
        assert_eq!(Misread::of(&[vec![3, 0], vec![0, 9]]), None);
        assert_eq!(Misread::of(&[vec![60, 40], vec![0, 90]]), None);
        let misread = Misread::of(&[vec![90, 10], vec![0, 3]]).unwrap();
        let of = ReadPairs::of(counts.clone(), &misread, true);
        assert_eq!((of.rate(1, 0), of.rate(0, 1)), (None, None));
        assert!(of.rate(0, 0).is_some());
    }

    #[test]
    fn true_rates_lie_inside_the_bounds_about_as_often_as_promised() {
        // Draws as in D. E. Knuth, The Art of Computer Programming 2, section 3.3.4, table 1, line 26.
        let mut state = 11_u64;
        let mut unit = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (state >> 11) as f64 / (1_u64 << 53) as f64
        };
        let chances = [[0.92, 0.05, 0.03], [0.02, 0.95, 0.03], [0.08, 0.04, 0.88]];
        // Shares of the first, and what follows it.
        let firsts = [0.4, 0.35, 0.25];
        let follows = [[0.7, 0.2, 0.1], [0.3, 0.4, 0.3], [0.15, 0.05, 0.8]];
        let pick = |shares: &[f64; 3], at: f64| {
            let below = |upto: usize| shares[..=upto].iter().sum::<f64>();
            (0..2).find(|&word| at < below(word)).unwrap_or(2)
        };
        let (mut inside, mut all, mut plainly_inside) = (0, 0, 0);
        for _ in 0..400 {
            let mut labels = vec![vec![0_u32; 3]; 3];
            for (word, row) in labels.iter_mut().enumerate() {
                for _ in 0..200 {
                    row[pick(&chances[word], unit())] += 1;
                }
            }
            let misread = Misread::of(&labels).unwrap();
            let mut counts = DMatrix::zeros(3, 3);
            for _ in 0..500 {
                let first = pick(&firsts, unit());
                let next = pick(&follows[first], unit());
                counts[(pick(&chances[first], unit()), pick(&chances[next], unit()))] += 1.0;
            }
            let of = ReadPairs::of(counts.clone(), &misread, true);
            for first in 0..3 {
                let n = counts.row(first).sum() as u32;
                for next in 0..3 {
                    let truth = follows[first][next];
                    let rate = of.rate(first, next).unwrap();
                    let plain = wilson(counts[(first, next)] as u32, n).unwrap();
                    all += 1;
                    inside += u32::from((rate.low..=rate.high).contains(&truth));
                    plainly_inside += u32::from((plain.low..=plain.high).contains(&truth));
                }
            }
        }
        // 3,600 tries of 0.95, nine of each draw not independent: 0.95 ± 0.015. Without the correction it is far less.
        let share = f64::from(inside) / f64::from(all);
        assert!((0.935..=0.97).contains(&share), "{share}");
        assert!(
            f64::from(plainly_inside) / f64::from(all) < 0.85,
            "{plainly_inside} of {all}"
        );
    }

    proptest! {
        #[test]
        fn a_rate_lies_within_its_bounds_and_they_within_0_and_1(
            cells in proptest::collection::vec(0u32..200, 9),
            labels in proptest::collection::vec(0u32..30, 9),
        ) {
            let counts = DMatrix::from_fn(3, 3, |row, column| f64::from(cells[3 * row + column]));
            let table: Vec<Vec<u32>> = (0..3)
                .map(|word| (0..3).map(|seen| labels[3 * word + seen] + if seen == word { 100 } else { 0 }).collect())
                .collect();
            let misread = Misread::of(&table);
            for next_too in [false, true] {
                let Some(misread) = misread.as_ref() else { continue };
                let of = ReadPairs::of(counts.clone(), misread, next_too);
                for place in 0..9 {
                    if let Some(rate) = of.rate(place / 3, place % 3) {
                        prop_assert!(0.0 <= rate.low && rate.low <= rate.value, "{rate:?}");
                        prop_assert!(rate.value <= rate.high && rate.high <= 1.0, "{rate:?}");
                    }
                }
            }
        }

        #[test]
        fn words_that_are_always_read_right_leave_the_rate_as_it_is(cells in proptest::collection::vec(1u32..300, 4)) {
            let counts = pairs(&[[cells[0], cells[1]], [cells[2], cells[3]]]);
            let misread = Misread::of(&[vec![2_000_000_000, 0], vec![0, 2_000_000_000]]).unwrap();
            let of = ReadPairs::of(counts.clone(), &misread, true);
            let (seen, plain) = (of.rate(0, 0).unwrap(), wilson(cells[0], cells[0] + cells[1]).unwrap());
            prop_assert!((seen.value - plain.value).abs() < 1e-12);
            prop_assert!((seen.low - plain.low).abs() < 0.02 && (seen.high - plain.high).abs() < 0.02);
        }
    }
}
