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
        let encode = |text: &str| {
            // `.` and `..` are unreserved, yet name other folders.
            if text.chars().all(|c| c == '.') {
                text.replace('.', "%2E")
            } else {
                utf8_percent_encode(text, ENCODED).to_string()
            }
        };
        let season = self.season.as_deref().map_or(UNKNOWN_SEASON.into(), encode);
        let game = self.game_id.as_deref().map_or(NULL_PARTITION.into(), encode);
        format!("{table}/season={season}/game_id={game}/part-0.parquet")
    }

    /// The partition whose [`path`](Self::path) this is, below a table's folder; `None` for any other path.
    fn of_folders(season: &str, game: &str) -> Option<Self> {
        let decode = |text: &str| percent_decode_str(text).decode_utf8().ok().map(Into::into);
        let season = season.strip_prefix("season=")?;
        let game = game.strip_prefix("game_id=")?;
        Some(Self {
            season: if season == UNKNOWN_SEASON {
                None
            } else {
                Some(decode(season)?)
            },
            game_id: if game == NULL_PARTITION {
                None
            } else {
                Some(decode(game)?)
            },
        })
    }
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

    /// The partitions that a table has, ascending; none when there is no such table.
    ///
    /// # Errors
    /// [`StoreError`] when the table's folder is there and cannot be read.
    fn partitions(&self, table: &str) -> Result<Vec<Partition>, StoreError>;

    /// A file's bytes; `None` when it is not there.
    ///
    /// # Errors
    /// [`StoreError`] when it is there and cannot be read.
    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError>;
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

    fn partitions(&self, table: &str) -> Result<Vec<Partition>, StoreError> {
        let mut found = Vec::new();
        for (season, folder) in folders(&self.root.join(table))? {
            for (game, folder) in folders(&folder)? {
                let is_there = folder.join("part-0.parquet").is_file();
                found.extend(Partition::of_folders(&season, &game).filter(|_| is_there));
            }
        }
        found.sort();
        Ok(found)
    }

    fn get(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.root.join(name);
        match fs::read(&path) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(io_error(&path, "read the file")(error)),
        }
    }
}

/// The folders in `folder`, by name; none when it is not there. A name that is not Unicode is none of ours.
fn folders(folder: &Path) -> Result<Vec<(String, PathBuf)>, StoreError> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(io_error(folder, "read the folder")(error)),
    };
    let mut found = Vec::new();
    for entry in entries {
        let path = entry.map_err(io_error(folder, "read the folder"))?.path();
        if path.is_dir()
            && let Some(name) = path.file_name().and_then(|name| name.to_str())
        {
            found.push((name.to_owned(), path));
        }
    }
    Ok(found)
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
    fn partitions_are_told_as_they_were_put() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        assert_eq!(store.partitions("games").unwrap(), vec![]);
        let partition = |season: Option<&str>, game: Option<&str>| Partition {
            season: season.map(Into::into),
            game_id: game.map(Into::into),
        };
        let put = [
            partition(None, Some("G 1/é")),
            partition(Some("..//2041"), None),
            partition(Some("2041"), Some("100%")),
        ];
        for partition in &put {
            store.put_all(&[(partition.path("games"), vec![7])]).unwrap();
        }
        fs::create_dir_all(folder.path().join("games/season=2041/not-a-game")).unwrap();
        let mut sorted = put.to_vec();
        sorted.sort();
        assert_eq!(store.partitions("games").unwrap(), sorted);
        assert_eq!(store.get(&put[0].path("games")).unwrap(), Some(vec![7]));
        assert_eq!(store.get("games/none").unwrap(), None);
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
