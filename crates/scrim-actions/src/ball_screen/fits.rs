//! How well each part of a would-be screen fits, and how sure that makes it.

use scrim_tables::tags::Outcome;
use serde::{Deserialize, Serialize};

use super::ScreenParams;
use super::reading::Reading;
use crate::weighed_parts::weighed_parts;

weighed_parts! {
    /// How well each part fits, 0 (not at all) to 1 (fully). Limits without a parameter: common practice, no source.
    ScreenFits;
    /// A weight a part, in log-odds.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    Weights;
    /// The screener came from elsewhere.
    came,
    /// He came toward the handler.
    to_ball,
    /// He stood.
    still,
    /// He stood at the handler's defender.
    on_defender,
    /// The handler was guarded.
    guarded,
    /// The two came close.
    close,
    /// The handler went past.
    past,
    /// The screener moved on by himself afterwards.
    moved_on,
    /// The handler was away from the hoop, and the screen from the end line.
    out,
    /// The handler had had the ball for a while.
    settled,
    /// There was no crowd.
    clear,
    /// Nobody had waited long.
    prompt,
    /// The screener had not just passed the ball himself, or came after it.
    fresh,
    /// The handler waited for him.
    waited,
    /// He came up from the hoop.
    came_up,
    /// The handler's defender had taken the screen's side away.
    iced,
    /// Another's screen was used just before or after: how sure that one is by itself.
    doubled,
}

impl ScreenFits {
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
            came: ramp(reading.arrival_m, 0.3, set.min_arrival_m.max(0.3 + LEAST_RAMP)),
            to_ball: ramp(reading.closing_m, -0.3, 1.5),
            still: ramp(
                reading.lowest_speed_mps,
                set.slowed_speed_mps.max(0.3 * set.max_speed_mps + LEAST_RAMP),
                0.3 * set.max_speed_mps,
            ),
            // Without a known defender the part tells nothing: halfway.
            on_defender: reading.defender_gap_m.map_or(0.5, |gap| {
                ramp(gap, set.defender_near_m.max(0.9 + LEAST_RAMP), 0.9)
            }),
            guarded: reading
                .guarded_m
                .map_or(0.5, |gap| ramp(gap, set.guarded_m.max(1.2 + LEAST_RAMP), 1.2)),
            close: ramp(reading.gap_m, close_m.max(0.8 + LEAST_RAMP), 0.8),
            past: ramp(reading.sweep_deg, 10.0, 60.0),
            moved_on: ramp(reading.after_m, 0.2, 1.5),
            // At the end line there is no way around a screen.
            out: ramp(reading.handler_from_hoop_m, 2.0, 5.0).min(ramp(reading.spot.x_m, 0.0, 1.5)),
            settled: ramp(reading.touch_age_s, 0.0, 1.0),
            clear: ramp(f32::from(reading.crowd), 6.0, 3.0),
            prompt: ramp(wait_s, 6.0, 2.0),
            fresh: match reading.since_own_touch_s {
                None => 1.0,
                // He gave the ball a moment ago: a pass or a handoff, whatever came near.
                Some(since_s) if since_s < 1.0 => 0.0,
                Some(_) => ramp(reading.closing_m, -0.3, 1.5),
            },
            waited: ramp(reading.handler_speed_mps, 2.0, 0.5),
            came_up: ramp(reading.came_up_m, -2.0, 1.0),
            iced: reading.denial.map_or(0.0, |denial| {
                (ramp(denial.side_m, 0.4, 1.3) + ramp(denial.step_m, 0.2, 1.0)) / 2.0
            }),
            // A reading knows of no other.
            doubled: 0.0,
        }
    }

    /// The probability that it is a screen.
    pub(super) fn confidence(&self, outcome: Outcome, weights: &ScreenWeights) -> f32 {
        let (weights, more) = match outcome {
            // Nobody is iced a little: who is not has 0 here.
            Outcome::Rejected if self.iced > 0.0 => (&weights.iced, 0.0),
            Outcome::Used => (&weights.used, 0.0),
            Outcome::Slipped => (&weights.left, 0.0),
            Outcome::Ghosted => (&weights.ran, 0.0),
            Outcome::Rejected => (&weights.parted, weights.rejected_more),
            Outcome::Flipped | Outcome::Unused => (&weights.parted, 0.0),
        };
        self.probability(weights, more)
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
    /// For those that the screener left for the rim: slipped.
    pub left: Weights,
    /// For those that he ran through: ghosted.
    pub ran: Weights,
    /// For those whose side was taken away before they were there.
    pub iced: Weights,
    /// For those that came to nothing: rejected and unused.
    pub parted: Weights,
    /// Added for `rejected`.
    pub rejected_more: f32,
}

impl Default for ScreenWeights {
    fn default() -> Self {
        Self {
            used: Weights {
                bias: -22.719,
                came: 1.866,
                to_ball: 1.160,
                still: 1.813,
                on_defender: 1.200,
                guarded: 1.380,
                close: 2.449,
                past: 2.228,
                moved_on: 1.625,
                out: 2.420,
                settled: 1.897,
                clear: 1.839,
                prompt: 1.497,
                fresh: 3.137,
                waited: 2.769,
                came_up: 0.000,
                iced: 0.000,
                doubled: 3.375,
            },
            left: Weights {
                bias: -20.249,
                came: 1.512,
                to_ball: 1.589,
                still: 1.505,
                on_defender: 2.293,
                guarded: 1.682,
                close: 1.628,
                past: 0.725,
                moved_on: 1.494,
                out: 1.576,
                settled: 1.953,
                clear: 1.710,
                prompt: 1.500,
                fresh: 2.919,
                waited: 1.097,
                came_up: 0.000,
                iced: 0.000,
                doubled: 0.000,
            },
            ran: Weights {
                bias: -25.576,
                came: 1.501,
                to_ball: 1.283,
                still: 0.000,
                on_defender: 2.437,
                guarded: 1.855,
                close: 0.417,
                past: -1.195,
                moved_on: 1.530,
                out: 1.509,
                settled: 1.668,
                clear: 1.612,
                prompt: 1.500,
                fresh: 3.005,
                waited: 3.987,
                came_up: 4.014,
                iced: 0.000,
                doubled: 0.000,
            },
            iced: Weights {
                bias: -12.449,
                came: 0.000,
                to_ball: 1.569,
                still: 0.000,
                on_defender: 0.000,
                guarded: 1.585,
                close: 0.000,
                past: 0.000,
                moved_on: 0.000,
                out: 1.535,
                settled: 1.592,
                clear: 1.636,
                prompt: 0.000,
                fresh: 3.000,
                waited: 0.129,
                came_up: 0.000,
                iced: 3.689,
                doubled: 0.000,
            },
            parted: Weights {
                bias: -22.992,
                came: 1.516,
                to_ball: 1.516,
                still: 1.952,
                on_defender: 2.715,
                guarded: 1.825,
                close: 1.764,
                past: -1.428,
                moved_on: 1.899,
                out: 1.883,
                settled: 2.287,
                clear: 1.622,
                prompt: 1.587,
                fresh: 3.061,
                waited: 1.683,
                came_up: 0.000,
                iced: 0.000,
                doubled: 0.000,
            },
            rejected_more: 1.322,
        }
    }
}

/// A parameter set beyond a part's other end makes it a step, so short: it never turns round.
const LEAST_RAMP: f32 = 0.01;

/// 0 at `none` and before, 1 at `full` and beyond, straight between. What was not seen tells nothing: halfway.
fn ramp(value: f32, none: f32, full: f32) -> f32 {
    if value.is_finite() {
        ((value - none) / (full - none)).clamp(0.0, 1.0)
    } else {
        0.5
    }
}
