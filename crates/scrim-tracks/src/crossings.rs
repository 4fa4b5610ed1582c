//! Two players whose identities were exchanged: whose path goes on in whose.
//!
//! Between its last sample before an instant and its first one after, a track makes a *link*. Of two tracks, either
//! each goes on in itself, or each goes on in the other. Both readings are compared by how far places and velocities
//! on the two sides of each link miss one another, measured in what real motion and noise make of a link of that
//! length. A link may be a step between two samples or a gap: the exchange of two who are seen, of two who are both
//! lost for a while, and of one who is lost where the other is taken for them are one case.

use crate::Track;
use crate::grid::Grid;
use crate::links::Reading;

/// Exchanged, the paths must fit: sum of eight squared deviations, 99.9 % of a chi-squared distribution.
const FITS: f64 = 26.0;
/// How much likelier the exchange must be for a repair: twice the logarithm of the odds. On 600 real possessions none of
/// 250 pairs who pass each other reaches it; with a tenth of all samples taken out in spells of up to 3 s, one pair does.
const SURE: f64 = 20.0;
/// … or for a doubt without a repair.
const DOUBTFUL: f64 = 12.0;
/// That one vanishes in the very step before another comes back is certain when the one is taken for the other. By
/// chance it is as rare as this, a second: how often a player is lost where tracking is bad (no source).
const LOST_PER_S: f64 = 0.08;
/// The longest gap that a link may bridge, s: after that, where somebody was says nothing.
const LONGEST_LINK_S: f64 = 6.0;
/// Who is near whom is looked up every so many frames, and near is so near, metres: two who run at each other come no
/// closer in that time than to a step's jump.
const NEAR_FRAMES: usize = 8;
const NEAR_M: f32 = 6.0;
/// Nobody is linked over a distance that takes more than this speed, m/s, and this much beside it, metres.
const REACH_MPS: f32 = 9.0;
const REACH_SLACK_M: f32 = 1.0;

/// What was found among close players.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Crossings {
    /// Frames from which on two tracks were exchanged back.
    pub(crate) repaired: Vec<usize>,
    /// Frames where an exchange is likely, but not sure.
    pub(crate) doubtful: Vec<usize>,
}

/// A gap: the last frame before it and the first one after.
pub(crate) type Gap = (usize, usize);

/// The gaps of a track on the grid that a link may bridge, in order.
pub(crate) fn find_gaps(x_m: &[f32], grid: Grid) -> Vec<Gap> {
    let longest = (LONGEST_LINK_S * grid.hz) as usize;
    let mut gaps = Vec::new();
    let mut last_seen = None;
    for (frame, _) in x_m.iter().enumerate().filter(|(_, x)| x.is_finite()) {
        if let Some(last) = last_seen
            && (2..=longest).contains(&(frame - last))
        {
            gaps.push((last, frame));
        }
        last_seen = Some(frame);
    }
    gaps
}

/// Follows all tracks through time and, where two pass each other and at both ends of each gap, exchanges them back if
/// the evidence for it is strong. Places are not smoothed yet, and gaps not filled; `gaps` are each track's gaps.
///
/// In order of time, all pairs at once: an exchange that is undone changes who meets whom afterwards.
pub(crate) fn repair_crossings(tracks: &mut [Track], gaps: &mut [Vec<Gap>], reading: Reading) -> Crossings {
    let frames = tracks.first().map_or(0, |track| track.x_m.len());
    let mut sweep = Sweep {
        quiet_until: vec![0; tracks.len() * tracks.len()],
        tracks,
        gaps,
        reading,
        found: Crossings::default(),
        first: 0,
        looks: Vec::new(),
        near: Vec::new(),
        turns: Vec::new(),
    };
    let last = frames.saturating_sub(1);
    for first in (0..last).step_by(NEAR_FRAMES) {
        sweep.first = first;
        sweep.look();
        sweep.list_near();
        sweep.look_for_turns();
        if sweep.is_uneventful() {
            continue;
        }
        for frame in first..last.min(first + NEAR_FRAMES) {
            for at in 0..sweep.near.len() {
                let pair = sweep.near[at];
                if sweep.sides_change(at, frame) && !sweep.is_quiet(pair, frame) {
                    sweep.judge(pair, frame);
                }
            }
            for one in 0..sweep.tracks.len() {
                if sweep.comes_or_goes(one, frame) {
                    sweep.judge_gap(one, frame);
                }
            }
        }
    }
    sweep.found
}

/// The state of the way through time.
struct Sweep<'a> {
    tracks: &'a mut [Track],
    gaps: &'a mut [Vec<Gap>],
    reading: Reading,
    /// A pair that was judged is left alone until then: its next steps would be judged by the same break.
    quiet_until: Vec<usize>,
    found: Crossings,
    /// The first of the frames that are looked at together.
    first: usize,
    /// Each track in these frames and the one after them.
    looks: Vec<Look>,
    /// Pairs that may pass each other in these frames.
    near: Vec<Pair>,
    /// For each of these pairs and each frame whether the way from the one to the other turns round before the next frame.
    turns: Vec<[bool; NEAR_FRAMES]>,
}

/// A track in the frames that are looked at together, and the one after them.
struct Look {
    x_m: [f32; NEAR_FRAMES + 1],
    y_m: [f32; NEAR_FRAMES + 1],
    seen: Seen,
}

/// In how many of these frames a track is seen.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Seen {
    Never,
    ComesOrGoes,
    Always,
}

/// Two tracks, by their places in the list, the lower first.
type Pair = [usize; 2];

/// Each track's last frame before an instant and its first one after.
type Around = [Gap; 2];

impl Sweep<'_> {
    /// Looks at all tracks in the frames that are looked at together, and the one after them.
    fn look(&mut self) {
        self.looks.clear();
        for track in self.tracks.iter() {
            let frames = self.first..track.x_m.len().min(self.first + NEAR_FRAMES + 1);
            let is_seen = |x_m: &f32| x_m.is_finite();
            let seen = track.x_m[frames.clone()]
                .iter()
                .filter(|x_m| is_seen(x_m))
                .count();
            // Beyond the last frame nobody is seen, and nothing turns round.
            let mut look = Look {
                x_m: [f32::NAN; NEAR_FRAMES + 1],
                y_m: [f32::NAN; NEAR_FRAMES + 1],
                seen: match seen {
                    0 => Seen::Never,
                    _ if seen == frames.len() => Seen::Always,
                    _ => Seen::ComesOrGoes,
                },
            };
            if look.seen != Seen::Never {
                look.x_m[..frames.len()].copy_from_slice(&track.x_m[frames.clone()]);
                look.y_m[..frames.len()].copy_from_slice(&track.y_m[frames]);
            }
            self.looks.push(look);
        }
    }

    /// Lists the pairs that may pass each other: those near each other, and those of whom one is not seen just now.
    fn list_near(&mut self) {
        self.near.clear();
        // Who is on the bench passes nobody.
        let is_seen = |which: &usize| self.looks[*which].seen != Seen::Never;
        let frame = self.first;
        for b in (1..self.tracks.len()).filter(is_seen) {
            for a in (0..b).filter(is_seen) {
                let [one, other] = [a, b].map(|which| &self.tracks[which]);
                let apart_m = (one.x_m[frame] - other.x_m[frame]).hypot(one.y_m[frame] - other.y_m[frame]);
                if apart_m.is_nan() || apart_m <= NEAR_M {
                    self.near.push([a, b]);
                }
            }
        }
    }

    /// Looks for turns of the way from the one to the other: so it does when they pass each other, and so it does when they are
    /// exchanged.
    fn look_for_turns(&mut self) {
        self.turns.clear();
        for &[a, b] in &self.near {
            let (a, b) = (&self.looks[a], &self.looks[b]);
            let apart = |a: &[f32; NEAR_FRAMES + 1], b: &[f32; NEAR_FRAMES + 1]| -> [f32; NEAR_FRAMES + 1] {
                std::array::from_fn(|at| a[at] - b[at])
            };
            let (x_m, y_m) = (apart(&a.x_m, &b.x_m), apart(&a.y_m, &b.y_m));
            let turned: [bool; NEAR_FRAMES] =
                std::array::from_fn(|at| x_m[at] * x_m[at + 1] + y_m[at] * y_m[at + 1] < 0.0);
            self.turns.push(turned);
        }
    }

    /// Whether nobody comes or goes, and nobody passes anybody.
    fn is_uneventful(&self) -> bool {
        self.looks.iter().all(|look| look.seen != Seen::ComesOrGoes)
            && self.turns.iter().all(|turned| *turned == [false; NEAR_FRAMES])
    }

    /// Whether the way between the pair at that place of the list turns round between a frame and the next.
    fn sides_change(&self, at: usize, frame: usize) -> bool {
        self.turns[at][frame - self.first]
    }

    /// Whether a track is seen in one only of a frame and the next.
    fn comes_or_goes(&self, which: usize, frame: usize) -> bool {
        let x_m = &self.tracks[which].x_m;
        self.looks[which].seen == Seen::ComesOrGoes && x_m[frame].is_finite() != x_m[frame + 1].is_finite()
    }

    fn is_quiet(&self, [a, b]: Pair, frame: usize) -> bool {
        frame < self.quiet_until[a * self.tracks.len() + b]
    }

    /// Where a gap begins or ends: it hides an exchange of two who are lost at once, or of one who is lost where the
    /// other is taken for them. Of all who may be the other, the likeliest is judged.
    fn judge_gap(&mut self, one: usize, frame: usize) {
        let others = (0..self.tracks.len()).filter(|&other| other != one);
        let best = others
            .map(|other| [one.min(other), one.max(other)])
            .filter(|&pair| !self.is_quiet(pair, frame))
            .filter_map(|pair| {
                let around = self.around(pair, frame);
                let in_reach = self.in_reach(pair, around);
                let [_, gain, chance] = in_reach.then(|| self.compare(pair, around)).flatten()?;
                Some((pair, gain + chance))
            })
            .max_by(|(_, a), (_, b)| a.total_cmp(b));
        if let Some((pair, _)) = best {
            self.judge(pair, frame);
        }
    }

    /// Judges an exchange between `frame` and the next one, and undoes it if it is sure.
    fn judge(&mut self, pair: Pair, frame: usize) {
        let around = self.around(pair, frame);
        match self.compare(pair, around) {
            Some([exchanged, gain, chance]) if exchanged <= FITS && gain + chance >= SURE => {
                self.exchange(pair, frame, around);
                self.found.repaired.push(frame + 1);
            }
            Some([exchanged, gain, _]) if exchanged <= FITS && gain >= DOUBTFUL => {
                self.found.doubtful.push(frame + 1);
            }
            Some(_) | None => return,
        }
        let quiet = pair[0] * self.tracks.len() + pair[1];
        self.quiet_until[quiet] = frame + 1 + self.reading.look();
    }

    /// The links over the step from `frame` to the next one. Where the source has fewer samples than the grid frames,
    /// a step between two samples is several frames long.
    fn around(&self, pair: Pair, frame: usize) -> Around {
        pair.map(|which| {
            let gaps = &self.gaps[which];
            let next = gaps.partition_point(|gap| gap.1 <= frame);
            match gaps.get(next) {
                Some(gap) if gap.0 <= frame => *gap,
                _ => (
                    (frame + 1).saturating_sub(self.reading.step()),
                    frame + self.reading.step(),
                ),
            }
        })
    }

    /// Whether each could have come to where the other is next.
    fn in_reach(&self, [a, b]: Pair, [link_a, link_b]: Around) -> bool {
        let within = |from: usize, before: usize, to: usize, after: usize| {
            let (from, to) = (&self.tracks[from], &self.tracks[to]);
            let Some((x_m, y_m)) = to.x_m.get(after).zip(to.y_m.get(after)) else {
                return false;
            };
            let reach_m = REACH_SLACK_M + REACH_MPS * (after - before) as f32 / self.reading.hz() as f32;
            (from.x_m[before] - x_m).hypot(from.y_m[before] - y_m) <= reach_m
        };
        within(a, link_a.0, b, link_b.1) && within(b, link_b.0, a, link_a.1)
    }

    /// The squared deviations of the exchanged paths; how much likelier they are than those that go on in themselves
    /// (twice the logarithm of the odds); and the same by when the two are lost. `None` when a place is missing.
    fn compare(&self, pair: Pair, around: Around) -> Option<[f64; 3]> {
        let reading = &self.reading;
        let [link_a, link_b] = around;
        let [a, b] = pair.map(|which| &self.tracks[which]);
        let sides = [
            [reading.before(a, link_a.0)?, reading.after(a, link_a.1)?],
            [reading.before(b, link_b.0)?, reading.after(b, link_b.1)?],
        ];
        let link = |from: usize, to: usize| {
            let gap_s = (around[to].1 - around[from].0) as f64 / reading.hz();
            sides[from][0].misfit(&sides[to][1], gap_s)
        };
        let (kept, exchanged) = ([link(0, 0), link(1, 1)], [link(0, 1), link(1, 0)]);
        let cost = |links: [[f64; 2]; 2]| links[0][1] + links[1][1];
        let is_gap = |link: Gap| link.1 - link.0 > reading.step();
        let follows = |before: usize, after: usize| after - before <= reading.step();
        let is_taken_over =
            is_gap(link_a) && is_gap(link_b) && (follows(link_a.0, link_b.1) || follows(link_b.0, link_a.1));
        let chance = if is_taken_over {
            let step_s = reading.step() as f64 / reading.hz();
            -2.0 * (LOST_PER_S * step_s).ln()
        } else {
            0.0
        };
        let found = [
            exchanged[0][0] + exchanged[1][0],
            cost(kept) - cost(exchanged),
            chance,
        ];
        found.iter().all(|value| value.is_finite()).then_some(found)
    }

    /// Gives each track the other's samples from after `frame` on.
    fn exchange(&mut self, [a, b]: Pair, frame: usize, [link_a, link_b]: Around) {
        let (head, tail) = self.tracks.split_at_mut(b);
        let (one, other) = (&mut head[a], &mut tail[0]);
        one.x_m[frame + 1..].swap_with_slice(&mut other.x_m[frame + 1..]);
        one.y_m[frame + 1..].swap_with_slice(&mut other.y_m[frame + 1..]);
        let [tail_a, tail_b] = [a, b].map(|which| {
            let gaps = &mut self.gaps[which];
            let tail = gaps.split_off(gaps.partition_point(|gap| gap.0 <= frame));
            gaps.truncate(gaps.partition_point(|gap| gap.1 <= frame));
            tail
        });
        let links = [(link_a.0, link_b.1), (link_b.0, link_a.1)];
        for (which, (before, after), tail) in [(a, links[0], tail_b), (b, links[1], tail_a)] {
            // What lay between is of neither: a gap, if a frame lies between at all.
            if after > before + 1 {
                self.tracks[which].x_m[before + 1..after].fill(f32::NAN);
                self.tracks[which].y_m[before + 1..after].fill(f32::NAN);
                self.gaps[which].push((before, after));
            }
            self.gaps[which].extend(tail);
        }
        self.look();
        self.look_for_turns();
    }
}

#[cfg(test)]
mod tests;
