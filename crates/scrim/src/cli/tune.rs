//! The command line of `scrim tune`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// Arguments of `scrim tune`.
#[derive(Debug, Args)]
pub struct TuneArgs {
    /// The pipeline file to begin from, for example pipelines/nightly.toml
    pub pipeline: PathBuf,
    /// The labelled games: a source folder, a folder of source folders, or a single tracking file
    #[arg(long, short)]
    pub input: PathBuf,
    /// Folder of labels of `screens` and, for coverages, `coverages`: NAME.csv or NAME.parquet here, in labels/, or in a folder a game
    #[arg(long, short, value_name = "DIR")]
    pub labels: PathBuf,
    /// The pipeline file to write, if the fit helps
    #[arg(long, short, value_name = "FILE")]
    pub output: PathBuf,
    /// Hold the weights back this strongly, rather than as strongly as does best on what is held out (3 to 300): more is safer
    /// for games unlike the labelled ones
    #[arg(long, value_name = "NUMBER", value_parser = ridge)]
    pub ridge: Option<f64>,
    /// Fit this alone; with commas between, these alone. Labels that leave screens out on purpose serve coverages alone
    #[arg(long, value_enum, value_name = "PART", value_delimiter = ',')]
    pub only: Vec<TunePart>,
    /// Also write what the fit of coverages has seen, a line a labelled ball screen, as CSV
    #[arg(long, value_name = "FILE")]
    pub samples: Option<PathBuf>,
    /// A mapping file for all sources; without it, each source folder's own mapping.toml, else the canonical columns
    #[arg(long, short)]
    pub mapping: Option<PathBuf>,
    /// How many sources are worked on at once; memory grows with it [default: one a processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=1024))]
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
