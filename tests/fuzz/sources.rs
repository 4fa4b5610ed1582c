//! The doors of a source: bytes as one of its files, read as the program reads it. Each says whether a game came of it.

use std::path::Path;

use scrim_ingest::{IngestError, IngestParams, find_sources, inspect, read_source};
use scrim_tables::with_causes;

use crate::contract::check_game;
use crate::source_seeds as seeds;

/// Arrow IPC, both forms.
pub fn arrow(folder: &Path, bytes: &[u8]) -> bool {
    read(folder, &[("tracking.arrow", bytes)])
}

/// Delimited text, plain or packed.
pub fn csv(folder: &Path, bytes: &[u8]) -> bool {
    read(folder, &[("tracking.csv", bytes)])
}

/// A JSON document with a list of rows.
pub fn json(folder: &Path, bytes: &[u8]) -> bool {
    read(folder, &[("tracking.json", bytes)])
}

/// A JSON value a line.
pub fn json_lines(folder: &Path, bytes: &[u8]) -> bool {
    read(folder, &[("tracking.jsonl", bytes)])
}

/// A mapping, beside tracking of the form that it names.
pub fn mapping(folder: &Path, bytes: &[u8]) -> bool {
    let names = |word: &str| bytes.windows(word.len()).any(|window| window == word.as_bytes());
    let tracking = if names("nested") {
        &seeds::NESTED_JSON
    } else if names("wide") {
        &seeds::WIDE_CSV
    } else {
        &seeds::FEET_CSV
    };
    // Found by its first bytes; the name stays, so that no earlier input's file is left beside it.
    read(
        folder,
        &[("tracking.dat", tracking.as_bytes()), ("mapping.toml", bytes)],
    )
}

/// A JSON document that is walked along paths.
pub fn nested_json(folder: &Path, bytes: &[u8]) -> bool {
    read(
        folder,
        &[
            ("tracking.json", bytes),
            ("mapping.toml", seeds::NESTED.as_bytes()),
        ],
    )
}

/// Parquet.
pub fn parquet(folder: &Path, bytes: &[u8]) -> bool {
    read(folder, &[("tracking.parquet", bytes)])
}

/// The three side tables, one after the other, each ended by [`seeds::TABLE_END`].
pub fn side_tables(folder: &Path, bytes: &[u8]) -> bool {
    let mut tables = bytes.splitn(3, |&byte| byte == seeds::TABLE_END);
    let mut next = || tables.next().unwrap_or_default();
    read(
        folder,
        &[
            ("tracking.csv", seeds::CANONICAL_CSV.as_bytes()),
            ("games.csv", next()),
            ("players.csv", next()),
            ("events.csv", next()),
        ],
    )
}

/// Reads and inspects a folder of these files; every game keeps the contract, and every refusal can be said.
fn read(folder: &Path, files: &[(&str, &[u8])]) -> bool {
    for (name, bytes) in files {
        std::fs::write(folder.join(name), bytes).unwrap();
    }
    // What `scrim inspect` shows.
    let _ = inspect(folder, None).map(|found| found.to_string());
    let sources = match find_sources(folder, None) {
        Ok(found) => found.sources,
        Err(error) => return said(&error),
    };
    let mut games = 0;
    for source in &sources {
        let report = read_source::<IngestError>(source, &IngestParams::default(), &mut |read| {
            check_game(&read);
            games += 1;
            Ok(())
        });
        match report {
            Ok(report) => {
                assert_eq!(report.games, games);
                for error in (report.failed_files.iter().map(|file| &file.error))
                    .chain(report.refused.iter().map(|game| &game.error))
                {
                    said(error);
                }
            }
            Err(error) => {
                said(&error);
            }
        }
    }
    games > 0
}

/// Refused: with words that say which file.
fn said(error: &IngestError) -> bool {
    assert!(with_causes(error).len() > 20, "{error:?}");
    false
}
