//! A source of tracking data and its mapping, read into raw games and a quarantine.
//!
//! In: a source folder, a folder of such folders, or one tracking file. Out: a [`ReadGame`] at a time, and a
//! [`SourceReport`]. Knows `scrim-floor` (courts), `scrim-tables` (quarantine rows) and `scrim-tracks` (raw games),
//! no detector. The only crate of the house, beside `scrim-tables`, that knows file formats.

mod chunk;
mod columnar;
mod error;
mod game_builder;
mod long_form;
mod names;
mod params;
mod read;
mod side_tables;
mod source;

pub use error::IngestError;
pub use params::IngestParams;
pub use read::{FailedFile, ReadGame, RefusedGame, SourceReport, read_source};
pub use source::{Source, find_sources};
