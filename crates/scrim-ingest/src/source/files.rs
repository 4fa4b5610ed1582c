//! Which files of a folder are which: by the mapping's patterns, by the usual names, or by what is in them.

use std::io;
use std::path::{Path, PathBuf};

use crate::chunk::Flow;
use crate::delimited::DelimitedFile;
use crate::input::{Input, lower_name};
use crate::mapping::{Form, Format, Mapping, fits};
use crate::names::Names;
use crate::open_file::check_is_file;
use crate::open_table::plan_file;
use crate::{IngestError, columnar};

/// An `events` side table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventsFile {
    /// The file.
    pub path: PathBuf,
    /// The game that its name names, for rows that name none.
    pub game: Option<String>,
}

/// What is done with a file before it is opened: one that is elsewhere is brought here.
pub type BeforeOpen<'a> = &'a dyn Fn(&Path) -> io::Result<()>;

/// The files of a source.
#[derive(Debug, Default)]
pub(super) struct Files {
    pub tracking: Vec<PathBuf>,
    pub games: Option<PathBuf>,
    pub players: Option<PathBuf>,
    pub events: Vec<EventsFile>,
    /// What has the name of one of them and is no file.
    pub refused: Vec<(PathBuf, IngestError)>,
}

impl Files {
    /// The files among `inside` by the mapping's patterns, and where it has none by the usual names.
    pub(super) fn by_name(inside: &[PathBuf], mapping: &Mapping) -> Self {
        let files = &mapping.files;
        let of = |patterns: &[String], stem: &str| -> Vec<PathBuf> {
            if patterns.is_empty() {
                return stems(inside, stem);
            }
            let fitting = inside
                .iter()
                .filter(|path| fits(patterns, path).is_some() && has_data_name(path));
            fitting.cloned().collect()
        };
        let mut refused = Vec::new();
        let mut of = |patterns: &[String], stem: &str| {
            let mut found = of(patterns, stem);
            found.retain(|path| match check_is_file(path) {
                Ok(_) => true,
                // A pattern for tracking may be a wide one: a folder that it fits is no loss.
                Err(_) if stem == TRACKING && path.is_dir() => false,
                Err(error) => {
                    refused.push((path.clone(), error));
                    false
                }
            });
            found
        };
        let games = of(&files.games, "games");
        let players = of(&files.players, "players");
        let mut events: Vec<EventsFile> = of(&files.events, "events")
            .into_iter()
            .map(|path| EventsFile {
                game: fits(&files.events, &path).flatten(),
                path,
            })
            .collect();
        let mut tracking = of(&files.tracking, TRACKING);
        let is_side = |path: &PathBuf| {
            games.contains(path) || players.contains(path) || events.iter().any(|events| events.path == *path)
        };
        tracking.retain(|path| !is_side(path));
        if events.iter().all(|events| events.game.is_none()) {
            events.truncate(1);
        }
        Self {
            tracking,
            games: games.into_iter().next(),
            players: players.into_iter().next(),
            events,
            refused,
        }
    }

    /// Adds what no name shows: files whose columns the mapping understands are tracking, and others may be side tables
    /// by their columns.
    pub(super) fn add_by_content(
        &mut self,
        inside: &[PathBuf],
        mapping: &Mapping,
        before_open: BeforeOpen<'_>,
    ) {
        if !mapping.files.tracking.is_empty() {
            return;
        }
        let unknown: Vec<&PathBuf> = inside
            .iter()
            .filter(|path| {
                is_data(path) && self.games.as_ref() != Some(path) && self.players.as_ref() != Some(path)
            })
            .filter(|path| self.events.iter().all(|events| events.path != ***path))
            .collect();
        for path in &unknown {
            if let Err(source) = before_open(path) {
                let path = (*path).clone();
                self.refused
                    .push((path.clone(), IngestError::Unreadable { path, source }));
            }
        }
        let (tracking, others): (Vec<&PathBuf>, Vec<&PathBuf>) = unknown
            .into_iter()
            .partition(|path| is_tracking(path, mapping).unwrap_or(false));
        if tracking.is_empty() {
            return;
        }
        self.tracking = tracking.into_iter().cloned().collect();
        for path in others {
            let Ok(columns) = columns_of(path) else { continue };
            let has = |wanted: &[&str]| wanted.iter().all(|wanted| columns.iter().any(|c| c == wanted));
            if has(&["period", "event"]) {
                if self.events.is_empty() {
                    self.events.push(EventsFile {
                        path: path.clone(),
                        game: None,
                    });
                }
            } else if has(&["player_id", "team_id"]) {
                self.players.get_or_insert_with(|| path.clone());
            } else if has(&["game_id"])
                && ["home_team_id", "date", "season", "court"]
                    .iter()
                    .any(|c| has(&[c]))
            {
                self.games.get_or_insert_with(|| path.clone());
            }
        }
    }
}

/// Whether the mapping can read the file.
fn is_tracking(path: &Path, mapping: &Mapping) -> Result<bool, IngestError> {
    let mut names = Names::default();
    let file = plan_file(path, mapping, &mut names)?;
    if mapping.form != Form::Nested {
        return Ok(true);
    }
    // What paths lead to is known when they are followed.
    let mut has_rows = false;
    file.table(path, mapping)?
        .for_each_chunk(&mut names, &mut |chunk, _| {
            has_rows |= chunk.rows > chunk.broken.len();
            Flow::Break(())
        })?;
    Ok(has_rows)
}

fn columns_of(path: &Path) -> Result<Vec<String>, IngestError> {
    let input = Input::open(path, None)?;
    match input.format {
        Format::Delimited => Ok(DelimitedFile::open(input, &Default::default())?.columns),
        Format::Parquet | Format::ArrowFile | Format::ArrowStream => columnar::columns_of(path, input.format),
        Format::Json | Format::JsonLines => Ok(Vec::new()),
    }
}

/// What tracking files are called, before the first dot.
const TRACKING: &str = "tracking";

/// Whether a file can hold a table.
pub(super) fn is_data(path: &Path) -> bool {
    has_data_name(path) && path.is_file()
}

/// Whether a table may be called so: no mapping, note, check sum or half a copy, and not hidden.
fn has_data_name(path: &Path) -> bool {
    const NO_DATA: [&str; 6] = [".toml", ".md", ".crc", ".sha256", ".tmp", ".part"];
    let name = lower_name(path);
    !name.starts_with('.') && NO_DATA.iter().all(|ending| !name.ends_with(ending))
}

/// The files of a table: `STEM.*`, and for tracking also `STEM-*.*` and `STEM_*.*` (a table in several files).
fn stems(paths: &[PathBuf], stem: &str) -> Vec<PathBuf> {
    let may_be_several = stem == TRACKING;
    let is_one = |path: &&PathBuf| {
        let name = lower_name(path);
        let Some(rest) = name.strip_prefix(stem) else {
            return false;
        };
        let is_of_table =
            rest.starts_with('.') || (may_be_several && rest.starts_with(['-', '_']) && rest.contains('.'));
        is_of_table && has_data_name(path)
    };
    paths.iter().filter(is_one).cloned().collect()
}
