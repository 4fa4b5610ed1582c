//! How far two people agree beyond chance.

use crate::{Interval, Z_95};

/// Two people's words for the same things.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Things that both gave a word.
    pub n: u64,
    /// Those that got the same word from both.
    pub same: u64,
    /// Cohen's kappa with its 95 % bounds; `None` when one of them gave all things one and the same word: then it is 0 or nothing, whatever the
    /// other says.
    pub kappa: Option<Interval>,
}

/// Cohen's kappa of a square table: `counts[a][b]` things that the first calls `a` and the second `b`. `None` when the table is not square or
/// empty.
///
/// J. Cohen, "A coefficient of agreement for nominal scales", Educational and Psychological Measurement 20 (1960), 37–46. The bounds
/// are kappa ± 1.96 standard errors, brought within −1 and 1; the standard error is that of J. L. Fleiss, J. Cohen & B. S. Everitt,
/// "Large sample standard errors of kappa and weighted kappa", Psychological Bulletin 72 (1969), 323–327, equation 13 (the equation's
/// number from memory). It is one of many things: below some 50, or where one word is rare, the bounds are too narrow, and where all
/// agree they are 1 and 1.
pub fn cohens_kappa(counts: &[Vec<u64>]) -> Option<Agreement> {
    let n: u64 = counts.iter().flatten().sum();
    if n == 0 || counts.iter().any(|row| row.len() != counts.len()) {
        return None;
    }
    let words = counts.len();
    let share = |count: u64| count as f64 / n as f64;
    let of_first: Vec<f64> = counts.iter().map(|row| share(row.iter().sum())).collect();
    let of_second: Vec<f64> = (0..words)
        .map(|word| share(counts.iter().map(|row| row[word]).sum()))
        .collect();
    let same: u64 = (0..words).map(|word| counts[word][word]).sum();
    let agreed = share(same);
    let by_chance: f64 = of_first.iter().zip(&of_second).map(|(a, b)| a * b).sum();
    let beyond = 1.0 - by_chance;
    let is_all = |count: u64| count == n;
    let is_one_word = (0..words)
        .any(|word| is_all(counts[word].iter().sum()) || is_all(counts.iter().map(|row| row[word]).sum()));
    let kappa = (!is_one_word).then(|| {
        let kappa = (agreed - by_chance) / beyond;
        let mut on_diagonal = 0.0;
        let mut beside = 0.0;
        for (a, row) in counts.iter().enumerate() {
            for (b, &count) in row.iter().enumerate() {
                if a == b {
                    on_diagonal +=
                        share(count) * (1.0 - (of_first[a] + of_second[a]) * (1.0 - kappa)).powi(2);
                } else {
                    beside += share(count) * (of_second[a] + of_first[b]).powi(2);
                }
            }
        }
        let variance = (on_diagonal + (1.0 - kappa).powi(2) * beside
            - (kappa - by_chance * (1.0 - kappa)).powi(2))
            / (n as f64 * beyond.powi(2));
        let half = Z_95 * variance.max(0.0).sqrt();
        Interval {
            value: kappa,
            low: kappa - half,
            high: kappa + half,
        }
        .within(-1.0, 1.0)
    });
    Some(Agreement { n, same, kappa })
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    use super::*;

    /// J. L. Fleiss, "Statistical Methods for Rates and Proportions": two people diagnose 100 patients; kappa is 0.676 (table and value
    /// from memory). By hand: 0.89 agreed; by chance 0.80 · 0.80 + 0.10 · 0.05 + 0.10 · 0.15 = 0.66; kappa = 0.23 / 0.34.
    #[test]
    fn kappa_of_the_textbooks_hundred_patients() {
        let table = [vec![75, 1, 4], vec![5, 4, 1], vec![0, 0, 10]];
        let agreement = cohens_kappa(&table).unwrap();
        assert_eq!((agreement.n, agreement.same), (100, 89));
        assert_abs_diff_eq!(agreement.kappa.unwrap().value, 0.23 / 0.34, epsilon = 1e-12);
    }

    /// 20 right together, 15 wrong together, 5 and 10 apart: agreed 0.7; chance 0.5 · 0.6 + 0.5 · 0.4 = 0.5; kappa 0.4. The variance by
    /// hand, each term of the formula: on the diagonal 0.4 · (1 − 1.1 · 0.6)² + 0.3 · (1 − 0.9 · 0.6)² = 0.10972; beside it
    /// 0.36 · (0.1 · (0.6 + 0.5)² + 0.2 · (0.4 + 0.5)²) = 0.10188; less (0.4 − 0.5 · 0.6)² = 0.01; over 50 · 0.25.
    #[test]
    fn the_bounds_by_hand() {
        let kappa = cohens_kappa(&[vec![20, 5], vec![10, 15]]).unwrap().kappa.unwrap();
        assert_abs_diff_eq!(kappa.value, 0.4, epsilon = 1e-12);
        let error = (0.2016_f64 / 12.5).sqrt();
        assert_abs_diff_eq!(kappa.high - kappa.low, 2.0 * Z_95 * error, epsilon = 1e-9);
    }

    #[test]
    fn of_one_word_or_of_nothing_there_is_no_kappa() {
        assert_eq!(cohens_kappa(&[vec![7, 0], vec![0, 0]]).unwrap().kappa, None);
        // One of them says the same of all: 9 of 10 agreed, which says nothing.
        let one = cohens_kappa(&[vec![9, 1], vec![0, 0]]).unwrap();
        assert_eq!((one.n, one.same, one.kappa), (10, 9, None));
        assert_eq!(cohens_kappa(&[vec![9, 0], vec![1, 0]]).unwrap().kappa, None);
        assert_eq!(cohens_kappa(&[vec![0, 0], vec![0, 0]]), None);
        assert_eq!(cohens_kappa(&[]), None);
        assert_eq!(cohens_kappa(&[vec![1, 2]]), None);
    }

    proptest! {
        #[test]
        fn who_is_first_does_not_matter(cells in proptest::collection::vec(0_u64..40, 9)) {
            let table: Vec<Vec<u64>> = cells.chunks(3).map(<[u64]>::to_vec).collect();
            let turned: Vec<Vec<u64>> = (0..3).map(|a| (0..3).map(|b| table[b][a]).collect()).collect();
            match (cohens_kappa(&table).and_then(|a| a.kappa), cohens_kappa(&turned).and_then(|a| a.kappa)) {
                (Some(one), Some(other)) => {
                    prop_assert!((one.value - other.value).abs() < 1e-9 && (one.low - other.low).abs() < 1e-6);
                    prop_assert!(-1.0 <= one.low && one.low <= one.value && one.value <= one.high && one.high <= 1.0);
                }
                (one, other) => prop_assert_eq!(one, other),
            }
        }
    }
}
