//! A source of tracking data and its mapping, read into raw games and a quarantine.
//!
//! In: a source folder, a folder of such folders, or one tracking file. Out: a [`ReadGame`] at a time, and a
//! [`SourceReport`]. Knows `scrim-floor` (courts), `scrim-tables` (quarantine rows) and `scrim-tracks` (raw games),
//! no detector. The only crate of the house, beside `scrim-tables`, that knows file formats.

mod chunk;
mod clock_text;
mod columnar;
mod delimited;
mod error;
mod game_builder;
mod input;
mod json;
mod mapping;
mod names;
mod nearest;
mod open_table;
mod params;
mod plan;
mod quarantine;
mod read;
mod samples;
mod side_tables;
mod source;
mod to_court;

pub use error::IngestError;
pub use mapping::{
    BallMapping, ClockMapping, ClockSense, ClockUnit, CountsFrom, CourtChoice, Form, Format, GameFrom,
    GameMapping, LengthUnit, Mapping, NestedMapping, NestedPlayers, NestedWalk, Origin, PeriodMapping,
    PlaceMapping, PlayerMapping, Points, TeamFrom, TeamMapping, TextMapping, TimeMapping, TimeUnit,
    WideMapping, WidePlayers,
};
pub use params::IngestParams;
pub use read::{FailedFile, ReadGame, RefusedGame, SourceReport, read_source};
pub use source::{Source, find_sources};
