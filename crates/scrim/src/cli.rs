//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use crate::log::LogFormat;

const AFTER_HELP: &str = "\
Without a command, the demo runs on sample-data/ and tells in words which ball screens it found.

Exit codes: 0 all done; 1 nothing could be done; 2 the command line is wrong; 3 some games failed, the others are done.
Data go to stdout, logs and progress to stderr. Tags are estimates: look at the film before acting on them.";

/// Tracking files of whole basketball games in, tagged ball screens out.
#[derive(Debug, Parser)]
#[command(version, after_help = AFTER_HELP, max_term_width = 100)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// How logs are written to stderr
    #[arg(long, global = true, value_enum, value_name = "FORMAT", default_value = "text")]
    pub log: LogFormat,
    /// Only warnings and errors on stderr
    #[arg(long, short, global = true)]
    pub quiet: bool,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read tracking, find possessions, touches, matchups and ball screens, write Parquet tables
    Run(RunArgs),
}

/// Arguments of `scrim run`.
#[derive(Debug, Args)]
pub struct RunArgs {
    /// The pipeline file, for example pipelines/nightly.toml
    pub pipeline: PathBuf,
    /// A source folder, a folder of source folders, or a single tracking file
    #[arg(long, short)]
    pub input: PathBuf,
    /// Folder of the tables: TABLE/season=S/game_id=G/part-0.parquet
    #[arg(long, short)]
    pub output: PathBuf,
    /// A mapping file for all sources; without it, each source folder's own mapping.toml, else the canonical columns
    #[arg(long, short)]
    pub mapping: Option<PathBuf>,
    /// How many sources are worked on at once; memory grows with it [default: one a processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub jobs: Option<u16>,
}
