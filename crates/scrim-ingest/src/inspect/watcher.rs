//! Coordinates as the source has them, before any mapping: a sample that is evenly thinned.

use std::path::Path;

use scrim_tables::Id;

use super::found::{InspectedFile, Spread};
use crate::chunk::Chunk;
use crate::open_table::PlannedFile;
use crate::plan::{PlaceColumns, Plan, Shape};
use crate::read::Watch;

/// So many values of a coordinate are kept at most; then every second one is left out.
const MAX_KEPT: usize = 20_000;

/// Looks at a source's coordinates while it is read.
#[derive(Debug, Default)]
pub(super) struct Watcher {
    pub files: Vec<WatchedFile>,
    /// How many rows of each game were refused.
    pub refused: Vec<(Id, u64)>,
}

/// What was seen of a file.
#[derive(Debug)]
pub(super) struct WatchedFile {
    path: String,
    format: &'static str,
    rows: u64,
    pub x: Thinned,
    pub y: Thinned,
}

/// Every n-th value of many, with the smallest and the largest of all.
#[derive(Debug)]
pub(super) struct Thinned {
    kept: Vec<f64>,
    every: u64,
    seen: u64,
    least: f64,
    most: f64,
}

impl Default for Thinned {
    fn default() -> Self {
        Self {
            kept: Vec::new(),
            every: 1,
            seen: 0,
            least: f64::INFINITY,
            most: f64::NEG_INFINITY,
        }
    }
}

impl Thinned {
    fn add(&mut self, values: &[f64]) {
        for &value in values.iter().filter(|v| v.is_finite()) {
            self.least = self.least.min(value);
            self.most = self.most.max(value);
            if self.seen.is_multiple_of(self.every) {
                self.kept.push(value);
            }
            self.seen += 1;
            if self.kept.len() == MAX_KEPT {
                let mut place = 0;
                self.kept.retain(|_| {
                    place += 1;
                    place % 2 == 1
                });
                self.every *= 2;
            }
        }
    }

    /// `None` before the first value.
    pub(super) fn spread(&self) -> Option<Spread> {
        let mut kept = self.kept.clone();
        kept.sort_unstable_by(f64::total_cmp);
        let at = |share: f64| {
            kept.get(((kept.len().max(1) - 1) as f64 * share).round() as usize)
                .copied()
        };
        Some(Spread {
            least: self.least,
            percent_1: at(0.01)?,
            percent_99: at(0.99)?,
            most: self.most,
        })
    }
}

impl Watcher {
    pub(super) fn files(&self) -> Vec<InspectedFile> {
        let file = |file: &WatchedFile| InspectedFile {
            path: file.path.clone(),
            format: file.format.into(),
            rows: file.rows,
            x: file.x.spread(),
            y: file.y.spread(),
        };
        self.files.iter().map(file).collect()
    }
}

impl Watch for Watcher {
    fn planned(&mut self, path: &Path, file: &PlannedFile) {
        self.files.push(WatchedFile {
            path: path.display().to_string(),
            format: file.format.as_str(),
            rows: 0,
            x: Thinned::default(),
            y: Thinned::default(),
        });
    }

    fn refused(&mut self, game_id: &Id, rows: u64) {
        self.refused.push((game_id.clone(), rows));
    }

    fn chunk(&mut self, plan: &Plan, chunk: &Chunk<'_>) {
        let Some(file) = self.files.last_mut() else { return };
        file.rows += chunk.rows as u64;
        let places: Vec<PlaceColumns> = match &plan.shape {
            Shape::Long { at, .. } => vec![*at],
            Shape::Wide { players, .. } => players.iter().map(|p| p.at).collect(),
        };
        for at in places {
            file.x.add(&chunk.columns[at.x].numbers);
            file.y.add(&chunk.columns[at.y].numbers);
        }
    }
}
