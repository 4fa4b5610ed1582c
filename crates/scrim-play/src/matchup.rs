//! Who guards whom: a hidden Markov chain over joint permutations.
//!
//! The observation model is Franks, Miller, Bornn & Goldsberry, "Characterizing the spatial structure of defensive
//! skill in professional basketball", Annals of Applied Statistics 9(1), 2015, 94–121: a defender stands around
//! 0.62 × their attacker + 0.11 × ball + 0.27 × hoop, with Gaussian scatter. They let each defender's matchup move by
//! itself; here the state is the whole assignment of defenders to attackers, so that a switch is one event of two
//! defenders and nobody is guarded twice. In the attack frame the hoop is the origin and its term vanishes.

use scrim_floor::{AttackFrame, Point};

use crate::hidden_chain::HiddenChain;
use crate::places::{Attacker, Defender, Five, Place, SIDE_SIZE};
use crate::{Matchup, Possession, Scene};

/// Weight of the attacker in a defender's canonical position (Franks et al. 2015).
pub const ATTACKER_WEIGHT: f32 = 0.62;
/// Weight of the ball in a defender's canonical position (Franks et al. 2015).
pub const BALL_WEIGHT: f32 = 0.11;
/// Weight of the hoop in a defender's canonical position (Franks et al. 2015).
pub const HOOP_WEIGHT: f32 = 0.27;

/// Where a defender of an attacker at `attacker` is expected, attack frame (the hoop is the origin).
pub fn canonical_position(attacker: Point<AttackFrame>, ball: Point<AttackFrame>) -> Point<AttackFrame> {
    Point::new(
        ATTACKER_WEIGHT * attacker.x_m + BALL_WEIGHT * ball.x_m,
        ATTACKER_WEIGHT * attacker.y_m + BALL_WEIGHT * ball.y_m,
    )
}

/// How matchups are found. The model's form is Franks et al. 2015; the numbers below are common practice, no source.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchupParams {
    /// Length of one step of the chain, s. Default 0.2.
    pub step_s: f32,
    /// Scatter of a defender around canonical position, per axis, m. Default 1.4.
    pub scatter_m: f32,
    /// Distance from canonical position beyond which more distance means no more, m. Default 4.5.
    pub farthest_m: f32,
    /// Independent looks at a defender's place in one second (places a moment apart repeat each other). Default 1.5.
    pub looks_per_s: f32,
    /// Rate at which two given defenders exchange matchups, 1/s. Default 0.004.
    pub swap_rate_per_s: f64,
    /// Rate at which the whole assignment is made anew, 1/s. Default 0.0001.
    pub reshuffle_rate_per_s: f64,
}

impl Default for MatchupParams {
    fn default() -> Self {
        Self {
            step_s: 0.2,
            scatter_m: 1.4,
            farthest_m: 4.5,
            looks_per_s: 1.5,
            swap_rate_per_s: 0.004,
            reshuffle_rate_per_s: 0.000_1,
        }
    }
}

/// Whom each defender guards.
pub type Assignment = Five<Defender, Attacker>;

/// The joint assignments of five defenders to five attackers, and the chain over them. Made once, used for every
/// possession.
#[derive(Debug, Clone)]
pub struct MatchupModel {
    params: MatchupParams,
    /// `attacker_of[state][defender]`.
    attacker_of: Vec<Assignment>,
    /// The states in which a defender is on an attacker, ascending: `states_of[defender][attacker]`.
    states_of: Five<Defender, Five<Attacker, Vec<usize>>>,
    chain: HiddenChain,
}

/// Squared distances of each defender from canonical position on each attacker, m²: `cost[defender][attacker]`.
pub type CostTable = Five<Defender, Five<Attacker, f64>>;

impl MatchupModel {
    /// The model with the given parameters.
    pub fn new(params: &MatchupParams) -> Self {
        let attacker_of = permutations();
        let states = attacker_of.len();
        let step_s = f64::from(params.step_s);
        let swap = params.swap_rate_per_s * step_s;
        let jump = params.reshuffle_rate_per_s * step_s / states as f64;
        let pairs = (SIDE_SIZE * (SIDE_SIZE - 1) / 2) as f64;
        let stay = (1.0 - pairs * swap - jump * states as f64).max(0.0);
        let into: Vec<Vec<(usize, f64)>> = attacker_of
            .iter()
            .enumerate()
            .map(|(state, assignment)| {
                let mut ways = vec![(state, stay)];
                for one in Defender::ALL {
                    for other in Defender::ALL.into_iter().filter(|&other| other > one) {
                        let mut swapped = *assignment;
                        (swapped[one], swapped[other]) = (swapped[other], swapped[one]);
                        // The table is sorted, so its own order finds a state.
                        if let Ok(from) = attacker_of.binary_search(&swapped) {
                            ways.push((from, swap));
                        }
                    }
                }
                ways
            })
            .collect();
        let chain = HiddenChain::new(vec![1.0 / states as f64; states], &into, jump);
        let states_of = Five::from_fn(|defender| {
            Five::from_fn(|attacker| {
                let says_so = |&state: &usize| attacker_of[state][defender] == attacker;
                (0..states).filter(says_so).collect()
            })
        });
        Self {
            params: params.clone(),
            attacker_of,
            states_of,
            chain,
        }
    }

    /// The assignment of least total cost: `attacker_of[defender]`.
    pub fn cheapest(&self, cost: &CostTable) -> Assignment {
        let mut best = (f64::INFINITY, self.attacker_of[0]);
        for assignment in &self.attacker_of {
            let value = total(cost, assignment);
            if value < best.0 {
                best = (value, *assignment);
            }
        }
        best.1
    }

    /// The matchups of one possession, in order of defender and time. Empty when a side has nobody on the floor.
    pub fn find_matchups(&self, scene: &Scene, id: usize, possession: &Possession) -> Vec<Matchup> {
        if scene.attackers.is_empty() || scene.defenders.is_empty() || scene.frames == 0 {
            return Vec::new();
        }
        let step = scene.frames_in(self.params.step_s);
        let steps = scene.frames.div_ceil(step);
        let states = self.attacker_of.len();
        let mut log_likelihoods = vec![0.0; steps * states];
        let scale = f64::from(self.params.looks_per_s) * (step as f64 / scene.hz)
            / (2.0 * f64::from(self.params.scatter_m).powi(2));
        let mut ball = Point::origin();
        for (index, row) in log_likelihoods.chunks_exact_mut(states).enumerate() {
            let frames = index * step..((index + 1) * step).min(scene.frames);
            let cost = self.mean_cost(scene, frames, &mut ball);
            for (value, assignment) in row.iter_mut().zip(&self.attacker_of) {
                *value = -scale * total(&cost, assignment);
            }
        }
        let path = self.chain.most_likely_path(&log_likelihoods);
        let posteriors = self.chain.posteriors(&log_likelihoods);
        let mut found = Vec::new();
        for (defender, mover) in scene.defenders.placed() {
            let mut first = 0;
            while first < steps {
                let attacker = self.attacker_of[path[first]][defender];
                let mut last = first;
                while last + 1 < steps && self.attacker_of[path[last + 1]][defender] == attacker {
                    last += 1;
                }
                if let Some(attacked) = scene.attackers.get(attacker) {
                    let frames = first * step..((last + 1) * step).min(scene.frames);
                    let sure: f64 = (first..=last)
                        .map(|index| self.posterior_of(&posteriors, index, defender, attacker))
                        .sum();
                    // A pair never seen together in the spell has no evidence at all: nothing is claimed.
                    if let Some(gap_m) = mean_gap_m(scene, defender, attacker, frames.clone()) {
                        found.push(Matchup {
                            possession: id,
                            defender: mover.player,
                            attacker: attacked.player,
                            frames: possession.frames.start + frames.start
                                ..possession.frames.start + frames.end,
                            mean_gap_m: gap_m,
                            confidence: (sure / (last - first + 1) as f64).clamp(0.0, 1.0) as f32,
                        });
                    }
                }
                first = last + 1;
            }
        }
        found
    }

    /// Probability that `defender` is on `attacker` at a step: the sum over all assignments that say so.
    fn posterior_of(&self, posteriors: &[f64], step: usize, defender: Defender, attacker: Attacker) -> f64 {
        let states = self.attacker_of.len();
        let row = &posteriors[step * states..(step + 1) * states];
        let states = &self.states_of[defender][attacker];
        states.iter().map(|&state| row[state]).sum()
    }

    /// Mean squared distance from canonical position over some frames. A pair of which one is missing, or not on the
    /// floor at all, says nothing: it costs the same whoever guards whom. `ball` is the last ball seen.
    fn mean_cost(
        &self,
        scene: &Scene,
        frames: std::ops::Range<usize>,
        ball: &mut Point<AttackFrame>,
    ) -> CostTable {
        let farthest = self.params.farthest_m * self.params.farthest_m;
        let mut sum = CostTable::default();
        let mut seen = Five::<Defender, Five<Attacker, u32>>::default();
        for k in frames {
            let now = scene.ball_at(k);
            if now.is_finite() {
                *ball = now;
            }
            let nowhere = Point::new(f32::NAN, f32::NAN);
            let defenders: Five<Defender, _> =
                Five::from_fn(|d| scene.defenders.get(d).map_or(nowhere, |defender| defender.at(k)));
            for (a, attacker) in scene.attackers.placed() {
                let expected = canonical_position(attacker.at(k), *ball);
                if !expected.is_finite() {
                    continue;
                }
                for (d, at) in defenders.iter() {
                    let off = *at - expected;
                    let squared = off.dot(off);
                    if squared.is_finite() {
                        sum[d][a] += f64::from(squared.min(farthest));
                        seen[d][a] += 1;
                    }
                }
            }
        }
        let unknown = f64::from(farthest) / 2.0;
        Five::from_fn(|d| {
            Five::from_fn(|a| {
                if seen[d][a] == 0 {
                    unknown
                } else {
                    sum[d][a] / f64::from(seen[d][a])
                }
            })
        })
    }
}

/// What an assignment costs.
fn total(cost: &CostTable, assignment: &Assignment) -> f64 {
    let pairs = assignment.iter();
    pairs.map(|(defender, attacker)| cost[defender][*attacker]).sum()
}

/// Mean distance between the two, m; `None` if they are never seen at once.
fn mean_gap_m(
    scene: &Scene,
    defender: Defender,
    attacker: Attacker,
    frames: std::ops::Range<usize>,
) -> Option<f32> {
    let (mut sum, mut seen) = (0.0_f64, 0_u32);
    for k in frames {
        let gap = scene.gap_m(attacker, defender, k);
        if gap.is_finite() {
            sum += f64::from(gap);
            seen += 1;
        }
    }
    (seen > 0).then(|| (sum / f64::from(seen)) as f32)
}

/// All orders of five, ascending.
fn permutations() -> Vec<Assignment> {
    let mut all = Vec::with_capacity(120);
    let mut order = Attacker::ALL;
    loop {
        all.push(Assignment::from(order));
        // The next order: the last ascent's left end changes with the last value above it, the rest turns round.
        let Some(ascent) = (0..SIDE_SIZE - 1).rev().find(|&i| order[i] < order[i + 1]) else {
            return all;
        };
        let above = (ascent + 1..SIDE_SIZE)
            .rev()
            .find(|&i| order[i] > order[ascent])
            .unwrap_or(ascent + 1);
        order.swap(ascent, above);
        order[ascent + 1..].reverse();
    }
}

#[cfg(test)]
mod tests;
