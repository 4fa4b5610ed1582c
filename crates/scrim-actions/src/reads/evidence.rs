//! Everything that is measured of a ball screen, once: plain geometry through time, no word decided.
//!
//! - `screener_defender`: the screener's defender, and the two defenders on the ball;
//! - `on_ball`: the handler's defender, before the screen and around it;
//! - `swap`: whether and when the two exchanged their attackers;
//! - `help`: the other three defenders;
//! - `screener`, `handler`: the ways after the use;
//! - `ball`: the pass and the shot that came of it;
//! - `coverage`: what the coverage model looks at;
//! - `guarding`: how far a defender is from guarding somebody.

mod ball;
mod coverage;
mod guarding;
mod handler;
mod help;
mod on_ball;
mod screener;
mod screener_defender;
mod swap;

pub use ball::{PassEvidence, ShotEvidence};
pub use coverage::CoverageEvidence;
pub use handler::HandlerEvidence;
pub use help::{HelpEvidence, SagStep, StuntStep, TagStep};
pub use on_ball::OnBallEvidence;
pub use screener::ScreenerEvidence;
pub use screener_defender::ScreenerDefenderEvidence;
pub use swap::SwapEvidence;

use scrim_play::{Defender, Play};

use super::cast::Cast;
use crate::BallScreen;
use screener_defender::SHOW_AFTER_S;

/// What the words about one ball screen rest on. Times are seconds after the use, places of defenders are the scene's.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadEvidence {
    /// How much of the play was seen after the use (up to the next screen or the possession's end), s.
    pub seen_after_s: f32,
    /// Share of the time after the use (as long as the screener's defender may show) in which handler, screener and both
    /// defenders are all seen, 0 to 1.
    pub seen_share: f32,
    /// The screener's defender; `None` when nobody is known to guard the screener, or they are not seen at the use.
    pub screener_defender: Option<ScreenerDefenderEvidence>,
    /// The handler's defender; `None` when nobody is known to guard the handler, or they are not seen.
    pub on_ball: Option<OnBallEvidence>,
    /// Whether the two exchanged their attackers; `None` when one of them is not known or not seen.
    pub swap: Option<SwapEvidence>,
    /// What the coverage model looks at; `None` when one of the two is not known or not seen.
    pub coverage: Option<CoverageEvidence>,
    /// The other defenders.
    pub help: HelpEvidence,
    /// The screener after the use.
    pub screener: ScreenerEvidence,
    /// The handler after the use.
    pub handler: HandlerEvidence,
    /// The pass that the handler gave.
    pub pass: Option<PassEvidence>,
    /// The shot that came of it.
    pub shot: Option<ShotEvidence>,
}

/// Measures a screen.
pub(super) fn measure(cast: &Cast, play: &Play, screen: &BallScreen) -> ReadEvidence {
    let pass = ball::measure_pass(cast, play, screen);
    let shot = ball::measure_shot(cast, play, screen);
    let handler = handler::measure(cast, pass.as_ref(), shot.as_ref());
    // A pass or a split ends the two defenders' business with the handler.
    let passed = pass.as_ref().map_or(cast.last, |pass| pass.frame);
    let split = handler
        .split_s
        .map_or(cast.last, |split_s| cast.after_use(split_s));
    let watched = passed.min(split).min(cast.last).max(cast.used);
    let screener_defender = screener_defender::measure(cast, watched);
    let on_ball = on_ball::measure(cast);
    let swap = swap::measure(cast, shot.as_ref(), watched);
    let coverage = screener_defender
        .as_ref()
        .zip(swap.as_ref())
        .and_then(|(of_screener, swap)| {
            let passed = pass.as_ref().map(|pass| pass.frame);
            coverage::measure(cast, screen, of_screener, swap, on_ball.as_ref(), passed)
        });
    ReadEvidence {
        seen_after_s: cast.since_use_s(cast.last),
        seen_share: seen_share(cast),
        screener_defender,
        on_ball,
        swap,
        coverage,
        help: help::measure(cast),
        screener: screener::measure(cast),
        handler,
        pass,
        shot,
    }
}

/// See [`ReadEvidence::seen_share`].
fn seen_share(cast: &Cast) -> f32 {
    let scene = cast.scene;
    let defender = |place: Option<Defender>, k: usize| {
        place.is_some_and(|place| scene.defenders[place].at(k).is_finite())
    };
    let frames = cast.used..=cast.after_use(SHOW_AFTER_S);
    let all = frames.clone().count();
    let seen = frames.filter(|&k| {
        scene.attackers[cast.user].at(k).is_finite()
            && scene.attackers[cast.screener].at(k).is_finite()
            && defender(cast.user_defender, k)
            && defender(cast.screener_defender, k)
    });
    seen.count() as f32 / all.max(1) as f32
}
