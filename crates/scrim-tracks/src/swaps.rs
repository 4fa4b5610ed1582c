//! Two players whose identities were exchanged.

use crate::spikes::{Jump, MotionLimits};
use crate::{PlayerIx, RawTrack};

/// One exchange: from `after_s` on, the samples of the two tracks belong to one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Swap {
    /// Places in the list of tracks.
    pub(crate) tracks: [usize; 2],
    /// The last instant before, and the first one after, over both tracks.
    pub(crate) before_s: f64,
    pub(crate) after_s: f64,
    /// The first instant after, a track.
    starts_s: [f64; 2],
}

/// How many later jumps a jump is compared with: eleven entities can hardly make more at one instant.
const MAX_PARTNERS: usize = 32;

/// Pairs up jumps that stay: each of the two tracks goes on where the other one ended. Returns the swaps in time
/// order, and the jumps that no other one explains.
pub(crate) fn find_swaps(jumps: &[Vec<Jump>], limits: &MotionLimits) -> (Vec<Swap>, Vec<Jump>) {
    let mut all: Vec<(usize, Jump)> = jumps
        .iter()
        .enumerate()
        .flat_map(|(track, jumps)| jumps.iter().map(move |jump| (track, *jump)))
        .collect();
    all.sort_by(|(a, jump_a), (b, jump_b)| jump_a.after_s.total_cmp(&jump_b.after_s).then(a.cmp(b)));
    let mut taken = vec![false; all.len()];
    // A track's swaps must come in order, or a piece of it would be given away twice.
    let mut last_start_s = vec![f64::NEG_INFINITY; jumps.len()];
    let mut swaps = Vec::new();
    let mut unexplained = Vec::new();
    for here in 0..all.len() {
        if taken[here] {
            continue;
        }
        let (track, jump) = all[here];
        let partner = (here + 1..all.len().min(here + 1 + MAX_PARTNERS))
            .filter(|there| !taken[*there] && all[*there].0 != track)
            .filter(|there| {
                [here, *there]
                    .iter()
                    .all(|k| all[*k].1.after_s > last_start_s[all[*k].0])
            })
            .filter_map(|there| crossing_m(&jump, &all[there].1, limits).map(|cost_m| (there, cost_m)))
            .min_by(|(_, a), (_, b)| a.total_cmp(b));
        let Some((there, _)) = partner else {
            unexplained.push(jump);
            continue;
        };
        taken[there] = true;
        let (other_track, other) = all[there];
        last_start_s[track] = jump.after_s;
        last_start_s[other_track] = other.after_s;
        swaps.push(Swap {
            tracks: [track, other_track],
            before_s: jump.before_s.min(other.before_s),
            after_s: jump.after_s.max(other.after_s),
            starts_s: [jump.after_s, other.after_s],
        });
    }
    (swaps, unexplained)
}

/// How far the two paths are from going on in one another, metres; `None` when they are not, or not at one time,
/// or when that is not far better than to leave them.
fn crossing_m(a: &Jump, b: &Jump, limits: &MotionLimits) -> Option<f32> {
    let at_one_time = a.before_s < b.after_s && b.before_s < a.after_s;
    let distance_m = |from: [f32; 2], to: [f32; 2]| (to[0] - from[0]).hypot(to[1] - from[1]);
    let (a_to_b_m, b_to_a_m) = (distance_m(a.before, b.after), distance_m(b.before, a.after));
    let within = a_to_b_m <= limits.reach_m(b.after_s - a.before_s)
        && b_to_a_m <= limits.reach_m(a.after_s - b.before_s);
    let crossed_m = a_to_b_m + b_to_a_m;
    let kept_m = distance_m(a.before, a.after) + distance_m(b.before, b.after);
    (at_one_time && within && 2.0 * crossed_m < kept_m).then_some(crossed_m)
}

/// Gives the samples back to whom they belong.
pub(crate) fn undo(tracks: Vec<RawTrack<PlayerIx>>, swaps: &[Swap]) -> Vec<RawTrack<PlayerIx>> {
    if swaps.is_empty() {
        return tracks;
    }
    // Whose samples each player's are just now, from which sample on, and the pieces they have so far.
    let mut source: Vec<usize> = (0..tracks.len()).collect();
    let mut start = vec![0_usize; tracks.len()];
    let mut pieces: Vec<Vec<(usize, usize, usize)>> = vec![Vec::new(); tracks.len()];
    for swap in swaps {
        let cuts = [0, 1].map(|side| {
            let raw = swap.tracks[side];
            (
                raw,
                tracks[raw].t_s.partition_point(|t_s| *t_s < swap.starts_s[side]),
            )
        });
        let owners = cuts.map(|(raw, _)| {
            source
                .iter()
                .position(|from| *from == raw)
                .expect("a permutation")
        });
        for (owner, (raw, cut)) in owners.into_iter().zip(cuts) {
            pieces[owner].push((raw, start[raw], cut));
            start[raw] = cut;
        }
        source.swap(owners[0], owners[1]);
    }
    for (owner, raw) in source.into_iter().enumerate() {
        pieces[owner].push((raw, start[raw], tracks[raw].t_s.len()));
    }
    tracks
        .iter()
        .zip(&pieces)
        .map(|(track, pieces)| stitch(track.who, &tracks, pieces))
        .collect()
}

fn stitch(
    who: PlayerIx,
    tracks: &[RawTrack<PlayerIx>],
    pieces: &[(usize, usize, usize)],
) -> RawTrack<PlayerIx> {
    let mut out = RawTrack {
        who,
        ..RawTrack::default()
    };
    for (raw, from, to) in pieces {
        let track = &tracks[*raw];
        out.t_s.extend_from_slice(&track.t_s[*from..*to]);
        out.x_m.extend_from_slice(&track.x_m[*from..*to]);
        out.y_m.extend_from_slice(&track.y_m[*from..*to]);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spikes::remove_spikes;

    /// Three runners at 25 Hz, 2 m/s along x, 4 m apart in y.
    fn lanes() -> Vec<RawTrack<PlayerIx>> {
        (0..3_u16)
            .map(|n| RawTrack {
                who: PlayerIx(n),
                t_s: (0..200).map(|k| f64::from(k) / 25.0).collect(),
                x_m: (0..200).map(|k| 0.08 * k as f32).collect(),
                y_m: vec![4.0 * f32::from(n); 200],
                z_m: Vec::new(),
            })
            .collect()
    }

    fn exchange(tracks: &mut [RawTrack<PlayerIx>], a: usize, b: usize, from: usize, to: usize) {
        for k in from..to {
            let y_m = tracks[a].y_m[k];
            tracks[a].y_m[k] = tracks[b].y_m[k];
            tracks[b].y_m[k] = y_m;
        }
    }

    fn repaired(mut tracks: Vec<RawTrack<PlayerIx>>) -> (Vec<RawTrack<PlayerIx>>, usize, usize) {
        let limits = MotionLimits::of_player(0.02);
        let jumps: Vec<Vec<Jump>> = tracks
            .iter_mut()
            .map(|track| remove_spikes(track, &limits).1)
            .collect();
        let (swaps, unexplained) = find_swaps(&jumps, &limits);
        (undo(tracks, &swaps), swaps.len(), unexplained.len())
    }

    #[test]
    fn swaps_there_and_back_and_with_a_third_are_undone() {
        let mut tracks = lanes();
        exchange(&mut tracks, 0, 1, 50, 120); // there and back: two swaps
        exchange(&mut tracks, 1, 2, 150, 200); // to the end: one
        assert_eq!(repaired(tracks), (lanes(), 3, 0));
    }

    #[test]
    fn a_swap_over_different_holes_is_undone() {
        let mut tracks = lanes();
        exchange(&mut tracks, 0, 1, 100, 200);
        let mut whole = lanes();
        for (track, hole) in [(0, 98..101), (1, 100..103)] {
            for tracks in [&mut tracks, &mut whole] {
                tracks[track].t_s.drain(hole.clone());
                tracks[track].x_m.drain(hole.clone());
                tracks[track].y_m.drain(hole.clone());
            }
        }
        let (found, swaps, unexplained) = repaired(tracks);
        assert_eq!((swaps, unexplained), (1, 0));
        for (n, track) in found.iter().enumerate() {
            assert!(
                track.y_m.iter().all(|y| *y == 4.0 * n as f32),
                "runner {n} stays in lane"
            );
            assert!(track.t_s.is_sorted_by(|a, b| a < b));
        }
    }

    #[test]
    fn a_lonely_jump_is_left_and_counted() {
        let mut tracks = lanes();
        tracks[0].y_m[90..].fill(-3.0);
        let given = tracks.clone();
        assert_eq!(repaired(tracks), (given, 0, 1));
    }
}
