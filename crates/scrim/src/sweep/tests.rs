use std::sync::Mutex;
use std::sync::atomic::AtomicBool;

use scrim_compare::compared_tables;
use scrim_ingest::find_sources;
use scrim_practice::{PracticeParams, play_game, write_game};
use scrim_tables::LocalStore;

use super::*;
use crate::source_record::Redo;
use crate::stages::Stage;
use crate::{RunPlan, run_sources};

/// Practice games of a minute and a half, each a source.
fn games(folder: &std::path::Path, count: u32) -> Vec<Source> {
    let params = PracticeParams {
        periods: 1,
        period_s: 90.0,
        ..PracticeParams::default()
    };
    for number in 0..count {
        let game = play_game(&params, number);
        write_game(&game, &folder.join("in").join(number.to_string())).unwrap();
    }
    find_sources(&folder.join("in"), None).unwrap().sources
}

/// The compared tables of every game, as a whole run of `pipeline` makes them.
fn run(sources: &[Source], pipeline: &Pipeline, store: &LocalStore) -> Vec<ComparedTables> {
    let found = Mutex::new(BTreeMap::new());
    let plan = RunPlan {
        pipeline,
        run: &pipeline.run_info().unwrap(),
        inputs: &Inputs::Here,
        store,
        redo: Redo::All,
        jobs: 1,
        stop: &AtomicBool::new(false),
        on_game: &|tagged| {
            let game_id = tagged.game.info.game_id.clone();
            found
                .lock()
                .unwrap()
                .insert(game_id, compared_of(&tagged.tables).unwrap());
        },
        on_source: &|_| (),
    };
    run_sources(sources, &plan).unwrap();
    found.into_inner().unwrap().into_values().collect()
}

fn grid_of(own: &Pipeline, vary: &[&str]) -> Grid {
    let vary: Vec<Vary> = vary.iter().map(|text| text.parse().unwrap()).collect();
    Grid::of(own, &vary).unwrap()
}

#[test]
fn every_compared_table_is_counted() {
    let folder = tempfile::tempdir().unwrap();
    let sources = games(folder.path(), 1);
    let store = LocalStore::new(folder.path().join("out"));
    let tables = run(&sources, &Pipeline::default(), &store);
    let mut expected: Vec<&str> = compared_tables().map(|table| table.name).collect();
    expected.sort_unstable();
    assert_eq!(tables[0].names().collect::<Vec<_>>(), expected);
}

#[test]
fn a_cell_of_each_stage_counts_what_whole_runs_have() {
    let folder = tempfile::tempdir().unwrap();
    let sources = games(folder.path(), 2);
    let store = LocalStore::new(folder.path().join("out"));
    let own = Pipeline::default();
    let own_tables = run(&sources, &own, &store);
    let all: Vec<&Source> = sources.iter().collect();
    let mut changed = 0;
    for (vary, first) in [
        ("tracks.player_window_s=0.2..0.9:2", Stage::Tracks),
        ("play.scatter_m=0.7..2.8:2", Stage::Play),
        ("screens.min_confidence=0.2..0.8:2", Stage::BallScreens),
        ("definitions.drop_depth_m=0.5..3.5:2", Stage::Actions),
        ("flow.min_confidence=0..0.9:2", Stage::Flow),
    ] {
        let grid = grid_of(&own, &[vary]);
        assert_eq!(grid.first, first, "{vary}");
        let swept = sweep_sources(&all, &Inputs::Here, &own, &grid, 2, &|| ()).unwrap();
        assert_eq!((swept.games.len(), swept.skipped.len()), (2, 0));
        assert_eq!(
            sweep_sources(&all, &Inputs::Here, &own, &grid, 1, &|| ()).unwrap(),
            swept
        );
        for (cell, tally) in grid.cells.iter().zip(&swept.tallies) {
            // By runs of whole pipelines, without anything kept.
            let mut expected = Tally::default();
            for (own, cell) in own_tables.iter().zip(run(&sources, cell, &store)) {
                expected.take_in(&Tally::of(own, &cell));
            }
            assert_eq!(*tally, expected, "{vary}");
            changed += usize::from(tally.counts.values().any(|counts| counts.both < counts.either));
        }
    }
    // And the values make a difference.
    assert!(changed >= 5, "{changed}");
}

#[test]
fn the_pipelines_own_value_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let sources = games(folder.path(), 1);
    let own = Pipeline::default();
    let depth_m = own.definitions.drop_depth_m;
    let grid = grid_of(
        &own,
        &[&format!(
            "definitions.drop_depth_m={depth_m}..{}:2",
            depth_m + 1.0
        )],
    );
    let all: Vec<&Source> = sources.iter().collect();
    let swept = sweep_sources(&all, &Inputs::Here, &own, &grid, 1, &|| ()).unwrap();
    for (measure, counts) in &swept.tallies[0].counts {
        assert_eq!(counts.changed_share().unwrap_or_default(), 0.0, "{measure}");
    }
}

#[test]
fn a_sample_is_spread_evenly_over_the_sources() {
    let source = |name: usize| Source {
        name: name.to_string(),
        tracking: Vec::new(),
        games: None,
        players: None,
        events: Vec::new(),
        mapping: None,
    };
    let sources: Vec<Source> = (0..10).map(source).collect();
    let names = |count| {
        let chosen = sample(&sources, count);
        chosen
            .iter()
            .map(|source| source.name.clone())
            .collect::<Vec<_>>()
            .join(" ")
    };
    // The middle of two halves, of five pairs; all when there are no more.
    assert_eq!(names(2), "2 7");
    assert_eq!(names(5), "1 3 5 7 9");
    assert_eq!(names(20), "0 1 2 3 4 5 6 7 8 9");
}
