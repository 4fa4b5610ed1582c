//! What every file says of the run that made it, and whether this program reads such files.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};

use crate::rows::tables;
use crate::{ReadStore, Scope, StoreError, parquet_file};

/// Version of the tables: of their columns, names and places. An added column does not raise it; `docs/changes.md` has what each
/// version changed.
pub const SCHEMA_VERSION: &str = "2";

/// The key under which a file's footer has its schema version.
const SCHEMA_VERSION_KEY: &str = "schema_version";

/// What made a table. Holds nothing that differs between two runs over the same input (no time, host or path), so that the same
/// input gives the same bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunInfo {
    /// The pipeline's name.
    pub pipeline: String,
    /// All parameters, defaults included, as TOML.
    pub parameters_toml: String,
    /// Those of them that a game's own tables depend on, as TOML.
    pub game_parameters_toml: String,
    /// The program's version.
    pub version: String,
}

impl RunInfo {
    /// The SHA-256 of the parameters that tables of that scope depend on, lower-case hexadecimal: of a game's, not those of the season
    /// and the reports, so that a game's bytes depend on its game alone.
    pub fn parameters_hash(&self, scope: Scope) -> String {
        let toml = match scope {
            Scope::Game => &self.game_parameters_toml,
            Scope::Season | Scope::Run => &self.parameters_toml,
        };
        sha256_hex(Sha256::new().chain_update(toml))
    }

    /// What the footer of a file of that scope says, in writing order. The parameters themselves are in the table `runs`.
    pub(crate) fn footer(&self, scope: Scope) -> Footer {
        footer(SCHEMA_VERSION, &self.version, &self.parameters_hash(scope))
    }
}

/// Keys and values of a file's footer.
pub(crate) type Footer = [(&'static str, String); 3];

pub(crate) fn footer(schema_version: &str, program_version: &str, parameters_hash: &str) -> Footer {
    [
        (SCHEMA_VERSION_KEY, schema_version.into()),
        ("program_version", program_version.into()),
        ("parameters_hash", parameters_hash.into()),
    ]
}

/// A finished hash, lower-case hexadecimal.
pub fn sha256_hex(hash: Sha256) -> String {
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Tables of another schema version.
#[derive(Debug, thiserror::Error)]
#[error(
    "{file}: written with schema version {found}, and this program reads and writes version {SCHEMA_VERSION}; give another folder, \
     or remove the old tables and run their games again (docs/changes.md lists what changed)"
)]
pub struct OtherSchemaVersion {
    /// The file, or the folder that only that version has.
    pub file: String,
    /// Its version.
    pub found: String,
}

/// A store whose tables cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SchemaError {
    /// It holds tables of another version.
    #[error(transparent)]
    Other(#[from] OtherSchemaVersion),
    /// It cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// The version of a file by its footer's pairs; one that says none is taken to be of this version.
pub(crate) fn check_footer(file: &str, pairs: &BTreeMap<String, String>) -> Result<(), OtherSchemaVersion> {
    match pairs.get(SCHEMA_VERSION_KEY) {
        Some(found) if found != SCHEMA_VERSION => Err(OtherSchemaVersion {
            file: file.into(),
            found: found.clone(),
        }),
        _ => Ok(()),
    }
}

/// Tables of schema version 1 that have another name now.
const OLD_NAMES: [&str; 2] = ["gravity", "gravity_samples"];

/// Refuses a store that holds tables of another schema version, by the first file of each table: a folder must not hold two.
///
/// # Errors
/// [`SchemaError`].
pub fn check_schema_version(store: &dyn ReadStore) -> Result<(), SchemaError> {
    for table in tables().map(|table| table.name).chain(OLD_NAMES) {
        let names = store.list(table)?;
        // Version 1 had folders here, version 2 has files alone.
        if let Some(name) = names.iter().find(|name| name.starts_with("season=")) {
            return Err(OtherSchemaVersion {
                file: format!("{table}/{name}"),
                found: "1".into(),
            }
            .into());
        }
        let Some(name) = names.iter().find(|name| name.ends_with(".parquet")) else {
            continue;
        };
        let file = format!("{table}/{name}");
        // A file that is no Parquet is reported by whoever needs it.
        let pairs = store
            .get(&file)?
            .and_then(|bytes| parquet_file::read_metadata(bytes).ok());
        check_footer(&file, &pairs.unwrap_or_default())?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rows::MatchupRow;
    use crate::{LocalStore, Store, write_rows};

    fn run() -> RunInfo {
        RunInfo {
            pipeline: "p".into(),
            parameters_toml: "abc".into(),
            game_parameters_toml: String::new(),
            version: "0".into(),
        }
    }

    #[test]
    fn the_hash_is_sha_256_of_the_parameters() {
        // FIPS 180-2, appendix B.1: SHA-256 of "abc".
        assert_eq!(
            run().parameters_hash(Scope::Run),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn a_folder_of_another_version_is_refused_by_name_and_ones_own_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        check_schema_version(&store).unwrap();
        let bytes = write_rows::<MatchupRow>(&[], None, &run()).unwrap();
        store.put("matchups/2041~G.parquet", &bytes).unwrap();
        check_schema_version(&store).unwrap();
        let old = "gravity/season=2041/part-0.parquet";
        store.put(old, &[1]).unwrap();
        let message = check_schema_version(&store).unwrap_err().to_string();
        for part in ["gravity/season=2041", "version 1", "version 2", "docs/changes.md"] {
            assert!(message.contains(part), "no `{part}` in: {message}");
        }
    }

    #[test]
    fn a_footer_of_another_version_is_refused_and_one_without_is_not() {
        let pairs = |version: &str| BTreeMap::from([(SCHEMA_VERSION_KEY.to_owned(), version.to_owned())]);
        check_footer("x", &pairs("2")).unwrap();
        check_footer("x", &BTreeMap::new()).unwrap();
        assert_eq!(check_footer("x", &pairs("3")).unwrap_err().found, "3");
    }
}
