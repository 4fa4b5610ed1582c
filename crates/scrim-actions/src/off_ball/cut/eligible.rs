//! The frames in which a run may be a cut.

use std::ops::Range;

use scrim_play::{Attacker, Play, Possession, Scene};
use scrim_tables::tags::Phase;

/// Who has the ball this near, m, ...
const BALL_NEAR_M: f32 = 1.5;
/// ... for more than this share of a run, has it, whatever the touches say.
const MAX_BALL_SHARE: f32 = 0.5;
/// Who lets go of the ball at this speed or faster carries on the drive: no cut, m/s.
const DRIVE_MPS: f32 = 2.0;

/// When runs count.
pub(super) struct EligibleFrames {
    /// The scene frame from which on it is half-court play. A run that began before it is the way up the floor.
    pub begins: usize,
    /// Whether each scene frame is free of rebounding: not between the release of a shot and the next control.
    pub in_play: Vec<bool>,
}

/// When runs count; `None` in transition.
pub(super) fn eligible_frames(scene: &Scene, play: &Play, possession: &Possession) -> Option<EligibleFrames> {
    let (Phase::HalfCourt, Some(half_court)) = (possession.phase, possession.half_court) else {
        return None;
    };
    let mut in_play = vec![true; scene.frames];
    for shot in &play.shots[possession.shots.clone()] {
        let release = shot.release.saturating_sub(scene.first_frame).min(scene.frames);
        // The shooter's touch may last a moment longer than the release: the flight begins when it ends.
        let in_air = (release..scene.frames)
            .find(|&k| scene.handler[k].is_none())
            .unwrap_or(scene.frames);
        let caught = (in_air..scene.frames)
            .find(|&k| scene.handler[k].is_some())
            .unwrap_or(scene.frames);
        in_play[release..caught].fill(false);
    }
    Some(EligibleFrames {
        begins: half_court.saturating_sub(scene.first_frame),
        in_play,
    })
}

/// The frames in play in which the attacker at `place` has not the ball.
pub(super) fn without_ball(scene: &Scene, place: Attacker, in_play: &[bool]) -> Vec<bool> {
    in_play
        .iter()
        .zip(&scene.handler)
        .map(|(&in_play, &handler)| in_play && handler != Some(place))
        .collect()
}

/// Whether the attacker at `place` has the ball close by for most of a run: a drive whose touch is not known.
pub(super) fn is_with_ball(scene: &Scene, place: Attacker, run: &Range<usize>) -> bool {
    let near = |&k: &usize| scene.ball_at(k).distance_m(scene.attackers[place].at(k)) <= BALL_NEAR_M;
    run.clone().filter(near).count() as f32 > MAX_BALL_SHARE * run.len() as f32
}

/// Whether the run of the attacker at `place` is the rest of a drive: they let go of the ball on the run.
pub(super) fn is_rest_of_drive(scene: &Scene, place: Attacker, run: &Range<usize>) -> bool {
    run.start.checked_sub(1).is_some_and(|before| {
        scene.handler[before] == Some(place) && scene.attackers[place].speed_at(before) >= DRIVE_MPS
    })
}
