//! `scrim tune`: fitted to labels, or refused with a word.

use std::fs;

use scrim::Pipeline;
use scrim_practice::{PracticeParams, play_game, write_game};
use scrim_score::{ScoreParams, score};

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
    close = 0.0\nstays = 0.0\nswap_margin = 0.0\nswap_late = 0.0\nswap_matchups = 0.0\nhanded = 0.0\nbrief = 0.0\n";

/// A pipeline with much to unlearn, by somebody who writes comments: it keeps only what is almost certain, and takes many drops
/// for level.
fn wordy() -> String {
    format!(
        "# The house's own.\n\nname = \"mine\"   # ours\n\n[tracks]   # first\ngrid_hz = 25.0\n\n[screens]\n\
         # Agreed in May.\nmin_confidence   = 0.8 # strict\n#min_handoff_confidence = 0.15\n\n{WRONG}\n# The last word.\n"
    )
}

#[test]
fn a_fit_that_helps_is_written_as_a_pipeline_that_runs_the_same_at_any_number_of_jobs() {
    let house = House::new();
    season(&house, 4);
    house.write("mine.toml", &wordy());
    let done = house.scrim(&[&TUNE[..], &["--samples", "samples.csv", "--jobs", "1"]].concat());
    assert_eq!(done.code, 0, "{done:?}");
    for part in [
        "Ball screens and handoffs, fitted to",
        "have a candidate",
        "whole games, 4 folds",
        "min_confidence             0.8",
        "Not fitted. Off-ball screens",
        "Coverages, fitted to",
        "macro-F1",
        "Written: tuned.toml",
    ] {
        assert!(done.stdout.contains(part), "no `{part}` in {}", done.stdout);
    }
    let text = fs::read_to_string(house.at("tuned.toml")).unwrap();
    let tuned = Pipeline::read(&house.at("tuned.toml")).unwrap();
    let mine = Pipeline::read(&house.at("mine.toml")).unwrap();
    assert!(tuned.screens.min_confidence < mine.screens.min_confidence);
    assert_ne!(tuned.reads.coverage_model, mine.reads.coverage_model);
    // Everything else is as it was, and so is every word of the file.
    let mut rest = tuned.clone();
    rest.name.clone_from(&mine.name);
    rest.reads.coverage_model = mine.reads.coverage_model.clone();
    rest.screens = mine.screens.clone();
    assert_eq!(rest, mine);
    let least = tuned.screens.min_confidence;
    let kept = format!(
        "# The house's own.\n\nname = \"tuned\"   # ours\n\n[tracks]   # first\ngrid_hz = 25.0\n\n[screens]\n\
         # Agreed in May.\nmin_confidence   = {least} # strict\n"
    );
    assert!(text.starts_with(&kept), "{text}");
    for part in [
        "#min_handoff_confidence = 0.15\n",
        "\n# The last word.\n\n# scrim tune: ",
        "\n[screens.correction]\n",
        "# scrim tune: Do not use it for games of another league",
    ] {
        assert!(text.contains(part), "no `{part}` in {text}");
    }
    let samples = fs::read_to_string(house.at("samples.csv")).unwrap();
    assert!(samples.lines().count() > 60, "{samples}");

    let again = house.scrim(&[&TUNE[..], &["--jobs", "2"]].concat());
    assert_eq!(again.stdout, done.stdout);
    assert_eq!(fs::read_to_string(house.at("tuned.toml")).unwrap(), text);

    let run = |pipeline: &str, output: &str, jobs: &str| {
        let done = house.scrim(&[
            "run", pipeline, "--input", "in", "--output", output, "--jobs", jobs,
        ]);
        assert_eq!(done.code, 0, "{done:?}");
        house.tables(output)
    };
    let one = run("tuned.toml", "one", "1");
    assert!(one == run("tuned.toml", "two", "2"));
    run("mine.toml", "before", "2");
    let f1 = |tables: &str| {
        let report = score(&house.at(tables), &house.at("in"), &ScoreParams::default()).unwrap();
        let screens = report.on_ball_screens.scored().unwrap();
        screens.detection.f1.unwrap()
    };
    assert!(f1("one") > f1("before"), "{} and {}", f1("one"), f1("before"));
}

#[test]
fn a_pipeline_with_nothing_to_unlearn_gains_nothing_from_so_few_labels() {
    let house = House::new();
    season(&house, 3);
    let done = house.scrim(&[&TUNE[..], &["--only", "coverages"]].concat());
    assert_eq!(done.code, 4, "{done:?}");
    assert!(done.stdout.contains("Nothing was written"), "{}", done.stdout);
    assert!(
        !done.stdout.contains("Ball screens and handoffs"),
        "{}",
        done.stdout
    );
    assert!(!house.at("tuned.toml").exists());
}

#[test]
fn a_correction_that_makes_no_sense_is_refused_by_name() {
    let house = House::new();
    house.game("a", 0);
    let whole = "bias = 0.0\ntrees = 1.0\nuser_gap = 0.0\ndefender_gap = 0.0\nin_way = 0.0\nslow = 0.0\n\
                 user_speed = 0.0\nfar_out = 0.0\n";
    for (section, weights, parts) in [
        (
            "screens",
            whole.replace("slow = 0.0", "slow = 400.0"),
            ["correction.slow", "400"],
        ),
        (
            "off_ball_screens",
            whole.replace("trees = 1.0", "trees = -1.0"),
            ["correction.trees", "-1"],
        ),
        (
            "screens",
            whole.replace("bias = 0.0", "bias = nan"),
            ["correction.bias", "NaN"],
        ),
        (
            "screens",
            whole.replace("in_way = 0.0\n", ""),
            ["missing field", "in_way"],
        ),
        (
            "screens",
            format!("{whole}charm = 1.0\n"),
            ["charm", "user_speed"],
        ),
    ] {
        house.write("mine.toml", &format!("[{section}.correction]\n{weights}"));
        let done = house.run("out", &[]);
        assert_eq!(done.code, 1, "{done:?}");
        for part in parts {
            let stderr = done.stderr.to_lowercase();
            assert!(stderr.contains(&part.to_lowercase()), "no `{part}` in {stderr}");
        }
        assert!(done.stderr.contains("mine.toml"), "{}", done.stderr);
    }
}

#[test]
fn too_few_labels_are_refused_with_the_count_and_the_need() {
    let house = House::new();
    house.game("a", 0);
    let done = house.scrim(&TUNE);
    assert_eq!(done.code, 1, "{done:?}");
    for part in [
        "nothing can be fitted to these labels",
        "Ball screens and handoffs",
        "a fit needs 60",
    ] {
        assert!(done.stderr.contains(part), "no `{part}` in {}", done.stderr);
    }
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
    let done = house.scrim(&[
        "tune",
        "mine.toml",
        "--input",
        "in",
        "--labels",
        "labels",
        "--output",
        "tuned.toml",
    ]);
    assert_eq!(done.code, 1, "{done:?}");
    for part in [
        there.game_id.as_ref(),
        here.game_id.as_ref(),
        "leave their labels out",
    ] {
        assert!(done.stderr.contains(part), "no `{part}` in {}", done.stderr);
    }
}

#[test]
fn where_no_coverage_is_labelled_that_is_said_beside_the_rest() {
    let house = House::new();
    house.game("a", 0);
    let labels = house.at("in/a/labels");
    for entry in fs::read_dir(&labels).unwrap() {
        let path = entry.unwrap().path();
        if path.file_stem().is_some_and(|stem| stem == "coverages") {
            fs::remove_file(path).unwrap();
        }
    }
    let done = house.scrim(&TUNE);
    assert_eq!(done.code, 1, "{done:?}");
    assert!(
        done.stderr.contains("no labels of `coverages`"),
        "{}",
        done.stderr
    );
}
