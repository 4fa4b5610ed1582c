//! Drawings in the trade's notation, from real tracks of one possession.
//!
//! - `tracks`: a possession's tracks, in metres;
//! - `moments`: the successive frames of a drawing, by time;
//! - `frame`: a frame with its words;
//! - `sketch`: what stands and moves in one frame, in the attack frame;
//! - `legible`: where the marks of a sketch stand, so that they can be told apart;
//! - `spread`: marks moved apart, so that none covers another;
//! - `line`: paths simplified, smoothed, or turned into a zigzag;
//! - `floor`: the court's lines;
//! - `svg`: a sketch as SVG text;
//! - `description`: a sketch in words, for those who cannot see it;
//! - `medoid`: which of several runs is the typical one.

mod description;
mod floor;
mod frame;
mod legible;
mod line;
mod medoid;
mod moments;
mod sketch;
mod spread;
mod svg;
mod tracks;

pub(crate) use description::description;
pub(crate) use floor::{courts_markup, view_box};
pub use frame::Drawing;
pub(crate) use frame::{Frame, frames_of};
pub(crate) use medoid::medoid;
pub(crate) use moments::{Moment, moments_of};
pub(crate) use sketch::sketch_of;
pub(crate) use svg::{key_svg, sketch_svg, standalone_svg};
pub(crate) use tracks::PlayTracks;

#[cfg(test)]
mod tests;
