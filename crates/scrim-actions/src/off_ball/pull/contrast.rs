//! Means while an attacker moves against means while they stand, with each pair of defender and attacker its own control.

use super::movement::Movement;

/// Residuals while one attacker moved and while they stood. Both are means over the same pairs, with the same weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contrast {
    /// Weight, s: the sum over pairs of m s / (m + s), of m seconds of moving and s of standing.
    pub weight_s: f32,
    /// While they moved, m.
    pub moving_m: f32,
    /// While they stood, m.
    pub standing_m: f32,
}

/// Some residuals of one defender, summed over the frames of each kind.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair<const N: usize> {
    moving: Sums<N>,
    standing: Sums<N>,
}

#[derive(Debug, Clone, Copy)]
struct Sums<const N: usize> {
    frames: u32,
    sums_m: [f64; N],
}

/// The means of one pair.
pub(super) struct PairMeans<const N: usize> {
    /// m s / (m + s), frames: least squares with a level of its own for every pair weighs its difference so.
    pub(super) weight: f64,
    pub(super) moving_m: [f64; N],
    pub(super) standing_m: [f64; N],
}

impl<const N: usize> Default for Pair<N> {
    fn default() -> Self {
        let none = Sums {
            frames: 0,
            sums_m: [0.0; N],
        };
        Self {
            moving: none,
            standing: none,
        }
    }
}

impl<const N: usize> Pair<N> {
    pub(super) fn add(&mut self, movement: Movement, residuals_m: [f32; N]) {
        let sums = match movement {
            Movement::Moves => &mut self.moving,
            Movement::Stands => &mut self.standing,
            Movement::Between => return,
        };
        sums.frames += 1;
        for (sum_m, residual_m) in sums.sums_m.iter_mut().zip(residuals_m) {
            *sum_m += f64::from(residual_m);
        }
    }

    /// `None` when the attacker has not both moved and stood before this defender.
    pub(super) fn means(&self) -> Option<PairMeans<N>> {
        let (m, s) = (f64::from(self.moving.frames), f64::from(self.standing.frames));
        (m > 0.0 && s > 0.0).then(|| PairMeans {
            weight: m * s / (m + s),
            moving_m: self.moving.sums_m.map(|sum_m| sum_m / m),
            standing_m: self.standing.sums_m.map(|sum_m| sum_m / s),
        })
    }
}

/// A [`Contrast`], put together pair by pair.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct WeightedMeans {
    weight: f64,
    moving_m: f64,
    standing_m: f64,
}

impl WeightedMeans {
    pub(super) fn add(&mut self, weight: f64, moving_m: f64, standing_m: f64) {
        self.weight += weight;
        self.moving_m += weight * moving_m;
        self.standing_m += weight * standing_m;
    }

    /// `None` of no pair. A frame is `step_s` long.
    pub(super) fn contrast(&self, step_s: f64) -> Option<Contrast> {
        (self.weight > 0.0).then(|| Contrast {
            weight_s: (self.weight * step_s) as f32,
            moving_m: (self.moving_m / self.weight) as f32,
            standing_m: (self.standing_m / self.weight) as f32,
        })
    }
}
