//! Tables that are kept in memory, over others that are only read.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

use scrim_tables::{ReadStore, Store, StoreError};

/// What a run keeps of its sources for the next one: nothing that another folder can use.
const SOURCES: &str = "ledger/sources/";

/// Files by name; of names that are not here, those of the store below are read. `None` is a file that was removed.
type Files = BTreeMap<String, Option<Vec<u8>>>;

/// Files in memory.
#[derive(Default)]
pub struct Memory {
    below: Option<Arc<dyn ReadStore>>,
    files: RwLock<Files>,
}

impl Memory {
    /// Over another store.
    pub fn over(below: Arc<dyn ReadStore>) -> Self {
        Self {
            below: Some(below),
            files: RwLock::default(),
        }
    }

    /// Puts every file into another store.
    pub fn copy_to(&self, store: &dyn Store) -> Result<(), StoreError> {
        for (name, bytes) in self.read().iter().filter(|(name, _)| !name.starts_with(SOURCES)) {
            match bytes {
                Some(bytes) => store.put(name, bytes)?,
                None => store.remove(name)?,
            }
        }
        Ok(())
    }

    fn read(&self) -> RwLockReadGuard<'_, Files> {
        self.files.read().unwrap_or_else(PoisonError::into_inner)
    }

    fn write(&self) -> RwLockWriteGuard<'_, Files> {
        self.files.write().unwrap_or_else(PoisonError::into_inner)
    }
}

impl ReadStore for Memory {
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        if let Some(bytes) = self.read().get(name) {
            return Ok(bytes.clone());
        }
        self.below.as_ref().map_or(Ok(None), |below| below.get(name))
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
        let prefix = format!("{folder}/");
        let mut names: BTreeSet<String> = match &self.below {
            Some(below) => below.list(folder)?.into_iter().collect(),
            None => BTreeSet::new(),
        };
        for (name, bytes) in self.read().range(prefix.clone()..) {
            let Some(rest) = name.strip_prefix(&prefix) else {
                break;
            };
            let first = rest.split('/').next().unwrap_or(rest);
            if bytes.is_some() {
                names.insert(first.into());
            } else if first == rest {
                names.remove(first);
            }
        }
        Ok(names.into_iter().collect())
    }
}

impl Store for Memory {
    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        self.write().insert(name.into(), Some(bytes.into()));
        Ok(())
    }

    fn rename(&self, from: &str, to: &str) -> Result<bool, StoreError> {
        let Some(bytes) = self.get(from)? else {
            return Ok(false);
        };
        let mut files = self.write();
        files.insert(from.into(), None);
        files.insert(to.into(), Some(bytes));
        Ok(true)
    }

    fn remove(&self, name: &str) -> Result<(), StoreError> {
        self.write().insert(name.into(), None);
        Ok(())
    }

    fn size(&self, name: &str) -> Result<Option<u64>, StoreError> {
        Ok(self.get(name)?.map(|bytes| bytes.len() as u64))
    }
}
