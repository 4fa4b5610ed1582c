//! Tables that are kept in memory, over others that are only read.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

use scrim_tables::{ReadStore, Store, StoreError};

/// Files by name; where there is none, those of the store below are read.
#[derive(Default)]
pub struct Memory {
    below: Option<Arc<dyn ReadStore + Send>>,
    files: RwLock<BTreeMap<String, Vec<u8>>>,
}

impl Memory {
    /// Over another store.
    pub fn over(below: Arc<dyn ReadStore + Send>) -> Self {
        Self {
            below: Some(below),
            files: RwLock::default(),
        }
    }

    /// Puts every file into another store.
    pub fn copy_to(&self, store: &dyn Store) -> Result<(), StoreError> {
        self.read()
            .iter()
            .try_for_each(|(name, bytes)| store.put(name, bytes))
    }

    fn read(&self) -> RwLockReadGuard<'_, BTreeMap<String, Vec<u8>>> {
        self.files.read().unwrap_or_else(PoisonError::into_inner)
    }

    fn write(&self) -> RwLockWriteGuard<'_, BTreeMap<String, Vec<u8>>> {
        self.files.write().unwrap_or_else(PoisonError::into_inner)
    }
}

impl ReadStore for Memory {
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        if let Some(bytes) = self.read().get(name) {
            return Ok(Some(bytes.clone()));
        }
        self.below.as_ref().map_or(Ok(None), |below| below.get(name))
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
        let prefix = format!("{folder}/");
        let mut names: BTreeSet<String> = self
            .read()
            .range(prefix.clone()..)
            .map_while(|(name, _)| name.strip_prefix(&prefix))
            .filter_map(|rest| rest.split('/').next())
            .map(Into::into)
            .collect();
        if let Some(below) = &self.below {
            names.extend(below.list(folder)?);
        }
        Ok(names.into_iter().collect())
    }
}

impl Store for Memory {
    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        self.write().insert(name.into(), bytes.into());
        Ok(())
    }

    fn rename(&self, from: &str, to: &str) -> Result<bool, StoreError> {
        let mut files = self.write();
        let Some(bytes) = files.remove(from) else {
            return Ok(false);
        };
        files.insert(to.into(), bytes);
        Ok(true)
    }

    fn remove(&self, name: &str) -> Result<(), StoreError> {
        self.write().remove(name);
        Ok(())
    }

    fn size(&self, name: &str) -> Result<Option<u64>, StoreError> {
        Ok(self.get(name)?.map(|bytes| bytes.len() as u64))
    }
}
