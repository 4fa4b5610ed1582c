//! An input in an object store, as files of a temporary folder: each is there at once with its name and length, and its bytes come
//! when they are needed, and go when they are not.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use futures_util::TryStreamExt;
use object_store::{Error, GetOptions, ObjectMeta, ObjectStoreExt};
use scrim_tables::StoreError;
use tempfile::TempDir;

use crate::Address;
use crate::client::{Client, one_line};
use crate::location::is_name;

/// The objects below an address. The folder goes when this is dropped.
#[derive(Debug)]
pub struct Mirror {
    client: Client,
    /// Removed when it is dropped.
    _folder: TempDir,
    /// Held by the system while this process lives.
    _in_use: File,
    /// Where all the names start.
    root: PathBuf,
    /// What was named: the root, or a file in it.
    input: PathBuf,
    objects: BTreeMap<PathBuf, ObjectMeta>,
    left_out: LeftOut,
    /// Those whose bytes are here.
    here: Mutex<BTreeSet<PathBuf>>,
}

/// An object as its store describes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ObjectStamp {
    /// Its address.
    pub address: String,
    /// Its length.
    pub bytes: u64,
    /// When it was put, nanoseconds since 1970.
    pub modified_ns: u64,
    /// The store's own mark of this version of it.
    pub e_tag: Option<String>,
}

/// A large object comes in pieces: each is requested, and requested again, by itself, in the time that the client gives a request.
const PIECE_BYTES: u64 = 8 << 20;

impl Mirror {
    /// Lists what is below an address, or beside it when it is an object's; `None` when nothing is there. No object is read yet.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be reached, or there is no room for the names.
    pub fn open(address: &Address) -> Result<Option<Self>, StoreError> {
        Self::of(Client::new(address)?)
    }

    fn of(client: Client) -> Result<Option<Self>, StoreError> {
        let path = client.path("")?;
        let below: Result<Vec<ObjectMeta>, Error> =
            client.wait(client.store().list(Some(&path)).try_collect());
        let (below, left_out) = match below {
            // A name that is no path, somewhere below: folder by folder, it costs its own folder alone.
            Err(error) if !matches!(error, Error::NotFound { .. }) => list_by_folders(&client, &path)?,
            below => (
                client.if_there(below, "", "be listed")?.unwrap_or_default(),
                Vec::new(),
            ),
        };
        if !left_out.is_empty() || below.iter().any(|object| object.location != path) {
            let mut mirror = Self::at(client.clone(), client.address().clone(), below, None)?;
            mirror.left_out.extend(left_out);
            return Ok(Some(mirror));
        }
        // No folder: an object, whose side tables lie beside it.
        let head = client.wait(client.store().head(&path));
        if client.if_there(head, "", "be looked at")?.is_none() {
            return Ok(None);
        }
        let address = client.address();
        let (folder, name) = match address.key.rsplit_once('/') {
            Some((folder, name)) => (folder, name.to_owned()),
            None => ("", address.key.clone()),
        };
        let folder = Address {
            key: folder.into(),
            ..address.clone()
        };
        let prefix = object_store::path::Path::from(folder.key.as_str());
        let beside = client.wait(client.store().list_with_delimiter(Some(&prefix)));
        let beside = client.if_there(beside, "", "be listed")?;
        let objects = beside.map(|listed| listed.objects).unwrap_or_default();
        Self::at(client, folder, objects, Some(&name)).map(Some)
    }

    /// The mirror of `objects` below `address`; `name` is the one that was named, if it was one.
    fn at(
        client: Client,
        address: Address,
        objects: Vec<ObjectMeta>,
        name: Option<&str>,
    ) -> Result<Self, StoreError> {
        remove_left_behind();
        let folder = tempfile::Builder::new().prefix(PREFIX).tempdir();
        let folder = folder.map_err(failed(&std::env::temp_dir(), "make a temporary folder"))?;
        let in_use = folder.path().join(IN_USE);
        let lock = File::create(&in_use).map_err(failed(&in_use, "make the file"))?;
        // Where the system knows no locks, a folder that is left behind stays.
        let _ = lock.try_lock();
        // The last part of the address is what a source folder is called.
        let last = address.key.rsplit('/').next().filter(|last| !last.is_empty());
        let root = folder.path().join(last.unwrap_or(&address.bucket));
        std::fs::create_dir_all(&root).map_err(failed(&root, "make the folder"))?;
        let mut mirror = Self {
            client: client.with_address(&address),
            _folder: folder,
            _in_use: lock,
            input: name.map_or_else(|| root.clone(), |name| root.join(name)),
            root,
            objects: BTreeMap::new(),
            left_out: Vec::new(),
            here: Mutex::default(),
        };
        // Longest first: an empty object that marks a folder is met after what is in it.
        let mut objects = objects;
        objects.sort_by(|a, b| b.location.as_ref().cmp(a.location.as_ref()));
        for object in objects {
            let key = object.location.as_ref();
            let name = match address.key.as_str() {
                "" => key,
                prefix => key.strip_prefix(prefix).unwrap_or(key).trim_start_matches('/'),
            };
            if name.is_empty() {
                continue;
            }
            let path = mirror.root.join(name);
            // Some programs mark folders by empty objects.
            if path.is_dir() && object.size == 0 {
                continue;
            }
            let made = if path.is_dir() {
                Err(io::Error::other("an object and a folder have this name"))
            } else if name.split('/').all(is_name) {
                make_hollow(&path, &object)
            } else {
                Err(io::Error::other("its name cannot be a file's"))
            };
            match made {
                Ok(()) => drop(mirror.objects.insert(path, object)),
                Err(error) => mirror.left_out.push((address.below(name), error.to_string())),
            }
        }
        Ok(mirror)
    }

    /// The folder, or the file, that stands for what was named.
    pub fn input(&self) -> &Path {
        &self.input
    }

    /// Objects that can have no file: the address of each, and why.
    pub fn left_out(&self) -> &[(String, String)] {
        &self.left_out
    }

    /// Brings a file's bytes here, when they are not. A file that is none of the mirror's is left alone.
    ///
    /// # Errors
    /// [`StoreError`] when the object cannot be read, is another by now, or has no room here.
    pub fn fetch(&self, path: &Path) -> Result<(), StoreError> {
        let Some(object) = self.objects.get(path) else {
            return Ok(());
        };
        if self.here().contains(path) {
            return Ok(());
        }
        let brought = self.bring(path, object);
        if brought.is_ok() {
            self.here().insert(path.into());
        } else {
            // Best effort: the first error is the one to report.
            let _ = make_hollow(path, object);
        }
        brought
    }

    /// Brings all of them.
    ///
    /// # Errors
    /// See [`Mirror::fetch`].
    pub fn fetch_all(&self) -> Result<(), StoreError> {
        self.objects.keys().try_for_each(|path| self.fetch(path))
    }

    /// Lets the bytes of all of them go.
    pub fn release_all(&self) {
        self.objects.keys().for_each(|path| self.release(path));
    }

    fn bring(&self, path: &Path, object: &ObjectMeta) -> Result<(), StoreError> {
        let name = self.name_of(path);
        let mut file = File::create(path).map_err(failed(path, "make the file"))?;
        let mut begin = 0;
        while begin < object.size {
            let end = object.size.min(begin + PIECE_BYTES);
            let options = GetOptions {
                if_match: object.e_tag.clone(),
                range: Some((begin..end).into()),
                ..GetOptions::default()
            };
            let piece = self.client.wait(async {
                let found = self.client.store().get_opts(&object.location, options).await?;
                found.bytes().await
            });
            let piece = match piece {
                Ok(piece) if piece.len() as u64 == end - begin => piece,
                Ok(_) | Err(Error::Precondition { .. }) => {
                    return Err(StoreError::Replaced {
                        place: self.client.address().below(&name),
                    });
                }
                Err(error) => return Err(self.client.failed(&name, "be read", error)),
            };
            file.write_all(&piece).map_err(failed(path, "write the file"))?;
            begin = end;
        }
        file.set_modified(modified(object))
            .map_err(failed(path, "write the file"))
    }

    /// Lets a file's bytes go; its name and length stay.
    pub fn release(&self, path: &Path) {
        if self.here().remove(path)
            && let Some(object) = self.objects.get(path)
        {
            // Best effort: what stays goes with the folder.
            let _ = make_hollow(path, object);
        }
    }

    /// How the store describes a file; `None` when it is none of the mirror's.
    pub fn stamp(&self, path: &Path) -> Option<ObjectStamp> {
        let object = self.objects.get(path)?;
        let since = modified(object).duration_since(UNIX_EPOCH).unwrap_or_default();
        Some(ObjectStamp {
            address: self.client.address().below(&self.name_of(path)),
            bytes: object.size,
            modified_ns: u64::try_from(since.as_nanos()).unwrap_or(u64::MAX),
            e_tag: object.e_tag.clone(),
        })
    }

    /// A text in which the temporary folder stands, with the address in its place.
    pub fn named(&self, text: &str) -> String {
        text.replace(
            self.root.to_string_lossy().as_ref(),
            &self.client.address().to_string(),
        )
    }

    fn name_of(&self, path: &Path) -> String {
        let name = path.strip_prefix(&self.root).unwrap_or(path);
        name.to_string_lossy().into_owned()
    }

    fn here(&self) -> MutexGuard<'_, BTreeSet<PathBuf>> {
        self.here.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What the folders of mirrors are called, and the file in each that its process has locked.
const PREFIX: &str = "scrim-input-";
const IN_USE: &str = ".in-use";

/// Removes the folders of processes that were killed: what they hold is personal data. Best effort.
fn remove_left_behind() {
    let folders = std::fs::read_dir(std::env::temp_dir())
        .into_iter()
        .flatten()
        .flatten();
    for folder in folders.filter(|folder| folder.file_name().to_string_lossy().starts_with(PREFIX)) {
        let is_free = File::open(folder.path().join(IN_USE)).is_ok_and(|lock| lock.try_lock().is_ok());
        if is_free {
            let _ = std::fs::remove_dir_all(folder.path());
        }
    }
}

/// What has no file: the address of each, and why.
type LeftOut = Vec<(String, String)>;

/// All below a path, and the folders that cannot be listed, each with why. An error when the first cannot be.
fn list_by_folders(
    client: &Client,
    path: &object_store::path::Path,
) -> Result<(Vec<ObjectMeta>, LeftOut), StoreError> {
    let (mut objects, mut left_out) = (Vec::new(), Vec::new());
    let mut folders = vec![path.clone()];
    while let Some(folder) = folders.pop() {
        match client.wait(client.store().list_with_delimiter(Some(&folder))) {
            Ok(listed) => {
                objects.extend(listed.objects);
                folders.extend(listed.common_prefixes);
            }
            Err(error) if folder == *path => return Err(client.failed("", "be listed", error)),
            Err(error) => {
                let place = Address {
                    key: folder.to_string(),
                    ..client.address().clone()
                };
                let why = format!(
                    "{}; a name in it may be no path: rename that object",
                    one_line(&error)
                );
                left_out.push((place.to_string(), why));
            }
        }
    }
    Ok((objects, left_out))
}

/// A file of the object's length and time without its bytes: it takes no room.
fn make_hollow(path: &Path, object: &ObjectMeta) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)?;
    }
    let file = File::create(path)?;
    file.set_len(object.size)?;
    file.set_modified(modified(object))
}

fn modified(object: &ObjectMeta) -> SystemTime {
    let since = u64::try_from(object.last_modified.timestamp_millis()).unwrap_or(0);
    UNIX_EPOCH + Duration::from_millis(since)
}

fn failed(path: &Path, action: &'static str) -> impl FnOnce(io::Error) -> StoreError {
    let path = path.to_path_buf();
    move |source| StoreError::Io { path, action, source }
}

#[cfg(test)]
mod tests;
