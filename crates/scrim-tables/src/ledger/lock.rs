//! One writer at a time: a file that the system locks, and that names who holds it.

use std::fmt::Debug;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::places::{LEDGER, LOCK};
use crate::store::io_error;
use crate::{LocalStore, OutputStore, StoreError};

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

impl Busy {
    /// `holder` has `output`; `None` when it has not said who it is yet.
    pub fn new(output: String, holder: Option<Holder>) -> Box<Self> {
        let holder = holder.unwrap_or_else(|| Holder {
            what: "another run".into(),
            process: 0,
            host: "unknown".into(),
            started: "unknown".into(),
        });
        Box::new(Self { output, holder })
    }
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

/// The right to write into an output, until it is dropped or its process ends, however that ends.
pub trait OutputLock: Debug {
    /// The holder before, when it did not get to its end: it was killed, or the machine stopped.
    fn unfinished(&self) -> Option<&Holder>;

    /// Gives it back at the end of work that was finished: what was written is kept then, and the next one trusts it.
    ///
    /// # Errors
    /// [`StoreError`] when the lock cannot be written.
    fn finish(self: Box<Self>) -> Result<(), StoreError>;
}

/// The right to write into a local folder: a lock of the system's, which goes with its process.
#[derive(Debug)]
pub(crate) struct LocalLock {
    file: File,
    unfinished: Option<Holder>,
}

impl LocalLock {
    pub(crate) fn take(store: &LocalStore, holder: &Holder) -> Result<Self, LockError> {
        let folder = store.root().join(LEDGER);
        std::fs::create_dir_all(&folder).map_err(io_error(&folder, "make the folder"))?;
        let path = store.root().join(LOCK);
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
                return Err(Busy::new(store.place(), read_holder(&mut file)).into());
            }
            Err(TryLockError::Error(error)) => return Err(io_error(&path, "lock the file")(error).into()),
        }
        let unfinished = read_holder(&mut file);
        let lock = Self { file, unfinished };
        lock.write(&serde_json::to_vec(holder).unwrap_or_default(), &path)?;
        Ok(lock)
    }

    fn write(&self, bytes: &[u8], path: &Path) -> Result<(), StoreError> {
        let mut file = &self.file;
        file.set_len(0)
            .and_then(|()| file.rewind())
            .and_then(|()| file.write_all(bytes))
            .and_then(|()| file.flush())
            .map_err(io_error(path, "write the lock"))
    }
}

impl OutputLock for LocalLock {
    fn unfinished(&self) -> Option<&Holder> {
        self.unfinished.as_ref()
    }

    fn finish(self: Box<Self>) -> Result<(), StoreError> {
        to_disk(&self.file);
        self.write(&[], Path::new(LOCK))
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
    fn a_second_writer_learns_who_the_first_is() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        let first = store.lock(&holder(7)).unwrap();
        let message = store.lock(&holder(8)).unwrap_err().to_string();
        assert!(message.contains("process 7 on here"), "{message}");
        first.finish().unwrap();
        assert_eq!(store.lock(&holder(8)).unwrap().unfinished(), None);
    }

    #[test]
    fn one_that_was_not_finished_is_taken_over_and_named() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        drop(store.lock(&holder(7)).unwrap());
        let lock = store.lock(&holder(8)).unwrap();
        assert_eq!(lock.unfinished(), Some(&holder(7)));
    }
}
