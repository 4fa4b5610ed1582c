//! The frames around a ball screen in which play off the ball is looked at.

use std::ops::Range;

use scrim_floor::Definitions;
use scrim_play::Scene;

use crate::BallScreen;

/// The scene frame of the use; `None` in an empty scene.
pub(super) fn at_use(scene: &Scene, screen: &BallScreen) -> Option<usize> {
    let last = scene.frames.checked_sub(1)?;
    Some(screen.used.saturating_sub(scene.first_frame).min(last))
}

/// The scene frame at which the screen is set, or else used; `None` in an empty scene.
pub(super) fn at_set(scene: &Scene, screen: &BallScreen) -> Option<usize> {
    let used = at_use(scene, screen)?;
    Some(screen.begins().saturating_sub(scene.first_frame).min(used))
}

/// The scene frames of a ball screen's window, clipped to the possession.
pub(super) fn window(scene: &Scene, screen: &BallScreen, definitions: &Definitions) -> Range<usize> {
    let from = screen
        .begins()
        .saturating_sub(scene.frames_in(definitions.motion_before_s));
    let until = screen.end + scene.frames_in(definitions.motion_after_s) + 1;
    scene.frames_of(&(from..until))
}
