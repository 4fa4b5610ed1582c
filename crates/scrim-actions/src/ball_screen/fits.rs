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
                bias: -22.660,
                came: 1.770,
                to_ball: 1.153,
                still: 1.756,
                on_defender: 1.197,
                guarded: 1.651,
                close: 2.270,
                past: 2.294,
                moved_on: 1.466,
                out: 2.243,
                settled: 2.122,
                clear: 1.674,
                prompt: 1.407,
                fresh: 3.123,
                waited: 3.139,
                came_up: 0.000,
                iced: 0.000,
                doubled: 3.203,
            },
            left: Weights {
                bias: -20.151,
                came: 1.500,
                to_ball: 1.754,
                still: 1.712,
                on_defender: 2.135,
                guarded: 1.645,
                close: 1.361,
                past: 0.486,
                moved_on: 1.521,
                out: 1.522,
                settled: 2.119,
                clear: 1.528,
                prompt: 1.500,
                fresh: 3.015,
                waited: 1.132,
                came_up: 0.000,
                iced: 0.000,
                doubled: 0.000,
            },
            ran: Weights {
                bias: -25.758,
                came: 1.500,
                to_ball: 1.500,
                still: 0.228,
                on_defender: 2.540,
                guarded: 1.612,
                close: 0.869,
                past: -1.149,
                moved_on: 1.172,
                out: 1.514,
                settled: 1.596,
                clear: 1.670,
                prompt: 1.500,
                fresh: 3.000,
                waited: 3.923,
                came_up: 3.996,
                iced: 0.000,
                doubled: 0.000,
            },
            iced: Weights {
                bias: -11.793,
                came: 0.000,
                to_ball: 1.758,
                still: 0.000,
                on_defender: 0.000,
                guarded: 1.540,
                close: 0.000,
                past: 0.000,
                moved_on: 0.000,
                out: 1.642,
                settled: 1.585,
                clear: 1.644,
                prompt: 0.000,
                fresh: 3.000,
                waited: 0.174,
                came_up: 0.000,
                iced: 3.592,
                doubled: 0.000,
            },
            parted: Weights {
                bias: -23.254,
                came: 1.577,
                to_ball: 2.033,
                still: 1.872,
                on_defender: 2.762,
                guarded: 1.823,
                close: 1.740,
                past: -1.405,
                moved_on: 1.626,
                out: 2.058,
                settled: 2.164,
                clear: 1.707,
                prompt: 1.682,
                fresh: 3.047,
                waited: 1.523,
                came_up: 0.000,
                iced: 0.000,
                doubled: 0.000,
            },
            rejected_more: 1.220,
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
