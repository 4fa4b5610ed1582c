//! The command line of `scrim report` and `scrim clips`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use scrim_objects::Location;
use scrim_report::{Choice, ClipFormat, ClipSide};

use super::{local, location};

/// Which games a report or a clip list is about.
#[derive(Debug, Args)]
pub struct ChoiceArgs {
    /// The team's id, as in the tables
    #[arg(long, value_name = "TEAM")]
    pub team: String,
    /// Only its games against this team
    #[arg(long, value_name = "TEAM")]
    pub against: Option<String>,
    /// Only its last N games, by day, then id
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub last: Option<u32>,
    /// Also games whose data the gate called poor
    #[arg(long)]
    pub poor_too: bool,
}

impl ChoiceArgs {
    /// The choice.
    pub fn choice(&self) -> Choice {
        Choice {
            team: self.team.clone(),
            against: self.against.clone(),
            last: self.last,
            poor_too: self.poor_too,
        }
    }
}

/// Arguments of `scrim report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// Which games.
    #[command(flatten)]
    pub choice: ChoiceArgs,
    /// The report: one HTML file that needs no network
    #[arg(long, short, value_name = "FILE", value_parser = local())]
    pub output: PathBuf,
    /// Also write each drawing as an SVG file into this folder
    #[arg(long, value_name = "DIR", value_parser = local())]
    pub drawings: Option<PathBuf>,
}

/// Arguments of `scrim clips`.
#[derive(Debug, Args)]
pub struct ClipsArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// Which games.
    #[command(flatten)]
    pub choice: ChoiceArgs,
    /// Folder for the clip lists
    #[arg(long, short, value_name = "DIR", value_parser = local())]
    pub output: PathBuf,
    /// Whose ball screens: the team's own, those it defends, or both
    #[arg(long, value_enum, value_name = "WHOSE", default_value = "both")]
    pub side: ClipsSide,
    /// The format; may be given more than once [default: all]
    #[arg(long = "format", value_enum, value_name = "FORM")]
    pub format: Vec<ClipsFormat>,
}

impl ClipsArgs {
    /// The forms asked for; all, when none is named.
    pub fn formats(&self) -> Vec<ClipFormat> {
        let named: &[ClipsFormat] = if self.format.is_empty() {
            ClipsFormat::value_variants()
        } else {
            &self.format
        };
        named
            .iter()
            .map(|format| match format {
                ClipsFormat::Csv => ClipFormat::Csv,
                ClipsFormat::Vtt => ClipFormat::Vtt,
                ClipsFormat::Otio => ClipFormat::Otio,
            })
            .collect()
    }
}

/// Whose ball screens become clips.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ClipsSide {
    /// The team's own.
    Offense,
    /// Those that it defends.
    Defense,
    /// Both.
    Both,
}

impl From<ClipsSide> for ClipSide {
    fn from(side: ClipsSide) -> Self {
        match side {
            ClipsSide::Offense => Self::Offense,
            ClipsSide::Defense => Self::Defense,
            ClipsSide::Both => Self::Both,
        }
    }
}

/// A form of clip list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ClipsFormat {
    /// One clips.csv for all games.
    Csv,
    /// WebVTT: chapters and tags, two files for each game.
    Vtt,
    /// OpenTimelineIO: a timeline for each game.
    Otio,
}
