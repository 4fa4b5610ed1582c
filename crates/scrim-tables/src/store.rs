//! The one door to storage: partitions are staged beside and renamed into place.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};

use crate::{Row, RunInfo, TableError, write_rows};

/// Everything but RFC 3986's unreserved characters is encoded.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~');

/// What hive-style readers take for "this partition's value is null".
const NULL_PARTITION: &str = "__HIVE_DEFAULT_PARTITION__";

const SEASON_KEY: &str = "season=";
const GAME_KEY: &str = "game_id=";

/// The season of games whose season is not told.
const UNKNOWN_SEASON: &str = "unknown";

/// Where a game's part of a table lies: `TABLE/season=S/game_id=G/part-0.parquet`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Partition {
    /// The season; `None` when it is not told.
    pub season: Option<String>,
    /// The game; `None` for refused rows that name no game.
    pub game_id: Option<String>,
}

impl Partition {
    /// The path of `table`'s file for this partition, below the root, with `/` between folders. Season and game id
    /// are percent-encoded (RFC 3986), so that no id can climb out of the root.
    pub fn path(&self, table: &str) -> String {
        let season = season_folder(self.season.as_deref());
        let game = self.game_id.as_deref().map_or(NULL_PARTITION.into(), encode);
        format!("{table}/{season}/{GAME_KEY}{game}/part-0.parquet")
    }

    /// Every partition of a game that `table` has, by season and game id; those that name no game are left out.
    ///
    /// # Errors
    /// See [`Store::list`].
    pub fn find(store: &dyn Store, table: &str) -> Result<Vec<Self>, StoreError> {
        let mut found = Vec::new();
        for folder in store.list(table)? {
            let Some(season) = folder.strip_prefix(SEASON_KEY) else {
                continue;
            };
            let season = (season != UNKNOWN_SEASON).then(|| decode(season));
            for game in store.list(&format!("{table}/{folder}"))? {
                let game = game.strip_prefix(GAME_KEY).filter(|game| *game != NULL_PARTITION);
                found.extend(game.map(|game| Self {
                    season: season.clone(),
                    game_id: Some(decode(game)),
                }));
            }
        }
        found.sort();
        Ok(found)
    }
}

/// Where a season's table lies, below the root: `TABLE/season=S/part-0.parquet`. `None` is the season of games whose season
/// is not told.
pub fn season_path(season: Option<&str>, table: &str) -> String {
    format!("{table}/{}/part-0.parquet", season_folder(season))
}

fn season_folder(season: Option<&str>) -> String {
    format!("{SEASON_KEY}{}", season.map_or(UNKNOWN_SEASON.into(), encode))
}

fn encode(text: &str) -> String {
    // `.` and `..` are unreserved, yet name other folders.
    if text.chars().all(|c| c == '.') {
        text.replace('.', "%2E")
    } else {
        utf8_percent_encode(text, ENCODED).to_string()
    }
}

fn decode(text: &str) -> String {
    percent_decode_str(text).decode_utf8_lossy().into_owned()
}

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
                let aside = folder.join(format!(".part-0.staged-{}", std::process::id()));
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
        let bytes = write_rows(rows, self.run)?;
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
    fn an_id_cannot_climb_out_of_its_folder() {
        let partition = Partition {
            season: Some("../x".into()),
            game_id: Some("..".into()),
        };
        assert_eq!(
            partition.path("screens"),
            "screens/season=..%2Fx/game_id=%2E%2E/part-0.parquet"
        );
    }

    #[test]
    fn unknown_season_and_game_have_their_own_folders() {
        let partition = Partition {
            season: None,
            game_id: None,
        };
        assert_eq!(
            partition.path("quarantine"),
            "quarantine/season=unknown/game_id=__HIVE_DEFAULT_PARTITION__/part-0.parquet"
        );
    }

    #[test]
    fn partitions_are_found_again_whatever_their_ids() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        assert_eq!(Partition::find(&store, "games").unwrap(), vec![]);
        let mut put = Vec::new();
        for season in [None, Some("2025/26"), Some("..")] {
            for game in ["G 1/é", "..", "100%", "%2F"] {
                put.push(Partition {
                    season: season.map(Into::into),
                    game_id: Some(game.into()),
                });
            }
        }
        put.sort();
        let nameless = Partition {
            season: None,
            game_id: None,
        };
        for partition in put.iter().chain([&nameless]) {
            store.put_all(&[(partition.path("games"), vec![1])]).unwrap();
        }
        store
            .put_all(&[(season_path(Some(".."), "games"), vec![1])])
            .unwrap();
        assert_eq!(Partition::find(&store, "games").unwrap(), put);
        assert_eq!(store.get(&put[0].path("games")).unwrap(), Some(vec![1]));
        assert_eq!(store.get("games/none").unwrap(), None);
    }

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
