//! The estimator at the ground of the sequence model.

/// Probability that a symbol comes next which came `count` times among `total`, of an alphabet of `symbols` (at least 1).
///
/// R. E. Krichevsky & V. K. Trofimov, "The performance of universal encoding", IEEE Transactions on Information Theory 27
/// (1981), 199–207: half a count is added to each symbol, so that nothing is impossible before it was seen.
pub fn kt_probability(count: u32, total: u32, symbols: usize) -> f64 {
    (f64::from(count) + 0.5) / (f64::from(total) + symbols as f64 / 2.0)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    /// F. M. J. Willems, Y. M. Shtarkov & T. J. Tjalkens, "The context-tree weighting method: basic properties", IEEE
    /// Transactions on Information Theory 41 (1995), section III, table I of block probabilities P_e(a, b) of a zeros and b
    /// ones: 1/2, 3/8, 5/16, 35/128, 63/256 for b = 0 and a = 1…5; 1/8 for 1, 1; 1/16 for 2, 1; 3/128 for 2, 2; 3/256 for 3, 2.
    #[test]
    fn the_block_probabilities_are_the_printed_ones() {
        let block = |zeros: u32, ones: u32| -> f64 {
            let first: f64 = (0..zeros).map(|k| kt_probability(k, k, 2)).product();
            let then: f64 = (0..ones).map(|k| kt_probability(k, zeros + k, 2)).product();
            first * then
        };
        for (zeros, ones, printed) in [
            (1, 0, 1.0 / 2.0),
            (2, 0, 3.0 / 8.0),
            (3, 0, 5.0 / 16.0),
            (4, 0, 35.0 / 128.0),
            (5, 0, 63.0 / 256.0),
            (1, 1, 1.0 / 8.0),
            (2, 1, 1.0 / 16.0),
            (2, 2, 3.0 / 128.0),
            (3, 2, 3.0 / 256.0),
        ] {
            assert_relative_eq!(block(zeros, ones), printed, max_relative = 1e-12);
        }
    }
}
