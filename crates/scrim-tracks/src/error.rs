//! Why a game cannot be cleaned.

use scrim_floor::ParameterError;
use thiserror::Error;

/// Why a game cannot be cleaned.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum TrackError {
    /// A parameter lies outside its bounds.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
    /// An instant lies outside the period.
    #[error(
        "game {game}, period {period}: a sample of {who} stands at {found} s; a period's instants must lie between 0 \
         and {most} s after its first frame: check the unit of time in the mapping"
    )]
    Instant {
        /// The game.
        game: String,
        /// The period.
        period: u8,
        /// Whose sample: a player's id, "the ball" or "the clocks".
        who: String,
        /// The instant, seconds.
        found: f64,
        /// The latest instant that is taken, seconds.
        most: f64,
    },
    /// Samples that break a promise of the raw game: equal lengths, ascending instants, finite places, known players.
    #[error("game {game}, period {period}: the samples of {who} are broken: {what}")]
    Samples {
        /// The game.
        game: String,
        /// The period.
        period: u8,
        /// Whose samples: a player's id, "the ball" or "the clocks".
        who: String,
        /// Which promise, and where it was broken.
        what: &'static str,
    },
}
