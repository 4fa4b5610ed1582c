//! Which strength of ridge is taken.

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
