//! 0 all done, 1 nothing could be done, 2 usage, 3 some games failed.

use crate::house::House;

#[test]
fn all_done_is_0_and_the_summary_counts_the_games() {
    let house = House::new();
    house.game("a", 0);
    house.game("b", 1);
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("games done 2");
    ended.has_line("skipped 0");
    ended.has_line("rows quarantined 0");
    ended.has_line("tables out");
}

#[test]
fn a_bad_game_among_good_ones_is_3_and_the_good_ones_are_done() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    house.game("c", 2);
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 3, "{ended:?}");
    ended.has_line("games done 2");
    ended.has_line("skipped 1");
    let line = ended
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
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    ended.has_line("games done 0");
    ended.has_line("skipped 1");
}

#[test]
fn an_empty_input_is_1_and_says_what_a_source_looks_like() {
    let house = House::new();
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("tracking.parquet"), "{ended:?}");
    assert!(!house.at("out").exists());
}

#[test]
fn a_pipeline_that_cannot_be_read_is_1_and_is_named() {
    let house = House::new();
    house.game("a", 0);
    let ended = house.scrim(&["run", "none.toml", "--input", "in", "--output", "out"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("none.toml"), "{ended:?}");
    house.write("mine.toml", "[screens]\nleast_confidence = 1.0\n");
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    for part in ["mine.toml", "line 2", "min_confidence"] {
        assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
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
        let ended = house.scrim(args);
        assert_eq!(ended.code, 2, "{args:?}: {ended:?}");
        assert!(
            ended.stdout.is_empty() && ended.stderr.contains("--help"),
            "{args:?}: {ended:?}"
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
        let ended = house.run(output, &[]);
        assert_eq!(ended.code, 2, "{output}: {ended:?}");
        assert!(ended.stderr.contains("inside the input"), "{output}: {ended:?}");
    }
    assert_eq!(house.files("in"), before);
}

#[test]
fn help_and_version_are_0_and_help_lists_the_exit_codes() {
    let house = House::new();
    let ended = house.scrim(&["--help"]);
    assert_eq!(ended.code, 0);
    assert!(ended.stdout.contains("3 some games failed"), "{ended:?}");
    let ended = house.scrim(&["--version"]);
    assert_eq!(
        (ended.code, ended.stdout),
        (0, format!("scrim {}\n", env!("CARGO_PKG_VERSION")))
    );
}
