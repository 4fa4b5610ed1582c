//! Many teams' small rates, each drawn toward the league's: the beta-binomial model.

use statrs::function::beta::beta_reg;
use statrs::function::gamma::ln_gamma;

use crate::Interval;
use crate::spread_grid::{normalised, quantile};

/// Points of the grid over the league's mean, and over the spread. 40 × 60: bounds move by under 0.1 % against 160 × 240.
const MEAN_POINTS: usize = 40;
const SPREAD_POINTS: usize = 60;

/// How far teams' rates lie apart, learnt from all of them.
///
/// The model: hitsⱼ ~ Binomial(nⱼ, θⱼ), θⱼ ~ Beta(mM, (1 − m)M), flat in m and in M^(−1/2), which is about the spread of the θⱼ
/// (A. Gelman et al., *Bayesian Data Analysis*, 3rd ed. (2013), section 5.3; the beta-binomial: J. G. Skellam, "A probability
/// distribution derived from the binomial distribution…", Journal of the Royal Statistical Society B 10 (1948), 257–261). Both
/// are integrated out on a grid, so that not knowing the spread widens the bounds.
#[derive(Debug, Clone, PartialEq)]
pub struct RateSpread {
    /// α, β and the weight of each point of the grid.
    points: Vec<(f64, f64, f64)>,
}

impl RateSpread {
    /// Learns from the teams' (hits, n). `None` with fewer than three teams that have any: two do not show a spread.
    pub fn learn(teams: &[(u32, u32)]) -> Option<Self> {
        let known: Vec<(f64, f64)> = teams
            .iter()
            .filter(|(_, n)| *n > 0)
            .map(|&(hits, n)| (f64::from(hits.min(n)), f64::from(n)))
            .collect();
        if known.len() < 3 {
            return None;
        }
        let mut points = Vec::with_capacity(MEAN_POINTS * SPREAD_POINTS);
        let (hits, all) = known
            .iter()
            .fold((0.0, 0.0), |(h, a), (hits, n)| (h + hits, a + n));
        // The league's mean lies within this, however the teams differ: a Beta(hits + ½, misses + ½) at the effective
        // number of teams, not of shots.
        let teams = known.len() as f64;
        let rate = (hits + 0.5) / (all + 1.0);
        let half = 5.0 * (rate * (1.0 - rate) / teams.min(all)).sqrt();
        let (low, high) = ((rate - half).max(0.0), (rate + half).min(1.0));
        for i in 0..MEAN_POINTS {
            let mean = low + (high - low) * (i as f64 + 0.5) / MEAN_POINTS as f64;
            for j in 0..SPREAD_POINTS {
                // M^(-1/2) from 0 to 1: M from infinity to 1, where teams are all or nothing.
                let size = (SPREAD_POINTS as f64 / (j as f64 + 0.5)).powi(2);
                let (alpha, beta) = (mean * size, (1.0 - mean) * size);
                let together = ln_gamma(size) - ln_gamma(alpha) - ln_gamma(beta);
                let log_weight = known
                    .iter()
                    .map(|(hits, n)| {
                        together + ln_gamma(alpha + hits) + ln_gamma(beta + n - hits) - ln_gamma(size + n)
                    })
                    .sum();
                points.push((alpha, beta, log_weight));
            }
        }
        let weights = normalised(&points.iter().map(|point| point.2).collect::<Vec<_>>());
        // A point without weight costs time and changes nothing.
        let points = points
            .into_iter()
            .zip(weights)
            .filter(|(_, weight)| *weight > 1e-6)
            .map(|((alpha, beta, _), weight)| (alpha, beta, weight))
            .collect();
        Some(Self { points })
    }

    /// A team's rate, drawn toward the league's, with 95 % bounds; n = 0 gives what is known of a team of which nothing is.
    pub fn shrink(&self, hits: u32, n: u32) -> Interval {
        let (hits, n) = (f64::from(hits.min(n)), f64::from(n));
        let parts: Vec<(f64, f64, f64)> = self
            .points
            .iter()
            .map(|(alpha, beta, weight)| (alpha + hits, beta + n - hits, *weight))
            .collect();
        let total: f64 = parts.iter().map(|part| part.2).sum();
        let value = parts.iter().map(|(a, b, w)| w * a / (a + b)).sum::<f64>() / total;
        let below = |x: f64| parts.iter().map(|(a, b, w)| w * beta_reg(*a, *b, x)).sum::<f64>() / total;
        Interval {
            value,
            low: quantile(0.025, 0.0, 1.0, below),
            high: quantile(0.975, 0.0, 1.0, below),
        }
    }

    /// The expected α and β of the teams' distribution.
    pub fn mean_alpha_beta(&self) -> (f64, f64) {
        let total: f64 = self.points.iter().map(|point| point.2).sum();
        let sum = |of: fn(&(f64, f64, f64)) -> f64| self.points.iter().map(|p| p.2 * of(p)).sum::<f64>();
        (sum(|p| p.0) / total, sum(|p| p.1) / total)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    /// Tumours in 71 groups of rats: R. E. Tarone, "The use of historical control information in testing for a trend in
    /// proportions", Biometrics 38 (1982), 215–220, as in Gelman et al., table 5.1 (from memory).
    fn rats() -> Vec<(u32, u32)> {
        let hits = [
            0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 2, 1,
            5, 2, 5, 3, 2, 7, 7, 3, 3, 2, 9, 10, 4, 4, 4, 4, 4, 4, 4, 10, 4, 4, 4, 5, 11, 12, 5, 5, 6, 5, 6,
            6, 6, 6, 16, 15, 15, 9, 4,
        ];
        let n = [
            20, 20, 20, 20, 20, 20, 20, 19, 19, 19, 19, 18, 18, 17, 20, 20, 20, 20, 19, 19, 18, 18, 25, 24,
            23, 20, 20, 20, 20, 20, 20, 10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50, 20, 20, 20, 20,
            20, 20, 20, 48, 19, 19, 19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 47, 46, 24, 14,
        ];
        hits.into_iter().zip(n).collect()
    }

    #[test]
    fn rats_come_out_as_printed() {
        // Gelman et al., section 5.3: E(α|y) = 2.4, E(β|y) = 14.3 (from memory).
        let spread = RateSpread::learn(&rats()).unwrap();
        let (alpha, beta) = spread.mean_alpha_beta();
        assert_abs_diff_eq!(alpha, 2.4, epsilon = 0.1);
        assert_abs_diff_eq!(beta, 14.3, epsilon = 0.5);
        // Figure 5.4: 0 of 20 is drawn up to about 0.06, 9 of 24 down to about 0.27 or 0.28.
        assert!((0.05..0.08).contains(&spread.shrink(0, 20).value));
        assert!((0.25..0.30).contains(&spread.shrink(9, 24).value));
    }

    #[test]
    fn a_team_without_a_shot_is_the_league_with_wide_bounds() {
        let spread = RateSpread::learn(&rats()).unwrap();
        let unknown = spread.shrink(0, 0);
        assert!((0.12..0.17).contains(&unknown.value), "{unknown:?}");
        let known = spread.shrink(144, 1000);
        assert!(known.high - known.low < unknown.high - unknown.low);
    }

    #[test]
    fn two_teams_do_not_show_a_spread() {
        assert_eq!(RateSpread::learn(&[(1, 2), (3, 4), (0, 0)]), None);
    }

    #[test]
    fn all_hits_or_none_leave_numbers() {
        for teams in [vec![(0, 10); 5], vec![(10, 10); 5], vec![(1, 1); 3]] {
            let shrunk = RateSpread::learn(&teams).unwrap().shrink(teams[0].0, teams[0].1);
            assert!(0.0 <= shrunk.low && shrunk.low <= shrunk.value, "{shrunk:?}");
            assert!(shrunk.value <= shrunk.high && shrunk.high <= 1.0, "{shrunk:?}");
        }
    }
}
