//! Where the files of a source are.

mod files;

use std::path::{Path, PathBuf};

use crate::IngestError;
use crate::mapping::Mapping;
use files::Files;

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
    /// The `events` side tables, sorted by name.
    pub events: Vec<EventsFile>,
    /// The mapping; `None` when the canonical columns are expected.
    pub mapping: Option<PathBuf>,
}

/// An `events` side table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventsFile {
    /// The file.
    pub path: PathBuf,
    /// The game that its name tells, for rows that tell none.
    pub game: Option<String>,
}

/// The sources at `input`: a source folder, a folder of such folders (sorted by name), or a single tracking file. A
/// `mapping` given here goes before a source folder's own `mapping.toml`. Which files of a folder are which tell the
/// mapping's `[files]`, else their names (`tracking.*`, `games.*`, `players.*`, `events.*`), else what is in them. A
/// folder called `labels` is never looked into.
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
        let (mapping, told) = mapping_of(&beside, mapping);
        let mut files = Files::by_name(&beside, &told);
        files.tracking = vec![input.into()];
        files.events.retain(|events| events.path != input);
        return Ok(vec![source_of(input, files, mapping)]);
    }
    let inside = entries_of(input)?;
    if let Some(source) = source_in(input, &inside, mapping, ByContent::No) {
        return Ok(vec![source]);
    }
    let mut sources = Vec::new();
    for folder in inside
        .iter()
        .filter(|path| path.is_dir() && path.file_name().is_some_and(|n| n != "labels"))
    {
        let inside = entries_of(folder)?;
        sources.extend(source_in(folder, &inside, mapping, ByContent::Yes));
    }
    if sources.is_empty() {
        sources.extend(source_in(input, &inside, mapping, ByContent::Yes));
    }
    if sources.is_empty() {
        Err(IngestError::NoTracking { path: input.into() })
    } else {
        Ok(sources)
    }
}

/// Whether to look into files whose names tell nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ByContent {
    Yes,
    No,
}

/// The source that a folder is, when it holds tracking.
fn source_in(
    folder: &Path,
    inside: &[PathBuf],
    mapping: Option<&Path>,
    by_content: ByContent,
) -> Option<Source> {
    let (mapping, told) = mapping_of(inside, mapping);
    let mut files = Files::by_name(inside, &told);
    if files.tracking.is_empty() && by_content == ByContent::Yes {
        files.add_by_content(inside, &told);
    }
    (!files.tracking.is_empty()).then(|| source_of(folder, files, mapping))
}

/// The mapping of a source. One that cannot be read is told when the source is read; here it says nothing.
fn mapping_of(beside: &[PathBuf], mapping: Option<&Path>) -> (Option<PathBuf>, Mapping) {
    let own = || beside.iter().find(|p| p.ends_with("mapping.toml")).cloned();
    let path = mapping.map(PathBuf::from).or_else(own);
    let told = path.as_deref().and_then(|path| Mapping::read(path).ok());
    (path, told.unwrap_or_default())
}

fn source_of(at: &Path, files: Files, mapping: Option<PathBuf>) -> Source {
    let Files {
        tracking,
        games,
        players,
        events,
    } = files;
    Source {
        name: at
            .file_name()
            .unwrap_or(at.as_os_str())
            .to_string_lossy()
            .into_owned(),
        tracking,
        games,
        players,
        events,
        mapping,
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
