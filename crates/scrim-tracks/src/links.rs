//! A link between two pieces of a path: how well what comes after goes on in what was before.
//!
//! Deviations are measured in what real motion makes of a link of that length: on 600 possessions of real players, of
//! looks of 0.28 s on both sides of gaps from 0.04 to 3 s.

use crate::Track;
use crate::grid::Grid;

/// Motion before and after is read over this long, s.
const LOOK_S: f64 = 0.28;
/// How far two straight lines, each led to the middle of a gap of a second, miss one another: deviation in each
/// coordinate, metres; it grows with the gap's length to the power of 3/2. Measured 0.39 m at 1 s, 1.18 m at 2 s; and
/// some room.
const GAP_MISS_M: f64 = 0.45;
/// The same without a gap, metres: an acceleration of 4 m/s² bends a line by 4 · 0.28² / 12 = 0.03 m; measured 0.02.
const LINE_MISS_M: f64 = 0.05;
/// Deviation of the change of each velocity coordinate from one look to the next, m/s, without a gap (measured: 0.45),
const VELOCITY_CHANGE_MPS: f64 = 0.6;
/// … and what a gap of a second adds; it grows with the root of the gap's length (measured: 0.85).
const GAP_VELOCITY_CHANGE_MPS: f64 = 0.9;
/// Deviation of a velocity that nothing shows, m/s.
const UNKNOWN_VELOCITY_MPS: f64 = 2.0;
/// A line through fewer samples than this shows no velocity.
const MIN_LINE_SAMPLES: usize = 4;

/// How paths are read: the look, and the noise in it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reading {
    /// Frames of a look, less one.
    look: usize,
    /// Frames of a step between two samples.
    step: usize,
    hz: f64,
    /// Variance of a sample, m².
    sample_m2: f64,
}

/// One side of a link: a straight line, and how sure it is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Side {
    /// Where the line leaves the look, toward the link.
    place_m: [f64; 2],
    velocity_mps: [f64; 2],
    /// Variance of each coordinate from noise, m² and (m/s)².
    place_m2: f64,
    velocity_m2ps2: f64,
}

impl Reading {
    /// `sigma_m` is the white noise of a sample, `source_hz` the source's rate.
    pub(crate) fn new(grid: Grid, source_hz: f64, sigma_m: f32) -> Self {
        Self {
            look: (LOOK_S * grid.hz).round().max(2.0) as usize,
            step: (grid.hz / source_hz).round().max(1.0) as usize,
            hz: grid.hz,
            sample_m2: f64::from(sigma_m).powi(2),
        }
    }

    /// Frames of a look, less one.
    pub(crate) const fn look(&self) -> usize {
        self.look
    }

    /// Frames of a step between two samples of the source.
    pub(crate) const fn step(&self) -> usize {
        self.step
    }

    /// Frames a second.
    pub(crate) const fn hz(&self) -> f64 {
        self.hz
    }

    /// What the look that ends at `frame` shows; `None` when there is no place.
    pub(crate) fn before(&self, track: &Track, frame: usize) -> Option<Side> {
        let from = frame.saturating_sub(self.look);
        let seen = track.x_m.get(from..=frame)?;
        let known = seen.iter().rev().take_while(|x| x.is_finite()).count();
        self.side(track, frame + 1 - known.max(1), frame, frame)
    }

    /// What the look that begins at `frame` shows; `None` when there is no place.
    pub(crate) fn after(&self, track: &Track, frame: usize) -> Option<Side> {
        let end = (frame + self.look + 1).min(track.x_m.len());
        // At the very end of a track nothing follows.
        let seen = track.x_m.get(frame..end).filter(|seen| !seen.is_empty())?;
        let known = seen.iter().take_while(|x| x.is_finite()).count();
        self.side(track, frame, frame + known.max(1) - 1, frame)
    }

    /// The least-squares line through the frames `from..=to`, read at frame `at`.
    fn side(&self, track: &Track, from: usize, to: usize, at: usize) -> Option<Side> {
        let [x_m, y_m] = [&track.x_m[from..=to], &track.y_m[from..=to]];
        if !x_m[0].is_finite() {
            return None;
        }
        let frames = to - from;
        // Only true samples lower the noise, not the frames between them.
        let samples = frames / self.step + 1;
        if samples < MIN_LINE_SAMPLES.min(self.look / self.step + 1) {
            return Some(Side {
                place_m: [f64::from(track.x_m[at]), f64::from(track.y_m[at])],
                velocity_mps: [0.0; 2],
                place_m2: self.sample_m2,
                velocity_m2ps2: UNKNOWN_VELOCITY_MPS * UNKNOWN_VELOCITY_MPS,
            });
        }
        let n = frames as f64 + 1.0;
        let middle = frames as f64 / 2.0;
        let square = n * (n * n - 1.0) / 12.0;
        let axis = |values: &[f32]| {
            let (mut sum, mut moment) = (0.0, 0.0);
            for (k, v) in values.iter().enumerate() {
                sum += f64::from(*v);
                moment += (k as f64 - middle) * f64::from(*v);
            }
            let slope = moment / square;
            (
                sum / n + slope * (at as f64 - from as f64 - middle),
                slope * self.hz,
            )
        };
        let ((x_m, vx_mps), (y_m, vy_mps)) = (axis(x_m), axis(y_m));
        // Slope of a line through n samples: σ √(12 / (n (n² − 1))) a sample; its end has σ · 2 / √n.
        let samples = samples as f64;
        let sample_hz = self.hz / self.step as f64;
        Some(Side {
            place_m: [x_m, y_m],
            velocity_mps: [vx_mps, vy_mps],
            place_m2: self.sample_m2 * 4.0 / samples,
            velocity_m2ps2: self.sample_m2 * 12.0 / (samples * (samples * samples - 1.0)).max(1.0)
                * sample_hz
                * sample_hz,
        })
    }
}

impl Side {
    /// The squared deviations of a link from this side to the other, `gap_s` later; and those with the logarithms of
    /// their variances: twice the negative log-likelihood, but for a constant that all links share.
    pub(crate) fn misfit(&self, later: &Self, gap_s: f64) -> [f64; 2] {
        let half_s = gap_s / 2.0;
        let velocity_m2ps2 = self.velocity_m2ps2 + later.velocity_m2ps2;
        let line_m = LINE_MISS_M + GAP_MISS_M * gap_s * gap_s.sqrt();
        let place_m2 = self.place_m2 + later.place_m2 + line_m * line_m + velocity_m2ps2 * half_s * half_s;
        let change_mps = VELOCITY_CHANGE_MPS + GAP_VELOCITY_CHANGE_MPS * gap_s.sqrt();
        let change_m2ps2 = velocity_m2ps2 + change_mps * change_mps;
        let (mut places, mut changes) = (0.0, 0.0);
        for axis in 0..2 {
            let ahead = self.place_m[axis] + self.velocity_mps[axis] * half_s;
            let back = later.place_m[axis] - later.velocity_mps[axis] * half_s;
            places += (ahead - back).powi(2);
            changes += (self.velocity_mps[axis] - later.velocity_mps[axis]).powi(2);
        }
        let squares = places / place_m2 + changes / change_m2ps2;
        [squares, squares + 2.0 * (place_m2.ln() + change_m2ps2.ln())]
    }
}
