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
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains(&format!(" ({team})</h1>")));
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

#[test]
fn clips_of_one_question_are_those_with_its_tags() {
    let (house, team) = with_tables();
    let clips = |choices: &[&str]| -> (i32, Vec<String>, String) {
        let mut args = vec![
            "clips", "--tables", "out", "--team", &team, "--output", "c", "--format", "csv",
        ];
        args.extend(choices);
        let ended = house.scrim(&args);
        let text = std::fs::read_to_string(house.at("c/clips.csv")).unwrap_or_default();
        (
            ended.code,
            text.lines().map(str::to_owned).collect(),
            ended.stderr,
        )
    };
    let (code, all, _) = clips(&[]);
    assert_eq!(code, 0);
    let header: Vec<&str> = all[0].split(',').collect();
    let outcome = header.iter().position(|name| *name == "outcome").unwrap();
    // No cell before the outcome has a comma in practice games.
    let used = all[1..]
        .iter()
        .filter(|line| line.split(',').nth(outcome) == Some("used"))
        .count();
    assert!(used > 0 && used < all.len() - 1, "{used} of {}", all.len() - 1);
    assert_eq!(clips(&["--outcome", "used"]).1.len() - 1, used);
    assert_eq!(clips(&["--top", "2"]).1.len() - 1, 2);
    let kind = header.iter().position(|name| *name == "screen_kind").unwrap();
    let ball_screens = all[1..]
        .iter()
        .filter(|line| line.split(',').nth(kind) == Some("ball_screen"))
        .count();
    assert!(ball_screens > 0);
    assert_eq!(clips(&["--kind", "ball_screen"]).1.len() - 1, ball_screens);
    // Only screens on the ball become clips.
    let (code, _, stderr) = clips(&["--kind", "down"]);
    assert_eq!(code, 2);
    assert!(stderr.contains("expected ball_screen or handoff"), "{stderr}");
    let (code, _, stderr) = clips(&["--coverage", "hedgehog"]);
    assert_eq!(code, 2);
    assert!(
        stderr.contains("hedgehog") && stderr.contains("\"hedge\""),
        "{stderr}"
    );
    let (code, _, stderr) = clips(&["--finding", "1"]);
    assert_eq!(code, 1);
    assert!(stderr.contains("no finding 1"), "{stderr}");
}

#[test]
fn a_pair_the_other_way_round_is_said_with_the_line_to_write() {
    let (house, team) = with_tables();
    let clips = |choices: &[&str]| {
        let args = [
            "clips", "--tables", "out", "--team", &team, "--output", "c", "--format", "csv",
        ];
        house.scrim(&[&args[..], choices].concat())
    };
    assert_eq!(clips(&[]).code, 0);
    let csv = std::fs::read_to_string(house.at("c/clips.csv")).unwrap();
    let mut lines = csv.lines().map(|line| line.split(',').collect::<Vec<&str>>());
    let header = lines.next().unwrap();
    // No cell before the title has a comma in practice games.
    let place = |name: &str| header.iter().position(|head| *head == name).unwrap();
    let (screener, handler) = (place("screener_id"), place("handler_id"));
    let mut pairs = std::collections::BTreeMap::<(&str, &str), usize>::new();
    for line in lines {
        *pairs.entry((line[handler], line[screener])).or_insert(0) += 1;
    }
    let one_way = pairs
        .iter()
        .find(|((handler, screener), _)| !pairs.contains_key(&(screener, handler)));
    let ((handler, screener), n) = one_way.unwrap();
    let ended = clips(&["--pair", &format!("{screener}:{handler}")]);
    assert_eq!(ended.code, 0, "{ended:?}");
    let said =
        format!("handler {handler} and screener {screener} have {n}: write --pair {handler}:{screener}");
    assert!(ended.stderr.contains(&said), "{ended:?}");
}

#[test]
fn the_readers_own_team_is_set_beside() {
    let (house, team) = with_tables();
    let game = house.game_lasting("a", 0, 240.0);
    let other = game.team_ids.iter().find(|id| id.as_ref() != team).unwrap();
    let report = |reader: &str| {
        house.scrim(&[
            "report", "--tables", "out", "--team", &team, "--for", reader, "--output", "r.html",
        ])
    };
    assert_eq!(report(other).code, 0);
    let html = std::fs::read_to_string(house.at("r.html")).unwrap();
    assert!(html.contains(&format!("Their attack against what {other} plays")));
    let ended = report(&team);
    assert_eq!(ended.code, 1);
    assert!(ended.stderr.contains("beside itself"), "{ended:?}");
    let ended = house.scrim(&[
        "report", "--tables", "out", "--team", &team, "--for", other, "--sheet", "players", "--output",
        "p.html",
    ]);
    assert_eq!(ended.code, 2);
    assert!(
        ended.stderr.contains("leave out --for") && !house.at("p.html").exists(),
        "{ended:?}"
    );
    let ended = report("nobody");
    assert_eq!(ended.code, 1);
    assert!(ended.stderr.contains("`nobody`"), "{ended:?}");
}

#[test]
fn a_pdf_is_made_where_there_is_a_browser_and_else_it_says_what_is_needed() {
    let (house, team) = with_tables();
    let args = [
        "report", "--tables", "out", "--team", &team, "--output", "r.html", "--pdf", "r.pdf",
    ];
    let ended = house.scrim_with(&args, &[("SCRIM_CHROMIUM", "no-such-browser")]);
    assert_eq!(ended.code, 1);
    assert!(ended.stderr.contains("no-such-browser"), "{ended:?}");
    assert!(!house.at("r.pdf").exists());
    // The report itself is no PDF: it stays.
    let same = [
        "report", "--tables", "out", "--team", &team, "--output", "r.html", "--pdf", "r.html",
    ];
    let ended = house.scrim_with(&same, &[("SCRIM_CHROMIUM", "no-such-browser")]);
    assert_eq!(ended.code, 1);
    assert!(ended.stderr.contains("is no PDF"), "{ended:?}");
    assert!(
        std::fs::read_to_string(house.at("r.html"))
            .unwrap()
            .starts_with("<!DOCTYPE html>")
    );
    let without = house.scrim_with(&args, &[("PATH", "/nowhere")]);
    assert_eq!(without.code, 1);
    assert!(without.stderr.contains("no Chromium"), "{without:?}");
}
