//! A rate that is seen through imperfect tags.

use crate::{Interval, Z_95};

/// How often a yes-or-no tag was right on labelled cases: the counts, so that what is not known of it can widen bounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TagErrors {
    /// Labelled cases of which the truth is yes, and those of them with the tag.
    pub yes: (u32, u32),
    /// Labelled cases of which the truth is no, and those of them without the tag.
    pub no: (u32, u32),
}

/// The share of cases of which the truth is yes, when `hits` of `n` have the tag, with 95 % bounds; the value and the bounds are kept
/// within 0 and 1. `None` when `n` is 0, when there are no labelled cases of either kind, or when the tag says next to nothing
/// (sensitivity + specificity is 1 or less, as counted or with a success and a failure added to each).
///
/// Estimate: W. J. Rogan & B. Gladen, "Estimating prevalence from the results of a screening test", American Journal of
/// Epidemiology 107 (1978), 71–76: (rate + specificity − 1) / (sensitivity + specificity − 1). Bounds: Zs. Lang & J.
/// Reiczigel, "Confidence limits for prevalence of disease adjusted for estimated sensitivity and specificity", Preventive
/// Veterinary Medicine 113 (2014), 13–22, equations 6, 7, 16 and 17; sensitivity and specificity are estimates from the
/// labelled cases, independent of the cases counted.
pub fn rate_through_tags(hits: u32, n: u32, errors: &TagErrors) -> Option<Interval> {
    let (yes_n, tagged) = (f64::from(errors.yes.0), f64::from(errors.yes.1.min(errors.yes.0)));
    let (no_n, untagged) = (f64::from(errors.no.0), f64::from(errors.no.1.min(errors.no.0)));
    if n == 0 || yes_n == 0.0 || no_n == 0.0 {
        return None;
    }
    let (sensitivity, specificity) = (tagged / yes_n, untagged / no_n);
    let count = f64::from(n);
    let rate = f64::from(hits.min(n)) / count;
    // Everything with a success and a failure added to each sample of labels, and two of each (about) to the rate's.
    let (yes_more, no_more) = (yes_n + 2.0, no_n + 2.0);
    let (sensitivity_more, specificity_more) = ((tagged + 1.0) / yes_more, (untagged + 1.0) / no_more);
    let power_more = sensitivity_more + specificity_more - 1.0;
    if sensitivity + specificity <= 1.0 || power_more <= 0.0 {
        return None;
    }
    let z2 = Z_95 * Z_95;
    let count_more = count + z2;
    let rate_more = (count * rate + z2 / 2.0) / count_more;
    let value_more = (rate_more + specificity_more - 1.0) / power_more;
    let of_yes = sensitivity_more * (1.0 - sensitivity_more) / yes_more;
    let of_no = specificity_more * (1.0 - specificity_more) / no_more;
    let shift = 2.0 * z2 * (value_more * of_yes - (1.0 - value_more) * of_no);
    let variance = rate_more * (1.0 - rate_more) / count_more
        + value_more * value_more * of_yes
        + (1.0 - value_more) * (1.0 - value_more) * of_no;
    let half = Z_95 * variance.sqrt() / power_more;
    let value = ((rate + specificity - 1.0) / (sensitivity + specificity - 1.0)).clamp(0.0, 1.0);
    let centre = value_more + shift;
    // An estimate at an end of what can be lies within its bounds.
    Some(Interval {
        value,
        low: (centre - half).clamp(0.0, 1.0).min(value),
        high: (centre + half).clamp(0.0, 1.0).max(value),
    })
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_hand_worked_example() {
        // 30 of 100 tagged; 90 of 100 true ones had the tag, 95 of 100 others had not.
        // Estimate (0.30 + 0.95 − 1) / (0.90 + 0.95 − 1) = 0.25 / 0.85 = 0.294118.
        // z² = 3.841459. Rate' = (30 + 1.920729) / 103.841459 = 0.307399; Se' = 91/102 = 0.892157, Sp' = 96/102 = 0.941176;
        // Se' + Sp' − 1 = 0.833333. P' = 0.248575 / 0.833333 = 0.298290.
        // Se'(1 − Se')/102 = 0.000943252; Sp'(1 − Sp')/102 = 0.000542779.
        // Shift 2 · 3.841459 · (0.298290 · 0.000943252 − 0.701710 · 0.000542779) = −0.000764612.
        // Variance 0.307399 · 0.692601/103.841459 + 0.088977 · 0.000943252 + 0.492397 · 0.000542779
        // = 0.002050289 + 0.0000839277 + 0.000267263 = 0.002401480; its root over 0.833333 is 0.058806; half 0.115257.
        let errors = TagErrors {
            yes: (100, 90),
            no: (100, 95),
        };
        let rate = rate_through_tags(30, 100, &errors).unwrap();
        assert_abs_diff_eq!(rate.value, 0.294_118, epsilon = 1e-6);
        assert_abs_diff_eq!(rate.low, 0.182_268, epsilon = 5e-6);
        assert_abs_diff_eq!(rate.high, 0.412_782, epsilon = 5e-6);
    }

    #[test]
    fn tags_that_say_nothing_or_were_never_held_against_labels_give_no_rate() {
        let errors = |yes, no| TagErrors { yes, no };
        assert_eq!(rate_through_tags(0, 0, &errors((10, 9), (10, 9))), None);
        assert_eq!(rate_through_tags(5, 10, &errors((0, 0), (10, 9))), None);
        assert_eq!(rate_through_tags(5, 10, &errors((10, 9), (0, 0))), None);
        assert_eq!(rate_through_tags(5, 10, &errors((10, 5), (10, 5))), None);
    }

    #[test]
    fn true_rates_lie_inside_the_bounds_about_as_often_as_promised() {
        // Lang & Reiczigel found the level kept from samples of 30 on; here every count is drawn with a linear congruential
        // generator (D. E. Knuth, The Art of Computer Programming 2, section 3.3.4, table 1, line 26).
        let mut state = 7_u64;
        let mut draws = |n: u32, p: f64| {
            (0..n)
                .filter(|_| {
                    state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                    ((state >> 11) as f64 / (1_u64 << 53) as f64) < p
                })
                .count() as u32
        };
        for (truth, sensitivity, specificity, n) in [
            (0.3, 0.9, 0.95, 60),
            (0.7, 0.85, 0.9, 300),
            (0.5, 0.95, 0.98, 200),
        ] {
            let seen = truth * sensitivity + (1.0 - truth) * (1.0 - specificity);
            let inside = (0..2_000)
                .filter(|_| {
                    let errors = TagErrors {
                        yes: (150, draws(150, sensitivity)),
                        no: (150, draws(150, specificity)),
                    };
                    let rate = rate_through_tags(draws(n, seen), n, &errors).unwrap();
                    (rate.low..=rate.high).contains(&truth)
                })
                .count();
            // 2,000 tries of 0.95: a standard deviation is 9.7.
            assert!((1_860..=1_950).contains(&inside), "{inside} of 2000");
        }
    }

    proptest! {
        #[test]
        fn a_rate_lies_within_its_bounds_and_they_within_0_and_1(
            n in 1u32..100_000, share in 0.0..=1.0f64, yes in 1u32..3_000, no in 1u32..3_000, tagged in 0.0..=1.0f64, untagged in 0.0..=1.0f64,
        ) {
            let of = |n: u32, share: f64| (f64::from(n) * share) as u32;
            let errors = TagErrors { yes: (yes, of(yes, tagged)), no: (no, of(no, untagged)) };
            if let Some(rate) = rate_through_tags(of(n, share), n, &errors) {
                prop_assert!(0.0 <= rate.low && rate.low <= rate.value);
                prop_assert!(rate.value <= rate.high && rate.high <= 1.0);
            }
        }

        #[test]
        fn tags_without_errors_on_many_labels_leave_the_rate_as_it_is(n in 1u32..5_000, share in 0.0..=1.0f64) {
            let hits = (f64::from(n) * share) as u32;
            let errors = TagErrors { yes: (2_000_000, 2_000_000), no: (2_000_000, 2_000_000) };
            let (seen, plain) = (rate_through_tags(hits, n, &errors).unwrap(), super::super::wilson(hits, n).unwrap());
            prop_assert!((seen.value - plain.value).abs() < 1e-9);
            // Agresti and Coull's bounds, which are no narrower than Wilson's and not by much wider.
            prop_assert!(seen.low <= plain.low + 1e-4 && plain.high <= seen.high + 1e-4);
        }
    }
}
