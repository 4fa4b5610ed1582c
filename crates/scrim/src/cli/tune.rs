//! The command line of `scrim tune`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use scrim_objects::Location;

use crate::run::MOST_JOBS;

/// Arguments of `scrim tune`.
#[derive(Debug, Args)]
pub struct TuneArgs {
    /// The pipeline file to start from, for example pipelines/nightly.toml
    pub pipeline: PathBuf,
    /// The labelled games: a source folder, a folder of source folders, or a single tracking file
    #[arg(long, short, value_name = "PLACE", value_parser = super::location())]
    pub input: Location,
    /// Folder of labels of `screens` and, for coverages, `coverages`: TABLE.csv or TABLE.parquet in it, in its labels/, or in a folder
    /// for each game
    #[arg(long, short, value_name = "DIR")]
    pub labels: PathBuf,
    /// The pipeline file to write, if the fit helps
    #[arg(long, short, value_name = "FILE")]
    pub output: PathBuf,
    /// Strength of the ridge that holds the weights back [default: the one from 3 to 300 that does best on held-out games]; more is
    /// safer for games unlike the labelled ones
    #[arg(long, value_name = "NUMBER", value_parser = ridge)]
    pub ridge: Option<f64>,
    /// Fit only these parts, separated by commas. Labels that leave out screens on purpose are good for coverages only
    #[arg(long, value_enum, value_name = "PART", value_delimiter = ',')]
    pub only: Vec<TunePart>,
    /// Also write what the fit of coverages was given, as CSV, a line for each labelled ball screen
    #[arg(long, value_name = "FILE")]
    pub samples: Option<PathBuf>,
    /// A mapping file for all sources [default: each source folder's own mapping.toml, else scrim's own columns]
    #[arg(long, short)]
    pub mapping: Option<PathBuf>,
    /// How many sources are processed at once; memory grows with it [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
}

impl TuneArgs {
    /// Whether a part is to be fitted.
    pub fn fits(&self, part: TunePart) -> bool {
        self.only.is_empty() || self.only.contains(&part)
    }

    /// Whether screens, on the ball or off it, are to be fitted.
    pub fn fits_screens(&self) -> bool {
        self.fits(TunePart::Screens) || self.fits(TunePart::OffBallScreens)
    }
}

/// What `scrim tune` can fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "snake_case")]
pub enum TunePart {
    /// Which candidates on the ball are ball screens and handoffs.
    Screens,
    /// Which candidates off the ball are screens.
    OffBallScreens,
    /// How ball screens are defended.
    Coverages,
}

/// Reads the strength of a ridge.
fn ridge(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(number) if (MIN_RIDGE..=MAX_RIDGE).contains(&number) => Ok(number),
        Ok(_) | Err(_) => Err(format!("a number from {MIN_RIDGE} to {MAX_RIDGE}")),
    }
}

/// With less, a fit of few labels has no single answer.
const MIN_RIDGE: f64 = 0.01;
/// With more, no season of labels moves a weight.
const MAX_RIDGE: f64 = 1e6;
