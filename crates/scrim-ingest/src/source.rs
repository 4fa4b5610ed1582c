//! Where the files of a source are.

use std::path::{Path, PathBuf};

use crate::IngestError;

/// What tracking files are called, before the first dot.
const TRACKING: &str = "tracking";

/// Files that are read together: tracking and the side tables beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The folder's or file's name, for messages.
    pub name: String,
    /// The tracking files, sorted by name.
    pub tracking: Vec<PathBuf>,
    /// The `games` side table.
    pub games: Option<PathBuf>,
    /// The `players` side table.
    pub players: Option<PathBuf>,
    /// The `events` side table.
    pub events: Option<PathBuf>,
    /// The mapping; `None` when the canonical columns are expected.
    pub mapping: Option<PathBuf>,
}

/// The sources at `input`: a source folder, a folder of such folders (sorted by name), or a single tracking file. A
/// `mapping` given here goes before a source folder's own `mapping.toml`. A folder called `labels` is never looked
/// into.
///
/// # Errors
/// [`IngestError`] when `input` cannot be read or holds no tracking file.
pub fn find_sources(input: &Path, mapping: Option<&Path>) -> Result<Vec<Source>, IngestError> {
    let unreadable = |source| IngestError::Unreadable {
        path: input.into(),
        source,
    };
    if !std::fs::metadata(input).map_err(unreadable)?.is_dir() {
        let beside = input.parent().map(entries_of).transpose()?.unwrap_or_default();
        return Ok(vec![source_of(input, vec![input.into()], &beside, mapping)]);
    }
    let inside = entries_of(input)?;
    let tracking = stems(&inside, TRACKING);
    if !tracking.is_empty() {
        return Ok(vec![source_of(input, tracking, &inside, mapping)]);
    }
    let mut sources = Vec::new();
    for folder in inside
        .iter()
        .filter(|path| path.is_dir() && path.file_name().is_some_and(|n| n != "labels"))
    {
        let inside = entries_of(folder)?;
        let tracking = stems(&inside, TRACKING);
        if !tracking.is_empty() {
            sources.push(source_of(folder, tracking, &inside, mapping));
        }
    }
    if sources.is_empty() {
        Err(IngestError::NoTracking { path: input.into() })
    } else {
        Ok(sources)
    }
}

fn source_of(at: &Path, tracking: Vec<PathBuf>, beside: &[PathBuf], mapping: Option<&Path>) -> Source {
    let first = |stem| stems(beside, stem).into_iter().next();
    Source {
        name: at
            .file_name()
            .unwrap_or(at.as_os_str())
            .to_string_lossy()
            .into_owned(),
        tracking,
        games: first("games"),
        players: first("players"),
        events: first("events"),
        mapping: mapping
            .map(Into::into)
            .or_else(|| beside.iter().find(|p| p.ends_with("mapping.toml")).cloned()),
    }
}

/// Everything right in a folder, sorted by name.
fn entries_of(folder: &Path) -> Result<Vec<PathBuf>, IngestError> {
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let unreadable = |source| IngestError::Unreadable {
        path: folder.into(),
        source,
    };
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        paths.push(entry.map_err(unreadable)?.path());
    }
    paths.sort();
    Ok(paths)
}

/// The files of a table: `STEM.*`, and for tracking also `STEM-*.*` and `STEM_*.*` (a table in several files). Files
/// that are plainly no data (a mapping, a note, a check sum, half a copy) do not count.
fn stems(paths: &[PathBuf], stem: &str) -> Vec<PathBuf> {
    const NO_DATA: [&str; 6] = [".toml", ".md", ".crc", ".sha256", ".tmp", ".part"];
    let may_be_several = stem == TRACKING;
    let is_one = |path: &&PathBuf| {
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .to_ascii_lowercase();
        let Some(rest) = name.strip_prefix(stem) else {
            return false;
        };
        let is_of_table =
            rest.starts_with('.') || (may_be_several && rest.starts_with(['-', '_']) && rest.contains('.'));
        is_of_table && NO_DATA.iter().all(|ending| !rest.ends_with(ending)) && path.is_file()
    };
    paths.iter().filter(is_one).cloned().collect()
}
