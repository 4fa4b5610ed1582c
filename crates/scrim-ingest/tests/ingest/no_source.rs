//! Nothing vanishes: every file and folder at the input is in a source, or listed with the reason.

use scrim_ingest::{FoundSources, IngestError, find_sources};

use crate::small_game::{Folder, csv, rows};

fn found(folder: &Folder) -> FoundSources {
    find_sources(folder.path(), None).unwrap()
}

/// Paths below the folder, whether each is a loss, and why.
fn others(folder: &Folder, found: &FoundSources) -> Vec<(String, bool, String)> {
    let short = |path: &std::path::Path| path.strip_prefix(folder.path()).unwrap().display().to_string();
    found
        .others
        .iter()
        .map(|other| (short(&other.path), other.is_loss, other.reason.clone()))
        .collect()
}

#[test]
fn every_file_and_folder_is_accounted_for() {
    let tracking = csv(&rows("A", 2));
    let folder = Folder::new()
        .with("a/tracking.csv", &tracking)
        .with("a/games.csv", "game_id\nA\n")
        .with("a/games.parquet", "another one")
        .with("a/README.md", "words")
        .with("a/labels/screens.csv", "x\n")
        .with("b/deeper/tracking.csv", &tracking)
        .with("c/notes.txt", "words and more words")
        .with("labels/x.csv", "")
        .with("stray.csv", &tracking);
    std::fs::create_dir(folder.path().join("d")).unwrap();
    let found = found(&folder);
    assert_eq!(found.sources.len(), 1);
    let listed = others(&folder, &found);
    let paths: Vec<&str> = listed.iter().map(|(path, ..)| path.as_str()).collect();
    assert_eq!(
        paths,
        [
            "a/README.md",
            "a/games.parquet",
            "a/labels",
            "b",
            "c",
            "d",
            "labels",
            "stray.csv"
        ]
    );
    assert!(listed.iter().all(|(_, is_loss, _)| !is_loss), "{listed:?}");
    let reason = |path: &str| {
        listed
            .iter()
            .find(|other| other.0 == path)
            .map(|other| other.2.as_str())
            .unwrap()
    };
    assert_eq!(reason("a/README.md"), "no table by its name");
    assert_eq!(reason("a/labels"), "a folder of labels");
    assert!(reason("b").contains("folders below it are not looked into"));
    assert_eq!(reason("d"), "no tracking here");
}

#[test]
fn a_folder_with_tracking_inside_another_ones_is_expected_as_such() {
    let tracking = csv(&rows("A", 2));
    let folder = Folder::new()
        .with("tracking.csv", &tracking)
        .with("second half/tracking.csv", &tracking);
    let found = found(&folder);
    let listed = others(&folder, &found);
    assert_eq!((found.sources.len(), listed.len()), (1, 1));
    assert!(
        !listed[0].1 && listed[0].2.contains("it is not read"),
        "{listed:?}"
    );
}

#[cfg(unix)]
#[test]
fn a_side_table_or_mapping_or_tracking_that_is_no_file_is_a_loss_and_never_opened() {
    use std::os::unix::fs::symlink;
    let tracking = csv(&rows("A", 2));
    let folder = Folder::new()
        .with("dead link/tracking.csv", &tracking)
        .with("fine/tracking.csv", &tracking)
        .with("folder/tracking.csv", &tracking)
        .with("folder/players.csv/part.csv", "")
        .with("pipe/tracking.csv", &tracking)
        .with("device/tracking.csv", &tracking);
    let at = |name: &str| folder.path().join(name);
    symlink("nowhere", at("dead link/games.csv")).unwrap();
    symlink("/dev/zero", at("device/events.csv")).unwrap();
    std::fs::create_dir(at("pipe tracking")).unwrap();
    for pipe in ["pipe/mapping.toml", "pipe tracking/tracking.csv"] {
        assert!(
            std::process::Command::new("mkfifo")
                .arg(at(pipe))
                .status()
                .unwrap()
                .success()
        );
    }
    symlink("gone", at("gone")).unwrap();
    let found = found(&folder);
    assert_eq!(found.sources.len(), 1);
    assert_eq!(found.sources[0].name, "fine");
    let listed: Vec<(String, String)> = others(&folder, &found)
        .into_iter()
        .filter(|(_, is_loss, _)| *is_loss)
        .map(|(path, _, reason)| (path, reason.split(',').next().unwrap().to_owned()))
        .collect();
    let expected = [
        ("dead link/games.csv", "a link that leads nowhere"),
        ("device/events.csv", "a device"),
        ("folder/players.csv", "a folder"),
        ("gone", "a link that leads nowhere"),
        ("pipe/mapping.toml", "a pipe"),
        ("pipe tracking/tracking.csv", "a pipe"),
    ];
    let expected: Vec<(String, String)> = expected.map(|(path, why)| (path.into(), why.into())).into();
    let mut sorted = expected.clone();
    sorted.sort_by_key(|(path, _)| folder.path().join(path));
    assert_eq!(listed, sorted);
    let given = find_sources(folder.path(), Some(&at("pipe/mapping.toml"))).unwrap_err();
    assert!(
        matches!(given, IngestError::NotAFile { found: "a pipe", .. }),
        "{given}"
    );
    let single = find_sources(&at("pipe tracking/tracking.csv"), None).unwrap_err();
    assert!(
        matches!(single, IngestError::NotAFile { found: "a pipe", .. }),
        "{single}"
    );
}

#[test]
fn an_input_of_losses_alone_is_no_error_but_a_list() {
    let folder = Folder::new().with("night/games.csv/part", "");
    let found = found(&folder);
    assert!(found.sources.is_empty());
    assert!(found.others.iter().any(|other| other.is_loss), "{found:?}");
}
