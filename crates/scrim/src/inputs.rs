//! Where a run's files come from: this machine, or an object store, whose objects are brought here one source at a time.

use std::borrow::Cow;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

use anyhow::{Result, anyhow, bail};
use scrim_ingest::{FoundSources, InspectedSource, NoSource, ReadGame, Source, find_sources_with};
use scrim_objects::{Location, Mirror};
use scrim_tables::rows::QuarantineRow;
use scrim_tables::with_causes;
use serde::{Deserialize, Serialize};

use crate::Failure;

/// A file as the system describes it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileStamp {
    /// Its path, as it was given.
    pub path: String,
    /// Its length.
    pub bytes: u64,
    /// When it was last written, nanoseconds since 1970.
    pub modified_ns: u64,
    /// An object store's own mark of this version of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub version: Option<String>,
}

/// Where a run's files come from.
#[derive(Debug)]
pub enum Inputs {
    /// Files of this machine.
    Here,
    /// Objects.
    Mirrored(Box<Mirror>),
    /// Files in a folder that was made for the run: texts leave its path out.
    Made(PathBuf),
}

/// The files of a source, here until this is dropped.
#[derive(Debug)]
pub struct Brought<'a> {
    inputs: &'a Inputs,
    source: &'a Source,
}

impl Drop for Brought<'_> {
    fn drop(&mut self) {
        if let Inputs::Mirrored(mirror) = self.inputs {
            self.source.files().for_each(|path| mirror.release(path));
        }
    }
}

impl Inputs {
    /// What lies at an input.
    ///
    /// # Errors
    /// When it cannot be read, or holds no tracking.
    pub fn find(location: &Location, mapping: Option<&Path>) -> Result<(Self, FoundSources)> {
        let (inputs, path) = match location {
            Location::Local(path) => (Self::Here, path.clone()),
            Location::Remote(address) => match Mirror::open(address)? {
                Some(mirror) => {
                    let path = mirror.input().to_path_buf();
                    (Self::Mirrored(Box::new(mirror)), path)
                }
                None => bail!("{address}: nothing is there; check the address"),
            },
        };
        let mut found = inputs.find_at(&path, mapping)?;
        if let Self::Mirrored(mirror) = &inputs {
            for other in &mut found.others {
                other.path = PathBuf::from(inputs.named(&other.path.to_string_lossy()).into_owned());
                other.reason = inputs.named(&other.reason).into_owned();
            }
            // What was looked into comes again when its source's turn does.
            mirror.release_all();
            found
                .others
                .extend(mirror.left_out().iter().map(|(address, reason)| NoSource {
                    path: address.into(),
                    reason: reason.clone(),
                    is_loss: true,
                }));
        }
        Ok((inputs, found))
    }

    /// What lies in a folder that was made for the run.
    ///
    /// # Errors
    /// When it holds no tracking.
    pub fn find_made(folder: &Path, mapping: Option<&Path>) -> Result<(Self, FoundSources)> {
        let inputs = Self::Made(folder.into());
        let found = inputs.find_at(folder, mapping)?;
        Ok((inputs, found))
    }

    fn find_at(&self, path: &Path, mapping: Option<&Path>) -> Result<FoundSources> {
        let before_open = |path: &Path| match self {
            Self::Here | Self::Made(_) => Ok(()),
            Self::Mirrored(mirror) => mirror.fetch(path).map_err(io::Error::other),
        };
        find_sources_with(path, mapping, &before_open)
            .map_err(|error| anyhow!("{}", self.named(&with_causes(&error))))
    }

    /// The files of a source as they are now (objects: as they were listed); `None` when the system does not say.
    pub fn stamps(&self, source: &Source) -> Option<Vec<FileStamp>> {
        source.files().map(|path| self.stamp(path)).collect()
    }

    fn stamp(&self, path: &Path) -> Option<FileStamp> {
        let stamp = match self {
            Self::Here | Self::Made(_) => None,
            // A mapping that the user gave may be a file of this machine.
            Self::Mirrored(mirror) => mirror.stamp(path),
        };
        match stamp {
            Some(stamp) => Some(FileStamp {
                path: stamp.address,
                bytes: stamp.bytes,
                modified_ns: stamp.modified_ns,
                version: stamp.e_tag,
            }),
            None => stamp_here(path),
        }
    }

    /// Brings the files of a source here.
    ///
    /// # Errors
    /// [`Failure`] when one cannot be.
    pub fn bring<'a>(&'a self, source: &'a Source) -> Result<Brought<'a>, Failure> {
        let brought = Brought { inputs: self, source };
        if let Self::Mirrored(mirror) = self {
            for path in source.files() {
                mirror.fetch(path)?;
            }
        }
        Ok(brought)
    }

    /// Whether files can be read without being brought here first.
    pub fn are_here(&self) -> bool {
        !matches!(self, Self::Mirrored(_))
    }

    /// Whether texts name files by their paths.
    fn are_named_so(&self) -> bool {
        matches!(self, Self::Here)
    }

    /// A text about files, without their temporary paths: objects' addresses stand there, or names alone.
    pub fn named<'t>(&self, text: &'t str) -> Cow<'t, str> {
        match self {
            Self::Here => Cow::Borrowed(text),
            Self::Made(folder) => Cow::Owned(text.replace(&format!("{}/", folder.display()), "")),
            Self::Mirrored(mirror) => Cow::Owned(mirror.named(text)),
        }
    }

    /// The same in all texts of a game.
    pub fn name_in_game(&self, read: &mut ReadGame) {
        if !self.are_named_so() {
            self.name_in_notes(&mut read.notes);
            self.name_in_rows(&mut read.quarantine);
        }
    }

    /// The same in refused rows.
    pub fn name_in_rows(&self, rows: &mut [QuarantineRow]) {
        for row in rows.iter_mut().filter(|_| !self.are_named_so()) {
            row.source = self.named(&row.source).as_ref().into();
        }
    }

    /// The same in notes.
    pub fn name_in_notes(&self, notes: &mut [String]) {
        for note in notes {
            *note = self.named(note).into_owned();
        }
    }

    /// The same of a failure.
    pub fn name_in_failure(&self, failure: impl Into<Failure>) -> Failure {
        let failure = failure.into();
        if self.are_named_so() {
            return failure;
        }
        Failure::OfObject {
            reason: self.named(&with_causes(&failure)).into_owned(),
            failure: Box::new(failure),
        }
    }

    /// Reads a source as a run would, and says what was understood.
    ///
    /// # Errors
    /// When its mapping is none, or an object cannot be brought here.
    pub fn inspect(&self, source: &Source) -> Result<InspectedSource> {
        let _brought = self.bring(source)?;
        scrim_ingest::inspect_source(source).map_err(|error| anyhow!("{}", self.named(&with_causes(&error))))
    }
}

fn stamp_here(path: &Path) -> Option<FileStamp> {
    let facts = fs::metadata(path).ok()?;
    let modified = facts.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    Some(FileStamp {
        path: path.display().to_string(),
        bytes: facts.len(),
        modified_ns: u64::try_from(modified.as_nanos()).ok()?,
        version: None,
    })
}
