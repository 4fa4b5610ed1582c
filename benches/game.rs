//! One whole practice game through every stage, and each stage alone.
//!
//! The input stands for a game of about 75 minutes at 25 Hz (1.2 million rows of canonical Parquet, noise 0.05 m), made
//! once from a fixed seed outside the measured part. Throughput is in rows of the source.
#![allow(missing_docs, reason = "criterion's macro makes undocumented items")]

use scrim_floor::Definitions;
use std::hint::black_box;
use std::path::Path;

use criterion::{BatchSize, Criterion, SamplingMode, Throughput, criterion_group, criterion_main};
use scrim_actions::{ReadParams, ScreenParams, Screens, find_ball_screens, find_reads, screen_rows};
use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_play::rows::{matchup_rows, possession_rows, touch_rows};
use scrim_play::{PlayParams, Scene, find_play};
use scrim_practice::{PracticeParams, play_game, write_game};
use scrim_tables::ledger::{Part, PartStage};
use scrim_tables::{Partition, RunInfo, TakesRows};
use scrim_tracks::{RawGame, TrackParams, clean};

/// Reads the one game of a source folder.
fn read(folder: &Path) -> (RawGame, u64) {
    let sources = find_sources(folder, None)
        .expect("the practice game is a source")
        .sources;
    let mut games = Vec::new();
    let report = read_source(&sources[0], &IngestParams::default(), &mut |game: ReadGame| {
        games.push(game.raw);
        Ok::<(), IngestError>(())
    })
    .expect("the practice game can be read");
    (games.remove(0), report.rows)
}

fn encode(
    game: &scrim_tracks::Game,
    play: &scrim_play::Play,
    screens: &[scrim_actions::BallScreen],
) -> usize {
    let run = RunInfo {
        pipeline: "bench".into(),
        parameters_toml: String::new(),
        game_parameters_toml: String::new(),
        version: "0".into(),
    };
    let screens = Screens::new(screens.to_vec(), Vec::new());
    let mut stage = PartStage::new(&run, Part::Game(Partition::new(None, "bench")));
    stage
        .add(&possession_rows(game, play, &[]))
        .expect("rows fit their columns");
    stage
        .add(&touch_rows(game, play))
        .expect("rows fit their columns");
    stage
        .add(&matchup_rows(game, play))
        .expect("rows fit their columns");
    stage
        .add(&screen_rows(game, play, &screens))
        .expect("rows fit their columns");
    screens.in_order().len()
}

fn whole_game(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let params = PracticeParams {
        seed: 75,
        games: 1,
        noise_m: 0.05,
        ..PracticeParams::default()
    };
    write_game(&play_game(&params, 0), folder.path()).expect("the practice game can be written");
    let (raw, rows) = read(folder.path());
    let game = clean(raw.clone(), &TrackParams::default())
        .expect("defaults are valid")
        .game;
    let play = find_play(&game, &PlayParams::default());
    let scenes = Scene::all(&game, &play);
    let screens = find_ball_screens(&scenes, &play, &ScreenParams::default());

    let mut group = criterion.benchmark_group(format!("game_of_{rows}_rows"));
    group
        .sampling_mode(SamplingMode::Flat)
        .sample_size(20)
        .throughput(Throughput::Elements(rows));
    group.bench_function("all_stages", |bench| {
        bench.iter(|| {
            let (raw, _) = read(folder.path());
            let game = clean(raw, &TrackParams::default())
                .expect("defaults are valid")
                .game;
            let play = find_play(&game, &PlayParams::default());
            let scenes = Scene::all(&game, &play);
            let screens = find_ball_screens(&scenes, &play, &ScreenParams::default());
            black_box(find_reads(
                &scenes,
                &play,
                &screens,
                &ReadParams::default(),
                &Definitions::DEFAULT,
            ));
            encode(&game, &play, &screens)
        });
    });
    group.bench_function("ingest", |bench| bench.iter(|| read(black_box(folder.path()))));
    group.bench_function("tracks", |bench| {
        bench.iter_batched(
            || raw.clone(),
            |raw| clean(raw, &TrackParams::default()).expect("defaults are valid"),
            BatchSize::LargeInput,
        );
    });
    group.bench_function("play", |bench| {
        bench.iter(|| find_play(black_box(&game), &PlayParams::default()))
    });
    group.bench_function("ball_screens", |bench| {
        bench.iter(|| find_ball_screens(black_box(&scenes), &play, &ScreenParams::default()));
    });
    group.bench_function("scenes", |bench| {
        bench.iter(|| Scene::all(black_box(&game), &play))
    });
    group.bench_function("reads", |bench| {
        bench.iter(|| {
            find_reads(
                black_box(&scenes),
                &play,
                &screens,
                &ReadParams::default(),
                &Definitions::DEFAULT,
            )
        });
    });
    group.bench_function("tables", |bench| {
        bench.iter(|| encode(black_box(&game), &play, &screens))
    });
    group.finish();
}

criterion_group!(benches, whole_game);
criterion_main!(benches);
