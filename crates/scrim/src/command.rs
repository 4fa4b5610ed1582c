//! What each command does, a module a command.

pub mod clips;
pub mod columns;
pub mod demo;
pub mod digest;
pub mod inspect;
pub mod pipeline;
pub mod practice;
pub mod prune;
pub mod report;
pub mod run;
pub mod runs;
pub mod score;
pub mod season;
pub mod tune;
pub mod verify;

use std::io::{self, Write};
use std::path::Path;

use anyhow::Context;
use scrim_tables::{LocalStore, check_schema_version};

use crate::terminal::shown;

/// The tables' folder, when it holds none of another schema version.
pub(crate) fn tables_in(folder: &Path) -> anyhow::Result<LocalStore> {
    let store = LocalStore::new(folder);
    check_schema_version(&store).with_context(|| folder.display().to_string())?;
    Ok(store)
}

/// Writes `text` to stdout. A reader that has gone away (`| head`) is no error.
///
/// # Errors
/// [`io::Error`] when stdout cannot be written for another reason.
pub fn say(text: &str) -> io::Result<()> {
    let mut stdout = io::stdout().lock();
    match stdout
        .write_all(shown(text).as_bytes())
        .and_then(|()| stdout.flush())
    {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(error),
        _ => Ok(()),
    }
}
