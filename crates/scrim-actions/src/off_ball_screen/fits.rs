//! How well each part of a would-be off-ball screen fits, and how sure that makes it.

use serde::{Deserialize, Serialize};

use super::kind::{fade, rise};
use super::reading::Reading;
use super::OffBallScreenParams;

/// How well each part fits, 0 (not at all) to 1 (fully). Limits without a parameter: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffBallFits {
    /// The user came from elsewhere.
    pub came: f32,
    /// He went elsewhere.
    pub went: f32,
    /// He ran.
    pub fast: f32,
    /// The screener stood.
    pub still: f32,
    /// The two came close.
    pub close: f32,
    /// The user went past the screener.
    pub past: f32,
    /// The user's defender had the screener in his way.
    pub in_the_way: f32,
    /// The user left his defender behind.
    pub freed: f32,
    /// There was no crowd.
    pub clear: f32,
    /// The half-court play had begun.
    pub settled: f32,
    /// The way is that of a kind of screen.
    pub kind: f32,
}

impl OffBallFits {
    /// The parts' names: those of [`OffBallWeights`], in the order of [`OffBallFits::parts`].
    pub const NAMES: [&'static str; 11] = [
        "came", "went", "fast", "still", "close", "past", "in_the_way", "freed", "clear", "settled", "kind",
    ];

    /// The fits of a reading, whose best kind fits so well.
    pub(super) fn of(reading: &Reading, kind: f32, params: &OffBallScreenParams) -> Self {
        let most_m = params.use_gap_m + params.gap_slack_m;
        Self {
            came: rise(reading.came_m, 0.8, 2.5),
            went: rise(reading.went_m, 0.8, 2.5),
            fast: rise(reading.user_speed_mps, params.min_user_speed_mps, 3.5),
            still: fade(reading.drift_m, 0.3, 1.0),
            close: fade(reading.passing.gap_m, 0.8, most_m),
            past: rise(reading.sweep_deg, 30.0, 110.0),
            in_the_way: reading.defender_gap_m.map_or(0.5, |gap| fade(gap, 0.8, 2.2)),
            freed: reading.freed_m.map_or(0.5, |m| rise(m, -0.5, 1.5)),
            clear: fade(f32::from(reading.crowd), 1.0, 5.0),
            settled: rise(reading.settled_s, 0.0, 2.0),
            kind,
        }
    }

    /// The parts in the order of [`OffBallFits::NAMES`].
    pub fn parts(&self) -> [f32; 11] {
        [
            self.came, self.went, self.fast, self.still, self.close, self.past, self.in_the_way, self.freed,
            self.clear, self.settled, self.kind,
        ]
    }

    /// The probability that it is a screen: a logistic model (D. R. Cox, "The regression analysis of binary sequences",
    /// Journal of the Royal Statistical Society B 20(2), 1958).
    pub(super) fn confidence(&self, weights: &OffBallWeights) -> f32 {
        let sum: f32 = self.parts().iter().zip(weights.parts()).map(|(fit, weight)| fit * weight).sum();
        1.0 / (1.0 + (-(weights.bias + sum)).exp())
    }
}

/// A weight a part, in log-odds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OffBallWeights {
    /// Log-odds when no part fits.
    pub bias: f32,
    /// The user came from elsewhere.
    pub came: f32,
    /// He went elsewhere.
    pub went: f32,
    /// He ran.
    pub fast: f32,
    /// The screener stood.
    pub still: f32,
    /// The two came close.
    pub close: f32,
    /// The user went past the screener.
    pub past: f32,
    /// The user's defender had the screener in his way.
    pub in_the_way: f32,
    /// The user left his defender behind.
    pub freed: f32,
    /// There was no crowd.
    pub clear: f32,
    /// The half-court play had begun.
    pub settled: f32,
    /// The way is that of a kind of screen.
    pub kind: f32,
}

impl OffBallWeights {
    /// The weights in the order of [`OffBallFits::NAMES`].
    fn parts(&self) -> [f32; 11] {
        [
            self.came, self.went, self.fast, self.still, self.close, self.past, self.in_the_way, self.freed,
            self.clear, self.settled, self.kind,
        ]
    }
}

impl Default for OffBallWeights {
    fn default() -> Self {
        Self {
            bias: -13.0,
            came: 2.0,
            went: 2.0,
            fast: 1.0,
            still: 2.5,
            close: 2.0,
            past: 1.0,
            in_the_way: 2.0,
            freed: 0.5,
            clear: 1.5,
            settled: 1.0,
            kind: 3.0,
        }
    }
}
