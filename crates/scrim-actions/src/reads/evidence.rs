//! Everything that is measured of a ball screen, once: plain geometry through time, no word decided.
//!
//! - `screener_defender`: the screener's defender, and the two defenders on the ball;
//! - `on_ball`: the handler's defender, before the screen and around it;
//! - `swap`: whether and when the two exchanged their attackers;
//! - `help`: the other three defenders;
//! - `screener`, `handler`: the ways after the use;
//! - `ball`: the pass and the shot that came of it;
//! - `coverage`: what the coverage model looks at.

mod ball;
mod coverage;
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

use scrim_floor::{AttackFrame, Point, Segment};
use scrim_play::{Mover, Play, Scene, canonical_position};

use super::cast::Cast;
use crate::BallScreen;

/// The screener's defender may show this long after the use, s.
const SHOW_AFTER_S: f32 = 1.5;

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
    let defender =
        |place: Option<usize>, k: usize| place.is_some_and(|place| scene.defenders[place].at(k).is_finite());
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

/// Where a defender of `attacker` may stand at frame `k`: from the attacker to canonical position, or, of the handler,
/// to a step and a half toward the hoop. Near the ball attackers are guarded tighter than canonical position has it.
fn guard_line(scene: &Scene, attacker: usize, k: usize) -> Segment<AttackFrame> {
    let at = scene.attackers[attacker].at(k);
    if scene.handler[k] == Some(attacker as u8) {
        return Segment::new(at, at + (Point::origin() - at).unit() * ON_BALL_M);
    }
    let ball = scene.ball_at(k);
    Segment::new(
        at,
        canonical_position(at, if ball.is_finite() { ball } else { at }),
    )
}

/// A handler's defender may be this far from the handler, toward the hoop, m. Common practice, no source.
const ON_BALL_M: f32 = 1.5;

/// Distance to the nearest defender who is seen, m; `None` when none is.
fn space_m(scene: &Scene, attacker: usize, k: usize) -> Option<f32> {
    let at = scene.attackers[attacker].at(k);
    let gap = |d: &Mover| d.at(k).distance_m(at);
    let least = scene
        .defenders
        .iter()
        .map(gap)
        .filter(|m| m.is_finite())
        .fold(f32::INFINITY, f32::min);
    least.is_finite().then_some(least)
}
