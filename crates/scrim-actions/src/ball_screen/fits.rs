//! How well each part of a would-be screen fits, and how sure that makes it.

use scrim_tables::tags::Outcome;
use serde::{Deserialize, Serialize};

use super::ScreenParams;
use super::reading::Reading;

/// How well each part fits, 0 (not at all) to 1 (fully). Limits without a parameter: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenFits {
    /// The screener came from elsewhere.
    pub came: f32,
    /// He came toward the handler.
    pub to_ball: f32,
    /// He stood.
    pub still: f32,
    /// He stood at the handler's defender.
    pub on_defender: f32,
    /// The handler was guarded.
    pub guarded: f32,
    /// The two came close.
    pub close: f32,
    /// The handler went past.
    pub past: f32,
    /// The screener moved on by himself afterwards.
    pub moved_on: f32,
    /// The handler was away from the hoop.
    pub out: f32,
    /// The handler had had the ball for a while.
    pub settled: f32,
    /// There was no crowd.
    pub clear: f32,
    /// Nobody had waited long.
    pub prompt: f32,
    /// The screener had not just passed the ball himself, or came after it.
    pub fresh: f32,
}

impl ScreenFits {
    /// The parts' names: those of [`Weights`], in the order of [`ScreenFits::parts`].
    pub const NAMES: [&'static str; 13] = [
        "came",
        "to_ball",
        "still",
        "on_defender",
        "guarded",
        "close",
        "past",
        "moved_on",
        "out",
        "settled",
        "clear",
        "prompt",
        "fresh",
    ];

    /// The fits of a reading whose outcome fell at scene frame `at`.
    pub(super) fn of(reading: &Reading, outcome: Outcome, at: usize, params: &ScreenParams) -> Self {
        let set = &params.set;
        let wait_s = (at.saturating_sub(reading.begin) as f64 / reading.hz) as f32;
        let close_m = match outcome {
            Outcome::Used => params.outcome.use_gap_m + 0.2,
            Outcome::Rejected | Outcome::Slipped | Outcome::Ghosted | Outcome::Flipped | Outcome::Unused => {
                set.user_near_m
            }
        };
        Self {
            came: ramp(reading.arrival_m, 0.3, set.min_arrival_m),
            to_ball: ramp(reading.closing_m, -0.3, 1.5),
            still: ramp(
                reading.lowest_speed_mps,
                set.slowed_speed_mps,
                0.3 * set.max_speed_mps,
            ),
            // Without a known defender the part tells nothing: halfway.
            on_defender: reading
                .defender_gap_m
                .map_or(0.5, |gap| ramp(gap, set.defender_near_m, 0.9)),
            guarded: reading.guarded_m.map_or(0.5, |gap| ramp(gap, set.guarded_m, 1.2)),
            close: ramp(reading.gap_m, close_m, 0.8),
            past: ramp(reading.sweep_deg, 10.0, 60.0),
            moved_on: ramp(reading.after_m, 0.2, 1.5),
            out: ramp(reading.handler_from_hoop_m, 2.0, 5.0),
            settled: ramp(reading.touch_age_s, 0.0, 1.0),
            clear: ramp(f32::from(reading.crowd), 6.0, 3.0),
            prompt: ramp(wait_s, 6.0, 2.0),
            fresh: match reading.since_own_touch_s {
                None => 1.0,
                // He gave the ball a moment ago: a pass or a handoff, whatever came near.
                Some(since_s) if since_s < 1.0 => 0.0,
                Some(_) => ramp(reading.closing_m, -0.3, 1.5),
            },
        }
    }

    /// The parts in the order of [`ScreenFits::NAMES`].
    pub fn parts(&self) -> [f32; 13] {
        [
            self.came,
            self.to_ball,
            self.still,
            self.on_defender,
            self.guarded,
            self.close,
            self.past,
            self.moved_on,
            self.out,
            self.settled,
            self.clear,
            self.prompt,
            self.fresh,
        ]
    }

    /// The probability that it is a screen: a logistic model (D. R. Cox, "The regression analysis of binary sequences",
    /// Journal of the Royal Statistical Society B 20(2), 1958).
    pub(super) fn confidence(&self, outcome: Outcome, weights: &ScreenWeights) -> f32 {
        let (weights, more) = match outcome {
            Outcome::Used => (&weights.used, 0.0),
            Outcome::Slipped => (&weights.left, 0.0),
            Outcome::Ghosted => (&weights.left, weights.ghosted_more),
            Outcome::Rejected => (&weights.parted, weights.rejected_more),
            Outcome::Flipped | Outcome::Unused => (&weights.parted, 0.0),
        };
        let sum: f32 = self
            .parts()
            .iter()
            .zip(weights.parts())
            .map(|(fit, weight)| fit * weight)
            .sum();
        1.0 / (1.0 + (-(weights.bias + more + sum)).exp())
    }
}

/// Weights of the logistic model that tells how sure a screen is; a league with its own labels fits its own.
///
/// The defaults are fitted on practice games that no accuracy figure uses, by
/// `cargo run --release -p scrim-benches --example fit_screens`, and are that program's output.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ScreenWeights {
    /// For screens that the handler came off.
    pub used: Weights,
    /// For those that the screener left: slipped and ghosted.
    pub left: Weights,
    /// Added for `ghosted`.
    pub ghosted_more: f32,
    /// For those that came to nothing: rejected and unused.
    pub parted: Weights,
    /// Added for `rejected`.
    pub rejected_more: f32,
}

/// A weight a part, in log-odds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weights {
    /// Log-odds when no part fits.
    pub bias: f32,
    /// The screener came from elsewhere.
    pub came: f32,
    /// He came toward the handler.
    pub to_ball: f32,
    /// He stood.
    pub still: f32,
    /// He stood at the handler's defender.
    pub on_defender: f32,
    /// The handler was guarded.
    pub guarded: f32,
    /// The two came close.
    pub close: f32,
    /// The handler went past.
    pub past: f32,
    /// The screener moved on by himself afterwards.
    pub moved_on: f32,
    /// The handler was away from the hoop.
    pub out: f32,
    /// The handler had had the ball for a while.
    pub settled: f32,
    /// There was no crowd.
    pub clear: f32,
    /// Nobody had waited long.
    pub prompt: f32,
    /// The screener had not just passed the ball himself, or came after it.
    pub fresh: f32,
}

impl Weights {
    /// The weights in the order of [`ScreenFits::NAMES`].
    fn parts(&self) -> [f32; 13] {
        [
            self.came,
            self.to_ball,
            self.still,
            self.on_defender,
            self.guarded,
            self.close,
            self.past,
            self.moved_on,
            self.out,
            self.settled,
            self.clear,
            self.prompt,
            self.fresh,
        ]
    }
}

impl Default for ScreenWeights {
    fn default() -> Self {
        Self {
            used: Weights {
                bias: -21.60,
                came: 1.64,
                to_ball: 2.05,
                still: 1.77,
                on_defender: 1.37,
                guarded: 1.43,
                close: 2.55,
                past: 2.32,
                moved_on: 1.42,
                out: 2.46,
                settled: 1.94,
                clear: 1.77,
                prompt: 1.45,
                fresh: 3.20,
            },
            left: Weights {
                bias: -18.41,
                came: 1.40,
                to_ball: 1.66,
                still: 1.59,
                on_defender: 1.84,
                guarded: 1.49,
                close: 1.28,
                past: 0.00,
                moved_on: 1.47,
                out: 1.59,
                settled: 1.81,
                clear: 1.57,
                prompt: 1.50,
                fresh: 2.90,
            },
            ghosted_more: -0.47,
            parted: Weights {
                bias: -20.71,
                came: 1.59,
                to_ball: 1.51,
                still: 2.08,
                on_defender: 2.48,
                guarded: 1.74,
                close: 1.90,
                past: -1.82,
                moved_on: 1.55,
                out: 1.94,
                settled: 1.75,
                clear: 1.75,
                prompt: 1.78,
                fresh: 2.83,
            },
            rejected_more: 0.15,
        }
    }
}

/// 0 at `none` and before, 1 at `full` and beyond, straight between.
fn ramp(value: f32, none: f32, full: f32) -> f32 {
    ((value - none) / (full - none)).clamp(0.0, 1.0)
}
