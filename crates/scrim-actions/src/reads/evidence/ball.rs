//! The pass and the shot that came of a ball screen.

use scrim_floor::{AttackFrame, Half, Point, SideTracker};
use scrim_play::{Play, Scene, ShotResult};
use scrim_tables::tags::{Outcome, TouchEnd};
use scrim_tracks::PlayerIx;

use crate::BallScreen;
use crate::reads::cast::Cast;

/// The pass that leaves a screen unused may come this long before its end, s.
const UNUSED_BEFORE_S: f32 = 1.2;
/// A shot belongs to the play up to this long after the use, s.
const SHOT_AFTER_S: f32 = 5.0;

/// The handler's first pass after the use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PassEvidence {
    /// Scene frame at which the ball left the handler.
    pub frame: usize,
    /// When that was.
    pub after_s: f32,
    /// Who received; always of the handler's team.
    pub receiver: PlayerIx,
    /// The strong side at the pass; `None` when the ball was not seen until then.
    pub strong: Option<Half>,
    /// Where the receiver was.
    pub to: Point<AttackFrame>,
}

/// The shot that came of the play.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShotEvidence {
    /// Scene frame of the release.
    pub frame: usize,
    /// When that was.
    pub after_s: f32,
    /// Who.
    pub shooter: PlayerIx,
    /// Whether the handler shot.
    pub by_handler: bool,
    /// Where.
    pub spot: Point<AttackFrame>,
    /// What it was worth.
    pub value: u8,
    /// What it brought; `None` when that is not known.
    pub points: Option<u8>,
    /// The shooter's distance to the nearest defender, m; `None` when none is seen.
    pub space_m: Option<f32>,
}

/// The handler's touch may begin this long after the use: a handoff, or a ball that was fumbled, s.
const LATE_TOUCH_S: f32 = 0.8;

pub(super) fn measure_pass(cast: &Cast, play: &Play, screen: &BallScreen) -> Option<PassEvidence> {
    let scene = cast.scene;
    let touches = play.possessions[screen.possession].touches.clone();
    let late = screen.used + scene.frames_in(LATE_TOUCH_S);
    // A screen goes unused because the handler passes: that pass comes before its end.
    let early = match screen.outcome {
        Outcome::Unused | Outcome::Flipped | Outcome::Slipped | Outcome::Ghosted => UNUSED_BEFORE_S,
        Outcome::Used | Outcome::Rejected => 0.0,
    };
    let from = screen
        .used
        .saturating_sub((f64::from(early) * scene.hz).round() as usize)
        .max(screen.set.unwrap_or(0).min(screen.used));
    let touch = play.touches[touches]
        .iter()
        .find(|t| t.player == screen.user && t.frames.end > from && t.frames.start <= late)?;
    match touch.ended_by {
        TouchEnd::Pass | TouchEnd::Handoff => {}
        TouchEnd::Shot | TouchEnd::Loss | TouchEnd::DeadBall => return None,
    }
    let receiver = touch.next?;
    let frame = (touch.frames.end - scene.first_frame.min(touch.frames.end)).min(cast.scene.frames - 1);
    let to = scene.attackers.of(receiver)?.at(frame);
    Some(PassEvidence {
        frame,
        after_s: cast.since_use_s(frame),
        receiver,
        strong: strong_half(scene, frame),
        to,
    })
}

/// The strong side at frame `k`, followed from the possession's first frame.
fn strong_half(scene: &Scene, k: usize) -> Option<Half> {
    let mut tracker = SideTracker::new(SideTracker::DEFAULT_BAND_M);
    (0..=k).fold(None, |_, k| tracker.follow(scene.ball_at(k)))
}

pub(super) fn measure_shot(cast: &Cast, play: &Play, screen: &BallScreen) -> Option<ShotEvidence> {
    let scene = cast.scene;
    let latest = screen.used + scene.frames_in(SHOT_AFTER_S);
    let shot = play.shots[play.possessions[screen.possession].shots.clone()]
        .iter()
        .find(|shot| shot.release >= screen.used && shot.release <= latest)?;
    let frame = (shot.release - scene.first_frame.min(shot.release)).min(scene.frames - 1);
    let place = scene.attackers.place_of(shot.player);
    let value = shot.value.points();
    Some(ShotEvidence {
        frame,
        after_s: cast.since_use_s(frame),
        shooter: shot.player,
        by_handler: shot.player == screen.user,
        spot: shot.spot,
        value,
        points: match shot.result {
            ShotResult::Made => Some(value),
            ShotResult::Missed => Some(0),
            ShotResult::Unknown => None,
        },
        space_m: place.and_then(|place| scene.space_m(place, frame)),
    })
}
