//! The clocks on the grid, and whether the game clock runs.

use crate::ClockSample;
use crate::grid::Grid;

/// Longest time between two clock samples that is filled, s: a clock is given with every frame of a source, so a
/// longer silence is a hole in the data (common practice, no source).
const MAX_CLOCK_GAP_S: f64 = 1.5;

/// The clocks of a period, an entry a frame; NaN where not known.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct GridClocks {
    pub(crate) game_clock_s: Vec<f32>,
    pub(crate) shot_clock_s: Vec<f32>,
}

impl GridClocks {
    /// Puts the clocks on the grid. Between two samples a clock that counts down is read by a straight line; one that
    /// was set forward (a new shot clock, a correction) holds until the sample that shows it.
    pub(crate) fn new(grid: Grid, samples: &[ClockSample]) -> Self {
        let t_s: Vec<f64> = samples.iter().map(|sample| sample.t_s).collect();
        let mut game_clock_s = vec![f32::NAN; grid.frames];
        let mut shot_clock_s = vec![f32::NAN; grid.frames];
        grid.place_samples(&t_s, MAX_CLOCK_GAP_S, |frame, i, share| {
            let next = samples[if share == 0.0 { i } else { i + 1 }];
            game_clock_s[frame] = between(samples[i].game_clock_s, next.game_clock_s, share);
            shot_clock_s[frame] = between(samples[i].shot_clock_s, next.shot_clock_s, share);
        });
        Self {
            game_clock_s,
            shot_clock_s,
        }
    }
}

fn between(here_s: f32, next_s: f32, share: f64) -> f32 {
    if next_s < here_s {
        here_s + (next_s - here_s) * share as f32
    } else {
        here_s
    }
}

/// Whether a clock runs, frame by frame; `None` where it is not known (no clock there).
///
/// A clock is given in steps (0.04 s, 0.1 s, 1 s). A step down of d seconds that comes at most d + 0.35 s after the one
/// before was counted down all the while; after a longer wait the clock stood in the middle of it: half a step is
/// given to either side, for nobody can know where in its last step the clock stopped.
pub(crate) fn running(clock_s: &[f32], hz: f64) -> Vec<Option<bool>> {
    let mut out: Vec<Option<bool>> = clock_s.iter().map(|c| c.is_finite().then_some(false)).collect();
    let Some(mut since) = clock_s.iter().position(|c| c.is_finite()) else {
        return out;
    };
    let mark = |out: &mut [Option<bool>]| out.iter_mut().flatten().for_each(|runs| *runs = true);
    let frames_in = |seconds: f64| (seconds * hz).round() as usize;
    let mut shown_s = f64::from(clock_s[since]);
    let mut last_step_s = None;
    for (frame, clock) in clock_s.iter().enumerate().skip(since + 1) {
        let step_s = shown_s - f64::from(*clock);
        if !clock.is_finite() || step_s == 0.0 {
            continue;
        }
        let waited_s = (frame - since) as f64 / hz;
        if step_s > 0.0 && waited_s <= step_s + SLACK_S && last_step_s.is_some() {
            mark(&mut out[since..frame]);
        } else if step_s > 0.0 {
            // It stood for a while: since before the first step that we see, or in the middle of this one.
            let (head_s, tail_s) = if last_step_s.is_none() {
                (0.0, step_s)
            } else {
                (0.5 * step_s, 0.5 * step_s)
            };
            mark(&mut out[since..(since + frames_in(head_s)).min(frame)]);
            mark(&mut out[frame.saturating_sub(frames_in(tail_s)).max(since)..frame]);
        }
        last_step_s = (step_s > 0.0).then_some(step_s).or(last_step_s);
        since = frame;
        shown_s = f64::from(*clock);
    }
    // After the last step it ran on for a step at most, unless the data end before one could show.
    if let Some(step_s) = last_step_s {
        let waited_s = (out.len() - since) as f64 / hz;
        let ran_s = if waited_s <= step_s + SLACK_S {
            waited_s
        } else {
            0.5 * step_s
        };
        let end = (since + frames_in(ran_s)).min(out.len());
        mark(&mut out[since..end]);
    }
    out
}

/// How late a step of the clock may come, s: a frame or two of a 10 Hz source, and a hand's jitter (no source).
const SLACK_S: f64 = 0.35;

#[cfg(test)]
mod tests {
    use super::*;

    /// A clock that runs from 0 to 4 s, stands until 9 s and runs on to 12 s, shown in steps.
    fn shown(step_s: f64) -> Vec<f32> {
        (0..300)
            .map(|k| {
                let t_s = f64::from(k) / 25.0;
                let ran_s = t_s.min(4.0) + (t_s - 9.0).max(0.0);
                (((600.0 - ran_s) / step_s - 1e-6).ceil() * step_s) as f32
            })
            .collect()
    }

    #[test]
    fn a_clock_in_steps_runs_and_stands_where_it_did() {
        // In doubt: half a step after the stop, the slack before the start, a whole step before the first step.
        for (step_s, doubt_s) in [(0.04, 0.4), (0.1, 0.4), (1.0, 1.05)] {
            let found = running(&shown(step_s), 25.0);
            for (k, running) in found.iter().enumerate() {
                let t_s = k as f64 / 25.0;
                let near = [0.0_f64, 4.0, 9.0, 12.0]
                    .iter()
                    .any(|edge| (edge - t_s).abs() <= doubt_s);
                if !near {
                    assert_eq!(
                        *running,
                        Some(!(4.0..9.0).contains(&t_s)),
                        "step {step_s} s at {t_s} s"
                    );
                }
            }
        }
    }

    #[test]
    fn no_clock_is_not_a_standing_clock() {
        assert_eq!(running(&[f32::NAN; 3], 25.0), [None; 3]);
    }

    #[test]
    fn a_new_shot_clock_holds_until_it_is_given() {
        assert_eq!(between(3.0, 24.0, 0.5), 3.0);
        assert_eq!(between(3.0, 2.0, 0.5), 2.5);
    }
}
