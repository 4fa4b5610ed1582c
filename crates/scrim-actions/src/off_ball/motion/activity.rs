//! What an off-ball player did while a ball screen was on.

use std::ops::Range;

use scrim_floor::{AttackFrame, Definitions, Point};
use scrim_play::{Mover, Scene};
use scrim_tables::tags::{Activity, CutKind};

use crate::{Cut, OffBallScreen};

/// A cut counts for the window when this much of it lies inside, s (or half of it, if it is short).
const CUT_INSIDE_S: f32 = 0.6;

/// The activity, and its first and last frame of the period where it has a beginning: that of the screen, of the use or of the cut.
pub(super) type Spell = (Activity, Option<(usize, usize)>);

/// The activity of `mover` over `window` (scene frames), in this order: they set a screen, use one, stand,
/// cut, else they shift. `screens` and `cuts` are those of the possession.
pub(super) fn classify_activity(
    scene: &Scene,
    mover: &Mover,
    window: &Range<usize>,
    screens: &[OffBallScreen],
    cuts: &[Cut],
    definitions: &Definitions,
) -> Spell {
    let inside = |frame: usize| window.contains(&frame.saturating_sub(scene.first_frame));
    let mine = || screens.iter().filter(|screen| inside(screen.used));
    let span = |screen: &OffBallScreen| (screen.begins(), screen.end);
    let cut = || {
        cuts.iter()
            .filter(|cut| cut.player == mover.player && is_cut_not_shift(cut.kind))
            .find(|cut| counts_inside(scene, cut, window))
    };
    if let Some(screen) = mine().find(|screen| screen.screener == mover.player) {
        (Activity::Screen, Some(span(screen)))
    } else if let Some(screen) = mine().find(|screen| screen.user == mover.player) {
        (Activity::OffScreen, Some(span(screen)))
    } else if is_stationary(mover, window, definitions) {
        (Activity::Stationary, None)
    } else if let Some(cut) = cut() {
        (Activity::Cut, Some((cut.start, cut.end)))
    } else {
        (Activity::Shift, None)
    }
}

/// Never farther from the mean place than what counts as one place, in the frames in which the player is seen.
fn is_stationary(mover: &Mover, window: &Range<usize>, definitions: &Definitions) -> bool {
    let places = || window.clone().map(|k| mover.at(k)).filter(|at| at.is_finite());
    let (mut x_m, mut y_m, mut seen) = (0.0_f64, 0.0_f64, 0_usize);
    for at in places() {
        x_m += f64::from(at.x_m);
        y_m += f64::from(at.y_m);
        seen += 1;
    }
    let mean = Point::<AttackFrame>::new((x_m / seen as f64) as f32, (y_m / seen as f64) as f32);
    places().all(|at| at.distance_m(mean) <= definitions.stationary_m)
}

/// Spacing moves from spot to spot outside are shifts; all other kinds are cuts.
fn is_cut_not_shift(kind: CutKind) -> bool {
    match kind {
        CutKind::Basket
        | CutKind::Backdoor
        | CutKind::Curl
        | CutKind::Fade
        | CutKind::PopOut
        | CutKind::Flash
        | CutKind::RubCut
        | CutKind::FlexCut
        | CutKind::Baseline => true,
        CutKind::Lift | CutKind::Drift | CutKind::Fill => false,
    }
}

/// Whether enough of the cut lies in the window.
fn counts_inside(scene: &Scene, cut: &Cut, window: &Range<usize>) -> bool {
    let span = scene.frames_of(&(cut.start..cut.end + 1));
    let shared = span
        .end
        .min(window.end)
        .saturating_sub(span.start.max(window.start));
    shared > 0 && shared >= scene.frames_in(CUT_INSIDE_S).min(span.len() / 2)
}
