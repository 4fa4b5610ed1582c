//! A fitted decision on the coverage: one additive score a word, from the rules' own likelihoods and the evidence.
//!
//! The score of a word is `bias + rules · ln(the rules' likelihood of it) + Σ weight · evidence`; likelihoods are the
//! scores' softmax (multinomial logistic model: D. McFadden, "Conditional logit analysis of qualitative choice behavior",
//! in *Frontiers in Econometrics*, 1974). With bias 0, `rules` 1 and all weights 0 it *is* the rules, so a fit that has
//! seen little stays near them.

use scrim_tables::tags::Coverage;
use serde::{Deserialize, Serialize};

use super::CoverageParams;
use super::evidence::{BigEvidence, SwapEvidence};

/// The words that a decision chooses from, in the order of all arrays here.
pub const COVERAGE_WORDS: [Coverage; 6] = [
    Coverage::Ice,
    Coverage::Switch,
    Coverage::Drop,
    Coverage::Blitz,
    Coverage::Hedge,
    Coverage::Level,
];

/// How many pieces of evidence a [`CoverageModel`] weighs.
pub const COVERAGE_EVIDENCE: usize = 10;

/// What a decision on one screen's coverage looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoverageInputs {
    /// The natural logarithm of the rules' likelihood of each of [`COVERAGE_WORDS`], not below ln 0.002: a rule that is
    /// sure of a wrong answer must be open to correction.
    pub ln_rules: [f32; 6],
    /// The evidence in the order of [`CoverageInputs::NAMES`]. Where the handler's defender stood and what became of the
    /// screen are left to the rules: how often a league ices, slips or hands off would be learned with them. Each is counted from the rules' border in steps that are wide
    /// against the noise of tracking, and cut off at 2 steps either way, so that what lies far out weighs no more.
    pub evidence: [f32; COVERAGE_EVIDENCE],
}

/// The least likelihood that the rules give a word.
const LEAST_LIKELIHOOD: f32 = 0.002;
/// Evidence is cut off at so many steps.
const MOST_STEPS: f32 = 2.0;

impl CoverageInputs {
    /// What each piece of evidence is called in a pipeline.
    pub const NAMES: [&'static str; COVERAGE_EVIDENCE] = [
        "depth",
        "beyond",
        "both_close",
        "close",
        "stays",
        "swap_margin",
        "swap_late",
        "swap_told",
        "handed",
        "brief",
    ];

    /// Gathers them; `rules` are the likelihoods of [`COVERAGE_WORDS`].
    pub(super) fn of(big: &BigEvidence, swap: &SwapEvidence, rules: [f32; 6], p: &CoverageParams) -> Self {
        let steps = |value: f32, border: f32, step: f32| {
            let steps = (value - border) / step;
            if steps.is_finite() {
                steps.clamp(-MOST_STEPS, MOST_STEPS)
            } else {
                0.0
            }
        };
        // How long the screener's defender stayed: until he started back, or as long as he was watched. One who never
        // came close has not stayed.
        let stayed_s = if big.close_s > 0.0 {
            big.back_s.unwrap_or(big.watched_s)
        } else {
            0.0
        };
        Self {
            ln_rules: rules.map(|likelihood| likelihood.max(LEAST_LIKELIHOOD).ln()),
            evidence: [
                steps(big.depth_m, p.drop_depth_m, 1.0),
                steps(
                    big.beyond_on_side_m.unwrap_or(f32::NEG_INFINITY).max(-10.0),
                    p.hedge_beyond_m,
                    0.5,
                ),
                steps(big.both_close_s.unwrap_or(0.0), p.blitz_both_close_s, 0.4),
                steps(big.close_s, p.blitz_both_close_s, 0.4),
                steps(stayed_s, p.hedge_back_s, 0.5),
                steps(swap.margin_m, p.switch_margin_m, 0.5),
                steps(swap.late_m, p.switch_margin_m, 0.5),
                steps(swap.told_s, p.switch_told_s, 0.5),
                steps(swap.handed_m, 0.0, 1.0),
                // The less was seen of him, the less any word is sure.
                steps(p.hedge_back_s, big.watched_s, 0.5).max(0.0),
            ],
        }
    }
}

/// The weights of one word's score. All must be given: they were fitted together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoverageWeights {
    /// Added for every screen.
    pub bias: f32,
    /// Weight of the rules' own answer; 1 takes it as it is.
    pub rules: f32,
    /// How deep the screener's defender is at the use, in m from [`CoverageParams::drop_depth_m`].
    pub depth: f32,
    /// How far beyond the screen he came on the handler's side, in half metres from [`CoverageParams::hedge_beyond_m`].
    pub beyond: f32,
    /// How long both were close, in 0.4 s from [`CoverageParams::blitz_both_close_s`].
    pub both_close: f32,
    /// How long the screener's defender was close, likewise.
    pub close: f32,
    /// How long he stayed, in half seconds from [`CoverageParams::hedge_back_s`].
    pub stays: f32,
    /// How clearly the two exchanged men by their places, in half metres from [`CoverageParams::switch_margin_m`].
    pub swap_margin: f32,
    /// The same at the end of what was looked at, likewise.
    pub swap_late: f32,
    /// How long the play's matchups have them exchanged, in half seconds from [`CoverageParams::switch_told_s`].
    pub swap_told: f32,
    /// By how much the handler was left to the screener's defender, m.
    pub handed: f32,
    /// How much less of the screener's defender was seen than a hedge takes, in half seconds.
    pub brief: f32,
}

impl CoverageWeights {
    /// The rules as they are.
    pub const RULES: Self = Self::of(0.0, 1.0, [0.0; COVERAGE_EVIDENCE]);

    /// From a bias, the weight of the rules, and the weights of the evidence in the order of [`CoverageInputs::NAMES`].
    pub const fn of(bias: f32, rules: f32, evidence: [f32; COVERAGE_EVIDENCE]) -> Self {
        let [
            depth,
            beyond,
            both_close,
            close,
            stays,
            swap_margin,
            swap_late,
            swap_told,
            handed,
            brief,
        ] = evidence;
        Self {
            bias,
            rules,
            depth,
            beyond,
            both_close,
            close,
            stays,
            swap_margin,
            swap_late,
            swap_told,
            handed,
            brief,
        }
    }

    /// The weights of the evidence in the order of [`CoverageInputs::NAMES`].
    pub const fn evidence(&self) -> [f32; COVERAGE_EVIDENCE] {
        [
            self.depth,
            self.beyond,
            self.both_close,
            self.close,
            self.stays,
            self.swap_margin,
            self.swap_late,
            self.swap_told,
            self.handed,
            self.brief,
        ]
    }

    fn score(&self, ln_rules: f32, evidence: &[f32; COVERAGE_EVIDENCE]) -> f32 {
        let weights = self.evidence();
        let sum: f32 = weights.iter().zip(evidence).map(|(w, e)| w * e).sum();
        self.bias + self.rules * ln_rules + sum
    }
}

/// One set of weights a word. A word that a pipeline leaves out keeps its default.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CoverageModel {
    /// `ice`
    pub ice: CoverageWeights,
    /// `switch`
    pub switch: CoverageWeights,
    /// `drop`
    pub drop: CoverageWeights,
    /// `blitz`
    pub blitz: CoverageWeights,
    /// `hedge`
    pub hedge: CoverageWeights,
    /// `level`
    pub level: CoverageWeights,
}

impl CoverageModel {
    /// The rules as they are, in the shape of a model.
    pub const RULES: Self = Self::of([CoverageWeights::RULES; 6]);

    /// From the weights of [`COVERAGE_WORDS`].
    pub const fn of(words: [CoverageWeights; 6]) -> Self {
        let [ice, switch, drop, blitz, hedge, level] = words;
        Self {
            ice,
            switch,
            drop,
            blitz,
            hedge,
            level,
        }
    }

    /// The weights of [`COVERAGE_WORDS`].
    pub const fn words(&self) -> [CoverageWeights; 6] {
        [
            self.ice,
            self.switch,
            self.drop,
            self.blitz,
            self.hedge,
            self.level,
        ]
    }

    /// How likely each of [`COVERAGE_WORDS`] is; they add up to 1.
    pub fn likelihoods(&self, inputs: &CoverageInputs) -> [f32; 6] {
        let words = self.words();
        let mut scores = [0.0; 6];
        for ((score, word), ln_rules) in scores.iter_mut().zip(&words).zip(inputs.ln_rules) {
            *score = word.score(ln_rules, &inputs.evidence);
        }
        // Counted from the highest, no exponential overflows.
        let highest = scores.iter().copied().fold(f32::NEG_INFINITY, f32::max);
        let mut likelihoods = scores.map(|score| (score - highest).exp());
        let sum: f32 = likelihoods.iter().sum();
        likelihoods.iter_mut().for_each(|l| *l /= sum);
        likelihoods
    }
}

impl Default for CoverageModel {
    /// Fitted by `scrim tune` to practice games that no accuracy figure uses: six games each of seed 501 at noise 0.05 m,
    /// 502 at 0.10 m, 503 at 0.15 m and 504 at 0.30 m, and 32 games of the season of seed 505 at 0.10 m, from the rules, with a
    /// ridge of 100 on 4,400 screens. Weaker ones do better on practice games and a little worse on simulated games of another
    /// make: what is learned of the one league beyond the rules does not all hold in another. DEVELOPERS.md has the commands.
    fn default() -> Self {
        Self::of([
            // ice
            CoverageWeights::of(
                -0.07,
                0.962,
                [
                    0.165, -0.062, 0.029, -0.078, 0.094, 0.057, -0.009, -0.032, -0.038, -0.055,
                ],
            ),
            // switch
            CoverageWeights::of(
                -0.012,
                1.148,
                [
                    -0.109, -0.42, -0.174, 0.161, -0.224, 0.28, 0.364, -0.177, 0.092, -0.044,
                ],
            ),
            // drop
            CoverageWeights::of(
                0.396,
                1.316,
                [
                    0.172, -0.265, -0.259, 0.018, 0.055, -0.168, -0.141, -0.122, 0.053, 0.053,
                ],
            ),
            // blitz
            CoverageWeights::of(
                -0.086,
                0.684,
                [
                    -0.086, 0.648, 0.215, -0.036, -0.184, 0.065, 0.012, 0.287, -0.06, 0.142,
                ],
            ),
            // hedge
            CoverageWeights::of(
                -0.075,
                1.225,
                [
                    0.032, 0.15, -0.005, 0.121, -0.045, -0.034, -0.055, 0.017, 0.086, -0.254,
                ],
            ),
            // level
            CoverageWeights::of(
                -0.154,
                1.019,
                [
                    -0.174, -0.05, 0.194, -0.186, 0.305, -0.201, -0.171, 0.026, -0.133, 0.159,
                ],
            ),
        ])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inputs() -> CoverageInputs {
        CoverageInputs {
            ln_rules: [0.05f32, 0.1, 0.4, 0.2, 0.15, 0.1].map(f32::ln),
            evidence: [0.5; COVERAGE_EVIDENCE],
        }
    }

    #[test]
    fn weights_of_nothing_but_the_rules_give_the_rules_likelihoods() {
        let likelihoods = CoverageModel::RULES.likelihoods(&inputs());
        for (told, rule) in likelihoods.iter().zip([0.05, 0.1, 0.4, 0.2, 0.15, 0.1]) {
            assert!((told - rule).abs() < 1e-6, "{likelihoods:?}");
        }
    }

    #[test]
    fn a_bias_of_ln_2_doubles_the_odds_against_every_other_word() {
        let model = CoverageModel {
            drop: CoverageWeights {
                bias: std::f32::consts::LN_2,
                ..CoverageWeights::RULES
            },
            ..CoverageModel::RULES
        };
        // drop 0.4 · 2 = 0.8, the others 0.6: 0.8 / 1.4; blitz 0.2 / 1.4.
        let likelihoods = model.likelihoods(&inputs());
        assert!((likelihoods[2] - 0.8 / 1.4).abs() < 1e-6, "{likelihoods:?}");
        assert!((likelihoods[3] - 0.2 / 1.4).abs() < 1e-6, "{likelihoods:?}");
    }

    #[test]
    fn every_weight_goes_with_the_evidence_of_its_name() {
        for (place, name) in CoverageInputs::NAMES.iter().enumerate() {
            let mut weights = [0.0; COVERAGE_EVIDENCE];
            weights[place] = 3.0;
            let told = serde_json::to_value(CoverageWeights::of(0.0, 1.0, weights)).unwrap();
            assert_eq!(told[name], 3.0, "{name}");
            assert_eq!(CoverageWeights::of(0.0, 1.0, weights).evidence(), weights);
        }
    }

    #[test]
    fn the_largest_weights_that_are_accepted_still_give_likelihoods() {
        let huge = CoverageWeights::of(-1e6, 1e6, [1e6; COVERAGE_EVIDENCE]);
        let model = CoverageModel {
            ice: huge,
            ..CoverageModel::RULES
        };
        let sum: f32 = model.likelihoods(&inputs()).iter().sum();
        assert!((sum - 1.0).abs() < 1e-5, "{sum}");
    }
}
