//! Two players whose identities were exchanged while they were close: no step is impossible, but both paths break.

use crate::Track;
use crate::grid::{Grid, SAME_INSTANT_S};

/// Motion before and after is read over this long, s.
const LOOK_S: f64 = 0.28;
/// Deviation of a player's change of velocity from one look to the next, m/s, without noise: 4 m/s² for 0.3 s
/// (common practice, no source).
const VELOCITY_CHANGE_MPS: f64 = 1.2;
/// How far two straight lines miss a real path where they meet, metres, without noise: an acceleration of 4 m/s² bends
/// it by 4 · 0.28² / 12 = 0.03 m; two players and both sides, and some room.
const LINE_MISS_M: f64 = 0.1;
/// The same, a second of gap squared: the acceleration of one against the other, m/s².
const GAP_MISS_MPS2: f64 = 4.0;
/// Exchanged, the paths must fit: sum of six squared deviations, 98 % of a chi-squared distribution.
const FITS: f64 = 15.0;
/// How much worse they must fit as they are, for a repair: e^(60/2) to one; …
const SURE: f64 = 60.0;
/// … or for a doubt without a repair.
const DOUBTFUL: f64 = 30.0;

/// Players further apart than this where a gap begins are not mixed up over it, metres (no source).
const CLOSE_M: f32 = 3.0;

/// What was found among close players.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Crossings {
    /// Frames from which on two tracks were exchanged back.
    pub(crate) repaired: Vec<usize>,
    /// Frames where an exchange is likely, but not sure.
    pub(crate) doubtful: Vec<usize>,
}

/// A filled gap: the last frame before it and the first one after.
pub(crate) type FilledGap = (usize, usize);

/// The gaps that resampling filled, in order.
pub(crate) fn filled_gaps(t_s: &[f64], grid: Grid, gap_s: f64, max_gap_s: f64) -> Vec<FilledGap> {
    t_s.windows(2)
        .filter(|pair| (gap_s..=max_gap_s).contains(&(pair[1] - pair[0])))
        .map(|pair| {
            let before = ((pair[0] + SAME_INSTANT_S) * grid.hz).floor() as usize;
            let after = ((pair[1] - SAME_INSTANT_S) * grid.hz).ceil() as usize;
            (before, after.min(grid.frames.saturating_sub(1)))
        })
        .collect()
}

/// Looks at each pair of tracks where one seems to pass the other, and exchanges them back where the evidence is
/// strong: places and velocities before and after are compared as they are and exchanged, each deviation measured
/// in what noise and turning make of it. Places are not smoothed yet; `sigma_m` is their white noise; `filled` are
/// each track's filled gaps, over which the paths are compared.
pub(crate) fn mend_crossings(
    tracks: &mut [Track],
    filled: &mut [Vec<FilledGap>],
    grid: Grid,
    sigma_m: f32,
) -> Crossings {
    let look = (LOOK_S * grid.hz).round().max(2.0) as usize;
    let reading = Reading::new(look, grid.hz, f64::from(sigma_m));
    let mut found = Crossings::default();
    for b in 1..tracks.len() {
        for a in 0..b {
            let (head, tail) = tracks.split_at_mut(b);
            let (head_gaps, tail_gaps) = filled.split_at_mut(b);
            let pair = Pair {
                a: &mut head[a],
                b: &mut tail[0],
                gaps: [&mut head_gaps[a], &mut tail_gaps[0]],
            };
            mend_pair(pair, &reading, &mut found);
        }
    }
    found.repaired.sort_unstable();
    found.doubtful.sort_unstable();
    found
}

/// Two tracks and their filled gaps.
struct Pair<'a> {
    a: &'a mut Track,
    b: &'a mut Track,
    gaps: [&'a mut Vec<FilledGap>; 2],
}

impl Pair<'_> {
    /// The last frame before and the first one after the exchange that may lie between `frame` and the next one:
    /// these two, or what is around a filled gap.
    fn around(&self, frame: usize) -> FilledGap {
        self.gaps
            .iter()
            .fold((frame, frame + 1), |(before, after), gaps| {
                let next = gaps.partition_point(|gap| gap.1 <= frame);
                match gaps.get(next) {
                    Some(gap) if gap.0 <= frame => (before.min(gap.0), after.max(gap.1)),
                    _ => (before, after),
                }
            })
    }

    /// Exchanges all from `after` on, and draws the lines over the gap anew.
    fn exchange(&mut self, (before, after): FilledGap) {
        self.a.x_m[after..].swap_with_slice(&mut self.b.x_m[after..]);
        self.a.y_m[after..].swap_with_slice(&mut self.b.y_m[after..]);
        for values in [&mut self.a.x_m, &mut self.a.y_m, &mut self.b.x_m, &mut self.b.y_m] {
            let (from, to) = (values[before], values[after]);
            for (k, value) in values[before..after].iter_mut().enumerate().skip(1) {
                *value = from + (to - from) * k as f32 / (after - before) as f32;
            }
        }
        let [a, b] = &mut self.gaps;
        let tails =
            [&mut **a, &mut **b].map(|gaps| gaps.split_off(gaps.partition_point(|gap| gap.0 < after)));
        let [tail_a, tail_b] = tails;
        a.extend(tail_b);
        b.extend(tail_a);
    }
}

/// How paths are read, and what deviation is usual.
#[derive(Debug, Clone, Copy)]
struct Reading {
    look: usize,
    hz: f64,
    sigma_m: f64,
    /// Deviation of a velocity that is read over a look, from noise, m/s.
    slope_mps: f64,
}

/// A line through a look.
#[derive(Debug, Clone, Copy)]
struct Line {
    /// Where it leaves the look, toward the exchange.
    place_m: [f64; 2],
    velocity_mps: [f64; 2],
}

impl Reading {
    fn new(look: usize, hz: f64, sigma_m: f64) -> Self {
        // Slope of a line through n samples: σ √(12 / (n (n² − 1))) a sample.
        let n = look as f64 + 1.0;
        Self {
            look,
            hz,
            sigma_m,
            slope_mps: sigma_m * (12.0 / (n * (n * n - 1.0))).sqrt() * hz,
        }
    }

    /// The least-squares line through the `look` + 1 frames from `from` on, read at `at` (in frames).
    fn line(&self, track: &Track, from: usize, at: f64) -> Line {
        let n = self.look as f64 + 1.0;
        let middle = self.look as f64 / 2.0;
        let square = n * (n * n - 1.0) / 12.0;
        let axis = |values: &[f32]| {
            let (mut sum, mut moment) = (0.0, 0.0);
            for (k, v) in values[from..=from + self.look].iter().enumerate() {
                sum += f64::from(*v);
                moment += (k as f64 - middle) * f64::from(*v);
            }
            let slope = moment / square;
            (sum / n + slope * (at - from as f64 - middle), slope * self.hz)
        };
        let ((x_m, vx_mps), (y_m, vy_mps)) = (axis(&track.x_m), axis(&track.y_m));
        Line {
            place_m: [x_m, y_m],
            velocity_mps: [vx_mps, vy_mps],
        }
    }

    /// How badly the paths fit as they are, and exchanged; `None` when a place is missing.
    fn misfits(&self, a: &Track, b: &Track, (before, after): FilledGap) -> Option<[f64; 2]> {
        let at = (before + after) as f64 / 2.0;
        let first = [a, b].map(|track| self.line(track, before - self.look, at));
        let then = [a, b].map(|track| self.line(track, after, at));
        let gap_s = (after - before - 1) as f64 / self.hz;
        // An end of a line through n samples has σ · 2 / √n; four of them make a difference of differences.
        let end_m = self.sigma_m * 4.0 / (self.look as f64 + 1.0).sqrt();
        let place_var = end_m.powi(2)
            + (LINE_MISS_M + GAP_MISS_MPS2 * gap_s * gap_s / 2.0).powi(2)
            + (2.0 * self.slope_mps * gap_s / 2.0).powi(2);
        let look_s = (self.look as f64 + 1.0) / self.hz;
        let change_mps = VELOCITY_CHANGE_MPS * (1.0 + gap_s / look_s);
        let velocity_var = 2.0 * self.slope_mps.powi(2) + change_mps.powi(2);
        let misfit = |order: [usize; 2]| {
            let apart = |axis: usize| {
                let was = first[0].place_m[axis] - first[1].place_m[axis];
                was - (then[order[0]].place_m[axis] - then[order[1]].place_m[axis])
            };
            let turn =
                |who: usize, axis: usize| first[who].velocity_mps[axis] - then[order[who]].velocity_mps[axis];
            let places = apart(0).powi(2) + apart(1).powi(2);
            let turns = turn(0, 0).powi(2) + turn(0, 1).powi(2) + turn(1, 0).powi(2) + turn(1, 1).powi(2);
            places / place_var + turns / velocity_var
        };
        let found = [misfit([0, 1]), misfit([1, 0])];
        found.iter().all(|m| m.is_finite()).then_some(found)
    }
}

fn mend_pair(mut pair: Pair<'_>, reading: &Reading, found: &mut Crossings) {
    // Where they pass each other, or seem to.
    let frames = pair.a.x_m.len();
    let mut frame = reading.look;
    while frame + 1 < frames {
        frame = if sides_change(pair.a, pair.b, frame) {
            mend_at(&mut pair, frame, reading, found)
        } else {
            frame + 1
        };
    }
    // Behind a filled gap an exchange hides: the lines that fill it lead each to the other's place.
    let mut gap_starts: Vec<usize> = pair
        .gaps
        .iter()
        .flat_map(|gaps| gaps.iter().map(|gap| gap.0))
        .collect();
    gap_starts.sort_unstable();
    let mut from = 0;
    for start in gap_starts {
        if start >= from && start < frames && gap_m(pair.a, pair.b, start) <= CLOSE_M {
            from = mend_at(&mut pair, start, reading, found);
        }
    }
}

/// Judges an exchange between `frame` and the next one; the first frame that is worth the next look.
fn mend_at(pair: &mut Pair<'_>, frame: usize, reading: &Reading, found: &mut Crossings) -> usize {
    let (before, after) = pair.around(frame);
    if before < reading.look || after + reading.look >= pair.a.x_m.len() {
        return frame + 1;
    }
    match reading.misfits(pair.a, pair.b, (before, after)) {
        Some([kept, exchanged]) if exchanged <= FITS && kept - exchanged >= SURE => {
            pair.exchange((before, after));
            found.repaired.push(after);
            after + reading.look
        }
        Some([kept, exchanged]) if exchanged <= FITS && kept - exchanged >= DOUBTFUL => {
            found.doubtful.push(after);
            after + reading.look
        }
        Some(_) | None => after,
    }
}

fn gap_m(a: &Track, b: &Track, frame: usize) -> f32 {
    (a.x_m[frame] - b.x_m[frame]).hypot(a.y_m[frame] - b.y_m[frame])
}

/// Whether the way from the one to the other turns round between a frame and the next: so it does when they pass each
/// other, and so it does when they are exchanged.
fn sides_change(a: &Track, b: &Track, frame: usize) -> bool {
    let apart = |at: usize| (a.x_m[at] - b.x_m[at], a.y_m[at] - b.y_m[at]);
    let (here, next) = (apart(frame), apart(frame + 1));
    here.0 * next.0 + here.1 * next.1 < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{PlayerIx, TeamSlot};

    const GRID: Grid = Grid {
        hz: 25.0,
        frames: 100,
    };

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

    fn exchanged_from(tracks: &[Track; 2], from: usize) -> [Track; 2] {
        let mut tracks = tracks.clone();
        let [a, b] = &mut tracks;
        a.x_m[from..].swap_with_slice(&mut b.x_m[from..]);
        a.y_m[from..].swap_with_slice(&mut b.y_m[from..]);
        tracks
    }

    fn assert_mended(whole: &[Track; 2], spoilt: &[Track; 2], gaps: Vec<FilledGap>, sigma_m: f32) {
        let mut tracks = spoilt.clone();
        let found = mend_crossings(&mut tracks, &mut [gaps, Vec::new()], GRID, sigma_m);
        assert_eq!((found.repaired.len(), found.doubtful.len()), (1, 0));
        for (is, was) in tracks.iter().zip(whole) {
            assert_eq!((&is.x_m, &is.y_m), (&was.x_m, &was.y_m));
        }
    }

    #[test]
    fn runners_who_are_exchanged_in_passing_or_side_by_side_are_set_right() {
        // Opposite ways at 3 m/s, 0.5 m apart in passing. Kept, each changes by 6 m/s: 4 · 36 / (2 · 1.44) = 50, and
        // the places add their part: 2 · 0.5 m is 100 times 0.1 m squared.
        let passing = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.5])];
        assert_mended(&passing, &exchanged_from(&passing, 50), vec![], 0.01);
        // Side by side at one speed: the places alone tell.
        let pair = [track(|t| [2.0 * t, 0.0]), track(|t| [2.0 * t + 0.3, 0.6])];
        assert_mended(&pair, &exchanged_from(&pair, 37), vec![], 0.03);
    }

    #[test]
    fn an_exchange_behind_a_filled_gap_is_set_right_and_the_gap_is_filled_anew() {
        let whole = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.8])];
        let mut spoilt = exchanged_from(&whole, 52);
        for values in [&mut spoilt[0].x_m, &mut spoilt[0].y_m] {
            let (from, to) = (values[44], values[52]);
            for (k, value) in values[44..52].iter_mut().enumerate().skip(1) {
                *value = from + (to - from) * k as f32 / 8.0;
            }
        }
        let mut tracks = spoilt;
        let found = mend_crossings(&mut tracks, &mut [vec![(44, 52)], Vec::new()], GRID, 0.02);
        assert_eq!((found.repaired, found.doubtful), (vec![52], vec![]));
        for k in 0..100 {
            assert!((tracks[0].x_m[k] - whole[0].x_m[k]).abs() < 1e-4, "frame {k}");
            assert!(
                (k > 44 && k < 52) || tracks[1].y_m[k] == whole[1].y_m[k],
                "frame {k}"
            );
        }
    }

    #[test]
    fn runners_who_pass_stop_or_turn_beside_each_other_are_left_alone() {
        let passing = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.05])];
        // A stop from 5 m/s at 8 m/s², just past a team-mate who starts as hard: hard, and possible.
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
                        0.0
                    } else {
                        4.0 * t.min(0.625).powi(2) + 5.0 * (t - 0.625).max(0.0)
                    },
                    0.3,
                ]
            }),
        ];
        for whole in [passing, stopping] {
            let mut tracks = whole.clone();
            let found = mend_crossings(&mut tracks, &mut [Vec::new(), Vec::new()], GRID, 0.02);
            assert_eq!(found, Crossings::default());
            for (is, was) in tracks.iter().zip(&whole) {
                assert_eq!((&is.x_m, &is.y_m), (&was.x_m, &was.y_m));
            }
        }
    }
}
