//! The command lines of `scrim compare` and `scrim sweep`.

use std::path::PathBuf;

use clap::Args;
use scrim_objects::Location;

use crate::run::MOST_JOBS;
use crate::sweep::Vary;

/// Arguments of `scrim compare`.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// The output folder of one run: a path, or s3://BUCKET/FOLDER, gs://..., az://...
    #[arg(value_name = "A", value_parser = super::location())]
    pub a: Location,
    /// That of another run over the same games
    #[arg(value_name = "B", value_parser = super::location())]
    pub b: Location,
    /// Part the counts by this column of tags, for example screen_kind, coverage or phase
    #[arg(long, value_name = "COLUMN")]
    pub by: Option<String>,
    /// Also write all of it as JSON: every row to look up, every rate
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,
    /// How many games are read at once [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
}

/// Arguments of `scrim sweep`.
#[derive(Debug, Args)]
pub struct SweepArgs {
    /// The pipeline file whose parameters are varied, for example pipelines/nightly.toml
    pub pipeline: PathBuf,
    /// A source folder, a folder of source folders, or a single tracking file: a path, or s3://BUCKET/FOLDER, gs://..., az://...
    #[arg(long, short, value_name = "PLACE", value_parser = super::location())]
    pub input: Location,
    /// A parameter and the values that it takes, evenly from FROM to TO: five, or STEPS of them; of a whole number, without STEPS, each.
    /// May be given more than once: then every value with every other
    #[arg(long, required = true, value_name = "KEY=FROM..TO[:STEPS]")]
    pub vary: Vec<Vary>,
    /// A sample of so many sources (mostly a game each), evenly spread in the order of their names [default: all]
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..))]
    pub games: Option<u32>,
    /// Folder for sweep/sweep.parquet and sweep.svg
    #[arg(long, short, value_name = "DIR", value_parser = super::local())]
    pub output: PathBuf,
    /// A mapping file for all sources [default: each source folder's own mapping.toml, else scrim's own columns]
    #[arg(long, short, value_parser = super::local())]
    pub mapping: Option<PathBuf>,
    /// How many sources are processed at once; memory grows with it [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
}
