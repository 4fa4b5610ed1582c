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
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("games done 1");
    ended.has_line("games unchanged 1");
    let after = written(&house);
    for (name, time) in &before {
        let is_of_old = name.contains(old.as_ref());
        assert_eq!(after[name] == *time, is_of_old, "{name}");
    }
    // The same as both at once.
    assert_eq!(house.run("both", &[]).code, 0);
    assert!(house.tables("out") == house.tables("both"));
    // A third night without news touches nothing at all.
    let ended = house.run("out", &[]);
    ended.has_line("games done 0");
    assert_eq!((ended.code, written(&house)), (0, after));
}

#[test]
fn what_would_be_done_is_listed_with_the_reason_and_nothing_is_written() {
    let house = House::new();
    house.game("a", 0);
    let ended = house.run("out", &["--dry-run"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(ended.stdout.contains("a: it is new here"), "{ended:?}");
    assert!(!house.at("out").exists());
    assert_eq!(house.run("out", &[]).code, 0);
    house.run("out", &["--dry-run"]).has_line("unchanged a");
    let reason = |expected: &str| {
        let ended = house.run("out", &["--dry-run"]);
        assert!(ended.stdout.contains(expected), "no `{expected}` in {ended:?}");
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
    let ended = house.run("out", &["--dry-run", "--force"]);
    assert!(ended.stdout.contains("all are done again"), "{ended:?}");
}

#[test]
fn another_season_parameter_makes_the_seasons_tables_again_and_no_game() {
    let house = House::new();
    house.game("a", 0);
    house.game("b", 1);
    assert_eq!(house.run("out", &[]).code, 0);
    let before = written(&house);
    house.write("mine.toml", "[season]\nmin_look_n = 1\n");
    let ended = house.run("out", &[]);
    ended.has_line("games unchanged 2");
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
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    for part in ["other parameters", "P7-000", "another --output", "scrim prune"] {
        assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
    }
    let after = house.files("out");
    assert!(before.iter().all(|(name, bytes)| after[name] == *bytes));
    // With the game in the input, all are done again.
    house.game("a", 0);
    let ended = house.run("out", &[]);
    ended.has_line("games done 2");
    assert_eq!(ended.code, 0, "{ended:?}");
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
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 3, "{ended:?}");
    assert!(house.tables("out") == house.tables("at-once"));
}

#[test]
fn a_game_that_changes_its_season_counts_once() {
    let house = House::new();
    let ids = [house.game("a", 0).game_id, house.game("b", 1).game_id];
    assert_eq!(house.run("out", &[]).code, 0);
    let games = fs::read_to_string(house.at("in/a/games.csv")).unwrap();
    house.write("in/a/games.csv", &games.replace("2041,", "2042,"));
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    let tables = house.tables("out");
    assert!(tables.contains_key(&format!("screens/2042~{}.parquet", ids[0])));
    assert!(!tables.contains_key(&format!("screens/2041~{}.parquet", ids[0])));
    assert_eq!(house.run("fresh", &[]).code, 0);
    assert!(house.tables("fresh") == tables);
    // Another game in a folder of the same name is another delivery, and the one before stays.
    fs::remove_dir_all(house.at("in/b")).unwrap();
    house.game("b", 3);
    let ended = house.run("out", &[]);
    assert!(!ended.stdout.contains("left behind"), "{ended:?}");
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
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 3, "{ended:?}");
    ended.has_line("skipped 0");
    assert!(ended.stdout.contains("still refused     1"), "{ended:?}");
    fs::remove_dir_all(house.at("in/b")).unwrap();
    assert_eq!(house.run("out", &[]).code, 0);
}

#[test]
fn damage_is_found_by_verify_and_repaired_by_the_next_run() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let expected = house.tables("out");
    let ended = house.scrim(&["verify", "out"]);
    ended.has_line("problems 0");
    assert_eq!(ended.code, 0, "{ended:?}");
    let name = expected.keys().find(|name| name.starts_with("options/")).unwrap();
    house.write(&format!("out/{name}"), "short");
    house.write("out/cuts/2041~stray.parquet", "nobody's");
    let ended = house.scrim(&["verify", "out"]);
    assert_eq!(ended.code, 3, "{ended:?}");
    ended.has_line("problems 2");
    assert!(
        ended.stdout.contains(name) && ended.stdout.contains("stray"),
        "{ended:?}"
    );
    let ended = house.run("out", &[]);
    ended.has_line("games done 1");
    let ended = house.scrim(&["prune", "out", "--orphans"]);
    assert!(
        ended.stdout.contains("would go") && ended.stdout.contains("stray"),
        "{ended:?}"
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
    let ended = house.scrim(&["prune", "out", "--game", &ids[0], "--delete"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(
        !house
            .tables("out")
            .keys()
            .any(|name| name.contains(ids[0].as_ref()))
    );
    let ended = house.run("out", &[]);
    ended.has_line("games done 1");
    ended.has_line("games unchanged 1");
    assert!(house.tables("out") == expected);
    let ended = house.scrim(&["prune", "out", "--season", "2041", "--delete"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert_eq!(house.tables("out").len(), 0);
    let ended = house.scrim(&["prune", "out", "--game", "none"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("no such game"), "{ended:?}");
    assert_eq!(house.scrim(&["prune", "out"]).code, 2);
}

#[test]
fn runs_are_listed_and_one_is_shown_with_all_that_is_known_of_it() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    assert_eq!(house.run("out", &["--alert-file", "alert.txt"]).code, 3);
    assert_eq!(house.run("out", &[]).code, 3);
    let ended = house.scrim(&["runs", "--tables", "out"]);
    assert_eq!((ended.code, ended.stdout.lines().count()), (0, 3), "{ended:?}");
    let id = ended
        .stdout
        .lines()
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .to_owned();
    let ended = house.scrim(&["runs", "show", &id, "--tables", "out"]);
    let run: serde_json::Value = serde_json::from_str(&ended.stdout).unwrap();
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
fn an_alert_of_a_run_that_cannot_begin_says_so_and_not_what_the_last_one_did() {
    let house = House::new();
    house.game("a", 0);
    let alert = |more: &[&str]| {
        let ended = house.run("out", &[&["--alert-file", "alert.txt"], more].concat());
        let text = fs::read_to_string(house.at("alert.txt")).unwrap();
        assert_eq!(text.lines().count(), 3, "{text}");
        (ended.code, text)
    };
    let (code, text) = alert(&[]);
    assert!(code == 0 && text.starts_with("scrim: all done"), "{text}");
    house.write("mine.toml", "[screens]\nleast_confidence = 1.0\n");
    let (code, text) = alert(&[]);
    assert!(
        code == 1 && text.starts_with("scrim: NOTHING DONE") && text.contains("least_confidence"),
        "{text}"
    );
}

#[test]
fn old_runs_are_pruned_by_their_day() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let listed = |day: &str| {
        let ended = house.scrim(&["prune", "out", "--runs-before", day]);
        (ended.code, ended.stdout.matches("would go").count())
    };
    // A record and the rows of `runs`; a day is a day however it is written.
    assert_eq!(listed("2999-01-01"), (0, 2));
    assert_eq!(listed("2000-9-1"), (0, 0));
    assert_eq!(listed("soon").0, 1);
}

#[test]
fn json_lines_say_of_which_run_source_game_and_stage_they_are() {
    let house = House::new();
    let id = house.game("a", 0).game_id;
    let ended = house.run("out", &["--log", "json"]);
    let lines: Vec<serde_json::Value> = ended
        .stderr
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let run = lines[0]["run"].as_str().unwrap();
    assert!(lines.iter().all(|line| line["run"] == run), "{ended:?}");
    let done = lines.iter().find(|line| line["message"] == "game done").unwrap();
    let said = ["source", "game", "stage"].map(|key| done[key].as_str().unwrap());
    assert_eq!(said, ["a", id.as_ref(), "write"]);
}

#[test]
fn a_report_is_made_again_when_something_in_it_has_changed_and_only_then() {
    let house = House::new();
    house.game("a", 0);
    house.write("mine.toml", "[report]\nteams = \"last_day\"\n");
    let ended = house.run("out", &[]);
    assert_eq!(ended.stdout.matches("report   ").count(), 2, "{ended:?}");
    let ended = house.run("out", &[]);
    assert_eq!(ended.stdout.matches("report   ").count(), 0, "{ended:?}");
    let page = house
        .at("out/reports")
        .read_dir()
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    fs::remove_file(&page).unwrap();
    let ended = house.run("out", &[]);
    assert_eq!(ended.stdout.matches("report   ").count(), 2, "{ended:?}");
    assert!(page.exists());
}

#[test]
fn an_output_that_cannot_be_written_is_one_clear_line() {
    let house = House::new();
    house.game("a", 0);
    // A file where the folder should be: nobody can write there, not even root.
    let ended = house.run("mine.toml", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("mine.toml"), "{ended:?}");
    assert_eq!(ended.stderr.lines().count(), 1, "{ended:?}");
}
