//! The frames of one ball screen, each with what it shows in words.

use scrim_floor::Court;
use scrim_season::words::{Names, Words};

use super::sketch::Sketch;
use super::{Moment, PlayTracks, description, moments_of, sketch_of, standalone_svg};
use crate::plays::ScreenPlay;

/// A drawing as a file of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// What it is called, without its ending: `01-before`.
    pub name: String,
    /// SVG text.
    pub svg: String,
}

/// One frame.
pub(crate) struct Frame {
    /// What it shows.
    pub(crate) moment: Moment,
    /// What stands and moves in it.
    pub(crate) sketch: Sketch,
    /// The same in words.
    pub(crate) text: String,
}

/// The frames of a ball screen, in time order.
pub(crate) fn frames_of(
    play: &ScreenPlay<'_>,
    tracks: &PlayTracks,
    names: &Names,
    words: &Words,
) -> Vec<Frame> {
    let court = play.game.court();
    let frame = |moment: (Moment, f64, f64)| {
        let sketch = sketch_of(play, tracks, names, moment);
        Frame {
            moment: moment.0,
            text: description(&court, &sketch, names, words),
            sketch,
        }
    };
    moments_of(play, tracks).into_iter().map(frame).collect()
}

impl Frame {
    /// As a file of its own, called `STEM-MOMENT`.
    pub(crate) fn drawing(&self, court: &Court, stem: &str, words: &Words) -> Drawing {
        Drawing {
            name: format!("{stem}-{}", self.moment.file_name()),
            svg: standalone_svg(court, &self.sketch, &self.text, words),
        }
    }
}
