//! Samples that no body can have reached: taken out, so that gap filling closes the hole.

use crate::RawTrack;

/// What a body can do. Common practice, no source, but for the sprint: the fastest sprinters reach 12.4 m/s over 100 m,
/// and no court is that long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MotionLimits {
    /// Fastest motion.
    pub(crate) speed_mps: f32,
    /// Hardest bend of a path: the change of velocity a second (a runner) …
    pub(crate) acceleration_mps2: f32,
    /// … or at once (a ball that is hit or caught).
    pub(crate) kink_mps: f32,
    /// What is forgiven beside, with the noise already in it.
    pub(crate) step_slack_m: f32,
    pub(crate) bend_slack_m: f32,
}

/// What a step is forgiven without any noise, metres (no source).
const STEP_SLACK_M: f32 = 0.4;

impl MotionLimits {
    /// A player: 10 m/s, 15 m/s².
    pub(crate) fn of_player(sigma_m: f32) -> Self {
        Self::new(10.0, 15.0, 0.0, sigma_m)
    }

    /// A ball: 30 m/s, and it may lose all of that in one sample.
    pub(crate) fn of_ball(sigma_m: f32) -> Self {
        Self::new(30.0, 0.0, 30.0, sigma_m)
    }

    /// The step between two samples has √2 of one's noise, the bend of three √1.5: six of these are forgiven.
    fn new(speed_mps: f32, acceleration_mps2: f32, kink_mps: f32, sigma_m: f32) -> Self {
        Self {
            speed_mps,
            acceleration_mps2,
            kink_mps,
            step_slack_m: STEP_SLACK_M + 6.0 * std::f32::consts::SQRT_2 * sigma_m,
            bend_slack_m: 0.25 + 6.0 * 1.2247 * sigma_m,
        }
    }

    /// How far apart two samples may lie.
    pub(crate) fn reach_m(&self, dt_s: f64) -> f32 {
        self.speed_mps * dt_s as f32 + self.step_slack_m
    }

    /// How far a sample may lie beside the line through its neighbours: Δv t₁ t₂ / (t₁ + t₂) for a kink of Δv.
    fn bend_m(&self, before_s: f64, after_s: f64) -> f32 {
        let (before_s, after_s) = (before_s as f32, after_s as f32);
        let kink_mps = self.kink_mps + 0.5 * self.acceleration_mps2 * (before_s + after_s);
        kink_mps * before_s * after_s / (before_s + after_s) + self.bend_slack_m
    }
}

/// A jump that stays: the samples before and after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Jump {
    pub(crate) before_s: f64,
    pub(crate) after_s: f64,
    pub(crate) before: [f32; 2],
    pub(crate) after: [f32; 2],
}

/// Longest detour that is taken out, s, and in samples: a longer one is a swap or another place (no source).
const MAX_DETOUR_S: f64 = 0.3;
const MAX_DETOUR_SAMPLES: usize = 40;
/// Samples further apart are not judged by the bend of their line, s.
const MAX_BEND_STEP_S: f64 = 0.15;

/// Takes the spikes out of a track; the number of samples taken, and the jumps that stay.
///
/// A spike goes away by an impossible step and comes back by another one to a place within reach: the samples in
/// between are taken out. A single sample is also a spike when it lies beside its neighbours' line by more than any
/// body can bend its path. A real cut bends it by 15 · 0.04² / 2 = 0.012 m at 25 Hz.
pub(crate) fn remove_spikes<Who>(track: &mut RawTrack<Who>, limits: &MotionLimits) -> (u32, Vec<Jump>) {
    let mut keep = vec![true; track.t_s.len()];
    let mut jumps = Vec::new();
    mark_detours(track, limits, &mut keep, &mut jumps);
    mark_bends(track, limits, &mut keep);
    let spikes = keep.iter().filter(|keep| !**keep).count();
    if spikes > 0 {
        retain(&mut track.t_s, &keep);
        for values in [&mut track.x_m, &mut track.y_m, &mut track.z_m] {
            if values.len() == keep.len() {
                retain(values, &keep);
            }
        }
    }
    (spikes as u32, jumps)
}

fn retain<T>(values: &mut Vec<T>, keep: &[bool]) {
    let mut keep = keep.iter();
    values.retain(|_| keep.next().copied().unwrap_or(true));
}

fn mark_detours<Who>(track: &RawTrack<Who>, limits: &MotionLimits, keep: &mut [bool], jumps: &mut Vec<Jump>) {
    let within_reach = |a: usize, b: usize| {
        let (dx, dy) = (track.x_m[b] - track.x_m[a], track.y_m[b] - track.y_m[a]);
        let reach_m = limits.reach_m(track.t_s[b] - track.t_s[a]);
        dx * dx + dy * dy <= reach_m * reach_m
    };
    let n = track.t_s.len();
    let (mut last, mut i) = (0, 1);
    while i < n {
        if !within_reach(last, i) {
            let back = (i + 1..n.min(i + 1 + MAX_DETOUR_SAMPLES))
                .take_while(|j| track.t_s[*j] - track.t_s[last] <= MAX_DETOUR_S)
                .find(|j| !within_reach(j - 1, *j) && within_reach(last, *j));
            if let Some(back) = back {
                keep[i..back].fill(false);
                i = back;
            } else {
                jumps.push(Jump {
                    before_s: track.t_s[last],
                    after_s: track.t_s[i],
                    before: [track.x_m[last], track.y_m[last]],
                    after: [track.x_m[i], track.y_m[i]],
                });
            }
        }
        last = i;
        i += 1;
    }
}

fn mark_bends<Who>(track: &RawTrack<Who>, limits: &MotionLimits, keep: &mut [bool]) {
    // How far sample i lies beside the line of its neighbours, above what is allowed; 0 when it is not.
    let excess_m = |i: usize| {
        let (before_s, after_s) = (track.t_s[i] - track.t_s[i - 1], track.t_s[i + 1] - track.t_s[i]);
        if before_s > MAX_BEND_STEP_S || after_s > MAX_BEND_STEP_S {
            return 0.0;
        }
        let share = (before_s / (before_s + after_s)) as f32;
        let across = [&track.x_m, &track.y_m].map(|axis| axis[i + 1] - axis[i - 1]);
        let beside = [
            track.x_m[i] - track.x_m[i - 1] - across[0] * share,
            track.y_m[i] - track.y_m[i - 1] - across[1] * share,
        ];
        let square = |v: [f32; 2]| v[0] * v[0] + v[1] * v[1];
        let limit_m = limits.bend_m(before_s, after_s);
        if square(beside) <= limit_m * limit_m {
            return 0.0;
        }
        // A jump that stays bends the line as well, but then the neighbours themselves are too far apart.
        let fits_m = limits.speed_mps * (before_s + after_s) as f32 + limits.step_slack_m - STEP_SLACK_M;
        if square(across) <= fits_m * fits_m {
            square(beside).sqrt()
        } else {
            0.0
        }
    };
    let last = track.t_s.len().saturating_sub(1);
    for i in 1..last {
        let here_m = excess_m(i);
        if here_m > 0.0 && keep[i - 1] && keep[i] && keep[i + 1] {
            let before_m = if i > 1 { excess_m(i - 1) } else { 0.0 };
            let after_m = if i + 1 < last { excess_m(i + 1) } else { 0.0 };
            if here_m >= before_m && here_m > after_m {
                keep[i] = false;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A runner at 25 Hz who runs 6 m/s along x and turns by 90° at sample 50.
    fn cutter() -> RawTrack<()> {
        let t_s: Vec<f64> = (0..100).map(|k| f64::from(k) / 25.0).collect();
        let x_m = (0..100).map(|k| 0.24 * k.min(50) as f32).collect();
        let y_m = (0..100).map(|k| 0.24 * (k - 50).max(0) as f32).collect();
        RawTrack {
            who: (),
            t_s,
            x_m,
            y_m,
            z_m: Vec::new(),
        }
    }

    #[test]
    fn a_sharp_cut_is_left_alone() {
        let mut track = cutter();
        assert_eq!(
            remove_spikes(&mut track, &MotionLimits::of_player(0.0)),
            (0, vec![])
        );
        assert_eq!(track, cutter());
    }

    #[test]
    fn spikes_of_one_and_of_five_samples_are_taken_out_and_nothing_else() {
        let mut track = cutter();
        track.x_m[20] += 0.6; // 0.6 m is more than 0.25 + 7.35 · 0.02 + 15 · 0.04² / 2.
        for k in 60..65 {
            track.y_m[k] -= 4.0 + k as f32;
        }
        let (spikes, jumps) = remove_spikes(&mut track, &MotionLimits::of_player(0.02));
        assert_eq!((spikes, jumps.len()), (6, 0));
        let whole = cutter();
        let kept: Vec<usize> = (0..100).filter(|k| *k != 20 && !(60..65).contains(k)).collect();
        assert_eq!(track.t_s, kept.iter().map(|k| whole.t_s[*k]).collect::<Vec<_>>());
        assert_eq!(track.x_m, kept.iter().map(|k| whole.x_m[*k]).collect::<Vec<_>>());
        assert_eq!(track.y_m, kept.iter().map(|k| whole.y_m[*k]).collect::<Vec<_>>());
    }

    #[test]
    fn a_jump_that_stays_is_counted_and_not_taken_out() {
        let mut track = cutter();
        for k in 70..100 {
            track.x_m[k] += 3.0;
        }
        let (spikes, jumps) = remove_spikes(&mut track, &MotionLimits::of_player(0.02));
        assert_eq!(spikes, 0);
        assert_eq!(jumps.len(), 1);
        assert_eq!((jumps[0].before_s, jumps[0].after_s), (69.0 / 25.0, 70.0 / 25.0));
    }

    #[test]
    fn a_hard_pass_with_its_catch_is_no_spike() {
        // 18 m/s for 10 samples, then dead still: the kink bends the line by 18 · 0.04 / 2 = 0.36 m.
        let mut track = cutter();
        track.y_m.fill(0.0);
        track.x_m = (0..100).map(|k| 0.72 * (k - 40).clamp(0, 10) as f32).collect();
        let whole = track.clone();
        assert_eq!(
            remove_spikes(&mut track, &MotionLimits::of_ball(0.04)),
            (0, vec![])
        );
        assert_eq!(track, whole);
    }
}
