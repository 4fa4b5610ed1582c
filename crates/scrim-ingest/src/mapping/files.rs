//! Which files of a source folder are which, by patterns of their names.

use std::path::Path;

use serde::{Deserialize, Deserializer, Serialize};

/// Which files of a source folder are which. Each key is a pattern or a list of patterns of file names: `*` stands for
/// any letters, `?` for one, and `{game}` (once, in `tracking` and `events`) for the game's id.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FilesMapping {
    /// The tracking files. Default `tracking.*`, `tracking-*.*` and `tracking_*.*`. A file of one of the other keys is
    /// none.
    #[serde(deserialize_with = "one_or_several")]
    pub tracking: Vec<String>,
    /// The `games` side table: the first file by name. Default `games.*`.
    #[serde(deserialize_with = "one_or_several")]
    pub games: Vec<String>,
    /// The `players` side table: the first file by name. Default `players.*`.
    #[serde(deserialize_with = "one_or_several")]
    pub players: Vec<String>,
    /// The `events` side tables: the first file by name, or with `{game}` a file a game. Default `events.*`.
    #[serde(deserialize_with = "one_or_several")]
    pub events: Vec<String>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum OneOrSeveral {
    One(String),
    Several(Vec<String>),
}

fn one_or_several<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<String>, D::Error> {
    Ok(match OneOrSeveral::deserialize(deserializer)? {
        OneOrSeveral::One(pattern) => vec![pattern],
        OneOrSeveral::Several(patterns) => patterns,
    })
}

/// The placeholder of a game's id.
const GAME: &str = "{game}";

impl FilesMapping {
    /// Whether a placeholder in the names of tracking files stands for their game.
    pub(crate) fn name_the_game(&self) -> bool {
        self.tracking.iter().any(|pattern| pattern.contains(GAME))
    }

    /// What is wrong with the patterns.
    pub(super) fn check(&self) -> Result<(), String> {
        let keys = [
            ("tracking", &self.tracking, true),
            ("games", &self.games, false),
            ("players", &self.players, false),
            ("events", &self.events, true),
        ];
        for (key, patterns, may_name_the_game) in keys {
            for pattern in patterns {
                let what = format!("[files] {key} = {pattern:?}");
                if pattern.is_empty() || pattern.contains(['/', '\\']) {
                    return Err(format!(
                        "{what}; expected a pattern of file names in the folder, without `/`"
                    ));
                }
                let holders = pattern.matches(GAME).count();
                if holders > usize::from(may_name_the_game) || pattern.matches('{').count() != holders {
                    return Err(format!(
                        "{what}; expected `*`, `?` and, once and in `tracking` and `events` alone, `{{game}}`"
                    ));
                }
            }
        }
        Ok(())
    }
}

/// Whether a file has a name of one of the patterns; and the game that stands in its name by the first of them that fits.
pub(crate) fn fits(patterns: &[String], path: &Path) -> Option<Option<String>> {
    let name = path.file_name()?.to_string_lossy();
    patterns.iter().find_map(|pattern| fit(pattern, &name))
}

/// Whether `name` is of the pattern, and what its `{game}` stands for: as little as possible, and never nothing.
fn fit(pattern: &str, name: &str) -> Option<Option<String>> {
    let Some((before, after)) = pattern.split_once(GAME) else {
        return is_like(pattern, name).then_some(None);
    };
    let places: Vec<usize> = name
        .char_indices()
        .map(|(at, _)| at)
        .chain([name.len()])
        .collect();
    for &start in &places {
        if !is_like(before, &name[..start]) {
            continue;
        }
        for &end in places.iter().filter(|end| **end > start) {
            if is_like(after, &name[end..]) {
                return Some(Some(name[start..end].into()));
            }
        }
    }
    None
}

/// Whether `name` is of a pattern of `*` and `?`: the usual walk with one place to come back to.
fn is_like(pattern: &str, name: &str) -> bool {
    let (pattern, name): (Vec<char>, Vec<char>) = (pattern.chars().collect(), name.chars().collect());
    let (mut p, mut n) = (0, 0);
    let mut back: Option<(usize, usize)> = None;
    while n < name.len() {
        match pattern.get(p) {
            Some('*') => {
                back = Some((p, n));
                p += 1;
            }
            Some(c) if *c == '?' || *c == name[n] => {
                p += 1;
                n += 1;
            }
            _ => match back {
                Some((star, from)) => {
                    back = Some((star, from + 1));
                    p = star + 1;
                    n = from + 1;
                }
                None => return false,
            },
        }
    }
    pattern[p..].iter().all(|c| *c == '*')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_are_of_stars_marks_and_the_game() {
        for (pattern, name, expected) in [
            ("*.csv", "a.csv", Some(None)),
            ("*.csv", "a.csv.gz", None),
            ("a?c*", "abc", Some(None)),
            ("a?c*", "ac", None),
            ("*a*b", "xaxbxb", Some(None)),
            ("{game}.csv", "KH-SM 1.csv", Some(Some("KH-SM 1"))),
            ("{game}_*.csv", "G1_track_2.csv", Some(Some("G1"))),
            ("pos-{game}.csv*", "pos-é.csv.gz", Some(Some("é"))),
            ("{game}.csv", ".csv", None),
        ] {
            let expected = expected.map(|game: Option<&str>| game.map(String::from));
            assert_eq!(fit(pattern, name), expected, "{pattern} {name}");
        }
    }
}
