//! Why there is no review.

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

use scrim_report::ReportError;
use scrim_season::SeasonError;
use scrim_tables::{StoreError, TableError};

/// Something that ends a review, or keeps it from beginning.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReviewError {
    /// A labeller's name that cannot be a folder's everywhere.
    #[error(
        "found the labeller `{found}`, expected 1 to {most} letters (a to z), digits, `-` or `_`: the name becomes a folder's"
    )]
    Labeller {
        /// The name.
        found: String,
        /// How long it may be.
        most: usize,
    },
    /// A labeller's name that another folder has.
    #[error(
        "found the labeller `{found}`, but `{taken}` is another's name or a folder's: the two could not be kept apart; take another name"
    )]
    LabellerTaken {
        /// The name.
        found: String,
        /// What it would be taken for.
        taken: String,
    },
    /// The same labeller is at work elsewhere.
    #[error("{path}: {labeller} is answering in another window or process; end that one, or take another --labeller", path = path.display())]
    Busy {
        /// The journal.
        path: PathBuf,
        /// Who.
        labeller: String,
    },
    /// A file cannot be read or written.
    #[error("{path}: cannot {action}; check that the folder exists, has room and may be written", path = path.display())]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What was tried.
        action: &'static str,
        /// What the system said.
        source: io::Error,
    },
    /// A line of a journal is no answer.
    #[error(
        "{path}, line {line}: found no answer, expected one as `scrim review` writes it; put the line right, or take it out and keep it \
         elsewhere: nothing after it is lost", path = path.display()
    )]
    Line {
        /// The journal.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// Why.
        source: serde_json::Error,
    },
    /// Numbers of a journal's lines that do not go up.
    #[error(
        "{path}, line {line}: found the number {number} after {before}, expected numbers that go up; a line stands twice or out of its order: \
         put it right, or take it out and keep it elsewhere", path = path.display()
    )]
    Number {
        /// The journal.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// Its number.
        number: u64,
        /// The number before it.
        before: u64,
    },
    /// No journal of a labeller.
    #[error("{path}: no answers of {labeller}; answers are in {found:?}", path = path.display())]
    NoAnswers {
        /// The folder of labels.
        path: PathBuf,
        /// Who was asked for.
        labeller: String,
        /// Who there is.
        found: Vec<String>,
    },
    /// The second labeller is the first.
    #[error("{labeller} cannot be their own second: give two labellers")]
    SameLabeller {
        /// Who.
        labeller: String,
    },
    /// No game that was asked for.
    #[error("no game is chosen: found games {found:?} of seasons {seasons:?}; check --game and --season")]
    NoGames {
        /// Which there are.
        found: Vec<String>,
        /// Of which seasons.
        seasons: BTreeSet<String>,
    },
    /// No tables at all.
    #[error("found no games, expected the output folder of `scrim run`")]
    NoTables,
    /// The address is taken.
    #[error(
        "127.0.0.1:{port}: nobody can be let in here; another program may use this port: give another --port, or none"
    )]
    Door {
        /// The port.
        port: u16,
        /// What the system said.
        source: io::Error,
    },
    /// The system gives no random numbers.
    #[error("the system gives no random numbers, so that there is no token to keep others out")]
    NoChance {
        /// What the system said.
        source: getrandom::Error,
    },
    /// Tables cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A table is broken.
    #[error("{name}: cannot be read; run the game again")]
    Table {
        /// The file.
        name: String,
        /// Why.
        source: TableError,
    },
    /// A game's rows cannot be read.
    #[error(transparent)]
    Report(#[from] ReportError),
    /// A game's quality cannot be read.
    #[error(transparent)]
    Season(#[from] SeasonError),
    /// A text cannot be encoded.
    #[error("the {what} cannot be written")]
    Text {
        /// What.
        what: &'static str,
        /// Why.
        source: Box<dyn std::error::Error + Send + Sync>,
    },
}

impl ReviewError {
    pub(crate) fn file(path: &Path, action: &'static str) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_path_buf();
        move |source| Self::File { path, action, source }
    }

    pub(crate) fn json(what: &'static str) -> impl FnOnce(serde_json::Error) -> Self {
        move |source| Self::Text {
            what,
            source: source.into(),
        }
    }
}
