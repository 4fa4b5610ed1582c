//! The other commands, end to end.

use crate::house::House;

const PRACTICE: [&str; 9] = [
    "practice",
    "--games",
    "2",
    "--seed",
    "5",
    "--periods",
    "1",
    "--period-s",
    "90",
];

#[test]
fn the_same_seed_gives_the_same_practice_games_at_any_number_of_jobs() {
    let house = House::new();
    for (output, jobs, seed) in [("one", "1", "5"), ("two", "2", "5"), ("other", "2", "6")] {
        let mut args = PRACTICE;
        args[4] = seed;
        let told = house.scrim(&[&args[..], &["--output", output, "--jobs", jobs]].concat());
        assert_eq!(told.code, 0, "{told:?}");
    }
    assert!(house.files("one") == house.files("two"));
    assert!(house.files("one") != house.files("other"));
}

#[test]
fn a_practice_game_that_cannot_be_played_is_1_and_names_the_number() {
    let house = House::new();
    let told = house.scrim(&["practice", "--noise", "nan", "--output", "out"]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("noise_m"), "{told:?}");
    assert!(!house.at("out").exists());
}

#[test]
fn practice_games_are_run_and_scored() {
    let house = House::new();
    assert_eq!(
        house.scrim(&[&PRACTICE[..], &["--output", "in"]].concat()).code,
        0
    );
    assert_eq!(house.run("out", &[]).code, 0);
    let told = house.scrim(&[
        "score",
        "--tables",
        "out",
        "--labels",
        "in",
        "--json",
        "score.json",
    ]);
    assert_eq!(told.code, 0, "{told:?}");
    assert!(
        told.stdout.contains("on-ball screens") && told.stdout.contains("F1"),
        "{told:?}"
    );
    let json: serde_json::Value =
        serde_json::from_slice(&std::fs::read(house.at("score.json")).unwrap()).unwrap();
    assert_eq!(json["games"].as_array().unwrap().len(), 2);
    assert_eq!(json["possessions"]["state"], "scored");
}

#[test]
fn scoring_folders_that_are_not_there_is_1_and_names_them() {
    let house = House::new();
    let told = house.scrim(&["score", "--tables", "no-tables", "--labels", "in"]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("in"), "{told:?}");
    house.game("a", 0);
    let told = house.scrim(&["score", "--tables", "no-tables", "--labels", "in"]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("no-tables"), "{told:?}");
}

#[test]
fn without_a_command_the_sample_data_are_told_in_words() {
    let house = House::new();
    let game = house.game("a", 0);
    std::fs::rename(house.at("in"), house.at("sample-data")).unwrap();
    let told = house.scrim(&[]);
    assert_eq!((told.code, told.stderr.as_str()), (0, ""), "{told:?}");
    let headline = format!(
        "Game {}: {} at {}",
        game.game_id, game.team_ids[1], game.team_ids[0]
    );
    for part in [
        headline.as_str(),
        "To look at on film",
        "look at the film before acting",
        "scrim-out/",
    ] {
        assert!(told.stdout.contains(part), "no `{part}` in:\n{}", told.stdout);
    }
    told.has_line("games done 1");
    assert!(
        house
            .files("scrim-out")
            .keys()
            .any(|name| name.starts_with("screens/"))
    );
}
