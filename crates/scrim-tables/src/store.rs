//! The one door to storage: files are staged beside their place and renamed into it.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use crate::{Partition, Row, RunInfo, TableError, write_rows};

/// Storage failed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// A file or folder could not be written, read or renamed.
    #[error("{path}: cannot {action}; check that the folder exists, has room and may be written")]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What was tried.
        action: &'static str,
        /// What the system said.
        source: io::Error,
    },
}

/// A place where files are kept under `/`-separated names.
pub trait Store: Sync {
    /// Puts several files at once: all are staged first, then each is moved into place whole. A reader sees the old
    /// file or the new one, never a part.
    ///
    /// # Errors
    /// [`StoreError`] when staging or moving fails; what was staged is removed.
    fn put_all(&self, files: &[(String, Vec<u8>)]) -> Result<(), StoreError>;

    /// Removes a file that an earlier run left, if it is there.
    ///
    /// # Errors
    /// [`StoreError`] when it is there and cannot be removed.
    fn remove(&self, name: &str) -> Result<(), StoreError>;

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
}

/// How many files this process has staged: all games' files of a table lie in one folder.
static STAGED: AtomicU64 = AtomicU64::new(0);

fn io_error(path: &Path, action: &'static str) -> impl FnOnce(io::Error) -> StoreError {
    let path = path.to_path_buf();
    move |source| StoreError::Io { path, action, source }
}

impl Store for LocalStore {
    fn put_all(&self, files: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
        let mut staged: Vec<(PathBuf, PathBuf)> = Vec::with_capacity(files.len());
        let result = (|| {
            for (name, bytes) in files {
                let place = self.root.join(name);
                let folder = place.parent().unwrap_or(&self.root);
                fs::create_dir_all(folder).map_err(io_error(folder, "make the folder"))?;
                // Beside its place (a rename across file systems is a copy), and hidden: readers pass over it.
                let number = STAGED.fetch_add(1, Ordering::Relaxed);
                let aside = folder.join(format!(".staged-{}-{number}", std::process::id()));
                staged.push((aside.clone(), place));
                let written = fs::File::create(&aside).and_then(|mut file| {
                    io::Write::write_all(&mut file, bytes)?;
                    // On disk before the name is: after a crash the name must not stand for an empty file.
                    file.sync_all()
                });
                written.map_err(io_error(&aside, "write the file"))?;
            }
            for (aside, place) in &staged {
                fs::rename(aside, place).map_err(io_error(place, "move the file into place"))?;
            }
            Ok(())
        })();
        if result.is_err() {
            for (aside, _) in &staged {
                // Best effort: the first error is the one to tell.
                let _ = fs::remove_file(aside);
            }
        }
        result
    }

    fn remove(&self, name: &str) -> Result<(), StoreError> {
        let path = self.root.join(name);
        match fs::remove_file(&path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => {
                Err(io_error(&path, "remove the file")(error))
            }
            _ => Ok(()),
        }
    }

    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.root.join(name);
        match fs::read(&path) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(io_error(&path, "read the file")(error)),
        }
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
        let path = self.root.join(folder);
        let entries = match fs::read_dir(&path) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(io_error(&path, "read the folder")(error)),
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

/// One game's tables on their way to a store: encoded one by one, published together.
#[derive(Debug)]
pub struct GameStage<'a> {
    run: &'a RunInfo,
    partition: Partition,
    files: Vec<(String, Vec<u8>)>,
}

impl<'a> GameStage<'a> {
    /// An empty stage for `partition`.
    pub fn new(run: &'a RunInfo, partition: Partition) -> Self {
        Self {
            run,
            partition,
            files: Vec::new(),
        }
    }

    /// Encodes a table's rows.
    ///
    /// # Errors
    /// See [`write_rows`].
    pub fn add<R: Row>(&mut self, rows: &[R]) -> Result<(), TableError> {
        let bytes = write_rows(rows, self.partition.season(), self.run)?;
        self.files.push((self.partition.path(R::TABLE), bytes));
        Ok(())
    }

    /// Moves all tables into place.
    ///
    /// # Errors
    /// See [`Store::put_all`].
    pub fn publish(self, store: &dyn Store) -> Result<(), StoreError> {
        store.put_all(&self.files)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_put_is_there_whole_and_nothing_else_is() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        store
            .put_all(&[("a/b.bin".into(), vec![1, 2]), ("c.bin".into(), vec![3])])
            .unwrap();
        store.put_all(&[("a/b.bin".into(), vec![9])]).unwrap();
        assert_eq!(fs::read(folder.path().join("a/b.bin")).unwrap(), vec![9]);
        assert_eq!(fs::read_dir(folder.path().join("a")).unwrap().count(), 1);
        store.remove("c.bin").unwrap();
        store.remove("c.bin").unwrap();
        assert!(!folder.path().join("c.bin").exists());
    }

    #[test]
    fn a_place_that_cannot_be_written_is_named() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("taken"), b"a file").unwrap();
        let store = LocalStore::new(folder.path().join("taken"));
        let told = store
            .put_all(&[("x.bin".into(), vec![])])
            .unwrap_err()
            .to_string();
        assert!(told.contains("taken"), "{told}");
    }
}
