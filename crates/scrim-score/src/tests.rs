//! Whole runs over small folders, with numbers worked out by hand.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use arrow::array::{ArrayRef, RecordBatch, StringArray};
use parquet::arrow::ArrowWriter;
use tempfile::TempDir;

use crate::{Report, ScoreError, ScoreParams, score};

mod bad_input;
mod ball_screen_possessions;
mod counts;
mod coverage_labels;
mod labelled;
mod screen_labels;
mod sections;
mod spreadsheet;
mod text;

/// A folder with `tables/` and `labels/`, of one test.
struct Folder {
    dir: TempDir,
}

impl Folder {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir_all(dir.path().join("tables")).unwrap();
        fs::create_dir_all(dir.path().join("labels")).unwrap();
        Self { dir }
    }

    fn tables(&self) -> PathBuf {
        self.dir.path().join("tables")
    }

    fn labels(&self) -> PathBuf {
        self.dir.path().join("labels")
    }

    /// A label file as a user would type it: blanks around the cells are for the reader's eye.
    fn label(self, name: &str, text: &str) -> Self {
        write(&self.labels().join(name), text.as_bytes());
        self
    }

    /// A table of game `G1`, given as delimited text and written as Parquet with a text column each.
    fn table(self, name: &str, text: &str) -> Self {
        self.table_of("G1", name, text)
    }

    fn table_of(self, game_id: &str, name: &str, text: &str) -> Self {
        let path = format!("{name}/unknown~{game_id}.parquet");
        write(&self.tables().join(path), &parquet_of(text));
        self
    }

    fn score(&self) -> Result<Report, ScoreError> {
        self.score_with(&ScoreParams::default())
    }

    fn score_with(&self, params: &ScoreParams) -> Result<Report, ScoreError> {
        score(&self.tables(), &self.labels(), params)
    }
}

fn write(path: &Path, bytes: &[u8]) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, bytes).unwrap();
}

/// Lines of cells separated by commas to the bytes of a Parquet file; an empty cell is null.
fn parquet_of(text: &str) -> Vec<u8> {
    let mut lines = text
        .lines()
        .map(|line| line.split(',').map(str::trim).collect::<Vec<_>>());
    let header = lines.next().unwrap();
    let rows: Vec<Vec<&str>> = lines.collect();
    let column = |index: usize| -> ArrayRef {
        let cells = rows
            .iter()
            .map(|row| Some(row[index]).filter(|cell| !cell.is_empty()));
        Arc::new(cells.collect::<StringArray>())
    };
    let columns: Vec<(&str, ArrayRef)> = header
        .iter()
        .enumerate()
        .map(|(index, name)| (*name, column(index)))
        .collect();
    let batch =
        RecordBatch::try_from_iter_with_nullable(columns.into_iter().map(|(n, c)| (n, c, true))).unwrap();
    let mut writer = ArrowWriter::try_new(Vec::new(), batch.schema(), None).unwrap();
    writer.write(&batch).unwrap();
    writer.into_inner().unwrap()
}

/// The counts of a detection: found, missed, extra, in doubt.
fn four(detection: &crate::Detection) -> (usize, usize, usize, usize) {
    (
        detection.found,
        detection.missed,
        detection.extra,
        detection.in_doubt,
    )
}
