//! Files that cannot be read: each with the exact words that it must give. The files lie in `tests/bad-inputs/`.

use std::path::{Path, PathBuf};

use scrim_ingest::{IngestError, IngestParams, find_sources, inspect, read_source};

/// File, mapping, and the message (with the folder left out).
const EXPECTED: &[(&str, Option<&str>, &str)] = &[
    (
        "empty.csv",
        None,
        "empty.csv: the file is empty; expected a tracking table",
    ),
    (
        "header-only.csv",
        None,
        "header-only.csv: the file is empty; expected a tracking table",
    ),
    (
        "no-game-column.csv",
        None,
        "no-game-column.csv: no column `game_id` for the game; found [\"GameId\", \"period\", \"t_s\", \"team_id\", \"player_id\", \
         \"x_m\", \"y_m\"]; `GameId` looks nearest: write [game] column (or [game] id = \"...\" for a file of one game), for \
         example column = \"GameId\" in the mapping if it is that",
    ),
    (
        "twin-column.csv",
        None,
        "twin-column.csv: two columns are called `x_m`; give each a name of its own",
    ),
    (
        "utf16.csv",
        None,
        "utf16.csv: text in UTF-16; save it as UTF-8; expected delimited text, JSON, JSON lines, Parquet or Arrow IPC \
         (text also as gzip or zstd)",
    ),
    (
        "latin1-header.csv",
        None,
        "latin1-header.csv: line 1 is not UTF-8; save the file as UTF-8",
    ),
    (
        "archive.csv",
        None,
        "archive.csv: a ZIP archive (or a spreadsheet); unpack or export it first; expected delimited text, JSON, JSON \
         lines, Parquet or Arrow IPC (text also as gzip or zstd)",
    ),
    (
        "noise.csv",
        None,
        "noise.csv: bytes that are no text; expected delimited text, JSON, JSON lines, Parquet or Arrow IPC (text also \
         as gzip or zstd)",
    ),
    (
        "cut.csv.gz",
        None,
        "cut.csv.gz: the compressed data end too early (after 14 bytes of text); copy the file again",
    ),
    (
        "damaged.csv.gz",
        None,
        "damaged.csv.gz: the compressed data are damaged (after 86 bytes of text); copy the file again",
    ),
    (
        "cut.csv.zst",
        None,
        "cut.csv.zst: the compressed data end too early (after 0 bytes of text); copy the file again",
    ),
    (
        "cut.parquet",
        None,
        "cut.parquet: begins as Parquet but cannot be read as such; it may be cut short or damaged: copy it again",
    ),
    (
        "packed.parquet.gz",
        None,
        "packed.parquet.gz: Parquet inside gzip or zstd; unpack it first (Parquet is compressed inside); expected \
         delimited text, JSON, JSON lines, Parquet or Arrow IPC (text also as gzip or zstd)",
    ),
    (
        "cut.arrow",
        None,
        "cut.arrow: cannot be read as an Arrow IPC file; it may be cut short or damaged: copy it again",
    ),
    (
        "list-column.parquet",
        None,
        "list-column.parquet: column `x_m` holds List(Float64, field: 'element'); expected numbers",
    ),
    (
        "cut.json",
        None,
        "cut.json: not valid JSON at line 3, column 0; fix it there, or copy the file again if it ends early",
    ),
    (
        "no-objects.json",
        None,
        "no-objects.json: the pointer `/*` leads to no array; found no objects with keys (form = \"long\" and \"wide\" read \
         objects as rows, form = \"nested\" reads the rest): point `at` where the arrays are",
    ),
    (
        "pointer.json",
        Some("pointer.toml"),
        "pointer.json: the pointer `/game/frames/*` leads to no array; found the keys [\"id\", \"moments\"]: point `at` \
         where the arrays are",
    ),
    (
        "pointer.json",
        Some("players-pointer.toml"),
        "pointer.json: the pointer `/game/moments/*/people` leads to no array; found the keys [\"players\", \"t\"]: point \
         `at` where the arrays are",
    ),
    (
        "one-team.csv",
        None,
        "game `G1`: rows of teams [\"KH\"] only; a game has two teams: check [team] and what marks the ball",
    ),
    (
        "feet.csv",
        None,
        "game `G1`: none of its 2 rows could be used: columns `x_m` and `y_m`: found (80, 25), that is 80.00 m along the \
         court from its middle; expected at most 24.00 m either way; check [place] unit and origin if many are refused",
    ),
    (
        "no-game.csv",
        None,
        "source `no-game.csv`: 2 rows, and none of a game that could be read: column `game_id` is empty or unreadable; \
         expected the game's id",
    ),
    (
        "one-team.csv",
        Some("unknown-key.toml"),
        "unknown-key.toml: not a mapping",
    ),
    (
        "one-team.csv",
        Some("no-rate.toml"),
        "no-rate.toml: [time] unit = \"frame\" needs `rate_hz`, the frames a second",
    ),
    (
        "one-team.csv",
        Some("pointer.toml"),
        "one-team.csv: the mapping's form `nested` cannot be read from delimited text; use form = \"long\" or \"wide\" for \
         tables",
    ),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-inputs")
}

fn message_of(file: &str, mapping: Option<&str>) -> Result<String, String> {
    let mapping = mapping.map(|name| folder().join(name));
    let sources = find_sources(&folder().join(file), mapping.as_deref())
        .map_err(|e| e.to_string())?
        .sources;
    let mut games = 0;
    let read = read_source::<IngestError>(&sources[0], &IngestParams::default(), &mut |_| {
        games += 1;
        Ok(())
    });
    match read {
        Ok(report) if games == 0 => report
            .refused
            .first()
            .map(|r| r.error.to_string())
            .or_else(|| report.failed_files.first().map(|f| f.error.to_string()))
            .ok_or("nothing".into()),
        Ok(_) => Err(format!("{games} games")),
        Err(error) => Ok(error.to_string()),
    }
}

#[test]
fn every_bad_file_gives_its_exact_words() {
    let prefix = format!("{}/", folder().display());
    let mut wrong = String::new();
    for (file, mapping, expected) in EXPECTED {
        let message = message_of(file, *mapping)
            .unwrap_or_else(|e| format!("no error: {e}"))
            .replace(&prefix, "");
        if message != *expected {
            wrong.push_str(&format!(
                "{file} {mapping:?}\n  found    {message}\n  expected {expected}\n"
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_bad_file_has_an_expectation() {
    for entry in std::fs::read_dir(folder()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let is_expected = EXPECTED
            .iter()
            .any(|(file, mapping, _)| *file == name || *mapping == Some(name.as_str()));
        assert!(is_expected, "{name} has no expectation in this test");
    }
}

#[test]
fn an_inspection_of_a_bad_file_is_a_finding_not_an_error() {
    for (file, mapping, expected) in EXPECTED.iter().filter(|e| e.1.is_none()) {
        let inspection = inspect(&folder().join(file), mapping.map(Path::new)).unwrap();
        let source = &inspection.sources[0];
        assert!(!source.is_usable, "{file}");
        let first = &source.findings[0].what;
        let words: String = first.replace(&format!("{}/", folder().display()), "");
        assert!(words.starts_with(expected), "{file}: {words}");
        assert!(
            inspection.to_string().contains("Nothing here can be used"),
            "{file}"
        );
    }
}

#[test]
fn rows_that_name_no_game_are_reported_and_kept() {
    let sources = find_sources(&folder().join("no-game.csv"), None).unwrap().sources;
    let report = read_source::<IngestError>(&sources[0], &IngestParams::default(), &mut |_| Ok(())).unwrap();
    assert!(matches!(
        report.failed_files[0].error,
        IngestError::NoGame { rows: 2, .. }
    ));
    assert_eq!(report.quarantine.len(), 2);
    assert!(report.quarantine.iter().all(|row| row.game_id.is_none()));
}
