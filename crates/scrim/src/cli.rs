//! The command line.

mod compare;
mod like;
mod report;
mod review;
mod tune;

use std::path::PathBuf;

use clap::builder::{PathBufValueParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};
use scrim_objects::Location;

pub use self::compare::{CompareArgs, SweepArgs};
pub use self::like::{LikeArgs, LikeFormat, PossessionName};
pub use self::report::{ChoiceArgs, ClipsArgs, ClipsFormat, ClipsSide, ReportArgs, Sheet, WordsArgs};
pub use self::review::ReviewArgs;
pub use self::tune::{TuneArgs, TunePart};
use crate::log::LogFormat;
use crate::run::MOST_JOBS;

const AFTER_HELP: &str = "\
Without a command, the demo runs on sample-data/ and describes the ball screens that it found.

Exit codes: 0 all done; 1 nothing could be done; 2 the command line is wrong; 3 some games failed, the others are done;
4 `tune` found no gain and wrote nothing.
Data go to stdout, logs and progress to stderr. Tags are estimates: look at the film before acting on them.";

/// A path, or an address in an object store.
pub(crate) fn location() -> impl TypedValueParser<Value = Location> {
    PathBufValueParser::new().try_map(Location::of)
}

/// A path of this machine.
pub(crate) fn local() -> impl TypedValueParser<Value = PathBuf> {
    location().try_map(|location| match location {
        Location::Local(path) => Ok(path),
        Location::Remote(address) => Err(format!("{address}: this must be a path of this machine")),
    })
}

/// Find and tag ball screens in basketball tracking data.
#[derive(Debug, Parser)]
#[command(version, after_help = AFTER_HELP, max_term_width = 100)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// Format of the logs on stderr
    #[arg(
        long,
        global = true,
        value_enum,
        value_name = "FORMAT",
        default_value = "text"
    )]
    pub log: LogFormat,
    /// Only warnings and errors on stderr
    #[arg(long, short, global = true)]
    pub quiet: bool,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read tracking files, find possessions, matchups, screens and cuts, and write Parquet tables
    Run(RunArgs),
    /// Show what is understood of tracking files, and what is wrong with them, before you run anything
    Inspect(InspectArgs),
    /// Check a pipeline file and print every parameter with its value; with --explain, with what it means
    Pipeline(PipelineArgs),
    /// Score tables against labels: your own tags from film, or simulated truth
    Score(ScoreArgs),
    /// Fit the decisions on screens and coverages to your own labels, and report on held-out games whether it helps
    Tune(TuneArgs),
    /// Correct the tags of ball screens, a key each, on a page of this machine: your answers become labels; or hold two labellers against each other
    Review(ReviewArgs),
    /// Hold two outputs of the same games side by side: what appears, vanishes and changes its tag, and every season rate
    Compare(CompareArgs),
    /// Run a grid of parameters over a sample of games: what of the tags changes, as a table and as curves
    Sweep(SweepArgs),
    /// Make a report about a team's ball screens: one HTML page for print and phone, with drawings and playback
    Report(ReportArgs),
    /// Write clip lists of a team's ball screens and handoffs for a video tool: CSV, WebVTT, OpenTimelineIO
    Clips(Box<ClipsArgs>),
    /// Print every word of reports and clip lists, for a translator; or check a translation
    Words(WordsArgs),
    /// Rebuild the season tables from the games' tables: disguise, tendencies, counters. A run does this at its end
    Season(SeasonArgs),
    /// Describe what one team does: looks, entries, disguise, coverages, counters, and the possessions to look up
    Digest(DigestArgs),
    /// Find the possessions most like one: the ways of the ten players and the ball from the set to the use of the ball screen
    Like(LikeArgs),
    /// Make simulated, labelled games of an invented league
    Practice(PracticeArgs),
    /// List the tables, or one table's columns with type, unit and meaning
    Columns(ColumnsArgs),
    /// List the runs that wrote a folder of tables; `runs show ID` prints all that is recorded of one
    Runs(RunsArgs),
    /// Read a whole folder of tables again: checksums, columns, ids across tables, bounds of values
    Verify(VerifyArgs),
    /// Remove games, seasons, files that no manifest names, or old runs' records; lists them first
    Prune(PruneArgs),
}

/// Arguments of `scrim run`.
#[derive(Debug, Args)]
pub struct RunArgs {
    /// The pipeline file, for example pipelines/nightly.toml
    pub pipeline: PathBuf,
    /// A source folder, a folder of source folders, or a single tracking file: a path, or s3://BUCKET/FOLDER, gs://..., az://...
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub input: Location,
    /// Folder for the tables, a path or an address as above: TABLE/SEASON~GAME.parquet
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub output: Location,
    /// A mapping file for all sources [default: each source folder's own mapping.toml, else scrim's own columns]
    #[arg(long, short, value_parser = local())]
    pub mapping: Option<PathBuf>,
    /// How many sources are processed at once; memory grows with it [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
    /// Do every source again, also those that have not changed
    #[arg(long)]
    pub force: bool,
    /// Say which sources would be done, and why, and do nothing
    #[arg(long)]
    pub dry_run: bool,
    /// Also write three lines into this file: what happened, what to look at first, where to read on; for mail or chat
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub alert_file: Option<PathBuf>,
    /// How many games there should be: fewer is an error (exit code 3)
    #[arg(long, value_name = "GAMES")]
    pub expect: Option<u64>,
}

/// Arguments of `scrim verify`.
#[derive(Debug, Args)]
pub struct VerifyArgs {
    /// The output folder of runs: a path, or s3://BUCKET/FOLDER, gs://..., az://...
    #[arg(value_name = "PLACE", value_parser = location())]
    pub tables: Location,
}

/// Arguments of `scrim prune`.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("what").required(true).multiple(true))]
pub struct PruneArgs {
    /// The output folder of runs: a path, or s3://BUCKET/FOLDER, gs://..., az://...
    #[arg(value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// This game's tables; may be given more than once. Its season is put together again by the next run
    #[arg(long, value_name = "GAME", group = "what")]
    pub game: Vec<String>,
    /// All games and tables of this season; may be given more than once
    #[arg(long, value_name = "SEASON", group = "what")]
    pub season: Vec<String>,
    /// Files that no manifest names, and season tables of seasons without games
    #[arg(long, group = "what")]
    pub orphans: bool,
    /// Records of runs that began before this day (YYYY-MM-DD)
    #[arg(long, value_name = "DAY", group = "what")]
    pub runs_before: Option<String>,
    /// Remove them; without it, they are only listed
    #[arg(long)]
    pub delete: bool,
}

/// Arguments of `scrim runs`.
#[derive(Debug, Args)]
pub struct RunsArgs {
    /// The output folder of runs
    #[arg(long, short, value_name = "PLACE", global = true, default_value = ".", value_parser = location())]
    pub tables: Location,
    /// What of them.
    #[command(subcommand)]
    pub what: Option<RunsCommand>,
}

/// What of the runs.
#[derive(Debug, Subcommand)]
pub enum RunsCommand {
    /// Print all that is recorded of one run, as JSON
    Show {
        /// The run, or the beginning of its id; `last` is the last one
        id: String,
    },
}

/// Arguments of `scrim inspect`.
#[derive(Debug, Args)]
pub struct InspectArgs {
    /// A tracking file, a source folder, or a folder of source folders: a path, or s3://BUCKET/FOLDER, gs://..., az://...
    #[arg(value_name = "PLACE", value_parser = location())]
    pub path: Location,
    /// The mapping to try [default: each source folder's own mapping.toml, else scrim's own columns]
    #[arg(long, short)]
    pub mapping: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `scrim pipeline`.
#[derive(Debug, Args)]
pub struct PipelineArgs {
    /// The pipeline file; without it, the defaults are printed
    pub pipeline: Option<PathBuf>,
    /// Say what every parameter is: its value, unit, meaning, bounds, default and source
    #[arg(long)]
    pub explain: bool,
}

/// Arguments of `scrim score`.
#[derive(Debug, Args)]
pub struct ScoreArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// Folder of labels: TABLE.csv or TABLE.parquet in it, in its labels/, or in a folder for each game
    #[arg(long, short, value_name = "DIR")]
    pub labels: PathBuf,
    /// Also write the whole report as JSON
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,
    /// Also write how often tags were right, as [season.tagging] for a pipeline: `tendencies` and `counters` then have adjusted rates
    #[arg(long, value_name = "FILE")]
    pub tagging: Option<PathBuf>,
    /// What to do with a labelled game that has no tables
    #[arg(long, value_enum, value_name = "WHAT", default_value = "refuse")]
    pub missing_games: MissingGames,
}

/// What to do with a labelled game that has no tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MissingGames {
    /// Refuse to score: usually the wrong folder was given.
    Refuse,
    /// Count everything labelled in it as missed.
    Miss,
    /// Leave it out, with a warning.
    LeaveOut,
}

/// Arguments of `scrim season`.
#[derive(Debug, Args)]
pub struct SeasonArgs {
    /// The output folder of runs
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// The pipeline file whose `[season]` and `[definitions]` are used [default: the defaults]
    #[arg(long, short, value_name = "FILE")]
    pub pipeline: Option<PathBuf>,
    /// How many games are read at once [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
}

/// Arguments of `scrim digest`.
#[derive(Debug, Args)]
pub struct DigestArgs {
    /// The output folder of runs
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// The team's id, as in the tables
    #[arg(long, value_name = "ID")]
    pub team: String,
    /// Only its last N games [default: all]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub last: Option<u32>,
    /// The season [default: the last one by name]
    #[arg(long, value_name = "SEASON")]
    pub season: Option<String>,
    /// The pipeline file whose `[season]` and `[definitions]` are used [default: the defaults]
    #[arg(long, short, value_name = "FILE")]
    pub pipeline: Option<PathBuf>,
}

/// Arguments of `scrim columns`.
#[derive(Debug, Args)]
pub struct ColumnsArgs {
    /// The table; without it, all tables are listed
    pub table: Option<String>,
    /// In which form
    #[arg(long, value_enum, value_name = "FORM", default_value = "text")]
    pub format: ColumnsFormat,
}

/// A form of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColumnsFormat {
    /// Aligned text, for people.
    Text,
    /// CSV with a header, for programs.
    Csv,
}

/// What the teams of a practice season have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Habits {
    /// Each team has its own.
    Own,
    /// All have the same.
    Alike,
    /// All have the same, but for three habits that one team each has.
    Planted,
}

/// Arguments of `scrim practice`.
#[derive(Debug, Args)]
pub struct PracticeArgs {
    /// How many games
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..))]
    pub games: u32,
    /// Seed: the same seed and options give the same games
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// Standard deviation of the position noise on each axis, metres
    #[arg(long, value_name = "METRES", default_value_t = 0.05)]
    pub noise: f32,
    /// Folder for the games, a source folder for each
    #[arg(long, short, value_name = "DIR")]
    pub output: PathBuf,
    /// Frames per second
    #[arg(long, default_value_t = 25.0)]
    pub hz: f64,
    /// Periods in a game
    #[arg(long, value_name = "COUNT", default_value_t = 4)]
    pub periods: u8,
    /// Game-clock seconds in a period
    #[arg(long, value_name = "SECONDS", default_value_t = 720.0)]
    pub period_s: f64,
    /// The court: fiba, nba or ncaa
    #[arg(long, default_value = "fiba")]
    pub court: String,
    /// Dropouts per player and minute, the ball included
    #[arg(long, value_name = "COUNT", default_value_t = 0.0)]
    pub dropouts: f64,
    /// Identity swaps per minute
    #[arg(long, value_name = "COUNT", default_value_t = 0.0)]
    pub swaps: f64,
    /// Spikes per player and minute, the ball included
    #[arg(long, value_name = "COUNT", default_value_t = 0.0)]
    pub spikes: f64,
    /// Jitter and double time stamps
    #[arg(long)]
    pub irregular: bool,
    /// Leave the ball's height out
    #[arg(long)]
    pub no_ball_height: bool,
    /// Share of possessions, 0 to 1, that are played in order: the handler waits for a screener who comes and stands, and, drawn
    /// separately, players off the ball stand at their spots. The others are as lively as real ones
    #[arg(long, value_name = "SHARE", default_value_t = 0.0)]
    pub orderly: f32,
    /// Call weak-side lifts: while the screener rolls, a shooter may lift out of the far corner. The share of lifts, 0 to 1, that holds
    /// the low man, who else tags the roller; with the truth in truth/ [default: no lifts]
    #[arg(long, value_name = "SHARE")]
    pub lifts_hold: Option<f32>,
    /// Make a season: eight teams with known habits, games in the order of their dates, and the truth in truth/
    #[arg(long)]
    pub season: bool,
    /// Habits of a season's teams: each its own; all alike; or planted: alike but for three, of one team each (truth/planted.csv)
    #[arg(long, value_enum, requires = "season", default_value_t = Habits::Own)]
    pub habits: Habits,
    /// Also write each game's tracking as a CSV in feet with a corner origin, with its mapping, to GAME/csv-in-feet/
    #[arg(long)]
    pub csv_in_feet: bool,
    /// How many games are made at once; memory grows with it [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
}
