//! A labelled ball screen as if it had been found: for whoever fits or judges the reads alone.

use scrim_play::Scene;
use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::PlayerIx;

use crate::screen::{Four, SceneScreen};
use crate::{BallScreen, ScreenEvidence};

/// A label's instant and the closest approach are at most this far apart, s.
const WITHIN_S: f32 = 0.8;

/// The ball screen of `user` and `screener` at their closest approach near frame `k` of the scene of possession `possession`,
/// with the kind and outcome of its label, as the detector would give it; `None` when the two are not in the scene.
pub fn labelled_ball_screen(
    scene: &Scene,
    possession: usize,
    [user, screener]: [PlayerIx; 2],
    k: usize,
    kind: ScreenKind,
    outcome: Outcome,
) -> Option<BallScreen> {
    let place_of = |player| scene.attackers.place_of(player);
    let (user, screener) = (place_of(user)?, place_of(screener)?);
    let (u, s) = (&scene.attackers[user], &scene.attackers[screener]);
    let around = scene.frames_in(WITHIN_S);
    let at = (k.saturating_sub(around)..(k + around + 1).min(scene.frames))
        .map(|j| (j, u.at(j).distance_m(s.at(j))))
        .filter(|(_, gap)| gap.is_finite())
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(j, _)| j)?;
    let four = Four::of(scene, user, screener, at);
    let spot = s.at(at);
    Some(BallScreen {
        screen: SceneScreen {
            possession,
            kind,
            outcome,
            four,
            set: None,
            used: at,
            end: at,
            spot,
            confidence: 1.0,
            evidence: ScreenEvidence {
                screener_speed_mps: s.speed_at(at),
                user_gap_m: u.at(at).distance_m(spot),
                defender_gap_m: None,
                angle_deg: None,
            },
        }
        .of_period(scene),
        right_of_user_m: 0.0,
        outcomes: None,
        early_denial: false,
    })
}
