//! Input made to harm: one clear line each, and nothing else stops.

use crate::house::House;

const HEADER: &str = "game_id,period,t_s,team_id,player_id,x_m,y_m\n";

#[test]
fn what_would_steer_a_terminal_is_shown_on_every_line() {
    let house = House::new();
    house.game("a", 0);
    // A game whose id clears the screen, forges lines and turns the writing round; and a column, an event and a folder of that kind.
    let id = "\u{1b}[2JG\nINFO all is well\u{202e}\u{9b}";
    house.write(
        "in/b\u{1b}]0;owned\u{7}/tracking.csv",
        &format!(
            "{}\"{id}\",1,0,KH,KH1,0,0\n",
            HEADER
                .replace("y_m", "y_m,\"\u{1b}[31m\"")
                .replace(",0,0\n", ",0,0,\n")
        ),
    );
    house.write(
        "in/b\u{1b}]0;owned\u{7}/events.csv",
        &format!("game_id,period,t_s,event\n\"{id}\",1,0,\u{1b}[5mword\n"),
    );
    for more in [&[][..], &["--log", "json"]] {
        let ended = house.run("out", more);
        assert_eq!(ended.code, 3, "{}", ended.stderr);
        for text in [&ended.stdout, &ended.stderr] {
            let steers = |c: char| (c.is_control() && c != '\n') || ('\u{202a}'..='\u{202e}').contains(&c);
            assert!(!text.contains(steers), "{text:?}");
            assert!(
                !text.lines().any(|line| line.starts_with("INFO all is well")),
                "{text:?}"
            );
        }
        assert!(
            ended.stdout.contains("\\u001b[2JG\\u000aINFO all is well\\u202e"),
            "{}",
            ended.stdout
        );
    }
    let ended = house.scrim(&["inspect", "in"]);
    assert!(
        !ended.stdout.contains(['\u{1b}', '\u{7}', '\u{9b}', '\u{202e}']),
        "{:?}",
        ended.stdout
    );
    let ended = house.scrim(&["inspect", "in", "--json"]);
    serde_json::from_str::<serde_json::Value>(&ended.stdout).unwrap();
    assert!(
        !ended.stdout.contains(['\u{1b}', '\u{7}', '\u{9b}', '\u{202e}']),
        "{:?}",
        ended.stdout
    );
}

#[test]
fn an_id_too_long_for_a_file_is_one_line_and_the_others_are_done() {
    let house = House::new();
    house.game("a", 0);
    let long = "L".repeat(300);
    house.write(
        "in/b/tracking.csv",
        &format!("{HEADER}{long},1,0,KH,KH1,0,0\n{long},1,0,SM,SM1,1,0\n"),
    );
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 3, "{}", ended.stderr);
    ended.has_line("games done 1");
    ended.has_line("skipped 1");
    assert!(ended.stdout.contains("makes a file name of"), "{}", ended.stdout);
}

#[cfg(unix)]
#[test]
fn a_pipe_a_device_a_folder_and_a_dead_link_in_place_of_files_are_skipped() {
    let house = House::new();
    for (number, name) in (0..).zip(["a", "b", "c", "d", "e"]) {
        house.game(name, number);
    }
    let replace = |path: &str| {
        std::fs::remove_file(house.at(path)).unwrap();
        house.at(path)
    };
    let games = replace("in/b/games.csv");
    assert!(
        std::process::Command::new("mkfifo")
            .arg(games)
            .status()
            .unwrap()
            .success()
    );
    std::os::unix::fs::symlink("/dev/zero", replace("in/c/players.csv")).unwrap();
    std::fs::create_dir(replace("in/d/events.csv")).unwrap();
    std::os::unix::fs::symlink("gone", house.at("in/e/mapping.toml")).unwrap();
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 3, "{}", ended.stderr);
    ended.has_line("games done 1");
    ended.has_line("skipped 4");
    for words in [
        "b/games.csv: a pipe, not a file",
        "c/players.csv: a device, not a file",
        "d/events.csv: a folder, not a file",
        "e/mapping.toml: a link that leads nowhere, not a file",
    ] {
        assert!(ended.stdout.contains(words), "{words}: {}", ended.stdout);
    }
}
