//! From a source's own instants to the uniform grid.

/// The instants of a period: frame `k` is `k / hz` seconds from its first frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Grid {
    pub(crate) hz: f64,
    pub(crate) frames: usize,
}

/// Two instants nearer than this are one: times are given in milliseconds or as k / hz in f64.
pub(crate) const SAME_INSTANT_S: f64 = 1e-6;

impl Grid {
    /// The grid from 0 to `last_s`, which it reaches but does not pass; no frame when there is no instant.
    pub(crate) fn up_to(last_s: Option<f64>, hz: f64) -> Self {
        let frames = last_s.map_or(0, |last_s| ((last_s + SAME_INSTANT_S) * hz).floor() as usize + 1);
        Self { hz, frames }
    }

    /// The same time with `times` frames for each one.
    pub(crate) fn refined(self, times: usize) -> Self {
        let frames = if self.frames == 0 {
            0
        } else {
            (self.frames - 1) * times + 1
        };
        Self {
            hz: self.hz * times as f64,
            frames,
        }
    }

    /// Sets the flags of the frames from `from_s` to `to_s`.
    pub(crate) fn mark(self, flags: &mut [bool], from_s: f64, to_s: f64) {
        let from = ((from_s * self.hz).ceil().max(0.0) as usize).min(flags.len());
        let end = ((to_s * self.hz).floor().max(-1.0) as isize + 1).max(0) as usize;
        let end = end.min(flags.len()).max(from);
        flags[from..end].fill(true);
    }

    /// Seconds from the period's first frame.
    pub(crate) fn t_s(self, frame: usize) -> f64 {
        frame as f64 / self.hz
    }

    /// Calls `put(frame, i, share)` for each frame that lies between samples `i` and `i + 1`, `share` of the way,
    /// when these two are at most `max_gap_s` apart. A frame at a sample's instant always counts (`share` 0), and so
    /// does a frame within half a step of a sample that no other frame would show.
    pub(crate) fn place_samples(self, t_s: &[f64], max_gap_s: f64, mut put: impl FnMut(usize, usize, f64)) {
        let (step_s, half_step_s) = (1.0 / self.hz, 0.5 / self.hz);
        let mut frame = 0;
        let mut at_s = 0.0;
        for (i, &here_s) in t_s.iter().enumerate() {
            let next_s = t_s.get(i + 1).copied().unwrap_or(f64::INFINITY);
            if at_s < here_s - half_step_s {
                // The frames before are in a gap: leave them.
                frame = ((here_s - half_step_s) * self.hz).ceil() as usize;
                at_s = frame as f64 * step_s;
            }
            if frame >= self.frames {
                return;
            }
            // Alone on this side, a sample shows in the nearest frame at most.
            let alone = next_s - here_s > max_gap_s + SAME_INSTANT_S;
            let end_s = if alone {
                (here_s + half_step_s + SAME_INSTANT_S).min(next_s - half_step_s)
            } else {
                next_s - SAME_INSTANT_S
            };
            while at_s < end_s && frame < self.frames {
                let past_s = at_s - here_s;
                let share = if alone || past_s < SAME_INSTANT_S {
                    0.0
                } else {
                    past_s / (next_s - here_s)
                };
                put(frame, i, share);
                frame += 1;
                at_s = frame as f64 * step_s;
                if alone {
                    break;
                }
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

/// Keeps every `times`th value: from a refined grid back to `grid`.
pub(crate) fn thin(values: &mut Vec<f32>, times: usize, grid: Grid) {
    if times > 1 {
        for frame in 0..grid.frames {
            values[frame] = values[frame * times];
        }
        values.truncate(grid.frames);
        values.shrink_to_fit();
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn frames_between_near_samples_lie_on_their_line_and_long_gaps_stay() {
        // 10 Hz samples of x = 10 t at 0 … 0.3 s, then a hole until 1 s.
        let t_s = [0.0, 0.1, 0.2, 0.3, 1.0, 1.1];
        let x_m: Vec<f32> = t_s.iter().map(|t| 10.0 * *t as f32).collect();
        let grid = Grid::up_to(Some(1.1), 25.0);
        assert_eq!(grid.frames, 28); // 0 … 27 · 0.04 = 1.08 s
        let [found, _] = resample(grid, &t_s, [&x_m, &x_m], 0.6);
        for (frame, x) in found.iter().enumerate() {
            let t_s = grid.t_s(frame);
            // 0.32 s is half a frame from the sample at 0.3 s and shows it; 1.0 s is frame 25.
            match t_s {
                t if !(0.31..=0.99).contains(&t) => {
                    assert_relative_eq!(f64::from(*x), 10.0 * t, epsilon = 1e-5)
                }
                t if t < 0.33 => assert_relative_eq!(*x, 3.0),
                _ => assert!(x.is_nan(), "{t_s} s"),
            }
        }
    }

    #[test]
    fn marks_reach_from_edge_to_edge_and_no_further() {
        let grid = Grid { hz: 10.0, frames: 5 };
        let marked = |from_s, to_s| {
            let mut flags = vec![false; 5];
            grid.mark(&mut flags, from_s, to_s);
            flags
                .iter()
                .map(|flag| if *flag { '#' } else { '.' })
                .collect::<String>()
        };
        assert_eq!(marked(0.1, 0.3), ".###.");
        assert_eq!(marked(-1.0, 0.05), "#....");
        assert_eq!(marked(0.35, 9.0), "....#");
        assert_eq!(marked(-2.0, -1.0), ".....");
        assert_eq!(marked(7.0, 8.0), ".....");
    }
}
