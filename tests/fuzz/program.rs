//! What the program reads beside sources: bytes as a file, read as the program reads it. Each says whether anything came of it.

use std::error::Error;
use std::path::Path;

use scrim::Pipeline;
use scrim_score::{ScoreError, ScoreParams, score};
use scrim_tables::ledger::{Manifest, Part};
use scrim_tables::rows::ScreenRow;
use scrim_tables::verify::verify_part;
use scrim_tables::{LocalStore, Scope, read_batch, read_rows, with_causes};

use crate::program_seeds as seeds;

/// Labels as people type them: screens, coverages and what was looked at, each ended by [`seeds::TABLE_END`].
pub fn labels(folder: &Path, bytes: &[u8]) -> bool {
    let mut tables = bytes.splitn(3, |&byte| byte == seeds::TABLE_END);
    for name in ["screens.csv", "coverages.csv", "labelled.csv"] {
        put(
            folder,
            &format!("labels/{name}"),
            tables.next().unwrap_or_default(),
        );
    }
    scores(folder)
}

/// Labels as a program writes them.
pub fn labels_parquet(folder: &Path, bytes: &[u8]) -> bool {
    put(folder, "labels/screens.parquet", bytes);
    scores(folder)
}

fn scores(folder: &Path) -> bool {
    put(folder, &seeds::SCREENS, &seeds::SCREENS_PARQUET);
    match score(
        &folder.join("tables"),
        &folder.join("labels"),
        &ScoreParams::default(),
    ) {
        Ok(report) => {
            // What people see, and what programs read.
            assert!(!report.to_table().is_empty());
            serde_json::to_string(&report).unwrap();
            true
        }
        Err(error @ ScoreError::Parameter(_)) => panic!("the parameters are at their defaults: {error}"),
        Err(error) => said(&error),
    }
}

/// A game's manifest.
pub fn ledger(folder: &Path, bytes: &[u8]) -> bool {
    let store = LocalStore::new(folder);
    let part = Part::of_stem(seeds::STEM).unwrap();
    put(folder, &part.manifest(), bytes);
    put(folder, &part.file("screens"), &seeds::SCREENS_PARQUET);
    assert_eq!(
        Part::find(&store, Scope::Game).unwrap(),
        std::slice::from_ref(&part)
    );
    let understood = Manifest::read(&store, &part).unwrap();
    if let Some((manifest, _)) = &understood {
        manifest.first_broken(&store, &part, true).unwrap();
    }
    let verified = verify_part(&store, &part).unwrap();
    assert!(understood.is_some() || !verified.problems.is_empty());
    verified.problems.is_empty()
}

/// A pipeline file.
pub fn pipeline(folder: &Path, bytes: &[u8]) -> bool {
    let path = put(folder, "pipeline.toml", bytes);
    match Pipeline::read(&path) {
        Ok(pipeline) => {
            let text = pipeline.to_toml().unwrap();
            assert_eq!(Pipeline::of_text(&text, &path).unwrap(), pipeline, "{text}");
            pipeline.run_info().unwrap();
            true
        }
        Err(error) => said(&error),
    }
}

/// A table that a run wrote.
pub fn tables(folder: &Path, bytes: &[u8]) -> bool {
    let rows = read_rows::<ScreenRow>(bytes.to_vec());
    let batch = read_batch("screens", &["game_id", "t_use_s", "screen_kind"], bytes.to_vec());
    // As `scrim score` reads it.
    put(folder, &seeds::SCREENS, bytes);
    put(folder, "labels/screens.csv", seeds::LABELLED_SCREENS.as_bytes());
    if let Err(error) = score(
        &folder.join("tables"),
        &folder.join("labels"),
        &ScoreParams::default(),
    ) {
        said(&error);
    }
    match (rows, batch) {
        (Ok(rows), Ok(batch)) => {
            assert_eq!(rows.len(), batch.num_rows());
            true
        }
        (Err(error), _) | (_, Err(error)) => said(&error),
    }
}

/// Refused: with words.
fn said(error: &dyn Error) -> bool {
    assert!(with_causes(error).len() > 20, "{error:?}");
    false
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> std::path::PathBuf {
    let path = folder.join(name);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(&path, bytes).unwrap();
    path
}
