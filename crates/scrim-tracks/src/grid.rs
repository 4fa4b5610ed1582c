//! From a source's own instants to the uniform grid.

/// The instants of a period: frame `k` is `k / hz` seconds from its first frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Grid {
    pub(crate) hz: f64,
    pub(crate) frames: usize,
}

/// Two instants nearer than this are one: times are told in milliseconds or as k / hz in f64.
const SAME_INSTANT_S: f64 = 1e-6;

impl Grid {
    /// The grid from 0 to `last_s`, which it reaches but does not pass; no frame when there is no instant.
    pub(crate) fn up_to(last_s: Option<f64>, hz: f64) -> Self {
        let frames = last_s.map_or(0, |last_s| ((last_s + SAME_INSTANT_S) * hz).floor() as usize + 1);
        Self { hz, frames }
    }

    /// Seconds from the period's first frame.
    pub(crate) fn t_s(self, frame: usize) -> f64 {
        frame as f64 / self.hz
    }

    /// Calls `put(frame, i, share)` for each frame that lies between samples `i` and `i + 1`, `share` of the way,
    /// when these two are at most `max_gap_s` apart. A frame at a sample's instant always counts (`share` 0), and so
    /// does a frame within half a step of a sample that no other frame would show.
    pub(crate) fn place_samples(self, t_s: &[f64], max_gap_s: f64, mut put: impl FnMut(usize, usize, f64)) {
        let half_step_s = 0.5 / self.hz;
        let mut frame = 0;
        for (i, &here_s) in t_s.iter().enumerate() {
            let next_s = t_s.get(i + 1).copied().unwrap_or(f64::INFINITY);
            while frame < self.frames && self.t_s(frame) < here_s - half_step_s {
                frame += 1;
            }
            if next_s - here_s > max_gap_s + SAME_INSTANT_S {
                // Alone on this side: at most one frame, the nearest one.
                if frame < self.frames
                    && self.t_s(frame) <= here_s + half_step_s
                    && self.t_s(frame) < next_s - half_step_s
                {
                    put(frame, i, 0.0);
                    frame += 1;
                }
                continue;
            }
            while frame < self.frames && self.t_s(frame) < next_s - SAME_INSTANT_S {
                let share = ((self.t_s(frame) - here_s) / (next_s - here_s)).max(0.0);
                put(frame, i, if share < 1e-9 { 0.0 } else { share });
                frame += 1;
            }
        }
    }
}

/// Values on the grid; NaN where the samples are further apart than `max_gap_s`.
pub(crate) fn resample(grid: Grid, t_s: &[f64], from: [&[f32]; 2], max_gap_s: f64) -> [Vec<f32>; 2] {
    let mut out = [vec![f32::NAN; grid.frames], vec![f32::NAN; grid.frames]];
    let [x, y] = &mut out;
    grid.place_samples(t_s, max_gap_s, |frame, i, share| {
        let between = |values: &[f32]| {
            if share == 0.0 {
                values[i]
            } else {
                values[i] + (values[i + 1] - values[i]) * share as f32
            }
        };
        x[frame] = between(from[0]);
        y[frame] = between(from[1]);
    });
    out
}
