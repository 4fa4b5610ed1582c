//! Where a game's, a season's or a run's part of a table lies: one flat folder a table, so that every reader takes it whole.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};

use crate::ledger::sha256_of;
use crate::rows::QuarantineRow;
use crate::{ReadStore, Row, StoreError};

/// Everything but RFC 3986's unreserved characters is encoded, and `~`, which parts a name.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_');

/// Between the season and the game.
const BETWEEN: char = '~';

const ENDING: &str = ".parquet";

/// File systems take names of 255 bytes; some are left for what a file is called while it is staged: a hash and its table.
pub const MAX_NAME_BYTES: usize = 200;

/// The season of games that have none.
pub(crate) const UNKNOWN_SEASON: &str = "unknown";

/// A game's part of every table: `TABLE/SEASON~GAME.parquet`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Partition {
    season: Option<String>,
    game_id: String,
}

impl Partition {
    /// The part of a game; `None` is the season of games that have none, which are of season `unknown`.
    pub fn new(season: Option<&str>, game_id: &str) -> Self {
        Self {
            season: season.filter(|season| *season != UNKNOWN_SEASON).map(Into::into),
            game_id: game_id.into(),
        }
    }

    /// The season; `None` when the game has none.
    pub fn season(&self) -> Option<&str> {
        self.season.as_deref()
    }

    /// The game.
    pub fn game_id(&self) -> &str {
        &self.game_id
    }

    /// The path of `table`'s file for this game, below the root. Season and game id are percent-encoded (RFC 3986), so that no id
    /// can climb out of the folder, hide in it, or be taken for another.
    pub fn path(&self, table: &str) -> String {
        format!("{table}/{}{ENDING}", self.stem())
    }

    /// What its files are called, without the ending.
    pub(crate) fn stem(&self) -> String {
        let (season, game) = (season_stem(self.season()), encode(&self.game_id));
        format!("{season}{BETWEEN}{game}")
    }

    /// How long its files' names are, bytes.
    pub fn name_bytes(&self) -> usize {
        self.path("").len() - 1
    }

    /// Whether a file can be called by its season and id; one that cannot is refused before it gets here.
    pub fn has_a_name(&self) -> bool {
        self.name_bytes() <= MAX_NAME_BYTES
    }

    /// The game of a file by its name; `None` for a name that is no game's.
    pub fn of_name(name: &str) -> Option<Self> {
        Self::of_stem(name.strip_suffix(ENDING)?)
    }

    pub(crate) fn of_stem(stem: &str) -> Option<Self> {
        let (season, game) = stem.split_once(BETWEEN)?;
        (!game.contains(BETWEEN)).then(|| Self::new(Some(&decode(season)), &decode(game)))
    }

    /// Every game that `table` has, by season and game id.
    ///
    /// # Errors
    /// See [`ReadStore::list`].
    pub fn find(store: &dyn ReadStore, table: &str) -> Result<Vec<Self>, StoreError> {
        let names = store.list(table)?;
        let mut found: Vec<Self> = names.iter().filter_map(|name| Self::of_name(name)).collect();
        found.sort();
        Ok(found)
    }
}

/// The path of a season's table: `TABLE/SEASON.parquet`. `None` is the season of games that have none.
pub fn season_path(season: Option<&str>, table: &str) -> String {
    format!("{table}/{}{ENDING}", season_stem(season))
}

/// The path of a source's refused rows that name no game: `quarantine/unknown~~SOURCE.parquet`.
pub fn nameless_path(source: &str) -> String {
    let (table, source) = (QuarantineRow::TABLE, source_stem(source));
    format!("{table}/{UNKNOWN_SEASON}{BETWEEN}{BETWEEN}{source}{ENDING}")
}

/// A source's name as a file's. One too long for that is cut, and its hash keeps it apart.
pub fn source_stem(source: &str) -> String {
    const MOST: usize = 150;
    let mut name = encode(source);
    if name.len() > MOST {
        // Not in the middle of an encoded byte.
        let cut = name[MOST - 2..MOST].find('%').map_or(MOST, |at| MOST - 2 + at);
        name.truncate(cut);
        name = format!("{name}-{}", &sha256_of(source.as_bytes())[..16]);
    }
    name
}

fn encode(text: &str) -> String {
    utf8_percent_encode(text, ENCODED).to_string()
}

/// A season's name as a file's; one that begins with `.` or `_` would be hidden from many readers.
pub(crate) fn season_stem(season: Option<&str>) -> String {
    let text = encode(season.unwrap_or(UNKNOWN_SEASON));
    match text.as_bytes().first() {
        Some(b'.') => format!("%2E{}", &text[1..]),
        Some(b'_') => format!("%5F{}", &text[1..]),
        _ => text,
    }
}

/// The season that is called that; `None` is the season of games that have none.
pub(crate) fn season_of(stem: &str) -> Option<String> {
    Some(decode(stem)).filter(|season| season != UNKNOWN_SEASON)
}

fn decode(text: &str) -> String {
    percent_decode_str(text).decode_utf8_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{LocalStore, Store};

    #[test]
    fn an_id_cannot_climb_out_of_its_folder_nor_hide_in_it() {
        assert_eq!(
            Partition::new(Some("../x"), "..").path("screens"),
            "screens/%2E.%2Fx~...parquet"
        );
        assert_eq!(
            Partition::new(Some("_x"), "a~b").path("screens"),
            "screens/%5Fx~a%7Eb.parquet"
        );
        assert_eq!(season_path(Some(".."), "pull"), "pull/%2E..parquet");
    }

    #[test]
    fn names_too_long_for_a_file_are_known_and_those_of_sources_cut() {
        assert!(Partition::new(Some("2041"), &"g".repeat(187)).has_a_name());
        assert!(!Partition::new(Some("2041"), &"g".repeat(188)).has_a_name());
        let long = Partition::new(Some("2041"), &"é".repeat(40));
        // Six bytes a letter, `2041~` and `.parquet`.
        assert_eq!((long.name_bytes(), long.has_a_name()), (6 * 40 + 13, false));
        let paths = ["é".repeat(100), "é".repeat(101)].map(|source| nameless_path(&source));
        assert_ne!(paths[0], paths[1]);
        for path in &paths {
            assert!(path.split('/').all(|part| part.len() <= MAX_NAME_BYTES), "{path}");
            assert_eq!(
                path.matches('%').count() * 3,
                path.rfind('-').unwrap() - path.find('%').unwrap()
            );
        }
    }

    #[test]
    fn a_game_without_a_season_is_of_season_unknown() {
        let partition = Partition::new(None, "G");
        assert_eq!(partition.path("cuts"), "cuts/unknown~G.parquet");
        assert_eq!(partition, Partition::new(Some("unknown"), "G"));
        assert_eq!(season_path(None, "pull"), "pull/unknown.parquet");
    }

    #[test]
    fn games_are_found_again_and_nothing_else_is() {
        let folder = tempfile::tempdir().unwrap();
        let store = LocalStore::new(folder.path());
        let table = QuarantineRow::TABLE;
        assert_eq!(Partition::find(&store, table).unwrap(), vec![]);
        let mut put = Vec::new();
        for season in [None, Some("2025/26"), Some("..")] {
            for game in ["G 1/é", "..", "100%", "%2F", "a~b", ""] {
                put.push(Partition::new(season, game));
            }
        }
        put.sort();
        let mut names: Vec<String> = put.iter().map(|partition| partition.path(table)).collect();
        names.extend([nameless_path("a~b"), season_path(Some("2041"), table)]);
        for name in names {
            store.put(&name, &[1]).unwrap();
        }
        assert_eq!(Partition::find(&store, table).unwrap(), put);
        assert_eq!(store.get(&put[0].path(table)).unwrap(), Some(vec![1]));
    }

    proptest! {
        #[test]
        fn any_season_and_id_come_back_from_the_name(season in ".*", game in ".*") {
            let partition = Partition::new(Some(&season), &game);
            let path = partition.path("t");
            let name = path.strip_prefix("t/").unwrap();
            prop_assert!(!name.contains('/') && !name.starts_with(['.', '_']), "{name}");
            prop_assert_eq!(Partition::of_name(name), Some(partition));
        }
    }
}
