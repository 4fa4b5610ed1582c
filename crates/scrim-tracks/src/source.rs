//! How often a source samples, and what that means for the grid and the filters.

use crate::TrackParams;
use crate::savitzky_golay::Smoother;

/// Degree of the smoothing polynomial: a parabola follows a constant acceleration exactly.
const ORDER: usize = 2;
/// The noise at which the windows have their stated length, metres a sample at 25 samples a second.
const REFERENCE_SIGMA_M: f64 = 0.035;
const REFERENCE_HZ: f64 = 25.0;
/// A step longer than this many usual steps is a gap: one lost sample makes two steps, jitter makes less.
const GAP_STEPS: f64 = 1.8;
/// A grid is refined at most this many times for a denser source.
const MAX_REFINEMENT: usize = 4;

/// How a source's samples lie against the grid.
pub(crate) struct Source {
    /// Samples a second, as the grid sees them: a source sparser than the grid does not gain by filling.
    pub(crate) hz: f64,
    /// A step longer than this is a gap, s.
    pub(crate) gap_s: f64,
    /// A denser source is smoothed on a grid this many times as fine, so that its extra samples lower the noise.
    pub(crate) refinement: usize,
}

impl Source {
    pub(crate) fn new(step_s: Option<f64>, params: &TrackParams) -> Self {
        let step_s = step_s.unwrap_or(1.0 / params.grid_hz);
        let hz = 1.0 / step_s;
        let refinement = ((hz / params.grid_hz - 0.25).ceil().max(1.0) as usize).min(MAX_REFINEMENT);
        Self {
            hz,
            gap_s: GAP_STEPS * step_s,
            refinement,
        }
    }

    /// The filter for this noise, on the refined grid.
    pub(crate) fn smoother(
        &self,
        base_s: f64,
        longest_s: f64,
        sigma_m: f32,
        least_half: usize,
        params: &TrackParams,
    ) -> Smoother {
        // White noise of fewer or more samples a second counts as that of 25 a second would.
        let density = (REFERENCE_HZ / self.hz).sqrt();
        let noise = f64::from(sigma_m) * density / REFERENCE_SIGMA_M;
        // Even without noise a window keeps half of its length: a source that is smoothed already is so with a lag.
        let length_s = (base_s * noise.powf(params.window_growth)).clamp(0.5 * base_s, longest_s.max(base_s));
        let hz = params.grid_hz * self.refinement as f64;
        let half = ((length_s * hz - 1.0) / 2.0).round().max(0.0) as usize;
        Smoother::new(half.max(least_half * self.refinement), ORDER, hz)
    }
}
