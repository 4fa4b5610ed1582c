//! The picture of a rule: the play that shows it best.

use super::super::view::View;
use super::Rule;
use crate::drawing::{Frame, Moment, PlayTracks, frames_of};
use crate::plays::ScreenPlay;

/// Of so many plays, the latest or the clearest first, the one is drawn that shows its rule best.
const LOOKED_AT: usize = 12;
/// How many frames a rule has at most.
const FRAMES: usize = 2;
/// A way of this length can be seen in a small drawing, m. Common practice, no source.
const SEEN_M: f32 = 3.0;
/// Marks this far apart, middle to middle, need not be moved to be told apart, m: a circle's width and its number.
const APART_M: f32 = 1.4;

/// Of the first plays of a rule that are not drawn yet the one that shows it best, with its frames: the moment that the rule is about, and what
/// comes before it, or after it where nothing does.
pub(super) fn pick<'p>(
    view: &View<'_>,
    rule: &Rule<'p>,
    drawn: &mut Vec<(usize, u32)>,
) -> Option<(&'p ScreenPlay<'p>, Vec<Frame>)> {
    let plays = rule
        .plays
        .iter()
        .copied()
        .filter(|play| !drawn.contains(&play.key()));
    let shown = plays.take(LOOKED_AT).map(|play| {
        let frames = around(view, play, rule.moment);
        (shows(rule.moment, play, &frames), play, frames)
    });
    // Of those that show as much the first.
    let (_, play, frames) = shown.reduce(|best, other| if other.0 > best.0 { other } else { best })?;
    drawn.push(play.key());
    Some((play, frames))
}

/// The frame of that moment of a play, or its ball screen where it has no such moment, and the one before it or else after it. None without
/// tracks.
fn around(view: &View<'_>, play: &ScreenPlay<'_>, moment: Moment) -> Vec<Frame> {
    let tracks = PlayTracks::of(play.game, play.screen.possession_id);
    let mut frames = tracks
        .map(|tracks| frames_of(play, &tracks, &view.names, view.words))
        .unwrap_or_default();
    let place = [moment, Moment::Screen]
        .iter()
        .find_map(|wanted| frames.iter().position(|frame| frame.moment == *wanted));
    let from = place.unwrap_or(0).saturating_sub(1);
    frames.drain(..from);
    frames.truncate(FRAMES);
    frames
}

/// How much the frames show: how many there are, that the way of the player whom the moment is about can be seen, and that the marks stand apart.
fn shows(moment: Moment, play: &ScreenPlay<'_>, frames: &[Frame]) -> (usize, bool, bool) {
    let player = match moment {
        Moment::Before | Moment::Screen => &play.screen.user_id,
        Moment::After => &play.screen.screener_id,
    };
    let moves = |frame: &Frame| {
        (moment != Moment::After || frame.moment == moment) && frame.sketch.reach_m(player) >= SEEN_M
    };
    let apart_m = frames.iter().map(|frame| frame.sketch.apart_m());
    (
        frames.len(),
        frames.iter().any(moves),
        apart_m.fold(f32::INFINITY, f32::min) >= APART_M,
    )
}
