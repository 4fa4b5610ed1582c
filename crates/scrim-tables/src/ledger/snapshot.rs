//! Reading through manifests: all tables of a part as they belong together.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use super::manifest::{Manifest, Part, sha256_of, staged};
use crate::{ReadStore, StoreError};

/// A store whose parts are read as their manifests name them, each as it was when it was first read. A file that has no
/// manifest (another program's) is read as it is.
pub struct Snapshot<'a> {
    store: &'a dyn ReadStore,
    parts: Mutex<BTreeMap<Part, Option<(Manifest, String)>>>,
}

impl<'a> Snapshot<'a> {
    /// A store as it is from now on.
    pub fn new(store: &'a dyn ReadStore) -> Self {
        Self {
            store,
            parts: Mutex::default(),
        }
    }

    /// The manifest of a part.
    fn manifest(&self, part: &Part) -> Result<Option<(Manifest, String)>, StoreError> {
        let mut parts = self.parts.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = parts.get(part) {
            return Ok(found.clone());
        }
        let found = Manifest::read(self.store, part)?;
        parts.insert(part.clone(), found.clone());
        Ok(found)
    }
}

impl ReadStore for Snapshot<'_> {
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let part = name
            .strip_suffix(".parquet")
            .and_then(|name| name.split_once('/'))
            .and_then(|(table, stem)| Some((table, Part::of_stem(stem)?)));
        let Some((table, part)) = part else {
            return self.store.get(name);
        };
        let Some((manifest, digest)) = self.manifest(&part)? else {
            return self.store.get(name);
        };
        let Some(facts) = manifest.files.get(table) else {
            return Ok(None);
        };
        let is_named =
            |bytes: &Vec<u8>| bytes.len() as u64 == facts.bytes && sha256_of(bytes) == facts.sha256;
        // In place nearly always; staged only between a manifest and its last move, and then moved any instant.
        let mut is_there = false;
        for place in [name, &staged(&part, &digest, table), name] {
            let found = self.store.get(place)?;
            is_there |= found.is_some();
            if let Some(bytes) = found.filter(is_named) {
                return Ok(Some(bytes));
            }
        }
        // One that somebody has taken away is absent; one that is another is worse.
        if is_there {
            Err(StoreError::NotAsNamed { name: name.into() })
        } else {
            Ok(None)
        }
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
        self.store.list(folder)
    }
}
