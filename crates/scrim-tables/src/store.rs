//! The one door to storage: files under names, each whole or not there.

use std::fs;
use std::hash::{BuildHasher, Hasher, RandomState};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::ledger::{Holder, LocalLock, LockError, OutputLock, STAGED};

/// Storage failed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// A file or folder could not be written, read or renamed.
    #[error("{path}: cannot {action}; check that the folder exists, has room and may be written", path = path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What was tried.
        action: &'static str,
        /// What the system said.
        source: io::Error,
    },
    /// A store behind a network could not be reached, or refused.
    #[error(
        "{place}: cannot {action}; check the address, the credentials, that they may do this, and the network"
    )]
    Remote {
        /// The object or folder, as an address.
        place: String,
        /// What was tried.
        action: &'static str,
        /// What it said.
        source: Box<dyn std::error::Error + Send + Sync>,
    },
    /// Another writer has taken this one's place.
    #[error(
        "{place}: this run could not renew its lock in time, so another may be writing there; it writes no more: run it again"
    )]
    LockLost {
        /// The output.
        place: String,
    },
    /// An object was replaced after it was listed.
    #[error("{place}: was replaced while it was read: it is read again by the next run")]
    Replaced {
        /// The object, as an address.
        place: String,
    },
    /// A file is not the one that its manifest names.
    #[error(
        "{name}: not the file that its manifest names: a run may be writing it, or it is damaged; try again, and see \
         `scrim verify`"
    )]
    NotAsNamed {
        /// The file.
        name: String,
    },
}

/// A place whose files are read under `/`-separated names.
pub trait ReadStore: Send + Sync {
    /// The bytes of a file; `None` when it is not there.
    ///
    /// # Errors
    /// [`StoreError`] when it is there and cannot be read.
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError>;

    /// Names of the files and folders right below a folder, in order, hidden ones left out; none when it is not there.
    ///
    /// # Errors
    /// [`StoreError`] when it is there and cannot be read.
    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError>;
}

/// A place where files are kept.
pub trait Store: ReadStore {
    /// Puts a file in its place, whole: a reader sees the old one or the new one, never a part.
    ///
    /// # Errors
    /// [`StoreError`] when it cannot be written; nothing is left of it then.
    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError>;

    /// Moves a file to another name, over what is there. `false` when there is no such file.
    ///
    /// # Errors
    /// [`StoreError`] when it is there and cannot be moved.
    fn rename(&self, from: &str, to: &str) -> Result<bool, StoreError>;

    /// Removes a file, if it is there.
    ///
    /// # Errors
    /// [`StoreError`] when it is there and cannot be removed.
    fn remove(&self, name: &str) -> Result<(), StoreError>;

    /// The length of a file, bytes; `None` when it is not there.
    ///
    /// # Errors
    /// [`StoreError`] when the system does not say.
    fn size(&self, name: &str) -> Result<Option<u64>, StoreError>;
}

/// A place that runs write to, one at a time.
pub trait OutputStore: Store {
    /// Where it is, as a user writes it.
    fn place(&self) -> String;

    /// Takes the right to write here; `holder` is who takes it.
    ///
    /// # Errors
    /// [`LockError`] when somebody else has it, or the lock cannot be written.
    fn lock(&self, holder: &Holder) -> Result<Box<dyn OutputLock>, LockError>;
}

/// A local folder as a [`Store`].
#[derive(Debug, Clone)]
pub struct LocalStore {
    root: PathBuf,
}

impl LocalStore {
    /// The store whose names start at `root`; the folder is made when first needed.
    pub fn new(root: impl Into<PathBuf>) -> Self {
        Self { root: root.into() }
    }

    /// The folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    fn make_folder_of(&self, path: &Path) -> Result<(), StoreError> {
        let folder = path.parent().unwrap_or(&self.root);
        fs::create_dir_all(folder).map_err(io_error(folder, "make the folder"))
    }

    /// Writes a file where no reader looks; on an error nothing is left of it.
    fn write_unseen(&self, path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
        self.make_folder_of(path)?;
        fs::write(path, bytes).map_err(|source| {
            // Best effort: the first error is the one to report.
            let _ = fs::remove_file(path);
            io_error(path, "write the file")(source)
        })
    }
}

/// How many files this process has put.
static PUT: AtomicU64 = AtomicU64::new(0);

/// A name under which no other writer puts a file aside, on this machine or another that shares the folder: processes in containers
/// have the same numbers.
fn own_name() -> String {
    static OWN: OnceLock<u64> = OnceLock::new();
    // The standard library's hasher is seeded by chance.
    let own = OWN.get_or_init(|| RandomState::new().build_hasher().finish());
    let number = PUT.fetch_add(1, Ordering::Relaxed);
    format!("put-{}-{own:016x}-{number}", std::process::id())
}

pub(crate) fn io_error(path: &Path, action: &'static str) -> impl FnOnce(io::Error) -> StoreError {
    let path = path.to_path_buf();
    move |source| StoreError::Io { path, action, source }
}

/// `None` for what is not there.
fn if_there<T>(result: io::Result<T>, path: &Path, action: &'static str) -> Result<Option<T>, StoreError> {
    match result {
        Ok(found) => Ok(Some(found)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(io_error(path, action)(error)),
    }
}

impl ReadStore for LocalStore {
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.root.join(name);
        if_there(fs::read(&path), &path, "read the file")
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
        let path = self.root.join(folder);
        let Some(entries) = if_there(fs::read_dir(&path), &path, "read the folder")? else {
            return Ok(Vec::new());
        };
        let mut names = Vec::new();
        for entry in entries {
            let entry = entry.map_err(io_error(&path, "read the folder"))?;
            // A name that is no UTF-8 is none of ours: all are percent-encoded.
            names.extend(
                entry
                    .file_name()
                    .into_string()
                    .ok()
                    .filter(|name| !name.starts_with('.')),
            );
        }
        names.sort_unstable();
        Ok(names)
    }
}

impl Store for LocalStore {
    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        let place = self.root.join(name);
        if name
            .strip_prefix(STAGED)
            .is_some_and(|rest| rest.starts_with('/'))
        {
            return self.write_unseen(&place, bytes);
        }
        // Aside first, on the same file system (a rename across two is a copy).
        let aside = self.root.join(STAGED).join(own_name());
        self.make_folder_of(&place)?;
        self.write_unseen(&aside, bytes)?;
        fs::rename(&aside, &place).map_err(|source| {
            // Best effort, as above.
            let _ = fs::remove_file(&aside);
            io_error(&place, "move the file into place")(source)
        })
    }

    fn rename(&self, from: &str, to: &str) -> Result<bool, StoreError> {
        let (from, to) = (self.root.join(from), self.root.join(to));
        self.make_folder_of(&to)?;
        Ok(if_there(fs::rename(&from, &to), &to, "move the file into place")?.is_some())
    }

    fn remove(&self, name: &str) -> Result<(), StoreError> {
        let path = self.root.join(name);
        if_there(fs::remove_file(&path), &path, "remove the file").map(|_| ())
    }

    fn size(&self, name: &str) -> Result<Option<u64>, StoreError> {
        let path = self.root.join(name);
        let found = if_there(fs::metadata(&path), &path, "look at the file")?;
        Ok(found.map(|facts| facts.len()))
    }
}

impl OutputStore for LocalStore {
    fn place(&self) -> String {
        self.root.display().to_string()
    }

    fn lock(&self, holder: &Holder) -> Result<Box<dyn OutputLock>, LockError> {
        Ok(Box::new(LocalLock::take(self, holder)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_put_is_there_whole_and_nothing_else_is() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        store.put("a/b.bin", &[1, 2]).unwrap();
        store.put("a/b.bin", &[9]).unwrap();
        store.put("c.bin", &[3]).unwrap();
        assert_eq!(store.get("a/b.bin").unwrap(), Some(vec![9]));
        assert_eq!(store.size("a/b.bin").unwrap(), Some(1));
        assert_eq!(fs::read_dir(folder.path().join("a")).unwrap().count(), 1);
        assert_eq!(store.list(STAGED).unwrap(), Vec::<String>::new());
        store.remove("c.bin").unwrap();
        store.remove("c.bin").unwrap();
        assert!(!folder.path().join("c.bin").exists());
    }

    #[test]
    fn a_file_is_moved_over_another_and_one_that_is_not_there_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        store.put("a.bin", &[1]).unwrap();
        store.put("x/b.bin", &[2]).unwrap();
        assert!(store.rename("a.bin", "x/b.bin").unwrap());
        assert_eq!(store.get("x/b.bin").unwrap(), Some(vec![1]));
        assert!(!store.rename("a.bin", "x/b.bin").unwrap());
        assert_eq!(store.get("x/b.bin").unwrap(), Some(vec![1]));
    }

    #[test]
    fn a_place_that_cannot_be_written_is_named_and_nothing_is_left_aside() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("taken"), b"a file").unwrap();
        let store = LocalStore::new(folder.path().join("taken"));
        let message = store.put("x.bin", &[]).unwrap_err().to_string();
        assert!(message.contains("taken"), "{message}");
        let store = LocalStore::new(folder.path());
        assert!(store.put("taken/x.bin", &[]).is_err());
        assert_eq!(store.list(STAGED).unwrap(), Vec::<String>::new());
    }
}
