//! A manifest: which files a game's or a season's tables are, and what they were made from.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::places::{LEDGER, STAGED};
use super::video::MarkedVideo;
use crate::metadata::{Footer, footer};
use crate::partition::{UNKNOWN_SEASON, season_stem};
use crate::rows::GameRow;
use crate::{Partition, ReadStore, Row, RunInfo, SCHEMA_VERSION, Scope, Store, StoreError, sha256_hex};

/// What has a manifest: the tables of one game, or of one season.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// A game's tables.
    Game(Partition),
    /// A season's tables; `None` is the season of games that have none.
    Season(Option<String>),
}

impl Part {
    /// The season; `None` when it is not known.
    pub fn season(&self) -> Option<&str> {
        match self {
            Self::Game(partition) => partition.season(),
            Self::Season(season) => season.as_deref(),
        }
    }

    /// What one file of its tables holds.
    pub fn scope(&self) -> Scope {
        match self {
            Self::Game(_) => Scope::Game,
            Self::Season(_) => Scope::Season,
        }
    }

    /// What its files are called in each table's folder, without the ending.
    pub fn stem(&self) -> String {
        match self {
            Self::Game(partition) => partition.stem(),
            Self::Season(season) => season_stem(season.as_deref()),
        }
    }

    /// Where a table's file is.
    pub fn file(&self, table: &str) -> String {
        format!("{table}/{}.parquet", self.stem())
    }

    /// Where its manifest is.
    pub fn manifest(&self) -> String {
        format!("{}/{}.json", Self::folder(self.scope()), self.stem())
    }

    /// The folder of the manifests of that scope.
    pub(super) fn folder(scope: Scope) -> String {
        match scope {
            Scope::Game => format!("{LEDGER}/games"),
            Scope::Season | Scope::Run => format!("{LEDGER}/seasons"),
        }
    }

    /// Whose files are called that, without the ending.
    pub fn of_stem(stem: &str) -> Option<Self> {
        Partition::of_stem(stem)
            .map(Self::Game)
            .or_else(|| (!stem.contains('~')).then(|| Self::Season(crate::partition::season_of(stem))))
    }

    /// Every part of that scope that has a manifest.
    ///
    /// # Errors
    /// See [`ReadStore::list`].
    pub fn find(store: &dyn ReadStore, scope: Scope) -> Result<Vec<Self>, StoreError> {
        let names = store.list(&Self::folder(scope))?;
        let stems = names.iter().filter_map(|name| name.strip_suffix(".json"));
        let mut parts: Vec<Self> = stems
            .filter_map(Self::of_stem)
            .filter(|part| part.scope() == scope)
            .collect();
        parts.sort();
        Ok(parts)
    }
}

/// What a part was made from and by. Holds no time, host or path: the same input gives the same bytes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MadeFrom {
    /// The program's version.
    pub program_version: String,
    /// Version of the tables' columns.
    pub schema_version: String,
    /// SHA-256 of the parameters, as in the files' footers.
    pub parameters_hash: String,
    /// Of a game: its source's name and the SHA-256 of its files. Of a season: each game's id and the SHA-256 of its manifest.
    pub inputs: BTreeMap<String, String>,
}

impl MadeFrom {
    /// What a run makes from `inputs`.
    pub fn new(run: &RunInfo, scope: Scope, inputs: BTreeMap<String, String>) -> Self {
        Self {
            program_version: run.version.clone(),
            schema_version: SCHEMA_VERSION.into(),
            parameters_hash: run.parameters_hash(scope),
            inputs,
        }
    }

    /// What the footer of a file says of it, in writing order. The parameters themselves are in the table `runs`.
    pub(crate) fn footer(&self) -> Footer {
        footer(&self.schema_version, &self.program_version, &self.parameters_hash)
    }
}

/// No table has a longer name; more would not fit into a file's.
const MAX_TABLE_NAME_BYTES: usize = 60;

/// A file as it was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileFacts {
    /// Its length.
    pub bytes: u64,
    /// Its rows.
    pub rows: u64,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
}

/// What a part is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// The season; `unknown` when it is not known.
    pub season: String,
    /// The game; `None` for a season's tables.
    pub game_id: Option<String>,
    /// What it was made from.
    pub made_from: MadeFrom,
    /// Its files, by table.
    pub files: BTreeMap<String, FileFacts>,
    /// What people marked of the game's video; `None` when nothing is marked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video: Option<MarkedVideo>,
}

impl Manifest {
    pub(super) fn new(part: &Part, made_from: MadeFrom, files: BTreeMap<String, FileFacts>) -> Self {
        Self {
            season: part.season().unwrap_or(UNKNOWN_SEASON).into(),
            game_id: match part {
                Part::Game(partition) => Some(partition.game_id().into()),
                Part::Season(_) => None,
            },
            made_from,
            files,
            video: None,
        }
    }

    /// The manifest of a part, and the SHA-256 of its text; `None` when it has none. One that cannot be understood is none, too: its
    /// part is made again.
    ///
    /// # Errors
    /// See [`ReadStore::get`].
    pub fn read(store: &dyn ReadStore, part: &Part) -> Result<Option<(Self, String)>, StoreError> {
        let Some(bytes) = store.get(&part.manifest())? else {
            return Ok(None);
        };
        let manifest = serde_json::from_slice(&bytes).ok().filter(Self::names_tables);
        Ok(manifest.map(|manifest| (manifest, sha256_of(&bytes))))
    }

    /// Whether each file is named as a table may be, so that none leads out of the tables' folders. A table that this version does not
    /// know may be one of a later version.
    fn names_tables(&self) -> bool {
        let is_name = |name: &String| {
            (1..=MAX_TABLE_NAME_BYTES).contains(&name.len())
                && name.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_')
        };
        self.files.keys().all(is_name)
    }

    /// The SHA-256 of the manifest that the part would have if nothing were marked. No table of a season holds what was marked.
    pub fn unmarked_digest(mut self) -> String {
        if let Some(video) = self.video.take() {
            self.files.insert(GameRow::TABLE.into(), video.unmarked);
        }
        sha256_of(&json_text(&self))
    }

    /// The first table whose file is not there or has another length; with `by_content`, or other bytes.
    ///
    /// # Errors
    /// [`StoreError`] when a file cannot be looked at.
    pub fn first_broken(
        &self,
        store: &dyn Store,
        part: &Part,
        by_content: bool,
    ) -> Result<Option<&str>, StoreError> {
        for (table, facts) in &self.files {
            let name = part.file(table);
            let is_whole = store.size(&name)? == Some(facts.bytes)
                && (!by_content
                    || store
                        .get(&name)?
                        .is_some_and(|bytes| sha256_of(&bytes) == facts.sha256));
            if !is_whole {
                return Ok(Some(table));
            }
        }
        Ok(None)
    }
}

/// A record of the ledger as text: JSON for people and programs, with a line end.
pub fn json_text(record: &impl Serialize) -> Vec<u8> {
    // Records are plain values and maps with text keys: nothing in them can fail to be written.
    let mut text = serde_json::to_vec_pretty(record).unwrap_or_default();
    text.push(b'\n');
    text
}

/// A record of the ledger; `None` when it is not there. One that cannot be understood is none, too: what it is about is done again.
///
/// # Errors
/// See [`ReadStore::get`].
pub fn read_json<T: DeserializeOwned>(store: &dyn ReadStore, name: &str) -> Result<Option<T>, StoreError> {
    Ok(store
        .get(name)?
        .and_then(|bytes| serde_json::from_slice(&bytes).ok()))
}

/// SHA-256 of bytes, lower-case hexadecimal.
pub fn sha256_of(bytes: &[u8]) -> String {
    sha256_hex(Sha256::new().chain_update(bytes))
}

/// The staged name of a part's file under the manifest with that hash.
pub(super) fn staged(part: &Part, digest: &str, table: &str) -> String {
    format!("{STAGED}/{}~~{}~~{table}", part.stem(), &digest[..16])
}

/// What a staged name says: part, beginning of the hash, table.
pub(super) fn of_staged(name: &str) -> Option<(Part, &str, &str)> {
    let mut pieces = name.split("~~");
    let (stem, digest, table) = (pieces.next()?, pieces.next()?, pieces.next()?);
    Some((Part::of_stem(stem)?, digest, table))
}
