//! Night after night over one output: only what is new is done, nothing is mixed, damage is found.

use std::collections::BTreeMap;
use std::fs;
use std::time::SystemTime;

use crate::house::House;

/// When each table's file was last written.
fn written(house: &House) -> BTreeMap<String, SystemTime> {
    let names = house.tables("out").into_keys();
    names
        .map(|name| {
            let facts = fs::metadata(house.at("out").join(&name)).unwrap();
            (name, facts.modified().unwrap())
        })
        .collect()
}

#[test]
fn a_second_night_does_the_new_game_alone_and_touches_no_other() {
    let house = House::new();
    let old = house.game("a", 0).game_id;
    assert_eq!(house.run("out", &[]).code, 0);
    let before = written(&house);
    house.game("b", 1);
    let told = house.run("out", &[]);
    assert_eq!(told.code, 0, "{told:?}");
    told.has_line("games done 1");
    told.has_line("games unchanged 1");
    let after = written(&house);
    for (name, time) in &before {
        let is_of_old = name.contains(old.as_ref());
        assert_eq!(after[name] == *time, is_of_old, "{name}");
    }
    // The same as both at once.
    assert_eq!(house.run("both", &[]).code, 0);
    assert!(house.tables("out") == house.tables("both"));
    // A third night without news touches nothing at all.
    let told = house.run("out", &[]);
    told.has_line("games done 0");
    assert_eq!((told.code, written(&house)), (0, after));
}

#[test]
fn what_would_be_done_is_listed_with_the_reason_and_nothing_is_written() {
    let house = House::new();
    house.game("a", 0);
    let told = house.run("out", &["--dry-run"]);
    assert_eq!(told.code, 0, "{told:?}");
    assert!(told.stdout.contains("a: it is new here"), "{told:?}");
    assert!(!house.at("out").exists());
    assert_eq!(house.run("out", &[]).code, 0);
    house.run("out", &["--dry-run"]).has_line("unchanged a");
    let reason = |expected: &str| {
        let told = house.run("out", &["--dry-run"]);
        assert!(told.stdout.contains(expected), "no `{expected}` in {told:?}");
    };
    let games = fs::read_to_string(house.at("in/a/games.csv")).unwrap();
    house.write("in/a/games.csv", &format!("{games}\n"));
    reason("its files have changed");
    house.write("in/a/games.csv", &games);
    house.run("out", &["--dry-run"]).has_line("unchanged a");
    house.write("mine.toml", "[screens]\nmin_confidence = 0.5\n");
    reason("the parameters have changed");
    // What only seasons and reports depend on is no reason to tag a game again.
    house.write("mine.toml", "[season]\nmin_look_n = 3\n");
    house.run("out", &["--dry-run"]).has_line("unchanged a");
    house.write("mine.toml", "");
    fs::remove_file(
        house
            .at("out/cuts")
            .read_dir()
            .unwrap()
            .next()
            .unwrap()
            .unwrap()
            .path(),
    )
    .unwrap();
    reason("`cuts` of game");
    let told = house.run("out", &["--dry-run", "--force"]);
    assert!(told.stdout.contains("all are done again"), "{told:?}");
}

#[test]
fn another_season_parameter_makes_the_seasons_tables_again_and_no_game() {
    let house = House::new();
    house.game("a", 0);
    house.game("b", 1);
    assert_eq!(house.run("out", &[]).code, 0);
    let before = written(&house);
    house.write("mine.toml", "[season]\nmin_look_n = 1\n");
    let told = house.run("out", &[]);
    told.has_line("games unchanged 2");
    for (name, time) in written(&house) {
        assert_eq!(before[&name] == time, name.contains('~'), "{name}");
    }
}

#[test]
fn games_made_with_other_parameters_are_not_joined_by_new_ones() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let before = house.files("out");
    // The next night's folder does not hold last night's game.
    fs::remove_dir_all(house.at("in/a")).unwrap();
    house.game("b", 1);
    house.write("mine.toml", "[screens]\nmin_confidence = 0.5\n");
    let told = house.run("out", &[]);
    assert_eq!(told.code, 1, "{told:?}");
    for part in ["other parameters", "P7-000", "another --output", "scrim prune"] {
        assert!(told.stderr.contains(part), "no `{part}` in {told:?}");
    }
    let after = house.files("out");
    assert!(before.iter().all(|(name, bytes)| after[name] == *bytes));
    // With the game in the input, all are done again.
    house.game("a", 0);
    let told = house.run("out", &[]);
    told.has_line("games done 2");
    assert_eq!(told.code, 0, "{told:?}");
}

#[test]
fn the_order_in_which_games_came_does_not_show() {
    let house = House::new();
    for (name, number) in [("c", 2), ("a", 0), ("b", 1)] {
        house.game(name, number);
        assert_eq!(house.run("out", &[]).code, 0);
    }
    // One that holds a game already there goes before it, or gives way, by its name alone.
    house.game("0-again", 2);
    house.game("z-again", 0);
    assert_eq!(house.run("out", &[]).code, 3);
    assert_eq!(house.run("at-once", &[]).code, 3);
    assert!(house.tables("out") == house.tables("at-once"));
    // And once more, for both are read each time.
    let told = house.run("out", &[]);
    assert_eq!(told.code, 3, "{told:?}");
    assert!(house.tables("out") == house.tables("at-once"));
}

#[test]
fn a_game_that_changes_its_season_counts_once() {
    let house = House::new();
    let ids = [house.game("a", 0).game_id, house.game("b", 1).game_id];
    assert_eq!(house.run("out", &[]).code, 0);
    let games = fs::read_to_string(house.at("in/a/games.csv")).unwrap();
    house.write("in/a/games.csv", &games.replace("2041,", "2042,"));
    let told = house.run("out", &[]);
    assert_eq!(told.code, 0, "{told:?}");
    let tables = house.tables("out");
    assert!(tables.contains_key(&format!("screens/2042~{}.parquet", ids[0])));
    assert!(!tables.contains_key(&format!("screens/2041~{}.parquet", ids[0])));
    assert_eq!(house.run("fresh", &[]).code, 0);
    assert!(house.tables("fresh") == tables);
    // Another game in a folder of the same name is another delivery, and the one before stays.
    fs::remove_dir_all(house.at("in/b")).unwrap();
    house.game("b", 3);
    let told = house.run("out", &[]);
    assert!(!told.stdout.contains("left behind"), "{told:?}");
    assert!(
        house
            .tables("out")
            .keys()
            .any(|name| name.contains(ids[1].as_ref()))
    );
}

#[test]
fn a_refused_file_is_read_once_and_reported_every_night() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    assert_eq!(house.run("out", &[]).code, 3);
    let told = house.run("out", &[]);
    assert_eq!(told.code, 3, "{told:?}");
    told.has_line("skipped 0");
    assert!(told.stdout.contains("still refused     1"), "{told:?}");
    fs::remove_dir_all(house.at("in/b")).unwrap();
    assert_eq!(house.run("out", &[]).code, 0);
}

#[test]
fn damage_is_found_by_verify_and_repaired_by_the_next_run() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let expected = house.tables("out");
    let told = house.scrim(&["verify", "out"]);
    told.has_line("problems 0");
    assert_eq!(told.code, 0, "{told:?}");
    let name = expected.keys().find(|name| name.starts_with("options/")).unwrap();
    house.write(&format!("out/{name}"), "short");
    house.write("out/cuts/2041~stray.parquet", "nobody's");
    let told = house.scrim(&["verify", "out"]);
    assert_eq!(told.code, 3, "{told:?}");
    told.has_line("problems 2");
    assert!(
        told.stdout.contains(name) && told.stdout.contains("stray"),
        "{told:?}"
    );
    let told = house.run("out", &[]);
    told.has_line("games done 1");
    let told = house.scrim(&["prune", "out", "--orphans"]);
    assert!(
        told.stdout.contains("would go") && told.stdout.contains("stray"),
        "{told:?}"
    );
    assert!(house.at("out/cuts/2041~stray.parquet").exists());
    assert_eq!(house.scrim(&["prune", "out", "--orphans", "--delete"]).code, 0);
    assert!(house.tables("out") == expected);
    assert_eq!(house.scrim(&["verify", "out"]).code, 0);
}

#[test]
fn a_pruned_game_is_gone_and_comes_back_when_it_is_run_again() {
    let house = House::new();
    let ids = [house.game("a", 0).game_id, house.game("b", 1).game_id];
    assert_eq!(house.run("out", &[]).code, 0);
    let expected = house.tables("out");
    let told = house.scrim(&["prune", "out", "--game", &ids[0], "--delete"]);
    assert_eq!(told.code, 0, "{told:?}");
    assert!(
        !house
            .tables("out")
            .keys()
            .any(|name| name.contains(ids[0].as_ref()))
    );
    let told = house.run("out", &[]);
    told.has_line("games done 1");
    told.has_line("games unchanged 1");
    assert!(house.tables("out") == expected);
    let told = house.scrim(&["prune", "out", "--season", "2041", "--delete"]);
    assert_eq!(told.code, 0, "{told:?}");
    assert_eq!(house.tables("out").len(), 0);
    let told = house.scrim(&["prune", "out", "--game", "none"]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("no such game"), "{told:?}");
    assert_eq!(house.scrim(&["prune", "out"]).code, 2);
}

#[test]
fn runs_are_listed_and_one_is_shown_with_all_that_is_known_of_it() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    assert_eq!(house.run("out", &["--alert-file", "alert.txt"]).code, 3);
    assert_eq!(house.run("out", &[]).code, 3);
    let told = house.scrim(&["runs", "--tables", "out"]);
    assert_eq!((told.code, told.stdout.lines().count()), (0, 3), "{told:?}");
    let id = told
        .stdout
        .lines()
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .to_owned();
    let told = house.scrim(&["runs", "show", &id, "--tables", "out"]);
    let run: serde_json::Value = serde_json::from_str(&told.stdout).unwrap();
    assert_eq!(
        (run["run_id"].as_str(), run["exit_code"].as_u64()),
        (Some(id.as_str()), Some(3))
    );
    let summary = &run["summary"];
    assert_eq!(summary["done"][0]["verdict"], "good");
    assert!(
        summary["input_hashes"]["a"].as_str().unwrap().len() == 64,
        "{run}"
    );
    assert!(summary["rows_read"].as_u64().unwrap() > 0 && summary["rows_written"].as_u64().unwrap() > 0);
    for stage in ["read", "clean", "screens", "write", "season"] {
        assert!(summary["times"][stage].as_f64().unwrap() >= 0.0, "{stage}: {run}");
    }
    assert!(run["parameters"].as_str().unwrap().contains("[screens]"));
    let alert = fs::read_to_string(house.at("alert.txt")).unwrap();
    let lines: Vec<&str> = alert.lines().collect();
    assert_eq!(lines.len(), 3, "{alert}");
    assert!(
        lines[0].contains("1 games done") && lines[1].starts_with("b: "),
        "{alert}"
    );
    assert!(lines[2].contains(&id), "{alert}");
}

#[test]
fn json_lines_say_of_which_run_source_game_and_stage_they_are() {
    let house = House::new();
    let id = house.game("a", 0).game_id;
    let told = house.run("out", &["--log", "json"]);
    let lines: Vec<serde_json::Value> = told
        .stderr
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let run = lines[0]["run"].as_str().unwrap();
    assert!(lines.iter().all(|line| line["run"] == run), "{told:?}");
    let done = lines.iter().find(|line| line["message"] == "game done").unwrap();
    let said = ["source", "game", "stage"].map(|key| done[key].as_str().unwrap());
    assert_eq!(said, ["a", id.as_ref(), "write"]);
}

#[test]
fn a_report_is_made_again_when_something_in_it_has_changed_and_only_then() {
    let house = House::new();
    house.game("a", 0);
    house.write("mine.toml", "[report]\nteams = \"last_day\"\n");
    let told = house.run("out", &[]);
    assert_eq!(told.stdout.matches("report   ").count(), 2, "{told:?}");
    let told = house.run("out", &[]);
    assert_eq!(told.stdout.matches("report   ").count(), 0, "{told:?}");
    let page = house
        .at("out/reports")
        .read_dir()
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    fs::remove_file(&page).unwrap();
    let told = house.run("out", &[]);
    assert_eq!(told.stdout.matches("report   ").count(), 2, "{told:?}");
    assert!(page.exists());
}

#[test]
fn an_output_that_cannot_be_written_is_one_clear_line() {
    let house = House::new();
    house.game("a", 0);
    // A file where the folder should be: nobody can write there, not even root.
    let told = house.run("mine.toml", &[]);
    assert_eq!(told.code, 1, "{told:?}");
    assert!(told.stderr.contains("mine.toml"), "{told:?}");
    assert_eq!(told.stderr.lines().count(), 1, "{told:?}");
}
