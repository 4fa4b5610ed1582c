//! Two players whose identities were exchanged while they were close: no jump tells, only their speed.

use crate::Track;

/// Nearer than this two players may be taken for one another, metres (no source).
const CLOSE_M: f32 = 1.2;
/// Motion before and after is read over this long, s.
const LOOK_S: f64 = 0.28;
/// Both would have had to change their velocity at least this hard to stay who they are, m/s²: the hardest stops of
/// players are near 10 (common practice, no source) …
const IMPOSSIBLE_MPS2: f32 = 14.0;
/// … or, for a doubt without a repair, this hard.
const DOUBTFUL_MPS2: f32 = 10.0;
/// Players who moved less against each other over the look cannot pass the test below, metres.
const LEAST_RELATIVE_M: f32 = 0.4;
/// While, exchanged, both go on nearly as before, m/s².
const SMOOTH_MPS2: f32 = 5.0;

/// What was found among close players.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Crossings {
    /// Frames from which on two tracks were exchanged back.
    pub(crate) repaired: Vec<usize>,
    /// Frames where an exchange is likely, but not sure.
    pub(crate) doubtful: Vec<usize>,
}

/// Looks at each pair of tracks where they are close, and exchanges them back where the evidence is strong: kept,
/// both would turn harder than any body can; exchanged, both run on. Places are not smoothed yet; `sigma_m` is their
/// white noise.
pub(crate) fn mend_crossings(tracks: &mut [Track], hz: f64, sigma_m: f32) -> Crossings {
    let look = (LOOK_S * hz).round().max(2.0) as usize;
    let mut found = Crossings::default();
    for a in 0..tracks.len() {
        for b in a + 1..tracks.len() {
            let (head, tail) = tracks.split_at_mut(b);
            mend_pair(
                &mut head[a],
                &mut tail[0],
                Reading::new(look, hz, sigma_m),
                &mut found,
            );
        }
    }
    found.repaired.sort_unstable();
    found.doubtful.sort_unstable();
    found
}

/// How velocities are read.
#[derive(Debug, Clone, Copy)]
struct Reading {
    look: usize,
    hz: f64,
    /// One deviation of the change of velocity a second that noise alone makes.
    noise_mps2: f32,
}

impl Reading {
    fn new(look: usize, hz: f64, sigma_m: f32) -> Self {
        // Slope of a line over look + 1 samples: σ √(12 / (n (n² − 1))) a sample; two of them, look + 1 samples apart.
        let n = look as f64 + 1.0;
        let slope_mps = f64::from(sigma_m) * (12.0 / (n * (n * n - 1.0))).sqrt() * hz;
        Self {
            look,
            hz,
            noise_mps2: (slope_mps * std::f64::consts::SQRT_2 / (n / hz)) as f32,
        }
    }

    /// Velocity over the `look` + 1 frames from `from` on; NaN when one is missing.
    fn velocity_mps(self, track: &Track, from: usize) -> [f32; 2] {
        let middle = self.look as f32 / 2.0;
        let square: f32 = (0..=self.look).map(|k| (k as f32 - middle).powi(2)).sum();
        [&track.x_m, &track.y_m].map(|axis| {
            let sum: f32 = axis[from..=from + self.look]
                .iter()
                .enumerate()
                .map(|(k, v)| (k as f32 - middle) * v)
                .sum();
            sum / square * self.hz as f32
        })
    }
}

fn mend_pair(a: &mut Track, b: &mut Track, reading: Reading, found: &mut Crossings) {
    let look = reading.look;
    let end = a.x_m.len().saturating_sub(1 + look);
    // The exchange lies between `frame` and the next one.
    let mut frame = look;
    while frame < end {
        let score = if may_cross(a, b, frame, look) {
            judge(a, b, frame, reading)
        } else {
            Judgement::KEPT
        };
        if !score.doubtful {
            frame += 1;
            continue;
        }
        // The evidence grows toward the true instant: take its peak.
        let (peak, best) = (frame..end.min(frame + look))
            .map(|at| (at, judge(a, b, at, reading)))
            .max_by(|(_, x), (_, y)| x.gain_mps2.total_cmp(&y.gain_mps2))
            .unwrap_or((frame, score));
        if best.sure {
            exchange(a, b, peak + 1);
            found.repaired.push(peak + 1);
        } else {
            found.doubtful.push(peak + 1);
        }
        frame = peak + look;
    }
}

/// A cheap look first: close now, and moving against each other.
fn may_cross(a: &Track, b: &Track, frame: usize, look: usize) -> bool {
    let (dx, dy) = (a.x_m[frame] - b.x_m[frame], a.y_m[frame] - b.y_m[frame]);
    if !(dx * dx + dy * dy <= CLOSE_M * CLOSE_M) {
        return false;
    }
    let was = frame - look;
    let (moved_x, moved_y) = (dx - (a.x_m[was] - b.x_m[was]), dy - (a.y_m[was] - b.y_m[was]));
    moved_x * moved_x + moved_y * moved_y >= LEAST_RELATIVE_M * LEAST_RELATIVE_M
}

#[derive(Debug, Clone, Copy)]
struct Judgement {
    sure: bool,
    doubtful: bool,
    /// How much harder they would have to turn to stay who they are.
    gain_mps2: f32,
}

impl Judgement {
    const KEPT: Self = Self {
        sure: false,
        doubtful: false,
        gain_mps2: f32::NEG_INFINITY,
    };
}

fn judge(a: &Track, b: &Track, frame: usize, reading: Reading) -> Judgement {
    let look = reading.look;
    let before = [a, b].map(|track| reading.velocity_mps(track, frame - look));
    let after = [a, b].map(|track| reading.velocity_mps(track, frame + 1));
    let per_s = (reading.hz / (look as f64 + 1.0)) as f32;
    let change_mps2 = |from: [f32; 2], to: [f32; 2]| (to[0] - from[0]).hypot(to[1] - from[1]) * per_s;
    let all = [
        change_mps2(before[0], after[0]),
        change_mps2(before[1], after[1]),
        change_mps2(before[0], after[1]),
        change_mps2(before[1], after[0]),
    ];
    if all.iter().any(|change| change.is_nan()) {
        return Judgement::KEPT;
    }
    let (kept, exchanged, noise) = (all[0].min(all[1]), all[2].max(all[3]), reading.noise_mps2);
    let smooth = exchanged <= SMOOTH_MPS2 + 3.0 * noise;
    Judgement {
        sure: smooth && kept >= IMPOSSIBLE_MPS2 + 5.0 * noise,
        doubtful: smooth && kept >= DOUBTFUL_MPS2 + 5.0 * noise,
        gain_mps2: kept - exchanged,
    }
}

fn exchange(a: &mut Track, b: &mut Track, from: usize) {
    a.x_m[from..].swap_with_slice(&mut b.x_m[from..]);
    a.y_m[from..].swap_with_slice(&mut b.y_m[from..]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{PlayerIx, TeamSlot};

    fn track(at: impl Fn(f32) -> [f32; 2]) -> Track {
        let (x_m, y_m) = (0..100)
            .map(|k| at(k as f32 / 25.0 - 2.0))
            .map(|[x, y]| (x, y))
            .unzip();
        let unset = vec![f32::NAN; 100];
        Track {
            player: PlayerIx(0),
            team: TeamSlot::First,
            x_m,
            y_m,
            vx_mps: unset.clone(),
            vy_mps: unset,
        }
    }

    #[test]
    fn runners_who_pass_each_other_and_swap_there_are_set_right() {
        // 3 m/s each, opposite ways, 0.5 m apart in passing: kept, each changes by 6 m/s in 0.32 s, 19 m/s².
        let whole = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.5])];
        let mut tracks = whole.clone();
        let (a, b) = tracks.split_at_mut(1);
        exchange(&mut a[0], &mut b[0], 50);
        let found = mend_crossings(&mut tracks, 25.0, 0.02);
        assert_eq!((found.repaired.len(), found.doubtful.len()), (1, 0));
        // The instant may be a few frames off while they are within an arm's length.
        for k in (0..45).chain(55..100) {
            assert_eq!(tracks[0].x_m[k], whole[0].x_m[k], "frame {k}");
            assert_eq!(tracks[1].y_m[k], whole[1].y_m[k], "frame {k}");
        }
    }

    #[test]
    fn runners_who_pass_each_other_or_stop_together_are_left_alone() {
        let passing = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.5])];
        // A stop from 5 m/s at 8 m/s², beside a team-mate who starts as hard: hard, and possible.
        let stopping = [
            track(|t| {
                [
                    if t < 0.0 {
                        5.0 * t
                    } else {
                        5.0 * t.min(0.625) - 4.0 * t.min(0.625).powi(2)
                    },
                    0.0,
                ]
            }),
            track(|t| {
                [
                    if t < 0.0 {
                        0.4
                    } else {
                        0.4 + 4.0 * t.min(0.625).powi(2) + 5.0 * (t - 0.625).max(0.0)
                    },
                    0.4,
                ]
            }),
        ];
        for whole in [passing, stopping] {
            let mut tracks = whole.clone();
            assert_eq!(
                mend_crossings(&mut tracks, 25.0, 0.02).repaired,
                Vec::<usize>::new()
            );
            for (is, was) in tracks.iter().zip(&whole) {
                assert_eq!((&is.x_m, &is.y_m), (&was.x_m, &was.y_m));
            }
        }
    }
}
