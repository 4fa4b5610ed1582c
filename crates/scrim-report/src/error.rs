//! Why there is no report.

use scrim_tables::{StoreError, TableError};

/// A report or clip list that cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// The tables hold no game at all.
    #[error(
        "no tables of games: found no `possessions/SEASON~GAME.parquet`; give the folder that `scrim run` \
         wrote as --output"
    )]
    NoGames,
    /// No game of the team.
    #[error(
        "no game of team `{team}`; the tables have games of {found:?}: give one of these, spelled as here"
    )]
    UnknownTeam {
        /// Who was asked for.
        team: String,
        /// Who there is.
        found: Vec<String>,
    },
    /// No game of the team against the other.
    #[error("no game of team `{team}` against `{against}`; it has games against {found:?}")]
    NeverMet {
        /// Who was asked for.
        team: String,
        /// Against whom.
        against: String,
        /// Against whom there are games.
        found: Vec<String>,
    },
    /// All games that were asked for have poor data.
    #[error(
        "team `{team}`: the data of all {games} games are poor (their `game_quality` says why); --poor-too takes them in"
    )]
    AllPoor {
        /// Who was asked for.
        team: String,
        /// How many games.
        games: usize,
    },
    /// No such game.
    #[error("no game `{game_id}`; the tables have {found:?}")]
    UnknownGame {
        /// Which was asked for.
        game_id: String,
        /// Which there are.
        found: Vec<String>,
    },
    /// A clock that a mark names is shown at no instant.
    #[error(
        "{mark}: the tracks show the clock turn to this at no instant; give a moment in live half-court play"
    )]
    ClockNotShown {
        /// The mark.
        mark: String,
    },
    /// A clock that a mark names is shown at several instants.
    #[error(
        "{mark}: the tracks show the clock turn to this more than once, up to {apart_s:.1} s apart: it was set back; give another second"
    )]
    ClockTurnsAgain {
        /// The mark.
        mark: String,
        /// From the first to the last.
        apart_s: f64,
    },
    /// A period that the game does not have.
    #[error("the game has no period of {mark}; it has {found:?}")]
    UnknownPeriod {
        /// The mark.
        mark: String,
        /// Which there are.
        found: Vec<u8>,
    },
    /// Two marks of one period that put the video at different places.
    #[error(
        "{one} and {other} put the video {apart_s:.1} s apart; look at both again: one of them is misread, or the video is cut between them"
    )]
    MarksApart {
        /// The first.
        one: String,
        /// The other.
        other: String,
        /// By how much.
        apart_s: f64,
    },
    /// No such possession.
    #[error("game {game_id} has no possession {possession_id}; `possessions` lists them")]
    UnknownPossession {
        /// The game.
        game_id: String,
        /// Which was asked for.
        possession_id: u32,
    },
    /// No such player in the games.
    #[error(
        "nobody with the id `{player}`, and nobody of the team with that number, is in a screen of these games; the team has {found:?}"
    )]
    UnknownPlayer {
        /// Who was asked for.
        player: String,
        /// Who there is.
        found: Vec<String>,
    },
    /// No such finding.
    #[error(
        "there is no finding {asked}: the report's first page has {found} of them for this team (without season tables, or with \
         fewer than four teams, it has none)"
    )]
    NoFinding {
        /// Which was asked for.
        asked: u32,
        /// How many there are.
        found: usize,
    },
    /// The reader's team is the one that the report is about.
    #[error("the report is about `{team}`, so it cannot be set beside itself; --for names another team")]
    OwnReport {
        /// The team.
        team: String,
    },
    /// The last 0 games.
    #[error("the last 0 games are no games; ask for at least one")]
    LastNone,
    /// A file could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A table that no report can do without cannot be read.
    #[error("{name}: cannot be read; run the game again")]
    Table {
        /// The file, below the tables' folder.
        name: String,
        /// Why.
        source: TableError,
    },
    /// A text could not be encoded.
    #[error("the {what} cannot be written as JSON")]
    Json {
        /// What.
        what: &'static str,
        /// Why.
        source: serde_json::Error,
    },
    /// A text could not be encoded.
    #[error("the clip list cannot be written as CSV")]
    Csv {
        /// Why.
        source: csv::Error,
    },
}
