//! Whether ten players stand on the floor as two teams do: for exchanges that motion alone leaves open.
//!
//! A defender stands between his attacker and the hoop, near 0.62 × attacker + 0.11 × ball + 0.27 × hoop (Franks et al.,
//! Annals of Applied Statistics 9(1), 2015, 94–121; here the middle of the ten stands for the ball). After an exchange of two
//! opponents the floor no longer looks so. After one of two team-mates it does, but their opponents seem to have
//! exchanged them, when they attack and when they defend, and stay so from possession to possession: no switch does.

use std::ops::Range;

use crate::{TeamSlot, Track};

/// Weights of the attacker, of the middle of the ten and of the hoop in a defender's place.
const ATTACKER_WEIGHT: f32 = 0.62;
const MIDDLE_WEIGHT: f32 = 0.11;
const HOOP_WEIGHT: f32 = 0.27;
/// Scatter of a defender about that place, per axis, metres; distance beyond which more tells no more; and independent
/// looks a second: as in the matchups.
const SCATTER_M: f32 = 1.4;
const FARTHEST_M: f32 = 4.5;
const LOOKS_PER_S: f64 = 1.5;
/// The floor is looked at every so often, s.
const STEP_S: f64 = 0.5;
/// How far to either side of an exchange, s: opponents betray themselves at once, team-mates over some possessions.
const OPPONENTS_S: f64 = 15.0;
const MATES_S: f64 = 90.0;
/// Fewer looks than these tell nothing, s of play in a half court.
const MIN_OPPONENTS_S: f64 = 3.0;
const MIN_MATES_S: f64 = 8.0;
/// What the floor must say at least: twice the logarithm of the odds. On labelled games with a tenth of all samples taken
/// out it says up to 80 where nobody is exchanged, and 87 to 680 where somebody is.
const MIN_GAIN: f64 = 85.0;
/// What the next seconds before and after an exchange of team-mates must say at least; and how long these are, s.
const MIN_NEAR_GAIN: f64 = 10.0;
const NEAR_S: f64 = 20.0;
/// A team's mean place is this much nearer to the hoop that it defends, metres.
const LEAD_M: f32 = 0.5;
/// At least so many of the ten are seen.
const MIN_SEEN: usize = 8;
/// Who is on the floor: seen within this long of the exchange, s. Who is lost for longer ends the look.
const ON_FLOOR_S: f64 = 3.0;
const LOST_S: f64 = 8.0;

const SIDE: usize = 5;
type Five = [usize; SIDE];

/// How the floor is looked at.
#[derive(Debug, Clone)]
pub(crate) struct FloorShape {
    hoop_x_m: f32,
    hz: f64,
    step: usize,
    /// Whether the clock runs, at each step; where it is not known, play is taken to be on.
    runs: Vec<bool>,
}

/// Squared distances of each defender from his place on each attacker, summed over the looks, m²; a table for each team
/// that defends.
#[derive(Debug, Clone, Copy, Default)]
struct Costs {
    sum: [[[f64; SIDE]; SIDE]; 2],
    looks: [usize; 2],
}

impl FloorShape {
    /// `runs` tells of each frame at `hz` whether the clock runs; tracks have `refinement` frames for each of them.
    pub(crate) fn new(hoop_x_m: f32, hz: f64, runs: &[Option<bool>], refinement: usize) -> Self {
        let step = ((STEP_S * hz).round() as usize).max(1);
        Self {
            hoop_x_m,
            hz: hz * refinement as f64,
            step: step * refinement,
            runs: runs
                .iter()
                .step_by(step)
                .map(|runs| runs.unwrap_or(true))
                .collect(),
        }
    }

    /// How much more likely the floor is with `pair` exchanged from the end of `span` to `until` (twice the logarithm of
    /// the odds); 0 when it does not tell.
    pub(crate) fn gain(&self, tracks: &[Track], pair: [usize; 2], span: (usize, usize), until: usize) -> f64 {
        let Some(fives) = self.on_floor(tracks, span) else {
            return 0.0;
        };
        if !pair
            .iter()
            .all(|which| fives.iter().flatten().any(|on| on == which))
        {
            return 0.0;
        }
        let exchanged = fives.map(|five| {
            five.map(|which| match which {
                _ if which == pair[0] => pair[1],
                _ if which == pair[1] => pair[0],
                _ => which,
            })
        });
        if tracks[pair[0]].team == tracks[pair[1]].team {
            self.mates_gain(tracks, pair, [fives, exchanged], span)
        } else {
            let frames = self.after(tracks, &fives, span.1, OPPONENTS_S, until);
            let [kept, exchanged] =
                [fives, exchanged].map(|fives| self.costs(tracks, &fives, pair, frames.clone()));
            let enough = self.looks(MIN_OPPONENTS_S);
            if kept.looks[0] + kept.looks[1] < enough || exchanged.looks[0] + exchanged.looks[1] < enough {
                return 0.0;
            }
            // Each reading by its own looks: which team defends may depend on it.
            let mean = |costs: &Costs| {
                (costs.cheapest(0) + costs.cheapest(1)) / (costs.looks[0] + costs.looks[1]) as f64
            };
            let gain =
                self.weight() * (mean(&kept) - mean(&exchanged)) * (kept.looks[0] + kept.looks[1]) as f64;
            if gain < MIN_GAIN { 0.0 } else { gain }
        }
    }

    /// Who guards whom before and after are one assignment: kept, or with the two exchanged after. Both when they attack
    /// and when they defend must say so, and already the looks next to the exchange: who guards whom may change at any
    /// other time as well.
    fn mates_gain(
        &self,
        tracks: &[Track],
        pair: [usize; 2],
        [fives, exchanged]: [[Five; 2]; 2],
        span: (usize, usize),
    ) -> f64 {
        let before = |seconds| self.costs(tracks, &fives, pair, self.before(tracks, &fives, span.0, seconds));
        let after = |seconds| {
            let frames = self.after(tracks, &fives, span.1, seconds, usize::MAX);
            [fives, exchanged].map(|fives| self.costs(tracks, &fives, pair, frames.clone()))
        };
        let gain = |first: &Costs, [kept, other]: &[Costs; 2], role: usize| {
            self.weight() * (first.and(kept).cheapest(role) - first.and(other).cheapest(role))
        };
        let (first, then) = (before(MATES_S), after(MATES_S));
        let enough = self.looks(MIN_MATES_S);
        if first
            .looks
            .iter()
            .chain(&then[0].looks)
            .any(|looks| *looks < enough)
        {
            return 0.0;
        }
        let roles = [0, 1].map(|role| gain(&first, &then, role));
        let near = [(before(NEAR_S), then), (first, after(NEAR_S))]
            .map(|(first, then)| gain(&first, &then, 0) + gain(&first, &then, 1));
        if roles.iter().any(|gain| *gain < MIN_GAIN) || near.iter().any(|gain| *gain < MIN_NEAR_GAIN) {
            return 0.0;
        }
        roles[0] + roles[1]
    }

    /// Twice the logarithm of the odds that a squared metre makes in one look.
    fn weight(&self) -> f64 {
        LOOKS_PER_S * self.step as f64 / self.hz / f64::from(SCATTER_M * SCATTER_M)
    }

    fn looks(&self, seconds: f64) -> usize {
        (seconds * self.hz / self.step as f64).ceil() as usize
    }

    /// The five of each team; `None` when more or fewer are on the floor.
    fn on_floor(&self, tracks: &[Track], span: (usize, usize)) -> Option<[Five; 2]> {
        let margin = (ON_FLOOR_S * self.hz) as usize;
        let frames = tracks.first()?.x_m.len();
        let around = span.0.saturating_sub(margin)..(span.1 + margin).min(frames);
        let mut fives = [[0; SIDE]; 2];
        let mut counts = [0; 2];
        for (which, track) in tracks.iter().enumerate() {
            if track.x_m[around.clone()].iter().any(|x| x.is_finite()) {
                let team = track.team.index();
                *fives[team].get_mut(counts[team])? = which;
                counts[team] += 1;
            }
        }
        (counts == [SIDE; 2]).then_some(fives)
    }

    /// From `from` on, as long as all ten stay, at most `seconds`.
    fn after(
        &self,
        tracks: &[Track],
        fives: &[Five; 2],
        from: usize,
        seconds: f64,
        until: usize,
    ) -> Range<usize> {
        let frames = tracks[fives[0][0]].x_m.len();
        let end = (from + (seconds * self.hz) as usize).min(until).min(frames);
        let frames = (from..end).step_by(self.step);
        from..self.first_change(tracks, fives, frames).unwrap_or(end)
    }

    /// Up to `to`, as long as all ten were there, at most `seconds`.
    fn before(&self, tracks: &[Track], fives: &[Five; 2], to: usize, seconds: f64) -> Range<usize> {
        let start = to.saturating_sub((seconds * self.hz) as usize);
        let frames = (start..to).rev().step_by(self.step);
        self.first_change(tracks, fives, frames).unwrap_or(start)..to
    }

    /// The first of these frames by which one of the ten has been lost for long.
    fn first_change(
        &self,
        tracks: &[Track],
        fives: &[Five; 2],
        frames: impl Iterator<Item = usize>,
    ) -> Option<usize> {
        let longest = self.looks(LOST_S);
        let mut lost = [0_usize; 2 * SIDE];
        for frame in frames {
            for (lost, &which) in lost.iter_mut().zip(fives.iter().flatten()) {
                *lost = if tracks[which].x_m[frame].is_finite() {
                    0
                } else {
                    *lost + 1
                };
            }
            if lost.iter().any(|lost| *lost > longest) {
                return Some(frame);
            }
        }
        None
    }

    fn costs(&self, tracks: &[Track], fives: &[Five; 2], pair: [usize; 2], frames: Range<usize>) -> Costs {
        let mut costs = Costs::default();
        // Only looks at both of the pair tell.
        let both = |frame: &usize| pair.iter().all(|which| tracks[*which].x_m[*frame].is_finite());
        for frame in frames.step_by(self.step).filter(both) {
            let places =
                fives.map(|five| five.map(|which| [tracks[which].x_m[frame], tracks[which].y_m[frame]]));
            self.look(&places, frame, &mut costs);
        }
        costs
    }

    /// Adds a look, if all who are seen are in one half of the floor and one team clearly stands before its hoop.
    fn look(&self, places: &[[[f32; 2]; SIDE]; 2], frame: usize, costs: &mut Costs) {
        if !self.runs.get(frame / self.step).copied().unwrap_or(true) {
            return;
        }
        let (mut sums, mut seen, mut ahead) = ([[0.0_f32; 2]; 2], [0_usize; 2], 0_usize);
        for (team, places) in places.iter().enumerate() {
            for place in places.iter().filter(|place| place[0].is_finite()) {
                sums[team][0] += place[0];
                sums[team][1] += place[1];
                seen[team] += 1;
                ahead += usize::from(place[0] > 0.0);
            }
        }
        let all = seen[0] + seen[1];
        if all < MIN_SEEN || seen.contains(&0) || (ahead > 1 && ahead + 1 < all) {
            return;
        }
        let sign = if 2 * ahead > all { 1.0 } else { -1.0 };
        let lead_m = sign * (sums[0][0] / seen[0] as f32 - sums[1][0] / seen[1] as f32);
        if lead_m.abs() < LEAD_M {
            return;
        }
        let role = if lead_m > 0.0 {
            TeamSlot::First
        } else {
            TeamSlot::Second
        };
        let middle = [0, 1].map(|axis| (sums[0][axis] + sums[1][axis]) / all as f32);
        let hoop = [sign * self.hoop_x_m, 0.0];
        let unknown = f64::from(FARTHEST_M * FARTHEST_M) / 2.0;
        costs.looks[role.index()] += 1;
        for (d, defender) in places[role.index()].iter().enumerate() {
            for (a, attacker) in places[role.other().index()].iter().enumerate() {
                let off = [0, 1].map(|axis| {
                    let expected = ATTACKER_WEIGHT * attacker[axis]
                        + MIDDLE_WEIGHT * middle[axis]
                        + HOOP_WEIGHT * hoop[axis];
                    defender[axis] - expected
                });
                let squared = off[0] * off[0] + off[1] * off[1];
                costs.sum[role.index()][d][a] += if squared.is_finite() {
                    f64::from(squared.min(FARTHEST_M * FARTHEST_M))
                } else {
                    unknown
                };
            }
        }
    }
}

impl Costs {
    fn and(mut self, other: &Self) -> Self {
        for role in 0..2 {
            self.looks[role] += other.looks[role];
            for (sums, others) in self.sum[role].iter_mut().zip(&other.sum[role]) {
                sums.iter_mut().zip(others).for_each(|(sum, other)| *sum += other);
            }
        }
        self
    }

    /// The least total of an assignment of defenders to attackers, one to one.
    fn cheapest(&self, role: usize) -> f64 {
        // The cheapest way to give the first defenders the attackers of a set, set by set.
        let mut least = [f64::INFINITY; 1 << SIDE];
        least[0] = 0.0;
        for set in 0..least.len() {
            let defender = set.count_ones() as usize;
            for attacker in (0..SIDE).filter(|attacker| set >> attacker & 1 == 0) {
                let with = set | 1 << attacker;
                let total = least[set] + self.sum[role][defender][attacker];
                least[with] = f64::min(least[with], total);
            }
        }
        least[least.len() - 1]
    }
}

#[cfg(test)]
mod tests;
