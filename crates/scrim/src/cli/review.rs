//! The command line of `scrim review`.

use std::path::PathBuf;

use clap::Args;
use scrim_objects::Location;

use super::{local, location};

/// Arguments of `scrim review`.
#[derive(Debug, Args)]
pub struct ReviewArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location(), required_unless_present = "agreement")]
    pub tables: Option<Location>,
    /// Folder for answers and labels: a folder in it for each labeller
    #[arg(long, short, value_name = "DIR", value_parser = local())]
    pub labels: PathBuf,
    /// Who answers: letters, digits, `-` and `_`
    #[arg(long, value_name = "NAME", required_unless_present = "agreement")]
    pub labeller: Option<String>,
    /// Only this game; may be given more than once [default: all but those whose data the gate called poor]
    #[arg(long, value_name = "GAME")]
    pub game: Vec<String>,
    /// Only games of this season
    #[arg(long, value_name = "SEASON")]
    pub season: Option<String>,
    /// How many clips this sitting has at most
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u32).range(1..))]
    pub top: u32,
    /// Only clips by chance: for labels that say how good the tags are. Without it every fifth is
    #[arg(long)]
    pub chance_only: bool,
    /// Only clips that this labeller has answered, in an order by chance; their answers are not shown
    #[arg(long, value_name = "NAME")]
    pub second_of: Option<String>,
    /// The port on this machine [default: a free one]
    #[arg(long, value_name = "PORT", default_value_t = 0, hide_default_value = true)]
    pub port: u16,
    /// Ask nothing: print how far two labellers agree, by Cohen's kappa
    #[arg(long, value_names = ["NAME", "NAME"], num_args = 2, conflicts_with_all = ["tables", "labeller", "game", "season", "top", "chance_only", "second_of", "port"])]
    pub agreement: Option<Vec<String>>,
}
