//! A ball screen's coverage as the probabilities of its words.

use scrim_tables::tags::{COVERAGE_WORDS, Coverage, OnBallPath};
use serde::Deserialize;

/// What the season needs of a row of `coverages`.
#[derive(Debug, Deserialize)]
pub(crate) struct CoverageColumns {
    pub screen_id: u32,
    pub coverage: Coverage,
    pub on_ball_path: OnBallPath,
    p_ice: Option<f32>,
    p_switch: Option<f32>,
    p_drop: Option<f32>,
    p_blitz: Option<f32>,
    p_hedge: Option<f32>,
    p_level: Option<f32>,
}

impl CoverageColumns {
    pub const NAMES: [&str; 9] = [
        "screen_id",
        "coverage",
        "on_ball_path",
        "p_ice",
        "p_switch",
        "p_drop",
        "p_blitz",
        "p_hedge",
        "p_level",
    ];

    /// How likely each word is. A table of before the probabilities were written does not say.
    pub fn shares(&self) -> Option<CoverageShares> {
        CoverageShares::of([
            self.p_ice,
            self.p_switch,
            self.p_drop,
            self.p_blitz,
            self.p_hedge,
            self.p_level,
        ])
    }
}

/// How many parts a probability is counted in: whole numbers add up to the same in any order.
const PARTS: f64 = 1e6;

/// A part of one for each word, in millionths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoverageShares([u32; 6]);

impl CoverageShares {
    /// All of one word; `None` of `unclear`.
    fn certain(word: Coverage) -> Option<Self> {
        let place = COVERAGE_WORDS.iter().position(|other| *other == word)?;
        let mut parts = [0; 6];
        parts[place] = PARTS as u32;
        Some(Self(parts))
    }

    /// From the probabilities of ice, switch, drop, blitz, hedge and level; `None` when one of them is not known, or no probability.
    pub(crate) fn of(probabilities: [Option<f32>; 6]) -> Option<Self> {
        let part = |p: Option<f32>| {
            let p = p.filter(|p| (0.0..=1.0).contains(p))?;
            Some((f64::from(p) * PARTS).round() as u32)
        };
        let mut parts = [0; 6];
        for (place, p) in probabilities.into_iter().enumerate() {
            parts[place] = part(p)?;
        }
        Some(Self(parts))
    }
}

/// Ball screens, counted as the probabilities of their words.
#[derive(Debug, Default, Clone)]
pub(crate) struct ExpectedCoverages {
    /// Those whose probabilities are known.
    pub known: u32,
    parts: [u64; 6],
}

impl ExpectedCoverages {
    /// One more. Where no probabilities were written, a tag that is clear counts as certain.
    pub fn add(&mut self, shares: Option<CoverageShares>, tag: Coverage) {
        let Some(CoverageShares(parts)) = shares.or_else(|| CoverageShares::certain(tag)) else {
            return;
        };
        self.known += 1;
        for (sum, part) in self.parts.iter_mut().zip(parts) {
            *sum += u64::from(part);
        }
    }

    /// How many of each word are expected among them.
    pub fn hits(&self) -> impl Iterator<Item = (Coverage, f64)> {
        let parts = self.parts.map(|parts| parts as f64 / PARTS);
        COVERAGE_WORDS.into_iter().zip(parts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_expected_count_is_the_sum_of_the_probabilities_in_any_order() {
        let mut counts = [ExpectedCoverages::default(), ExpectedCoverages::default()];
        let some = [[0.1, 0.2, 0.7, 0.0, 0.0, 0.0], [0.0, 0.0, 0.4, 0.3, 0.2, 0.1]];
        for (place, order) in [[0, 1], [1, 0]].into_iter().enumerate() {
            for one in order {
                counts[place].add(CoverageShares::of(some[one].map(Some)), Coverage::Unclear);
            }
            counts[place].add(None, Coverage::Unclear);
        }
        let hits: Vec<_> = counts[0].hits().collect();
        assert_eq!(hits, counts[1].hits().collect::<Vec<_>>());
        assert_eq!(counts[0].known, 2);
        assert!((hits[2].1 - 1.1).abs() < 1e-6, "{hits:?}");
        assert_eq!(hits[2].0, Coverage::Drop);
    }

    #[test]
    fn a_clear_tag_without_probabilities_counts_as_certain() {
        let mut counts = ExpectedCoverages::default();
        counts.add(None, Coverage::Hedge);
        counts.add(None, Coverage::Unclear);
        assert_eq!(counts.known, 1);
        let hits: Vec<_> = counts.hits().filter(|(_, hits)| *hits > 0.0).collect();
        assert_eq!(hits, [(Coverage::Hedge, 1.0)]);
    }

    #[test]
    fn numbers_that_are_no_probabilities_are_not_counted() {
        assert!(CoverageShares::of([0.0, 0.0, 0.0, 0.0, 0.0, 1.0].map(Some)).is_some());
        for wrong in [Some(f32::NAN), Some(1.5), Some(-0.5), None] {
            let five = [Some(0.0); 5];
            assert_eq!(
                CoverageShares::of([wrong, five[0], five[1], five[2], five[3], five[4]]),
                None
            );
        }
    }
}
