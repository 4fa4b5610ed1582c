//! Who is on the floor, from who has samples.

use scrim_floor::Court;

use crate::grid::Grid;
use crate::{BallTrack, Lineup, TeamSlot, Track, TrackIx};

/// A player's time on the floor: frames `start..end`, the samples in between missing or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stint {
    pub(crate) start: usize,
    pub(crate) end: usize,
}

/// How many of a team play (rule books: five).
pub(crate) const ON_FLOOR: u32 = 5;

/// At a substitution one stint ends and the next begins at most this far apart or over one another, s: the change
/// is made between them (no source).
const MAX_CHANGE_S: f64 = 10.0;
/// A team with more stints in a period has tracks that flicker: no substitution can be read from them.
const MAX_STINTS: usize = 300;
/// A source that tracks the bench too: a player further outside the lines than this, for longer than that, is not on
/// the floor (a throw-in takes five seconds at the most).
const BENCH_MARGIN_M: f32 = 1.0;
const MAX_OUTSIDE_S: f64 = 8.0;

/// Stints of every track, in the order of `tracks`.
///
/// A player without samples stays on the floor as long as their place is open: while they are missing, fewer than five
/// of their team have samples for more than half of the time. Once five others have, they were replaced. Where a sixth
/// player comes while one is about to vanish, or the next comes only a moment after, the change is made at once.
pub(crate) fn find_stints(tracks: &[Track], grid: Grid, court: &Court) -> Vec<Vec<Stint>> {
    let mut seen: Vec<Vec<Stint>> = tracks.iter().map(|track| seen_runs(&track.x_m)).collect();
    for team in TeamSlot::BOTH {
        let present = present_counts(tracks, &seen, team, grid.frames);
        let crowded = present.iter().filter(|count| **count > ON_FLOOR).count();
        if 4 * crowded > grid.frames {
            for (track, runs) in tracks
                .iter()
                .zip(&mut seen)
                .filter(|(track, _)| track.team == team)
            {
                *runs = inside_runs(track, grid, court);
            }
        }
    }
    // By team: how many frames before this one had five or more with samples.
    let full_before = TeamSlot::BOTH.map(|team| {
        let present = present_counts(tracks, &seen, team, grid.frames);
        let mut before = vec![0_usize; grid.frames + 1];
        for (frame, count) in present.iter().enumerate() {
            before[frame + 1] = before[frame] + usize::from(*count >= ON_FLOOR);
        }
        before
    });
    let mut stints: Vec<Vec<Stint>> = tracks
        .iter()
        .zip(seen)
        .map(|(track, runs)| {
            let before = &full_before[track.team.index()];
            bridge(runs, |from, to| 2 * (before[to] - before[from]) < to - from)
        })
        .collect();
    for team in TeamSlot::BOTH {
        hand_over(tracks, &mut stints, team, grid);
    }
    stints
}

/// Frames with samples, in runs.
fn seen_runs(x_m: &[f32]) -> Vec<Stint> {
    runs_of(x_m.iter().map(|x| x.is_finite()))
}

/// Frames with samples inside the court, in runs; short steps outside do not end one.
fn inside_runs(track: &Track, grid: Grid, court: &Court) -> Vec<Stint> {
    let inside = (0..grid.frames).map(|frame| court.contains(track.at(frame), BENCH_MARGIN_M));
    bridge(runs_of(inside), |from, to| {
        (to - from) as f64 <= MAX_OUTSIDE_S * grid.hz
    })
}

fn runs_of(flags: impl Iterator<Item = bool>) -> Vec<Stint> {
    let mut runs: Vec<Stint> = Vec::new();
    for (frame, _) in flags.enumerate().filter(|(_, flag)| *flag) {
        match runs.last_mut() {
            Some(last) if last.end == frame => last.end += 1,
            _ => runs.push(Stint {
                start: frame,
                end: frame + 1,
            }),
        }
    }
    runs
}

/// Joins runs over the gaps `from..to` that `spans` says yes to.
fn bridge(runs: Vec<Stint>, spans: impl Fn(usize, usize) -> bool) -> Vec<Stint> {
    let mut joined: Vec<Stint> = Vec::with_capacity(runs.len());
    for run in runs {
        match joined.last_mut() {
            Some(last) if spans(last.end, run.start) => last.end = run.end,
            _ => joined.push(run),
        }
    }
    joined
}

/// How many of a team are there, frame by frame.
fn present_counts(tracks: &[Track], stints: &[Vec<Stint>], team: TeamSlot, frames: usize) -> Vec<u32> {
    let mut counts = vec![0_u32; frames];
    for stint in tracks
        .iter()
        .zip(stints)
        .filter(|(track, _)| track.team == team)
        .flat_map(|(_, stints)| stints)
    {
        counts[stint.start..stint.end]
            .iter_mut()
            .for_each(|count| *count += 1);
    }
    counts
}

/// Makes each substitution one instant: the one who leaves stays until the next comes, and the one who comes early
/// waits until a place is free.
fn hand_over(tracks: &[Track], stints: &mut [Vec<Stint>], team: TeamSlot, grid: Grid) {
    let longest = (MAX_CHANGE_S * grid.hz) as usize;
    let mut present = present_counts(tracks, stints, team, grid.frames);
    let mut starts: Vec<(usize, usize, usize)> = Vec::new();
    let mut ends: Vec<(usize, usize, usize)> = Vec::new();
    for (ix, stints) in stints
        .iter()
        .enumerate()
        .filter(|(ix, _)| tracks[*ix].team == team)
    {
        for (n, stint) in stints.iter().enumerate() {
            starts.push((stint.start, ix, n));
            ends.push((stint.end, ix, n));
        }
    }
    if starts.len() > MAX_STINTS {
        return;
    }
    starts.sort_unstable();
    ends.sort_unstable();
    let mut free = vec![true; ends.len()];
    for (start, ix, n) in starts {
        // The leaver whose end is nearest, and whose change would neither crowd the floor nor leave a place open.
        let partner = (0..ends.len())
            .filter(|k| free[*k] && ends[*k].1 != ix && ends[*k].0.abs_diff(start) <= longest)
            .filter(|k| {
                let end = ends[*k].0;
                if end < start {
                    present[end..start].iter().all(|count| *count < ON_FLOOR)
                } else {
                    end < stints[ix][n].end && present[start..end].iter().all(|count| *count > ON_FLOOR)
                }
            })
            .min_by_key(|k| ends[*k].0.abs_diff(start));
        let Some(k) = partner else { continue };
        let (end, leaver, leaver_n) = ends[k];
        free[k] = false;
        if end < start {
            stints[leaver][leaver_n].end = start;
            present[end..start].iter_mut().for_each(|count| *count += 1);
        } else {
            stints[ix][n].start = end;
            present[start..end].iter_mut().for_each(|count| *count -= 1);
        }
    }
}

/// Spans that tile the period, from the stints of its tracks.
pub(crate) fn tile(tracks: &[Track], stints: &[Vec<Stint>], frames: usize) -> Vec<Lineup> {
    if frames == 0 {
        return Vec::new();
    }
    let mut edges: Vec<usize> = stints
        .iter()
        .flatten()
        .flat_map(|stint| [stint.start, stint.end])
        .collect();
    edges.extend([0, frames]);
    edges.sort_unstable();
    edges.dedup();
    // Each track's first stint that has not ended yet: edges and stints both ascend.
    let mut current = vec![0_usize; tracks.len()];
    edges
        .windows(2)
        .map(|edge| {
            let (start, end) = (edge[0], edge[1]);
            let mut on_floor = [Vec::new(), Vec::new()];
            for (ix, (track, stints)) in tracks.iter().zip(stints).enumerate() {
                while stints.get(current[ix]).is_some_and(|stint| stint.end <= start) {
                    current[ix] += 1;
                }
                if stints.get(current[ix]).is_some_and(|stint| stint.start <= start) {
                    on_floor[track.team.index()].push(TrackIx(ix as u16));
                }
            }
            Lineup { start, end, on_floor }
        })
        .collect()
}

/// The longest run of missing frames of a player on the floor, or of the ball, s. Frames that were filled are not
/// missing here.
pub(crate) fn longest_gap_s(tracks: &[Track], stints: &[Vec<Stint>], ball: &BallTrack, grid: Grid) -> f32 {
    let longest = |x_m: &[f32]| {
        let (mut run, mut longest) = (0_usize, 0_usize);
        for x in x_m {
            run = if x.is_finite() { 0 } else { run + 1 };
            longest = longest.max(run);
        }
        longest
    };
    let players = tracks.iter().zip(stints).flat_map(|(track, stints)| {
        stints
            .iter()
            .map(|stint| longest(&track.x_m[stint.start..stint.end]))
            .collect::<Vec<_>>()
    });
    let frames = players.chain([longest(&ball.x_m)]).max().unwrap_or(0);
    (frames as f64 / grid.hz) as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PlayerIx;

    const GRID: Grid = Grid {
        hz: 10.0,
        frames: 1000,
    };

    /// A track with samples in these spans, at y = 2 m; `outside` of them at y = 10 m, where a bench is.
    fn track(n: u16, team: TeamSlot, spans: &[(usize, usize)], outside: &[(usize, usize)]) -> Track {
        let mut x_m = vec![f32::NAN; GRID.frames];
        let mut y_m = x_m.clone();
        for (start, end) in spans {
            x_m[*start..*end].fill(1.0);
            y_m[*start..*end].fill(2.0);
        }
        for (start, end) in outside {
            y_m[*start..*end].fill(10.0);
        }
        Track::of_places(PlayerIx(n), team, [x_m, y_m])
    }

    fn team(spans: &[&[(usize, usize)]]) -> Vec<Track> {
        spans
            .iter()
            .enumerate()
            .map(|(n, spans)| track(n as u16, TeamSlot::First, spans, &[]))
            .collect()
    }

    fn first_team(tracks: &[Track]) -> Vec<(usize, usize, Vec<u16>)> {
        let stints = find_stints(tracks, GRID, &Court::fiba());
        tile(tracks, &stints, GRID.frames)
            .into_iter()
            .map(|span| {
                let first = span.of(TeamSlot::First);
                (span.start, span.end, first.iter().map(|ix| ix.0).collect())
            })
            .collect()
    }

    const ALL: &[(usize, usize)] = &[(0, 1000)];

    #[test]
    fn a_player_who_is_lost_for_long_but_not_replaced_stays_on_the_floor() {
        let tracks = team(&[ALL, ALL, ALL, ALL, &[(0, 200), (600, 1000)]]);
        assert_eq!(first_team(&tracks), [(0, 1000, vec![0, 1, 2, 3, 4])]);
    }

    #[test]
    fn a_substitution_and_its_return_change_the_line_up_twice() {
        let tracks = team(&[ALL, ALL, ALL, ALL, &[(0, 300), (700, 1000)], &[(300, 700)]]);
        let (before, with) = (vec![0, 1, 2, 3, 4], vec![0, 1, 2, 3, 5]);
        assert_eq!(
            first_team(&tracks),
            [(0, 300, before.clone()), (300, 700, with), (700, 1000, before)]
        );
    }

    #[test]
    fn a_gap_and_an_overlap_at_a_substitution_are_one_change() {
        // 3 s without either of them: the leaver stays. 4 s with both: the comer waits.
        let apart = team(&[ALL, ALL, ALL, ALL, &[(0, 300)], &[(330, 1000)]]);
        assert_eq!(
            first_team(&apart),
            [(0, 330, vec![0, 1, 2, 3, 4]), (330, 1000, vec![0, 1, 2, 3, 5])]
        );
        let both = team(&[ALL, ALL, ALL, ALL, &[(0, 340)], &[(300, 1000)]]);
        assert_eq!(
            first_team(&both),
            [(0, 340, vec![0, 1, 2, 3, 4]), (340, 1000, vec![0, 1, 2, 3, 5])]
        );
    }

    #[test]
    fn four_tracked_players_or_none_are_a_line_up_too() {
        assert_eq!(
            first_team(&team(&[ALL, ALL, ALL, ALL])),
            [(0, 1000, vec![0, 1, 2, 3])]
        );
        assert_eq!(first_team(&[]), [(0, 1000, vec![])]);
    }

    #[test]
    fn a_tracked_bench_is_not_on_the_floor() {
        let mut tracks = team(&[ALL, ALL, ALL, ALL]);
        // 4 leaves for 5 at 500; before and after that they sit outside. 3 throws in for 4 s.
        tracks[3] = track(3, TeamSlot::First, ALL, &[(100, 140)]);
        tracks.push(track(4, TeamSlot::First, ALL, &[(500, 1000)]));
        tracks.push(track(5, TeamSlot::First, ALL, &[(0, 500)]));
        assert_eq!(
            first_team(&tracks),
            [(0, 500, vec![0, 1, 2, 3, 4]), (500, 1000, vec![0, 1, 2, 3, 5])]
        );
    }
}
