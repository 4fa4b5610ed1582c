//! Where the files of a source are.

mod files;

use std::path::{Path, PathBuf};

use scrim_tables::with_causes;

use crate::IngestError;
use crate::mapping::Mapping;
use crate::open_file::check_is_file;
use files::Files;
pub use files::{BeforeOpen, EventsFile};

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

/// What lies at an input.
#[derive(Debug, Default)]
pub struct FoundSources {
    /// The sources, by name.
    pub sources: Vec<Source>,
    /// Everything else right at the input or in a source's folder, by path: each file and folder is in a source or here.
    pub others: Vec<NoSource>,
}

/// A file or folder that is of no source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSource {
    /// Which.
    pub path: PathBuf,
    /// Why.
    pub reason: String,
    /// Whether tracking may lie there that should have been read: a folder that cannot be opened, a side table that is a pipe.
    pub is_loss: bool,
}

/// The sources at `input`: a source folder, a folder of such folders (sorted by name), or a single tracking file. A
/// `mapping` given here goes before a source folder's own `mapping.toml`. Which files of a folder are which show the
/// mapping's `[files]`, else their names (`tracking.*`, `games.*`, `players.*`, `events.*`), else what is in them. A
/// folder called `labels` is never looked into. One folder that cannot be read is listed, and the others are found.
///
/// # Errors
/// [`IngestError`] when `input` or the given mapping cannot be read, or `input` holds no tracking file and nothing that might
/// be some.
pub fn find_sources(input: &Path, mapping: Option<&Path>) -> Result<FoundSources, IngestError> {
    find_sources_with(input, mapping, &|_| Ok(()))
}

/// The same, where the files have their names and lengths, and their bytes only after `before_open`.
///
/// # Errors
/// See [`find_sources`].
pub fn find_sources_with(
    input: &Path,
    mapping: Option<&Path>,
    before_open: BeforeOpen<'_>,
) -> Result<FoundSources, IngestError> {
    let unreadable = |source| IngestError::Unreadable {
        path: input.into(),
        source,
    };
    if let Some(mapping) = mapping {
        check_is_file(mapping)?;
    }
    if !std::fs::metadata(input).map_err(unreadable)?.is_dir() {
        check_is_file(input)?;
        let beside = input.parent().map(entries_of).transpose()?.unwrap_or_default();
        let finder = Finder::new(mapping, before_open);
        let (mapping, words) = finder.mapping_of(&beside);
        let mut files = Files::by_name(&beside, &words);
        files.tracking = vec![input.into()];
        files.events.retain(|events| events.path != input);
        if let Some((_, refused)) = files.refused.drain(..).chain(check(&mapping)).next() {
            return Err(refused);
        }
        return Ok(FoundSources {
            sources: vec![source_of(input, files, mapping)],
            others: Vec::new(),
        });
    }
    let inside = entries_of(input)?;
    let mut finder = Finder::new(mapping, before_open);
    if !finder.take_source(input, &inside, ByContent::No) {
        let (folders, files): (Vec<&PathBuf>, Vec<&PathBuf>) = inside.iter().partition(|path| path.is_dir());
        for folder in folders {
            finder.take_folder(folder);
        }
        if !finder.found.sources.is_empty() || !finder.take_source(input, &inside, ByContent::Yes) {
            for file in files {
                finder.leave_file(file);
            }
        }
    }
    let mut found = finder.found;
    found.others.sort_by(|a, b| a.path.cmp(&b.path));
    found.others.dedup_by(|a, b| a.path == b.path);
    if found.sources.is_empty() && found.others.iter().all(|other| !other.is_loss) {
        Err(IngestError::NoTracking { path: input.into() })
    } else {
        Ok(found)
    }
}

/// Whether to look into files whose names say nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ByContent {
    Yes,
    No,
}

/// The folder of labels beside tracking.
const LABELS: &str = "labels";

/// Looks for sources, and keeps account of what is none.
struct Finder<'m> {
    mapping: Option<&'m Path>,
    before_open: BeforeOpen<'m>,
    found: FoundSources,
}

impl<'m> Finder<'m> {
    fn new(mapping: Option<&'m Path>, before_open: BeforeOpen<'m>) -> Self {
        Self {
            mapping,
            before_open,
            found: FoundSources::default(),
        }
    }

    /// A folder right below the input.
    fn take_folder(&mut self, folder: &Path) {
        if folder.ends_with(LABELS) {
            return self.leave(folder, "a folder of labels", false);
        }
        match entries_of(folder) {
            Err(error) => self.leave(folder, &with_causes(&error), true),
            Ok(inside) => {
                let losses = self.found.others.len();
                if !self.take_source(folder, &inside, ByContent::Yes) && self.found.others.len() == losses {
                    let reason = if inside.iter().any(|path| path.is_dir()) {
                        "no tracking here; folders below it are not looked into: give the one above the games' folders as input"
                    } else {
                        "no tracking here"
                    };
                    self.leave(folder, reason, false);
                }
            }
        }
    }

    /// Takes the source that a folder is, when it holds tracking, and says whether it does; what lies beside it is left.
    fn take_source(&mut self, folder: &Path, inside: &[PathBuf], by_content: ByContent) -> bool {
        let (mapping, words) = self.mapping_of(inside);
        let mut files = Files::by_name(inside, &words);
        if files.tracking.is_empty() && by_content == ByContent::Yes {
            files.add_by_content(inside, &words, self.before_open);
        }
        let refused: Vec<(PathBuf, IngestError)> = files.refused.drain(..).chain(check(&mapping)).collect();
        if files.tracking.is_empty() && (refused.is_empty() || by_content == ByContent::No) {
            return false;
        }
        if !refused.is_empty() {
            for (path, error) in refused {
                let reason = format!("{}; its folder is not read", with_causes(&error));
                self.leave(&path, &reason, true);
            }
            return true;
        }
        let source = source_of(folder, files, mapping);
        let is_used = |path: &PathBuf| source.files().any(|used| used == path);
        for path in inside.iter().filter(|path| !is_used(path)) {
            if path.is_dir() {
                self.leave_folder(path);
            } else {
                self.leave_file(path);
            }
        }
        self.found.sources.push(source);
        true
    }

    /// A folder beside tracking files.
    fn leave_folder(&mut self, folder: &Path) {
        if folder.ends_with(LABELS) {
            return self.leave(folder, "a folder of labels", false);
        }
        let holds_tracking = entries_of(folder).is_ok_and(|inside| {
            !Files::by_name(&inside, &self.mapping_of(&inside).1)
                .tracking
                .is_empty()
        });
        if holds_tracking {
            let reason = "a folder with tracking inside the folder of other tracking; it is not read: give it as an input of its \
                          own if it is another game";
            self.leave(folder, reason, false);
        } else {
            self.leave(folder, "a folder beside tracking files", false);
        }
    }

    /// A file that is of no source.
    fn leave_file(&mut self, path: &Path) {
        match check_is_file(path) {
            Err(error) => self.leave(path, &with_causes(&error), true),
            Ok(_) if files::is_data(path) => self.leave(path, "no tracking here", false),
            Ok(_) => self.leave(path, "no table by its name", false),
        }
    }

    fn leave(&mut self, path: &Path, reason: &str, is_loss: bool) {
        let place = format!("{}: ", path.display());
        self.found.others.push(NoSource {
            path: path.into(),
            reason: reason.strip_prefix(&place).unwrap_or(reason).into(),
            is_loss,
        });
    }

    /// The mapping of a source. One that cannot be read is reported when the source is read; here it says nothing.
    fn mapping_of(&self, beside: &[PathBuf]) -> (Option<PathBuf>, Mapping) {
        let own = || {
            let path = beside.iter().find(|p| p.ends_with("mapping.toml"))?;
            // One that cannot be brought here cannot be read, either.
            (self.before_open)(path).ok();
            Some(path.clone())
        };
        let path = self.mapping.map(PathBuf::from).or_else(own);
        let words = path.as_deref().and_then(|path| Mapping::read(path).ok());
        (path, words.unwrap_or_default())
    }
}

/// Why a mapping may not be opened.
fn check(mapping: &Option<PathBuf>) -> Option<(PathBuf, IngestError)> {
    let path = mapping.as_ref()?;
    Some((path.clone(), check_is_file(path).err()?))
}

impl Source {
    /// All its files: tracking, games, players, events, mapping.
    pub fn files(&self) -> impl Iterator<Item = &PathBuf> {
        let events = self.events.iter().map(|events| &events.path);
        self.tracking
            .iter()
            .chain(&self.games)
            .chain(&self.players)
            .chain(events)
            .chain(&self.mapping)
    }
}

fn source_of(at: &Path, files: Files, mapping: Option<PathBuf>) -> Source {
    let Files {
        tracking,
        games,
        players,
        events,
        ..
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
