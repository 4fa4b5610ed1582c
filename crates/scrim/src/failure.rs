//! Why a game, a file or a source could not be done.

use std::panic::{AssertUnwindSafe, catch_unwind};

use scrim_compare::CompareError;
use scrim_floor::CourtError;
use scrim_ingest::IngestError;
use scrim_season::SeasonError;
use scrim_tables::{StoreError, TableError};
use scrim_tracks::TrackError;

/// Why one game, one file or one source could not be done; the others went on.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Failure {
    /// It could not be read.
    #[error(transparent)]
    Ingest(#[from] IngestError),
    /// Its tracks could not be cleaned.
    #[error(transparent)]
    Tracks(#[from] TrackError),
    /// The pipeline's court cannot be used.
    #[error(transparent)]
    Court(#[from] CourtError),
    /// It could not be taken into its season.
    #[error(transparent)]
    Season(#[from] SeasonError),
    /// It could not be held against another output's.
    #[error(transparent)]
    Compare(#[from] CompareError),
    /// Its rows could not be encoded.
    #[error(transparent)]
    Table(#[from] TableError),
    /// Its tables could not be stored.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Another source has a game of the same id and season: one would overwrite the other.
    #[error(
        "the source `{first}` has a game of this id and season too, and that one was kept; give one of the two \
         another game_id (or season), or leave one out"
    )]
    SameGame {
        /// The source whose game was kept: the earlier one by name.
        first: String,
    },
    /// A season's games were made with different parameters: their counts cannot be held together.
    #[error(
        "its games were made with different parameters: {games}; run all of them again with one pipeline, keep the two in different \
         outputs, or remove games with `scrim prune`"
    )]
    MixedParameters {
        /// How many with which, by the beginning of the parameters' hash.
        games: String,
    },
    /// A file of the source was written while it was read.
    #[error("its files changed while they were read: it is done again by the next run")]
    ChangedWhileRead,
    /// The gate refused it: its data are no game that can be tagged.
    #[error("refused: {reasons}")]
    Gate {
        /// What was measured, what a good game has, and what to look at.
        reasons: String,
    },
    /// Whoever started the run called it off.
    #[error("the run was called off before this was done")]
    Stopped,
    /// What is wrong with an object that was brought here.
    #[error("{reason}")]
    OfObject {
        /// In words, with its address.
        reason: String,
        /// The same, with the path where it was read.
        failure: Box<Failure>,
    },
    /// A broken invariant of the program itself.
    #[error(
        "a fault of the program itself: {what}; it was given up, the others went on. Please report it, with this \
         message and, if it may be shared, the input"
    )]
    Panic {
        /// What broke.
        what: String,
    },
}

impl Failure {
    /// Whether the same input and parameters fail like this whenever they are run, so that there is no use in trying again.
    pub fn is_lasting(&self) -> bool {
        match self {
            Self::Ingest(IngestError::Unreadable { .. }) => false,
            Self::Ingest(_) | Self::Tracks(_) | Self::Court(_) | Self::Gate { .. } => true,
            Self::OfObject { failure, .. } => failure.is_lasting(),
            Self::Season(_)
            | Self::Compare(_)
            | Self::Table(_)
            | Self::Store(_)
            | Self::SameGame { .. }
            | Self::MixedParameters { .. }
            | Self::ChangedWhileRead
            | Self::Stopped
            | Self::Panic { .. } => false,
        }
    }

    /// In which stage of a run it happened, for logs.
    pub fn stage(&self) -> &'static str {
        match self {
            Self::OfObject { failure, .. } => failure.stage(),
            Self::Ingest(_)
            | Self::ChangedWhileRead
            | Self::Stopped
            | Self::Store(StoreError::Replaced { .. }) => "read",
            Self::Tracks(_) | Self::Court(_) | Self::Panic { .. } => "tag",
            Self::Gate { .. } => "gate",
            Self::Season(_) | Self::MixedParameters { .. } => "season",
            Self::Compare(_) => "compare",
            Self::Table(_) | Self::Store(_) | Self::SameGame { .. } => "write",
        }
    }
}

/// Does `work`; a panic in it becomes [`Failure::Panic`]. What `work` was given must not be used again after that.
///
/// # Errors
/// What `work` returns, or the panic.
pub fn guarded<T>(work: impl FnOnce() -> Result<T, Failure>) -> Result<T, Failure> {
    // Unwind safe by the promise above: whatever may be half-changed is given up with the failure.
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|payload| {
        let what = panic_message(payload.as_ref());
        Err(Failure::Panic { what })
    })
}

/// The message inside a caught panic.
pub fn panic_message(payload: &(dyn std::any::Any + Send)) -> String {
    let text = payload
        .downcast_ref::<&str>()
        .map(|text| (*text).to_owned())
        .or_else(|| payload.downcast_ref::<String>().cloned());
    text.unwrap_or_else(|| "no message".into())
}

#[cfg(test)]
mod tests {
    use scrim_tables::with_causes;

    use super::*;

    #[test]
    fn a_panic_becomes_a_failure_that_asks_to_be_reported() {
        let empty: Vec<u8> = Vec::new();
        let failure = guarded(|| Ok(empty[3])).unwrap_err();
        let text = with_causes(&failure);
        assert!(text.contains("index is 3") && text.contains("report"), "{text}");
    }
}
