//! How a possession is played: as real players play, hardly ever at rest, or in order, as a set is walked through.

/// How a possession is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Style {
    /// Nobody stands for long, screens are set and used on the move, the ball goes round.
    Lively,
    /// Players off the ball stand at their spots, the handler waits for a screener who comes and stands, defenders are near.
    Orderly,
}

impl Style {
    /// The one of the two that belongs to this style.
    pub fn pick<T>(self, lively: T, orderly: T) -> T {
        match self {
            Self::Lively => lively,
            Self::Orderly => orderly,
        }
    }
}
