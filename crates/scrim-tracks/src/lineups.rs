//! Who is on the floor, from who has samples.

use crate::{Lineup, TeamSlot, Track};

/// A player's time on the floor: frames `start..end`, the samples in between missing or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stint {
    pub(crate) start: usize,
    pub(crate) end: usize,
}

/// How many of a team play (rule books: five).
pub(crate) const ON_FLOOR: u32 = 5;

/// Stints of every track, in the order of `tracks`.
///
/// A player without samples stays on the floor as long as his place is open: while he is missing, fewer than five
/// of his team have samples for more than half of the time. Once five others have, he was replaced.
pub(crate) fn find_stints(tracks: &[Track], frames: usize) -> Vec<Vec<Stint>> {
    let seen: Vec<Vec<Stint>> = tracks.iter().map(|track| seen_runs(&track.x_m)).collect();
    // By team: how many frames before this one had five or more with samples.
    let full_before = TeamSlot::BOTH.map(|team| {
        let mut change = vec![0_i32; frames + 1];
        for runs in tracks
            .iter()
            .zip(&seen)
            .filter(|(track, _)| track.team == team)
            .map(|(_, runs)| runs)
        {
            for run in runs {
                change[run.start] += 1;
                change[run.end] -= 1;
            }
        }
        let (mut present, mut full) = (0_i32, 0_usize);
        let mut before = Vec::with_capacity(frames + 1);
        for step in change {
            before.push(full);
            present += step;
            full += usize::from(present >= ON_FLOOR as i32);
        }
        before
    });
    let bridged = |team: TeamSlot, from: usize, to: usize| {
        let before = &full_before[team.index()];
        2 * (before[to] - before[from]) < to - from
    };
    tracks
        .iter()
        .zip(seen)
        .map(|(track, runs)| {
            let mut stints: Vec<Stint> = Vec::new();
            for run in runs {
                match stints.last_mut() {
                    Some(last) if bridged(track.team, last.end, run.start) => last.end = run.end,
                    _ => stints.push(run),
                }
            }
            stints
        })
        .collect()
}

/// Runs of frames with samples.
fn seen_runs(x_m: &[f32]) -> Vec<Stint> {
    let mut runs = Vec::new();
    let mut start = None;
    for (frame, x) in x_m.iter().enumerate() {
        match (start, x.is_finite()) {
            (None, true) => start = Some(frame),
            (Some(from), false) => {
                runs.push(Stint {
                    start: from,
                    end: frame,
                });
                start = None;
            }
            (None, false) | (Some(_), true) => {}
        }
    }
    if let Some(from) = start {
        runs.push(Stint {
            start: from,
            end: x_m.len(),
        });
    }
    runs
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
    edges
        .windows(2)
        .map(|edge| {
            let (start, end) = (edge[0], edge[1]);
            let on_floor = TeamSlot::BOTH.map(|team| {
                (0..tracks.len())
                    .filter(|ix| tracks[*ix].team == team)
                    .filter(|ix| {
                        stints[*ix]
                            .iter()
                            .any(|stint| stint.start <= start && end <= stint.end)
                    })
                    .collect()
            });
            Lineup { start, end, on_floor }
        })
        .collect()
}
