//! Reports and clip lists, end to end.

use crate::house::House;

fn with_tables() -> (House, String) {
    let house = House::new();
    let game = house.game_lasting("a", 0, 240.0);
    assert_eq!(house.run("out", &[]).code, 0);
    (house, game.team_ids[0].to_string())
}

#[test]
fn a_report_is_one_file_that_is_named() {
    let (house, team) = with_tables();
    let ended = house.scrim(&[
        "report",
        "--tables",
        "out",
        "--team",
        &team,
        "--output",
        "pages/r.html",
    ]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("report pages/r.html");
    let files = house.files("pages");
    assert_eq!(files.keys().collect::<Vec<_>>(), ["r.html"]);
    let html = String::from_utf8(files["r.html"].clone()).unwrap();
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains(&format!("<h1>{team}</h1>")));
    // Nothing is fetched: the name of a drawing's language is no address.
    let html = html.replace("http://www.w3.org/2000/svg", "");
    for outside in ["src=\"", "http://", "https://", "url(", "@import"] {
        assert!(!html.contains(outside), "{outside}");
    }
}

#[test]
fn drawings_are_written_as_files_when_asked_for() {
    let (house, team) = with_tables();
    let args = [
        "report",
        "--tables",
        "out",
        "--team",
        &team,
        "--output",
        "r.html",
        "--drawings",
        "svg",
    ];
    assert_eq!(house.scrim(&args).code, 0);
    // The minute may hold no look that was seen twice.
    if house.at("svg").exists() {
        for (name, bytes) in house.files("svg") {
            assert!(name.ends_with(".svg") && bytes.starts_with(b"<svg "), "{name}");
        }
    }
}

#[test]
fn a_team_that_is_not_there_is_1_and_the_teams_are_named() {
    let (house, team) = with_tables();
    let ended = house.scrim(&[
        "report", "--tables", "out", "--team", "nobody", "--output", "r.html",
    ]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("nobody") && ended.stderr.contains(&team),
        "{ended:?}"
    );
    let ended = house.scrim(&[
        "clips",
        "--tables",
        "out",
        "--team",
        &team,
        "--against",
        "nobody",
        "--output",
        "c",
    ]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("nobody"), "{ended:?}");
    let ended = house.scrim(&[
        "report", "--tables", "nothing", "--team", &team, "--output", "r.html",
    ]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(!house.at("r.html").exists());
}

#[test]
fn tables_of_an_older_version_make_a_report_that_says_what_is_missing() {
    let (house, team) = with_tables();
    for table in [
        "games",
        "players",
        "tracks",
        "entries",
        "sequences",
        "cuts",
        "tendencies",
        "counters",
        "against_league",
        "disguise_pay",
    ] {
        std::fs::remove_dir_all(house.at("out").join(table)).unwrap();
    }
    let ended = house.scrim(&["report", "--tables", "out", "--team", &team, "--output", "r.html"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    let html = std::fs::read_to_string(house.at("r.html")).unwrap();
    for table in ["games", "tracks", "entries", "sequences"] {
        assert!(
            html.contains(&format!("Table <code>{table}</code>: missing for")),
            "{table}"
        );
    }
}

#[test]
fn clip_lists_are_written_in_the_forms_asked_for() {
    let (house, team) = with_tables();
    let args = ["clips", "--tables", "out", "--team", &team, "--output", "c"];
    let ended = house.scrim(&[&args[..], &["--format", "csv", "--format", "otio"]].concat());
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("clip lists c");
    assert!(ended.stdout.contains("video_offset_s"), "{ended:?}");
    let names: Vec<String> = house.files("c").into_keys().collect();
    assert!(names.iter().any(|name| name == "clips.csv"), "{names:?}");
    assert!(!names.iter().any(|name| name.ends_with(".vtt")), "{names:?}");
}

#[test]
fn a_run_makes_reports_for_the_teams_of_the_last_day_the_same_at_any_number_of_jobs() {
    let house = House::new();
    let teams: Vec<_> = (0..3)
        .flat_map(|k| house.game(&k.to_string(), k).team_ids)
        .collect();
    house.write("mine.toml", "[report]\nteams = \"last_day\"\n");
    for (output, jobs) in [("one", "1"), ("three", "3")] {
        let ended = house.run(output, &["--jobs", jobs]);
        assert_eq!(ended.code, 0, "{ended:?}");
        for team in &teams {
            ended.has_line(&format!("report {output}/reports/{team}.html"));
        }
    }
    assert!(house.tables("one") == house.tables("three"));
}
