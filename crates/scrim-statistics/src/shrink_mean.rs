//! Many teams' small differences, each drawn toward the league's: the normal model.

use statrs::function::erf::erfc;

use crate::Interval;
use crate::spread_grid::{POINTS, normalised, quantile};

/// One team's estimate and its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The estimate.
    pub value: f64,
    /// Its standard error, above 0.
    pub standard_error: f64,
}

/// Each of `estimates` drawn toward their common mean, the more the less is known of it, with 95 % bounds; in the order given.
///
/// The model: yⱼ ~ N(θⱼ, seⱼ²), θⱼ ~ N(μ, τ²), flat in μ and τ (D. B. Rubin, "Estimation in parallel randomized experiments",
/// Journal of Educational Statistics 6 (1981), 377–401; the algebra: A. Gelman et al., *Bayesian Data Analysis*, 3rd ed. (2013),
/// section 5.4). Empirical Bayes would plug in one τ, and claim that all teams are alike whenever the best τ is 0;
/// here τ is integrated out on a grid, so that not knowing the spread widens the bounds. The value is the mean of θⱼ.
///
/// An estimate alone, or one whose standard error is not a number above 0, comes back as it is (± 1.96 standard errors).
pub fn shrink_differences(estimates: &[Estimate]) -> Vec<Interval> {
    let usable: Vec<Estimate> = estimates.iter().copied().filter(is_usable).collect();
    // Flat in τ needs three to be proper (Gelman et al., section 5.4); two would lean on the grid's end.
    if usable.len() < 3 {
        return estimates
            .iter()
            .map(|e| Interval::normal(e.value, e.standard_error))
            .collect();
    }
    let points = spread_points(&usable);
    let weights = normalised(&points.iter().map(|point| point.log_weight).collect::<Vec<_>>());
    estimates
        .iter()
        .map(|e| {
            if is_usable(e) {
                mixture(e, &points, &weights)
            } else {
                Interval::normal(e.value, e.standard_error)
            }
        })
        .collect()
}

fn is_usable(e: &Estimate) -> bool {
    e.value.is_finite() && e.standard_error.is_finite() && e.standard_error > 0.0
}

/// One τ, and what it makes of μ.
struct SpreadPoint {
    variance: f64,
    mean: f64,
    mean_variance: f64,
    log_weight: f64,
}

/// τ from 0 to far beyond what the estimates allow.
fn spread_points(estimates: &[Estimate]) -> Vec<SpreadPoint> {
    let largest = estimates.iter().map(|e| e.value.abs()).fold(0.0, f64::max);
    let (low, high) = estimates
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), e| {
            (low.min(e.value), high.max(e.value))
        });
    let widest = estimates.iter().map(|e| e.standard_error).fold(0.0, f64::max);
    // Three times the range, or of the widest error when they all agree.
    let most = 3.0 * (high - low).max(widest).max(largest * 1e-9);
    (0..POINTS)
        .map(|k| {
            // Denser near 0, where most of the weight lies: the step in τ grows with τ.
            let place = (k as f64 + 0.5) / POINTS as f64;
            let spread = most * place * place;
            let variance = spread * spread;
            let mut precision = 0.0;
            let mut weighted = 0.0;
            for e in estimates {
                let weight = 1.0 / (e.standard_error * e.standard_error + variance);
                precision += weight;
                weighted += weight * e.value;
            }
            let mean = weighted / precision;
            let mut log_weight = -0.5 * precision.ln();
            for e in estimates {
                let total = e.standard_error * e.standard_error + variance;
                log_weight -= 0.5 * (total.ln() + (e.value - mean).powi(2) / total);
            }
            SpreadPoint {
                variance,
                mean,
                mean_variance: 1.0 / precision,
                // dτ = 2 · most · place · dplace
                log_weight: log_weight + place.ln(),
            }
        })
        .collect()
}

/// θ of one team: a normal distribution for each τ, mixed.
fn mixture(e: &Estimate, points: &[SpreadPoint], weights: &[f64]) -> Interval {
    let own = e.standard_error * e.standard_error;
    let parts: Vec<(f64, f64)> = points
        .iter()
        .map(|point| {
            // Share of the way to the mean.
            let toward = own / (own + point.variance);
            let value = (1.0 - toward) * e.value + toward * point.mean;
            let variance = (1.0 - toward) * own + toward * toward * point.mean_variance;
            (value, variance.sqrt())
        })
        .collect();
    let value = parts.iter().zip(weights).map(|((mean, _), w)| w * mean).sum();
    let below = |x: f64| -> f64 {
        let part = |&(mean, sd): &(f64, f64)| 0.5 * erfc((mean - x) / (sd * std::f64::consts::SQRT_2));
        parts.iter().zip(weights).map(|(p, w)| w * part(p)).sum()
    };
    let least = parts
        .iter()
        .map(|(m, sd)| m - 10.0 * sd)
        .fold(f64::INFINITY, f64::min);
    let most = parts
        .iter()
        .map(|(m, sd)| m + 10.0 * sd)
        .fold(f64::NEG_INFINITY, f64::max);
    Interval {
        value,
        low: quantile(0.025, least, most, below),
        high: quantile(0.975, least, most, below),
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    /// Eight schools' coaching: D. B. Rubin 1981, table 1.
    fn schools() -> Vec<Estimate> {
        [
            (28.0, 15.0),
            (8.0, 10.0),
            (-3.0, 16.0),
            (7.0, 11.0),
            (-1.0, 9.0),
            (1.0, 11.0),
            (18.0, 10.0),
            (12.0, 18.0),
        ]
        .map(|(value, standard_error)| Estimate {
            value,
            standard_error,
        })
        .into()
    }

    /// Gelman et al., table 5.3: posterior medians, from 200 simulation draws (from memory): a printed median has a standard
    /// error of about 0.6. The printed tails are too rough to check against; SciPy's are exact (`tests/whole`).
    #[test]
    fn eight_schools_come_out_as_printed() {
        let printed = [10.0, 8.0, 7.0, 8.0, 5.0, 6.0, 10.0, 8.0];
        for (ours, middle) in shrink_differences(&schools()).iter().zip(printed) {
            // A mean and a median of a distribution that is skewed by less than half a unit.
            assert_abs_diff_eq!(ours.value, middle, epsilon = 1.7);
        }
    }

    #[test]
    fn a_team_of_which_much_is_known_keeps_what_it_has() {
        let mut teams = schools();
        teams[0].standard_error = 0.01;
        let shrunk = shrink_differences(&teams);
        assert_abs_diff_eq!(shrunk[0].value, 28.0, epsilon = 0.01);
    }

    #[test]
    fn too_few_to_know_the_spread_are_left_as_they_are() {
        let two = &schools()[..2];
        let shrunk = shrink_differences(two);
        assert_eq!(shrunk[0], Interval::normal(28.0, 15.0));
        assert_eq!(shrunk.len(), 2);
        assert_eq!(shrink_differences(&[]), vec![]);
    }

    #[test]
    fn teams_that_all_agree_are_drawn_together_and_no_bound_is_lost() {
        let alike = vec![
            Estimate {
                value: 0.5,
                standard_error: 0.2
            };
            10
        ];
        for team in shrink_differences(&alike) {
            assert_abs_diff_eq!(team.value, 0.5, epsilon = 1e-9);
            // Between ten in one (0.2 / sqrt 10 = 0.063) and each for itself (0.2).
            let half = (team.high - team.low) / 2.0 / 1.96;
            assert!((0.063..0.2).contains(&half), "{half}");
        }
    }

    #[test]
    fn the_order_of_the_teams_changes_nothing() {
        let forward = shrink_differences(&schools());
        let mut turned = schools();
        turned.reverse();
        for (a, b) in forward.iter().zip(shrink_differences(&turned).iter().rev()) {
            assert_abs_diff_eq!(a.value, b.value, epsilon = 1e-9);
            assert_abs_diff_eq!(a.high, b.high, epsilon = 1e-6);
        }
    }
}
