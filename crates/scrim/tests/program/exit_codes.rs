//! 0 all done, 1 nothing could be done, 2 usage, 3 some games failed.

use crate::house::House;

#[test]
fn all_done_is_0_and_the_summary_counts_the_games() {
    let house = House::new();
    house.game("a", 0);
    house.game("b", 1);
    let told = house.run("out", &[]);
    assert_eq!(told.code, 0, "{told:?}");
    told.has_line("games done 2");
    told.has_line("skipped 0");
    told.has_line("rows quarantined 0");
    told.has_line("tables out");
}

#[test]
fn a_bad_game_among_good_ones_is_3_and_the_good_ones_are_done() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    house.game("c", 2);
    let told = house.run("out", &[]);
    assert_eq!(told.code, 3, "{told:?}");
    told.has_line("games done 2");
    told.has_line("skipped 1");
    let line = told
        .stdout
        .lines()
        .find(|line| line.starts_with("  - b: "))
        .unwrap();
    assert!(
        line.contains("tracking.parquet") && line.contains("copy it again"),
        "{line}"
    );
    let screens = house
        .files("out")
        .into_keys()
        .filter(|name| name.starts_with("screens/"));
    assert_eq!(screens.count(), 2);
}

#[test]
fn nothing_but_bad_games_is_1() {
    let house = House::new();
    house.rubbish("a");
    let told = house.run("out", &[]);
    assert_eq!(told.code, 1, "{told:?}");
    told.has_line("games done 0");
    told.has_line("skipped 1");
}

#[test]
fn an_empty_input_is_1_and_says_what_a_source_looks_like() {
    let house = House::new();
    let told = house.run("out", &[]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("tracking.parquet"), "{told:?}");
    assert!(!house.at("out").exists());
}

#[test]
fn a_pipeline_that_cannot_be_read_is_1_and_is_named() {
    let house = House::new();
    house.game("a", 0);
    let told = house.scrim(&["run", "none.toml", "--input", "in", "--output", "out"]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("none.toml"), "{told:?}");
    house.write("mine.toml", "[screens]\nleast_confidence = 1.0\n");
    let told = house.run("out", &[]);
    assert_eq!(told.code, 1, "{told:?}");
    for part in ["mine.toml", "line 2", "min_confidence"] {
        assert!(told.stderr.contains(part), "no `{part}` in {told:?}");
    }
}

#[test]
fn a_wrong_command_line_is_2_and_writes_nothing() {
    let house = House::new();
    house.game("a", 0);
    let before = house.files(".");
    for args in [
        &["run"][..],
        &["run", "mine.toml", "--input", "in"],
        &[
            "run",
            "mine.toml",
            "--input",
            "in",
            "--output",
            "out",
            "--jobs",
            "0",
        ],
        &[
            "run",
            "mine.toml",
            "--input",
            "in",
            "--output",
            "out",
            "--jobs",
            "many",
        ],
        &[
            "run",
            "mine.toml",
            "--input",
            "in",
            "--output",
            "out",
            "--log",
            "xml",
        ],
        &["runn"],
    ] {
        let told = house.scrim(args);
        assert_eq!(told.code, 2, "{args:?}: {told:?}");
        assert!(
            told.stdout.is_empty() && told.stderr.contains("--help"),
            "{args:?}: {told:?}"
        );
    }
    assert_eq!(house.files("."), before);
}

#[test]
fn an_output_inside_the_input_is_2_and_the_input_stays_as_it_was() {
    let house = House::new();
    house.game("a", 0);
    let before = house.files("in");
    for output in ["in", "in/out", "in/a", "./x/../in/out"] {
        let told = house.run(output, &[]);
        assert_eq!(told.code, 2, "{output}: {told:?}");
        assert!(told.stderr.contains("inside the input"), "{output}: {told:?}");
    }
    assert_eq!(house.files("in"), before);
}

#[test]
fn help_and_version_are_0_and_help_tells_the_exit_codes() {
    let house = House::new();
    let told = house.scrim(&["--help"]);
    assert_eq!(told.code, 0);
    assert!(told.stdout.contains("3 some games failed"), "{told:?}");
    let told = house.scrim(&["--version"]);
    assert_eq!(
        (told.code, told.stdout),
        (0, format!("scrim {}\n", env!("CARGO_PKG_VERSION")))
    );
}
