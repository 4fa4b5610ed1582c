//! The command line of `scrim like`.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Args, ValueEnum};
use scrim_objects::Location;

use super::{local, location};
use crate::run::MOST_JOBS;

/// Arguments of `scrim like`.
#[derive(Debug, Args)]
pub struct LikeArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// The possession: its game, period and number, as in `possessions`
    #[arg(long, value_name = "GAME:PERIOD:ID")]
    pub possession: PossessionName,
    /// Only possessions of this team
    #[arg(long, value_name = "TEAM")]
    pub team: Option<String>,
    /// Only the last N games, by day, then id; with --team, that team's
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub last: Option<u32>,
    /// How many to list
    #[arg(long, value_name = "N", default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..))]
    pub count: u32,
    /// Keep what is compared in this file: made when it is not there, and brought up to date when games have changed
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub index: Option<PathBuf>,
    /// Also draw them: one HTML page that needs no network
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub page: Option<PathBuf>,
    /// How many games are read at once [default: one per processor]
    #[arg(long, short, value_parser = clap::value_parser!(u16).range(1..=i64::from(MOST_JOBS)))]
    pub jobs: Option<u16>,
    /// In which form
    #[arg(long, value_enum, value_name = "FORM", default_value = "text")]
    pub format: LikeFormat,
}

/// A form of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LikeFormat {
    /// Aligned text, for people.
    Text,
    /// JSON, for programs.
    Json,
}

/// A possession as it is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PossessionName {
    /// The game.
    pub game_id: String,
    /// The period, from 1.
    pub period: u8,
    /// The possession's number in its game.
    pub possession_id: u32,
}

impl FromStr for PossessionName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        // From the end: a game's id may have a colon of its own.
        let mut parts = text.rsplitn(3, ':');
        let (id, period, game) = (parts.next(), parts.next(), parts.next());
        let read = || {
            Some(Self {
                game_id: game.filter(|game| !game.is_empty())?.into(),
                period: period?.parse().ok()?,
                possession_id: id?.parse().ok()?,
            })
        };
        read().ok_or_else(|| "expected GAME:PERIOD:ID, as P1-000:2:57".into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_possession_is_read_from_its_end() {
        let name: PossessionName = "2041:G7:2:57".parse().unwrap();
        let expected = PossessionName {
            game_id: "2041:G7".into(),
            period: 2,
            possession_id: 57,
        };
        assert_eq!(name, expected);
        for wrong in [
            "",
            "G7",
            "G7:57",
            ":2:57",
            "G7:two:57",
            "G7:2:",
            "G7:300:57",
            "G7:2:-1",
        ] {
            assert!(wrong.parse::<PossessionName>().is_err(), "{wrong}");
        }
    }
}
