//! Which strength of ridge and which limit is taken.

use crate::judged::Counts;

/// A mean of losses and how sure it is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MeanLoss {
    mean: f64,
    standard_error: f64,
}

impl MeanLoss {
    pub fn of(losses: &[f64]) -> Self {
        let n = losses.len().max(1) as f64;
        let mean = losses.iter().sum::<f64>() / n;
        let variance = losses.iter().map(|loss| (loss - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
        Self {
            mean,
            standard_error: (variance / n).sqrt(),
        }
    }
}

/// The strongest ridge whose loss on what was held out is within one standard error of the least (L. Breiman, J. Friedman,
/// R. Olshen & C. Stone, *Classification and Regression Trees*, 1984, section 3.4.3): the games at hand are not quite those to
/// come.
pub(crate) fn strongest(tried: &[(f64, MeanLoss)]) -> f64 {
    let least = tried.iter().min_by(|a, b| a.1.mean.total_cmp(&b.1.mean));
    let bound = least.map_or(f64::INFINITY, |(_, loss)| loss.mean + loss.standard_error);
    tried
        .iter()
        .filter(|(_, loss)| loss.mean <= bound)
        .map(|(ridge, _)| *ridge)
        .fold(f64::MIN_POSITIVE, f64::max)
}

/// Of limits whose F1 is within one standard error of the best, the nearest to `own`; of two as near the lower.
pub(crate) fn nearest_of_best(tried: Vec<(f32, Counts)>, own: f32) -> f32 {
    let Some(best) = tried
        .iter()
        .map(|(_, counts)| *counts)
        .max_by(|a, b| a.f1().total_cmp(&b.f1()))
    else {
        return own;
    };
    let good = tried
        .into_iter()
        .filter(|(_, counts)| best.f1() - counts.f1() <= best.f1_error_against(counts));
    let nearest = good.min_by(|a, b| {
        let away = |limit: f32| (limit - own).abs();
        away(a.0).total_cmp(&away(b.0)).then(a.0.total_cmp(&b.0))
    });
    nearest.map_or(own, |(limit, _)| limit)
}
