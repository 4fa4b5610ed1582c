//! A source of tracking data and its mapping, read into raw games and a quarantine.
//!
//! In: a source folder, a folder of such folders, or one tracking file. Out: a [`ReadGame`] at a time, and a
//! [`SourceReport`]. Knows `scrim-floor` (courts), `scrim-tables` (quarantine rows) and `scrim-tracks` (raw games),
//! no detector. The mapping's language is described in `docs/mapping.md`.
//!
//! The way of a file, one module a step:
//! - `source` finds files; `open_file` opens one, and nothing that is none; `input` finds its format from its first
//!   bytes and unpacks it.
//! - `delimited`, `columnar` and `json` read it as a table, some thousand rows at a time (`chunk`).
//! - `mapping` is what the user wrote; `plan` brings it together with the columns found; `template` composes ids.
//! - `samples` makes rows samples in the court frame (`to_court`), or refuses them with words.
//! - `game_builder` keeps a game's samples compactly, sorts them and drops repeats.
//! - `read` does all that for a source and closes games as they end; `side_tables` adds what stands beside.
//! - `inspect` does the same and reports what it saw.

mod chunk;
mod clock_text;
mod columnar;
mod delimited;
mod error;
mod game_builder;
mod input;
mod inspect;
mod json;
mod mapping;
mod names;
mod nearest;
mod numbers;
mod open_file;
mod open_table;
mod params;
mod plan;
mod quarantine;
mod read;
mod samples;
mod side_tables;
mod source;
mod template;
mod text_rows;
mod to_court;

pub use error::IngestError;
pub use inspect::{
    Finding, InspectedClock, InspectedFile, InspectedGame, InspectedPeriod, InspectedSource, Inspection,
    RefusalExample, Severity, SideTablesFound, Spread, inspect, inspect_source,
};
pub use mapping::{
    BallMapping, ClockMapping, ClockSense, ClockUnit, CountsFrom, CourtChoice, FilesMapping, Form, Format,
    GameFrom, GameMapping, LengthUnit, Mapping, NestedMapping, NestedPlayers, NestedWalk, Origin,
    PeriodMapping, PlaceMapping, PlayerMapping, Points, TeamFrom, TeamMapping, TextMapping, TimeMapping,
    TimeUnit, WideMapping, WidePlayers,
};
pub use params::IngestParams;
pub use read::{FailedFile, ReadGame, RefusedGame, SourceReport, read_source};
pub use source::{BeforeOpen, EventsFile, FoundSources, NoSource, Source, find_sources, find_sources_with};
