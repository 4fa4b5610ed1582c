//! `scrim tune`: fitted to labels, or refused with a word.

use std::fs;

use scrim::Pipeline;
use scrim_practice::{PracticeParams, play_game, write_game};

use crate::house::House;

/// Tunes `mine.toml` on the games in `in`, with the labels in `labels`.
const TUNE: [&str; 8] = [
    "tune",
    "mine.toml",
    "--input",
    "in",
    "--labels",
    "in",
    "--output",
    "tuned.toml",
];

/// A season of games long enough to fit on.
fn season(house: &House, games: u32) {
    let params = PracticeParams {
        seed: 9,
        games,
        periods: 2,
        period_s: 600.0,
        ..PracticeParams::default()
    };
    for number in 0..games {
        let game = play_game(&params, number);
        write_game(&game, &house.at("in").join(number.to_string())).unwrap();
    }
}

/// A correction by which `level` is 20 times as likely as the model has it.
const WRONG: &str = "[reads.coverage_model.level]\nbias = 3.0\ntrees = 1.0\ndepth = 0.0\nbeyond = 0.0\nboth_close = 0.0\n\
    close = 0.0\nstays = 0.0\nswap_margin = 0.0\nswap_late = 0.0\nswap_told = 0.0\nhanded = 0.0\nbrief = 0.0\n";

#[test]
fn a_fit_that_helps_is_written_as_a_pipeline_that_runs_the_same_at_any_number_of_jobs() {
    let house = House::new();
    season(&house, 3);
    // A correction that takes many drops for level has something to unlearn.
    house.write(
        "mine.toml",
        &format!("name = \"mine\"\n[tracks]\ngrid_hz = 25.0\n{WRONG}"),
    );
    let told = house.scrim(&[&TUNE[..], &["--samples", "samples.csv", "--jobs", "1"]].concat());
    assert_eq!(told.code, 0, "{told:?}");
    for part in [
        "whole games, 3 folds",
        "before",
        "macro-F1",
        "Written: tuned.toml",
    ] {
        assert!(told.stdout.contains(part), "no `{part}` in {}", told.stdout);
    }
    let text = fs::read_to_string(house.at("tuned.toml")).unwrap();
    assert!(text.starts_with("# Written by `scrim tune`."), "{text}");
    assert!(
        text.contains("Do not use it for games of another league"),
        "{text}"
    );
    let tuned = Pipeline::read(&house.at("tuned.toml")).unwrap();
    let mine = Pipeline::read(&house.at("mine.toml")).unwrap();
    assert_eq!(tuned.name, "tuned");
    assert_ne!(tuned.reads.coverage_model, mine.reads.coverage_model);
    // Everything else is as it was.
    let mut rest = tuned.clone();
    rest.name.clone_from(&mine.name);
    rest.reads = mine.reads.clone();
    assert_eq!(rest, mine);
    let samples = fs::read_to_string(house.at("samples.csv")).unwrap();
    assert!(samples.lines().count() > 60, "{samples}");

    let again = house.scrim(&[&TUNE[..], &["--jobs", "3"]].concat());
    assert_eq!(again.stdout, told.stdout);
    assert_eq!(fs::read_to_string(house.at("tuned.toml")).unwrap(), text);
    // What was fitted to far more labels already has nothing to gain from so few.
    house.write("fitted.toml", "name = \"fitted\"\n");
    let twice = house.scrim(&[
        "tune",
        "fitted.toml",
        "--input",
        "in",
        "--labels",
        "in",
        "--output",
        "twice.toml",
    ]);
    assert_eq!(twice.code, 4, "{twice:?}");
    assert!(twice.stdout.contains("Nothing was written"), "{}", twice.stdout);
    assert!(!house.at("twice.toml").exists());
}

#[test]
fn too_few_labels_are_refused_with_the_count_and_the_need() {
    let house = House::new();
    house.game("a", 0);
    let told = house.scrim(&TUNE);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("a fit needs 60"), "{}", told.stderr);
    assert!(!house.at("tuned.toml").exists());
}

#[test]
fn labels_of_a_game_that_the_input_does_not_hold_are_refused_by_name() {
    let house = House::new();
    let here = house.game("a", 0);
    let there = house.game("b", 1);
    fs::create_dir(house.at("labels")).unwrap();
    for (name, folder) in [("a", "a"), ("b", "b")] {
        fs::rename(
            house.at("in").join(folder).join("labels"),
            house.at("labels").join(name),
        )
        .unwrap();
    }
    fs::remove_dir_all(house.at("in/b")).unwrap();
    let told = house.scrim(&[
        "tune",
        "mine.toml",
        "--input",
        "in",
        "--labels",
        "labels",
        "--output",
        "tuned.toml",
    ]);
    assert_eq!(told.code, 1, "{told:?}");
    for part in [
        there.game_id.as_ref(),
        here.game_id.as_ref(),
        "leave their labels out",
    ] {
        assert!(told.stderr.contains(part), "no `{part}` in {}", told.stderr);
    }
}

#[test]
fn labels_without_coverages_are_refused() {
    let house = House::new();
    house.game("a", 0);
    let labels = house.at("in/a/labels");
    for entry in fs::read_dir(&labels).unwrap() {
        let path = entry.unwrap().path();
        if path.file_stem().is_some_and(|stem| stem == "coverages") {
            fs::remove_file(path).unwrap();
        }
    }
    let told = house.scrim(&TUNE);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(
        told.stderr.contains("no labels of `coverages`"),
        "{}",
        told.stderr
    );
}
