//! How noisy a source is, measured from its samples.

use crate::RawTrack;

/// Samples further apart than this are no neighbours here, s: the runner's own turns would count as noise.
const MAX_STEP_S: f64 = 0.15;
/// How many samples of a track are looked at: enough for a median, whatever the period's length.
const MAX_LOOKS: usize = 4000;

/// Residuals of samples against the line through their two neighbours, scaled to one sample's own noise.
///
/// With white noise σ the residual of the middle sample has the variance σ² (1 + a² + b²), a and b being the shares
/// of the two neighbours. Noise that wanders slowly moves all three and is not seen here, nor can a short window
/// take it out. At 25 Hz an acceleration of 4 m/s² adds 4 · 0.04² / 2 = 0.003 m.
#[derive(Debug, Default)]
pub(crate) struct NoiseMeter {
    residuals_m: Vec<f32>,
}

impl NoiseMeter {
    /// Looks at a track.
    pub(crate) fn look_at<Who>(&mut self, track: &RawTrack<Who>) {
        let stride = track.t_s.len().div_ceil(MAX_LOOKS).max(1);
        for i in (1..track.t_s.len().saturating_sub(1)).step_by(stride) {
            let (before_s, after_s) = (track.t_s[i] - track.t_s[i - 1], track.t_s[i + 1] - track.t_s[i]);
            if before_s > MAX_STEP_S || after_s > MAX_STEP_S {
                continue;
            }
            let share = (before_s / (before_s + after_s)) as f32;
            let scale = (1.0 + share * share + (1.0 - share) * (1.0 - share)).sqrt();
            for axis in [&track.x_m, &track.y_m] {
                let line = axis[i - 1] + (axis[i + 1] - axis[i - 1]) * share;
                self.residuals_m.push((axis[i] - line).abs() / scale);
            }
        }
    }

    /// Standard deviation of the white noise in each coordinate, metres: the median absolute residual × 1.4826
    /// (the normal distribution's factor; the median does not feel spikes). `None` without a look.
    pub(crate) fn sigma_m(mut self) -> Option<f32> {
        if self.residuals_m.is_empty() {
            return None;
        }
        let middle = self.residuals_m.len() / 2;
        Some(1.4826 * *self.residuals_m.select_nth_unstable_by(middle, f32::total_cmp).1)
    }
}
