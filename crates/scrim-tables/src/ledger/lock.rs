//! One writer at a time: a file that the system locks, and that names who holds it.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::LEDGER;
use crate::store::io_error;
use crate::{LocalStore, StoreError};

/// Who writes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Holder {
    /// What it does.
    pub what: String,
    /// Its process.
    pub process: u32,
    /// The machine's name.
    pub host: String,
    /// When it began, UTC (RFC 3339).
    pub started: String,
}

/// Somebody else is writing.
#[derive(Debug, thiserror::Error)]
#[error(
    "{output}: {what} (process {process} on {host}, since {started}) is writing here; wait until it has ended, or give another output",
    what = holder.what, process = holder.process, host = holder.host, started = holder.started
)]
pub struct Busy {
    /// The folder.
    pub output: String,
    /// Who.
    pub holder: Holder,
}

/// No lock.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LockError {
    /// Somebody else has it.
    #[error(transparent)]
    Busy(#[from] Box<Busy>),
    /// The file cannot be made or locked.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// The right to write into a folder, until it is dropped or its process ends, however that ends.
#[derive(Debug)]
pub struct OutputLock {
    file: File,
    unfinished: Option<Holder>,
}

impl OutputLock {
    /// Takes it.
    ///
    /// # Errors
    /// [`LockError`].
    pub fn take(store: &LocalStore, holder: &Holder) -> Result<Self, LockError> {
        let folder = store.root().join(LEDGER);
        std::fs::create_dir_all(&folder).map_err(io_error(&folder, "make the folder"))?;
        let path = folder.join("lock");
        let mut file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(&path)
            .map_err(io_error(&path, "open the lock"))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                let holder = read_holder(&mut file).unwrap_or_else(|| Holder {
                    what: "another run".into(),
                    process: 0,
                    host: "unknown".into(),
                    started: "unknown".into(),
                });
                return Err(Box::new(Busy {
                    output: store.root().display().to_string(),
                    holder,
                })
                .into());
            }
            Err(TryLockError::Error(error)) => return Err(io_error(&path, "lock the file")(error).into()),
        }
        let unfinished = read_holder(&mut file);
        let lock = Self { file, unfinished };
        lock.write(&serde_json::to_vec(holder).unwrap_or_default(), &path)?;
        Ok(lock)
    }

    /// The holder before, when it did not get to its end: it was killed, or the machine stopped.
    pub fn unfinished(&self) -> Option<&Holder> {
        self.unfinished.as_ref()
    }

    fn write(&self, bytes: &[u8], path: &Path) -> Result<(), StoreError> {
        let mut file = &self.file;
        file.set_len(0)
            .and_then(|()| file.rewind())
            .and_then(|()| file.write_all(bytes))
            .and_then(|()| file.flush())
            .map_err(io_error(path, "write the lock"))
    }

    /// Gives it back at the end of work that was finished: what was written is on disk then, and the next one trusts it.
    ///
    /// # Errors
    /// [`StoreError`] when the lock cannot be written.
    pub fn finish(self) -> Result<(), StoreError> {
        to_disk(&self.file);
        self.write(&[], Path::new("ledger/lock"))
    }
}

/// All that was written to the file's file system goes to disk. Best effort: where the system cannot say, the lock is given back
/// all the same.
fn to_disk(file: &File) {
    #[cfg(target_os = "linux")]
    let _ = rustix::fs::syncfs(file);
    #[cfg(not(target_os = "linux"))]
    let _ = file.sync_all();
}

fn read_holder(file: &mut File) -> Option<Holder> {
    let mut text = String::new();
    file.rewind().ok()?;
    file.read_to_string(&mut text).ok()?;
    serde_json::from_str(&text).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holder(process: u32) -> Holder {
        Holder {
            what: "scrim run".into(),
            process,
            host: "here".into(),
            started: "2041-11-29T03:00:00Z".into(),
        }
    }

    #[test]
    fn a_second_writer_is_told_who_the_first_is() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        let first = OutputLock::take(&store, &holder(7)).unwrap();
        let message = OutputLock::take(&store, &holder(8)).unwrap_err().to_string();
        assert!(message.contains("process 7 on here"), "{message}");
        first.finish().unwrap();
        assert_eq!(OutputLock::take(&store, &holder(8)).unwrap().unfinished(), None);
    }

    #[test]
    fn one_that_was_not_finished_is_taken_over_and_named() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        drop(OutputLock::take(&store, &holder(7)).unwrap());
        let lock = OutputLock::take(&store, &holder(8)).unwrap();
        assert_eq!(lock.unfinished(), Some(&holder(7)));
    }
}
