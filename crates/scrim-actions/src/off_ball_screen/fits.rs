//! How well each part of a would-be off-ball screen fits, and how sure that makes it.

use scrim_tables::tags::ScreenKind;
use serde::{Deserialize, Serialize};

use super::OffBallScreenParams;
use super::kind::{KindChoice, fade, rise};
use super::reading::Reading;
use crate::weighed_parts::weighed_parts;

weighed_parts! {
    /// How well each part fits, 0 (not at all) to 1 (fully). Limits without a parameter: common practice, no source.
    OffBallFits;
    /// A weight a part, in log-odds; a league with its own labels fits its own.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(default, deny_unknown_fields)]
    OffBallWeights;
    /// The user came from elsewhere.
    came,
    /// He went elsewhere.
    went,
    /// His run began near enough for the screen to be meant for him.
    near,
    /// He ran.
    fast,
    /// The screener stood.
    still,
    /// The two came close.
    close,
    /// The user went past the screener.
    past,
    /// The user's defender had the screener in his way.
    in_the_way,
    /// The user was guarded.
    guarded,
    /// There was no crowd.
    clear,
    /// The half-court play had begun.
    settled,
    /// The user began in the front court.
    in_front,
    /// The way is that of a kind of screen.
    kind,
    /// The screener had not stood there for long.
    prompt,
    /// The screener had come there.
    arrived,
    /// No shot was on its way or just missed.
    quiet,
    /// Neither was busy with a ball screen.
    free,
}

impl OffBallFits {
    /// The fits of a reading.
    pub(super) fn of(reading: &Reading, choice: &KindChoice, params: &OffBallScreenParams) -> Self {
        let most_m = params.use_gap_m + params.gap_slack_m;
        // A rub's screener is at the high post anyway: that he has stood there for long speaks against no rub. Whoever
        // crosses the lane has stood at the block.
        let (stands_anyway, waits_anyway) = match choice.kind {
            ScreenKind::Rub | ScreenKind::Zipper => (true, false),
            ScreenKind::Cross => (false, true),
            ScreenKind::Flex
            | ScreenKind::Flare
            | ScreenKind::Back
            | ScreenKind::Down
            | ScreenKind::BallScreen
            | ScreenKind::Handoff => (false, false),
        };
        let unless = |anyway: bool, fit: f32| if anyway { 1.0 } else { fit };
        // What is not known tells nothing: halfway.
        let known = |value: Option<f32>, fit: &dyn Fn(f32) -> f32| value.map_or(0.5, fit);
        let busy = reading.user_rolls || reading.user_comes_up || reading.screener_busy;
        Self {
            came: unless(waits_anyway, rise(reading.came_m, 0.3, 1.5)),
            went: rise(reading.went_m, 0.8, 2.5),
            near: fade(reading.from.distance_m(reading.spot), 5.0, 8.0),
            fast: rise(reading.user_speed_mps, params.min_user_speed_mps, 3.0),
            still: fade(reading.drift_m, 0.2, 0.9),
            close: fade(reading.passing.gap_m, 0.8, most_m),
            past: rise(reading.sweep_deg, 30.0, 110.0),
            in_the_way: known(reading.defender_gap_m, &|gap| fade(gap, 1.0, 2.6)),
            guarded: known(reading.guarded_m, &|gap| fade(gap, 1.5, 3.5)),
            clear: fade(f32::from(reading.crowd), 1.0, 4.0),
            settled: rise(reading.settled_s, 0.0, 3.0),
            in_front: fade(reading.runs_in_from_m.max(reading.beside.x_m), 10.5, 13.0),
            kind: choice.fit,
            prompt: unless(stands_anyway, reading.stood_s.map_or(1.0, |s| fade(s, 3.0, 7.0))),
            arrived: unless(stands_anyway, rise(reading.arrival_m, 0.5, 2.5)),
            quiet: reading.since_shot_s.map_or(1.0, |s| fade(s, 0.8, 2.0)),
            free: if busy { 0.0 } else { 1.0 },
        }
    }

    /// The probability that it is a screen.
    pub(super) fn confidence(&self, weights: &OffBallWeights) -> f32 {
        self.probability(weights, 0.0)
    }
}

impl Default for OffBallWeights {
    fn default() -> Self {
        Self {
            bias: -28.51,
            came: 1.69,
            went: 2.76,
            near: 2.15,
            fast: 1.74,
            still: 3.31,
            close: 2.85,
            past: 1.56,
            in_the_way: 2.07,
            guarded: 1.07,
            clear: 1.65,
            settled: 1.75,
            in_front: 1.87,
            kind: 1.65,
            prompt: 1.53,
            arrived: 1.78,
            quiet: 1.26,
            free: 1.55,
        }
    }
}
