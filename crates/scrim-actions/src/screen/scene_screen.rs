//! A screen in its scene's terms, and how it is written.

use scrim_floor::{AttackFrame, Half, Point};
use scrim_play::Scene;
use scrim_tables::tags::{Outcome, ScreenKind};

use super::common::{Screen, ScreenEvidence};
use super::four::Four;

/// A screen by places and frames of its scene. What each field is, [`Screen`] says.
pub(crate) struct SceneScreen {
    pub possession: usize,
    pub kind: ScreenKind,
    pub outcome: Outcome,
    pub four: Four,
    pub set: Option<usize>,
    pub used: usize,
    pub end: usize,
    pub spot: Point<AttackFrame>,
    pub confidence: f32,
    pub evidence: ScreenEvidence,
}

impl SceneScreen {
    /// The same by players and frames of the period; it follows on none yet.
    pub fn of_period(self, scene: &Scene) -> Screen {
        let four = self.four;
        let player = |defender| scene.defenders[defender].player;
        Screen {
            possession: self.possession,
            kind: self.kind,
            outcome: self.outcome,
            screener: scene.attackers[four.screener].player,
            user: scene.attackers[four.user].player,
            screener_defender: four.screener_defender.map(player),
            user_defender: four.user_defender.map(player),
            set: self.set.map(|k| scene.first_frame + k),
            used: scene.first_frame + self.used,
            end: scene.first_frame + self.end,
            spot: self.spot,
            strong_side: scene.strong[self.used] == Some(Half::of(self.spot)),
            previous: None,
            confidence: self.confidence,
            evidence: self.evidence,
        }
    }
}
