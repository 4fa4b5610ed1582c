//! What is kept of each game of a run, for a fit.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};

use anyhow::{Result, bail};
use scrim_actions::CoverageInputs;
use scrim_tables::rows::ScreenRow;
use scrim_tables::{Id, ReadStore, Store, StoreError};
use scrim_tune::{Finding, Labels, Rows, add_game};

use crate::{Pipeline, RunSummary, TaggedGame};

/// What is kept of one game.
#[derive(Debug)]
pub(super) struct KeptGame {
    pub screens: Vec<ScreenRow>,
    /// By the screen's id: its possession, and what the decision on its coverage looks at.
    pub reads: BTreeMap<u32, (u32, Option<CoverageInputs>)>,
    /// Candidates, if the game is labelled and screens are fitted.
    pub rows: Rows,
}

/// Games by id.
pub(super) type Games = BTreeMap<Id, KeptGame>;

/// Games as they are done, by id and season.
pub(super) struct Gathered<'a> {
    finding: Finding,
    labels: &'a Labels,
    with_rows: bool,
    games: Mutex<BTreeMap<(Id, Option<Id>), KeptGame>>,
}

impl<'a> Gathered<'a> {
    /// None yet.
    pub fn new(pipeline: &Pipeline, labels: &'a Labels, with_rows: bool) -> Self {
        Self {
            finding: Finding {
                play: pipeline.play.clone(),
                screens: pipeline.screens.clone(),
                off_ball: pipeline.off_ball_screens.clone(),
            },
            labels,
            with_rows,
            games: Mutex::default(),
        }
    }

    /// Keeps what a fit needs of a game.
    pub fn keep(&self, tagged: &TaggedGame) {
        let info = &tagged.game.info;
        let mut rows = Rows::default();
        if self.with_rows && self.labels.has(&info.game_id) {
            add_game(&tagged.game, &self.finding, self.labels, 0, 1.0, &mut rows);
            // A correction looks at `inputs` alone; a season's evidence would fill the memory.
            for row in rows.on_ball.iter_mut().chain(&mut rows.off_ball) {
                row.evidence = Vec::new();
            }
        }
        let reads = tagged.tables.coverages.iter().zip(&tagged.reads);
        let kept = KeptGame {
            screens: tagged.tables.screens.clone(),
            reads: reads
                .map(|(row, read)| (row.screen_id, (row.possession_id, read.coverage_inputs)))
                .collect(),
            rows,
        };
        let mut games = self.games.lock().unwrap_or_else(PoisonError::into_inner);
        // Of two sources that hold the game, a run calls last for the one that it keeps.
        games.insert((info.game_id.clone(), info.season.clone()), kept);
    }

    /// Those that the run has done.
    ///
    /// # Errors
    /// When one game is in two seasons.
    pub fn into_games(self, summary: &RunSummary) -> Result<Games> {
        let done: BTreeSet<&str> = summary
            .all
            .done
            .iter()
            .map(|game| game.game_id.as_str())
            .collect();
        let mut games = BTreeMap::new();
        for ((game_id, _), kept) in self.games.into_inner().unwrap_or_else(PoisonError::into_inner) {
            if !done.contains(game_id.as_ref()) {
                continue;
            }
            if games.insert(game_id.clone(), kept).is_some() {
                bail!(
                    "game {game_id} is in two seasons of the input; labels cannot say which: leave one out"
                );
            }
        }
        Ok(games)
    }
}

/// A store that keeps nothing: what is looked for is in memory.
pub(super) struct Nowhere;

impl Store for Nowhere {
    fn put(&self, _: &str, _: &[u8]) -> Result<(), StoreError> {
        Ok(())
    }

    fn rename(&self, _: &str, _: &str) -> Result<bool, StoreError> {
        Ok(false)
    }

    fn remove(&self, _: &str) -> Result<(), StoreError> {
        Ok(())
    }

    fn size(&self, _: &str) -> Result<Option<u64>, StoreError> {
        Ok(None)
    }
}

impl ReadStore for Nowhere {
    fn get(&self, _: &str) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }

    fn list(&self, _: &str) -> Result<Vec<String>, StoreError> {
        Ok(Vec::new())
    }
}
