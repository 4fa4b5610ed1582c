//! The program: from a folder of tracking files to a folder of tagged tables, unattended.
//!
//! In: a [`Pipeline`] (which parameters), sources of tracking, an output folder. Out: the tables of the data contract, a
//! file a game, and a [`RunSummary`]. Knows every crate of the house; no crate knows this one.
//!
//! - [`pipeline`]: the TOML file that people run, and the parameters that it stands for.
//! - [`parameter_values`]: its parameters by their keys.
//! - [`pipeline_file`]: the same file as text, in which single keys change and all else stays.
//! - [`game`]: one game through all stages, in memory.
//! - [`stages`]: the stages that it goes through, each by itself; some of them done again with other parameters.
//! - [`gate`]: what a game's data are worth, and whether it may enter a season.
//! - [`run`]: many sources at once, one a worker; a bad game never ends it.
//! - [`reports`]: the pages that a run makes at its end.
//! - [`inputs`]: where the sources' files come from: this machine, or an object store.
//! - [`source_record`]: which sources are new or changed, and must be done.
//! - [`run_record`]: what a run was made from, and when: the table `runs`, and a JSON document a run.
//! - `claims`: who may write which partition, when several sources hold the same game.
//! - [`summary`]: what a run has done, and the exit code that says so.
//! - [`failure`]: why a game, a file or a source could not be done.
//! - [`output`]: the folder of tables, held by one writer at a time.
//! - [`places`]: an output that lies in the input is refused.
//! - [`likeness`]: possessions like another one: an index that is kept, and the answer.
//! - [`season`]: the games' tables to the season's.
//! - [`compare`]: two outputs of the same games, side by side.
//! - [`sweep`]: a grid of parameters over a sample of games.
//! - [`terminal`]: text of the input that would steer a terminal is shown, not sent.
//! - [`video`]: what people mark of games' videos, kept through every run.
//! - [`game_text`]: a game's ball screens in words, for people.
//! - `translation`: the words that a report is made with.
//! - [`entry`]: from the command line to the exit code.
//! - [`cli`], [`command`], [`log`]: the program's face.

mod alert;
mod claims;
pub mod cli;
pub mod command;
pub mod compare;
pub mod entry;
mod explain;
pub mod failure;
pub mod game;
mod game_record;
pub mod game_text;
pub mod gate;
pub mod inputs;
pub mod likeness;
pub mod log;
pub mod output;
pub mod parameter_values;
pub mod pdf;
pub mod pipeline;
pub mod pipeline_file;
pub mod places;
pub mod reports;
pub mod run;
pub mod run_record;
pub mod season;
pub mod source_record;
pub mod stages;
pub mod summary;
pub mod sweep;
mod tagging;
pub mod terminal;
mod translation;
pub mod video;

pub use explain::{explain, parameters_page};
pub use failure::Failure;
pub use game::{GameTables, TaggedGame, tag_game};
pub use pipeline::{Pipeline, PipelineError};
pub use run::{RunPlan, run_sources};
pub use season::{SeasonPlan, do_seasons};
pub use summary::{Exit, RunSummary};
