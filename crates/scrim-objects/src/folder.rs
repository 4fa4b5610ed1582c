//! Tables under an object store: each file one object.

use std::sync::Arc;

use object_store::{Error, ObjectStoreExt, PutPayload};
use scrim_tables::ledger::{Holder, LockError, OutputLock};
use scrim_tables::{OutputStore, ReadStore, Store, StoreError};

use crate::Address;
use crate::client::Client;
use crate::lease::{Lease, Right, Times};

/// All below an address, as a [`Store`]. An object is put whole or not at all, so nothing is moved aside first; a move is a copy and
/// a removal, after which a reader through the manifest finds the file at one of its two names at every instant.
#[derive(Debug, Clone)]
pub struct ObjectFolder {
    client: Client,
    /// Until when what was locked here may be written.
    right: Arc<Right>,
}

impl ObjectFolder {
    /// The folder at an address. Keys, region and endpoint come from the environment.
    ///
    /// # Errors
    /// [`StoreError`] when the environment does not make sense; nothing is sent yet.
    pub fn new(address: &Address) -> Result<Self, StoreError> {
        Ok(Self::of(Client::new(address)?))
    }

    pub(crate) fn of(client: Client) -> Self {
        Self {
            client,
            right: Arc::default(),
        }
    }

    fn may_write(&self) -> Result<(), StoreError> {
        if self.right.is_lost() {
            return Err(StoreError::LockLost { place: self.place() });
        }
        Ok(())
    }
}

impl ReadStore for ObjectFolder {
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.client.get(name)?.map(Into::into))
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, StoreError> {
        let path = self.client.path(folder)?;
        let listed = self
            .client
            .wait(self.client.store().list_with_delimiter(Some(&path)));
        let Some(listed) = self.client.if_there(listed, folder, "be listed")? else {
            return Ok(Vec::new());
        };
        let objects = listed.objects.iter().map(|object| &object.location);
        let mut names: Vec<String> = objects
            .chain(&listed.common_prefixes)
            // Some programs mark a folder by an object of its own name.
            .filter(|listed| **listed != path)
            .filter_map(|path| path.filename())
            .filter(|name| !name.starts_with('.'))
            .map(Into::into)
            .collect();
        names.sort_unstable();
        names.dedup();
        Ok(names)
    }
}

impl Store for ObjectFolder {
    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        self.may_write()?;
        let path = self.client.path(name)?;
        let payload = PutPayload::from(bytes.to_vec());
        let result = self.client.wait(self.client.store().put(&path, payload));
        result
            .map(|_| ())
            .map_err(|error| self.client.failed(name, "be written", error))
    }

    fn rename(&self, from: &str, to: &str) -> Result<bool, StoreError> {
        self.may_write()?;
        let (source, target) = (self.client.path(from)?, self.client.path(to)?);
        let copied = self.client.wait(self.client.store().copy(&source, &target));
        if self.client.if_there(copied, to, "be written")?.is_none() {
            return Ok(false);
        }
        self.remove(from)?;
        Ok(true)
    }

    fn remove(&self, name: &str) -> Result<(), StoreError> {
        self.may_write()?;
        let path = self.client.path(name)?;
        match self.client.wait_again(|| self.client.store().delete(&path)) {
            Ok(()) | Err(Error::NotFound { .. }) => Ok(()),
            Err(error) => Err(self.client.failed(name, "be removed", error)),
        }
    }

    fn size(&self, name: &str) -> Result<Option<u64>, StoreError> {
        let path = self.client.path(name)?;
        let found = self.client.wait(self.client.store().head(&path));
        let found = self.client.if_there(found, name, "be looked at")?;
        Ok(found.map(|object| object.size))
    }
}

impl OutputStore for ObjectFolder {
    fn place(&self) -> String {
        self.client.address().to_string()
    }

    fn lock(&self, holder: &Holder) -> Result<Box<dyn OutputLock>, LockError> {
        let lease = Lease::take(&self.client, holder, Times::USUAL, Arc::clone(&self.right))?;
        Ok(Box::new(lease))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lease::tests::memory;

    #[test]
    fn names_are_kept_letter_for_letter_and_lists_are_of_one_level() {
        let folder = ObjectFolder::of(memory("out"));
        let name = "screens/2041~G%2F1 ~é.parquet";
        folder.put(name, &[1, 2]).unwrap();
        folder.put("ledger/games/x.json", &[3]).unwrap();
        folder.put("ledger/.hidden", &[3]).unwrap();
        assert_eq!(folder.get(name).unwrap(), Some(vec![1, 2]));
        assert_eq!(folder.size(name).unwrap(), Some(2));
        assert_eq!(folder.list("screens").unwrap(), ["2041~G%2F1 ~é.parquet"]);
        assert_eq!(folder.list("ledger").unwrap(), ["games"]);
        assert_eq!(folder.list("").unwrap(), ["ledger", "screens"]);
        assert_eq!(folder.list("nothing").unwrap(), Vec::<String>::new());
        assert_eq!(folder.get("nothing").unwrap(), None);
        assert_eq!(folder.size("nothing").unwrap(), None);
    }

    #[test]
    fn a_file_is_moved_over_another_and_what_is_not_there_is_not() {
        let folder = ObjectFolder::of(memory(""));
        folder.put("a", &[1]).unwrap();
        folder.put("x/b", &[2]).unwrap();
        assert!(folder.rename("a", "x/b").unwrap());
        assert_eq!(folder.get("x/b").unwrap(), Some(vec![1]));
        assert_eq!(folder.get("a").unwrap(), None);
        assert!(!folder.rename("a", "x/b").unwrap());
        folder.remove("x/b").unwrap();
        folder.remove("x/b").unwrap();
        assert_eq!(folder.list("").unwrap(), Vec::<String>::new());
    }

    #[test]
    fn nothing_is_written_once_the_lock_is_lost() {
        let folder = ObjectFolder::of(memory("out"));
        folder.put("a", &[1]).unwrap();
        folder.right.lose();
        assert!(matches!(folder.put("a", &[2]), Err(StoreError::LockLost { .. })));
        assert!(matches!(
            folder.rename("a", "b"),
            Err(StoreError::LockLost { .. })
        ));
        assert!(matches!(folder.remove("a"), Err(StoreError::LockLost { .. })));
        assert_eq!(folder.get("a").unwrap(), Some(vec![1]));
    }
}
