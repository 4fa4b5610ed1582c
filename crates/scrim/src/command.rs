//! What each command does, a module a command.

pub mod clips;
pub mod columns;
pub mod compare;
pub mod demo;
pub mod digest;
pub mod inspect;
pub mod like;
pub mod pipeline;
pub mod practice;
pub mod prune;
pub mod report;
pub mod review;
pub mod run;
pub mod runs;
pub mod score;
pub mod season;
pub mod sweep;
pub mod tune;
pub mod verify;
pub mod words;

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use scrim_objects::{Location, Mirror, ObjectFolder};
use scrim_tables::{LocalStore, OutputStore, check_schema_version};
use serde::Serialize;

use crate::terminal::shown;

/// The tables' folder, when it holds none of another schema version.
///
/// # Errors
/// When it does, or cannot be read.
pub fn tables_in(place: &Location) -> anyhow::Result<Box<dyn OutputStore>> {
    let store = store_at(place)?;
    check_schema_version(store.as_ref()).with_context(|| place.to_string())?;
    Ok(store)
}

/// The store at a place.
///
/// # Errors
/// When the environment does not make sense of an address; nothing is sent yet.
pub fn store_at(place: &Location) -> anyhow::Result<Box<dyn OutputStore>> {
    Ok(match place {
        Location::Local(folder) => Box::new(LocalStore::new(folder)),
        Location::Remote(address) => Box::new(ObjectFolder::new(address)?),
    })
}

/// All files of a place as files of this machine, for as long as the second is held.
///
/// # Errors
/// When an object cannot be brought here.
pub fn files_of(place: &Location) -> anyhow::Result<(PathBuf, Option<Mirror>)> {
    let address = match place {
        Location::Local(folder) => return Ok((folder.clone(), None)),
        Location::Remote(address) => address,
    };
    let Some(mirror) = Mirror::open(address)? else {
        bail!("{address}: nothing is there; check the address");
    };
    mirror.fetch_all()?;
    Ok((mirror.input().to_path_buf(), Some(mirror)))
}

/// Writes `value` into a file as JSON.
///
/// # Errors
/// When the file cannot be written.
pub fn write_json(path: &Path, value: &impl Serialize) -> anyhow::Result<()> {
    let json = serde_json::to_string_pretty(value)? + "\n";
    std::fs::write(path, json).with_context(|| format!("{}: the JSON cannot be written", path.display()))
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
