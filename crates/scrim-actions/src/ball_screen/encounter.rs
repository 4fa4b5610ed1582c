//! Spells in which a team-mate is near the handler.

use std::ops::Range;

use scrim_play::Scene;

use super::ScreenParams;

/// A spell in which one team-mate is near one handler. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Encounter {
    /// Place of the handler in the scene's attackers.
    pub handler: usize,
    /// Place of the team-mate in the scene's attackers.
    pub mate: usize,
    /// The frames in which they are near and the handler has the ball.
    pub frames: Range<usize>,
}

/// Pauses shorter than this do not part a spell, s: the two cross the limit's edge, or the ball is lost from sight.
const PAUSE_S: f32 = 0.4;

/// All spells, by handler, team-mate and time.
pub(super) fn find_encounters(scene: &Scene, params: &ScreenParams) -> Vec<Encounter> {
    let pause = scene.frames_in(PAUSE_S);
    let near_sq = params.set.near_m * params.set.near_m;
    let mut found: Vec<Encounter> = Vec::new();
    for handler in 0..scene.attackers.len() {
        for mate in (0..scene.attackers.len()).filter(|mate| *mate != handler) {
            let first = found.len();
            let (h, m) = (&scene.attackers[handler], &scene.attackers[mate]);
            for k in 0..scene.frames {
                if scene.handler[k] != Some(handler as u8) {
                    continue;
                }
                let apart = m.at(k) - h.at(k);
                // A missing place compares as not near.
                if apart.dot(apart) < near_sq {
                    match found[first..].last_mut() {
                        Some(last) if k <= last.frames.end + pause => last.frames.end = k + 1,
                        _ => found.push(Encounter {
                            handler,
                            mate,
                            frames: k..k + 1,
                        }),
                    }
                }
            }
        }
    }
    found
}
