//! How hard the next thing is to predict.

use crate::{Interval, Z_95};

/// Entropy of a distribution known by counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entropy {
    /// Plug-in estimate: entropy of the observed shares, bits. Too low on average.
    pub plug_in_bits: f64,
    /// With Miller's correction, and 95 % bounds around it, bits.
    pub bits: Interval,
}

/// Entropy of the distribution that `counts` were drawn from, bits; `None` when all counts are 0. Zero counts change nothing.
///
/// The entropy is C. E. Shannon's ("A mathematical theory of communication", Bell System Technical Journal 27 (1948),
/// section 6). The plug-in estimate falls short by (m − 1) / 2n nats on average, to first order, for m outcomes and n
/// observations; that is added (G. A. Miller, "Note on the bias of information estimates", in H. Quastler (ed.), Information
/// Theory in Psychology (1955), 95–100), with m the number of outcomes seen.
///
/// The bounds are ± 1.96 standard errors, by the delta method: Var = (Σ p log₂² p − H²) / n (G. P. Basharin, "On a statistical
/// estimate for the entropy of a sequence of independent random variables", Theory of Probability and its Applications 4
/// (1959), 333–336). Taken at the observed shares it is 0 when all observations agree, however few they are; so the
/// variance is taken at shares with half a count added to each outcome seen and to one that was not (an outcome that is
/// still to be seen is always possible). The bounds are kept within 0 and log₂(m + 1).
pub fn entropy_bits(counts: &[u32]) -> Option<Entropy> {
    let seen = counts.iter().filter(|&&count| count > 0);
    let outcomes = seen.clone().count() as f64;
    let n: f64 = seen.clone().map(|&count| f64::from(count)).sum();
    if n == 0.0 {
        return None;
    }
    let term = |share: f64| -share * share.log2();
    let plug_in_bits = seen.clone().map(|&count| term(f64::from(count) / n)).sum::<f64>() + 0.0;
    let corrected = plug_in_bits + (outcomes - 1.0) / (2.0 * n) * std::f64::consts::LOG2_E;
    let total = n + 0.5 * (outcomes + 1.0);
    let shares = seen
        .map(|&count| (f64::from(count) + 0.5) / total)
        .chain([0.5 / total]);
    let (mean, mean_of_squares) = shares.fold((0.0, 0.0), |(mean, squares), share| {
        let bits = -share.log2();
        (mean + share * bits, squares + share * bits * bits)
    });
    let variance = (mean_of_squares - mean * mean).max(0.0) / n;
    let half = Z_95 * variance.sqrt();
    let most = (outcomes + 1.0).log2();
    let bits = Interval {
        value: corrected,
        low: corrected - half,
        high: corrected + half,
    };
    Some(Entropy {
        plug_in_bits,
        bits: bits.within(0.0, most.max(corrected)),
    })
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_fair_coin_is_one_bit_and_the_correction_is_millers() {
        // 8 and 8: H = 1 bit; (2 - 1) / (2 * 16) nats = 1/32 * log2(e) = 0.045084 bits.
        let entropy = entropy_bits(&[8, 8]).unwrap();
        assert_relative_eq!(entropy.plug_in_bits, 1.0);
        assert_relative_eq!(entropy.bits.value, 1.045_084, epsilon = 1e-6);
    }

    #[test]
    fn a_printed_distribution_has_its_printed_entropy() {
        // T. M. Cover & J. A. Thomas, Elements of Information Theory, 2nd ed. (2006), example 1.1.2: eight horses that win
        // with probability 1/2, 1/4, 1/8, 1/16, 1/64, 1/64, 1/64, 1/64: 2 bits.
        let entropy = entropy_bits(&[32, 16, 8, 4, 1, 1, 1, 1]).unwrap();
        assert_relative_eq!(entropy.plug_in_bits, 2.0, max_relative = 1e-12);
    }

    #[test]
    fn what_always_came_the_same_way_is_0_bits_but_not_surely() {
        let few = entropy_bits(&[3]).unwrap();
        let many = entropy_bits(&[300]).unwrap();
        assert_eq!((few.plug_in_bits, few.bits.value, few.bits.low), (0.0, 0.0, 0.0));
        assert!(few.bits.high > 0.5 && many.bits.high < 0.1, "{few:?} {many:?}");
    }

    #[test]
    fn of_nothing_there_is_no_entropy() {
        assert_eq!(entropy_bits(&[]), None);
        assert_eq!(entropy_bits(&[0, 0]), None);
    }

    proptest! {
        #[test]
        fn order_and_zeros_change_nothing(mut counts in prop::collection::vec(0u32..500, 1..12)) {
            let before = entropy_bits(&counts);
            counts.reverse();
            counts.push(0);
            match (before, entropy_bits(&counts)) {
                (Some(a), Some(b)) => {
                    prop_assert!((a.bits.value - b.bits.value).abs() < 1e-9);
                    prop_assert!((a.bits.high - b.bits.high).abs() < 1e-9);
                }
                (a, b) => prop_assert_eq!(a, b),
            }
        }

        #[test]
        fn the_estimate_lies_within_its_bounds(counts in prop::collection::vec(0u32..50, 1..12)) {
            if let Some(entropy) = entropy_bits(&counts) {
                prop_assert!(entropy.bits.low <= entropy.bits.value && entropy.bits.value <= entropy.bits.high);
                prop_assert!(entropy.plug_in_bits <= entropy.bits.value);
            }
        }
    }
}
