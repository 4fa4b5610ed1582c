//! One part of a league against the rest of it: is the difference more than chance, and how large is it?

use statrs::function::beta::beta_reg;
use statrs::function::erf::erfc;

/// How likely chance alone would take a share of `hits` in `n` at least so far from `share`, to either side: twice the smaller tail
/// of the binomial distribution, at most 1. `n` and `hits` need not be whole: observations that hang together count as fewer.
///
/// The tail is the incomplete beta function, which continues it between whole numbers (M. Abramowitz and I. A. Stegun, *Handbook
/// of Mathematical Functions* (1964), 26.5.24, from memory). `None` of nothing, or of a share that is 0 or 1.
pub fn share_by_chance(hits: f64, n: f64, share: f64) -> Option<f64> {
    // A NaN is in no range.
    let makes_sense = n > 0.0 && (0.0..=n).contains(&hits) && share > 0.0 && share < 1.0;
    if !makes_sense {
        return None;
    }
    // P(X ≥ k) = I_p(k, n − k + 1); P(X ≤ k) = I_(1−p)(n − k, k + 1).
    let at_least = if hits > 0.0 {
        beta_reg(hits, n - hits + 1.0, share)
    } else {
        1.0
    };
    let at_most = if hits < n {
        beta_reg(n - hits, hits + 1.0, 1.0 - share)
    } else {
        1.0
    };
    Some((2.0 * at_least.min(at_most)).min(1.0))
}

/// The same of a mean that lies `standard_errors` away: both tails of the normal distribution.
pub fn mean_by_chance(standard_errors: f64) -> f64 {
    erfc(standard_errors.abs() / std::f64::consts::SQRT_2)
}

/// How far two shares lie apart, 2 asin √p − 2 asin √q: 0.2 is small, 0.5 medium, 0.8 large, wherever between 0 and 1 they lie (J. Cohen,
/// *Statistical Power Analysis for the Behavioral Sciences*, 2nd ed. (1988), chapter 6).
pub fn share_effect(share: f64, other: f64) -> f64 {
    let angle = |p: f64| 2.0 * p.clamp(0.0, 1.0).sqrt().asin();
    angle(share) - angle(other)
}

/// By how much observations of one game hang together: the variance of a rate as its games show it, over that of as many
/// independent observations (the design effect of L. Kish, *Survey Sampling* (1965), section 8.2). Not below 1.
///
/// `games`: of each game its sum of residuals; `independent`: the sum of the squared residuals of single observations; `groups`: how many
/// means were taken off.
pub fn clustering(games: &[f64], independent: f64, groups: usize) -> f64 {
    let count = games.len();
    if count <= groups || independent <= 0.0 {
        return 1.0;
    }
    let by_game: f64 = games.iter().map(|residual| residual * residual).sum();
    let freedom = count as f64 / (count - groups) as f64;
    (by_game * freedom / independent).max(1.0)
}

/// For each of `chances` the least share of false findings at which it is found: the step-up procedure of Y. Benjamini and Y. Hochberg,
/// "Controlling the false discovery rate", Journal of the Royal Statistical Society B 57 (1995), 289–300, as adjusted
/// values. In the order given.
pub fn false_discovery_shares(chances: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..chances.len()).collect();
    order.sort_by(|&a, &b| chances[a].total_cmp(&chances[b]).then(a.cmp(&b)));
    let mut shares = vec![1.0; chances.len()];
    let mut least: f64 = 1.0;
    for (rank, &place) in order.iter().enumerate().rev() {
        least = least.min(chances[place] * chances.len() as f64 / (rank + 1) as f64);
        shares[place] = least;
    }
    shares
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn a_share_is_held_against_both_tails() {
        // Of ten fair coins at least seven heads: (120 + 45 + 10 + 1) / 1024; twice that.
        assert_relative_eq!(
            share_by_chance(7.0, 10.0, 0.5).unwrap(),
            352.0 / 1024.0,
            epsilon = 1e-12
        );
        // None of twenty at 0.2: 0.8^20, twice.
        let none = 2.0 * 0.8_f64.powi(20);
        assert_relative_eq!(share_by_chance(0.0, 20.0, 0.2).unwrap(), none, epsilon = 1e-12);
        // All of three at 0.5: 1/8, twice.
        assert_relative_eq!(share_by_chance(3.0, 3.0, 0.5).unwrap(), 0.25, epsilon = 1e-12);
        assert_eq!(share_by_chance(1.0, 4.0, 0.0), None);
        assert_eq!(share_by_chance(0.0, 0.0, 0.5), None);
        assert_eq!(share_by_chance(f64::NAN, 4.0, 0.5), None);
    }

    #[test]
    fn a_mean_is_held_against_both_tails() {
        // 1.959964 standard errors: 5 %.
        assert_relative_eq!(mean_by_chance(-1.959_964), 0.05, epsilon = 1e-6);
        assert_relative_eq!(mean_by_chance(0.0), 1.0);
    }

    #[test]
    fn effects_of_shares_are_cohens_h() {
        // asin √0.5 = π/4, asin √0.25 = π/6: twice the difference is π/6.
        assert_relative_eq!(
            share_effect(0.5, 0.25),
            std::f64::consts::PI / 6.0,
            epsilon = 1e-12
        );
        assert_relative_eq!(
            share_effect(0.25, 0.5),
            -std::f64::consts::PI / 6.0,
            epsilon = 1e-12
        );
    }

    #[test]
    fn games_that_are_all_or_nothing_count_as_one_observation_each() {
        // Four games of ten, each all hits or none, rate 0.5: residual sums ±5, 100 in squares; 40 · 0.25 independent. One mean taken
        // off: 4/3.
        let games = [5.0, -5.0, 5.0, -5.0];
        assert_relative_eq!(clustering(&games, 10.0, 1), 10.0 * 4.0 / 3.0, epsilon = 1e-12);
        // Evenly spread observations are no more than independent.
        assert_relative_eq!(clustering(&[0.0; 4], 10.0, 1), 1.0);
    }

    #[test]
    fn false_discoveries_are_bounded_as_in_the_printed_example() {
        // The 15 comparisons of Benjamini and Hochberg (1995), section 4.1: at 0.05 the first four are found.
        let printed = [
            0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719,
            0.6528, 0.7590, 1.0,
        ];
        let shares = false_discovery_shares(&printed);
        assert_eq!(shares.iter().filter(|share| **share <= 0.05).count(), 4);
        // The fourth: 0.0095 · 15 / 4.
        assert_relative_eq!(shares[3], 0.035_625, epsilon = 1e-12);
        // Order does not matter, and a later smaller value bounds those before it: 0.0278 · 15 / 6 is more than 0.0298 · 15 / 7.
        assert_relative_eq!(shares[5], 0.0298 * 15.0 / 7.0, epsilon = 1e-12);
        let mut reversed = printed;
        reversed.reverse();
        let mut back = false_discovery_shares(&reversed);
        back.reverse();
        assert_eq!(back, shares);
    }
}
