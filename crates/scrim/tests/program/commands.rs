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
        let ended = house.scrim(&[&args[..], &["--output", output, "--jobs", jobs]].concat());
        assert_eq!(ended.code, 0, "{ended:?}");
    }
    assert!(house.files("one") == house.files("two"));
    assert!(house.files("one") != house.files("other"));
}

#[test]
fn a_practice_game_that_cannot_be_played_is_1_and_names_the_number() {
    let house = House::new();
    let ended = house.scrim(&["practice", "--noise", "nan", "--output", "out"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("noise_m"), "{ended:?}");
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
    let ended = house.scrim(&[
        "score",
        "--tables",
        "out",
        "--labels",
        "in",
        "--json",
        "score.json",
    ]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(
        ended.stdout.contains("on-ball screens") && ended.stdout.contains("F1"),
        "{ended:?}"
    );
    let json: serde_json::Value =
        serde_json::from_slice(&std::fs::read(house.at("score.json")).unwrap()).unwrap();
    assert_eq!(json["games"].as_array().unwrap().len(), 2);
    assert_eq!(json["possessions"]["state"], "scored");
    let outcome = &json["on_ball_screens"]["columns"]["tags"][1];
    assert_eq!(outcome["tag"], "outcome");
    assert!(
        outcome["judged"]["rows"].as_u64() <= outcome["judged"]["of"].as_u64(),
        "{outcome}"
    );

    // Both games, named as labelled and found empty: all that the tables say of them on the ball is false.
    std::fs::create_dir(house.at("empty")).unwrap();
    let write = |name: &str, text: String| std::fs::write(house.at("empty").join(name), text).unwrap();
    write(
        "screens.csv",
        "game_id,period,screen_kind,screener_id,user_id,t_use_s\n".into(),
    );
    let games = json["games"].as_array().unwrap().iter();
    let named: Vec<String> = games
        .map(|game| format!("{},plain_only\n", game.as_str().unwrap()))
        .collect();
    write(
        "labelled.csv",
        format!("game_id,off_ball_screens\n{}", named.concat()),
    );
    let done = house.scrim(&[
        "score",
        "--tables",
        "out",
        "--labels",
        "empty",
        "--json",
        "empty.json",
    ]);
    assert_eq!(done.code, 0, "{done:?}");
    assert!(done.stdout.contains("doubts as extra"), "{done:?}");
    let json: serde_json::Value =
        serde_json::from_slice(&std::fs::read(house.at("empty.json")).unwrap()).unwrap();
    let on = &json["on_ball_screens"]["detection"];
    assert!(on["extra"].as_u64() > Some(0), "{on}");
    assert_eq!(
        (&on["precision"]["share"], &on["recall"]),
        (&0.0.into(), &serde_json::Value::Null)
    );
    let off = &json["off_ball_screens"]["detection"];
    assert!(off["not_judged"].as_u64() > Some(0), "{off}");
    assert_eq!(
        (&off["extra"], &off["precision"]),
        (&0.into(), &serde_json::Value::Null)
    );
}

#[test]
fn scoring_folders_that_are_not_there_is_1_and_names_them() {
    let house = House::new();
    let ended = house.scrim(&["score", "--tables", "no-tables", "--labels", "in"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("in"), "{ended:?}");
    house.game("a", 0);
    let ended = house.scrim(&["score", "--tables", "no-tables", "--labels", "in"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("no-tables"), "{ended:?}");
}

#[test]
fn without_a_command_the_sample_data_are_described_in_words() {
    let house = House::new();
    let game = house.game_lasting("a", 0, 240.0);
    std::fs::rename(house.at("in"), house.at("sample-data")).unwrap();
    let ended = house.scrim(&[]);
    assert_eq!((ended.code, ended.stderr.as_str()), (0, ""), "{ended:?}");
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
        assert!(ended.stdout.contains(part), "no `{part}` in:\n{}", ended.stdout);
    }
    ended.has_line("games done 1");
    assert!(
        ended.stdout.contains("report            scrim-out/reports/"),
        "{ended:?}"
    );
    assert!(
        house
            .files("scrim-out")
            .keys()
            .any(|name| name.starts_with("screens/"))
    );
}

#[test]
fn inspection_describes_a_good_source_and_ends_with_0() {
    let house = House::new();
    let game = house.game("a", 0);
    let ended = house.scrim(&["inspect", "in/a"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    for part in [game.game_id.as_ref(), game.team_ids[0].as_ref(), "25"] {
        assert!(ended.stdout.contains(part), "no `{part}` in:\n{}", ended.stdout);
    }
    let ended = house.scrim(&["inspect", "in", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&ended.stdout).unwrap();
    assert_eq!(json["sources"][0]["rows"], game.tracking.len());
}

#[test]
fn inspection_of_rubbish_says_what_is_wrong_and_never_panics() {
    let house = House::new();
    house.rubbish("a");
    let rubbish: [(&str, &[u8]); 6] = [
        ("empty.csv", b""),
        ("zeros.csv", &[0; 4096]),
        ("words.csv", b"a,b\n1\n\"open"),
        ("half.json", b"{\"frames\": [{\"t\": 1, "),
        ("gzip.csv.gz", b"\x1f\x8b\x08\x00 and no more"),
        ("bytes.parquet", b"PAR1\xff\xff\xff\xffPAR1"),
    ];
    for (name, bytes) in rubbish {
        std::fs::write(house.at(name), bytes).unwrap();
    }
    let names = rubbish.iter().map(|(name, _)| *name);
    for name in names.chain(["in", "in/a", "none.csv"]) {
        for json in [&[][..], &["--json"]] {
            let ended = house.scrim(&[&["inspect", name], json].concat());
            assert_eq!(ended.code, 1, "{name}: {ended:?}");
            assert!(!ended.stdout.is_empty() || !ended.stderr.is_empty(), "{name}");
            assert!(
                !ended.stderr.contains("fault of the program"),
                "{name}: {ended:?}"
            );
        }
        let ended = house.scrim(&["run", "mine.toml", "--input", name, "--output", "out"]);
        assert_eq!(ended.code, 1, "{name}: {ended:?}");
        assert!(
            !format!("{ended:?}").contains("fault of the program"),
            "{name}: {ended:?}"
        );
    }
}

#[test]
fn inspection_of_good_and_bad_ends_with_3() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    assert_eq!(house.scrim(&["inspect", "in"]).code, 3);
}

#[test]
fn a_csv_in_feet_from_a_corner_is_the_same_game() {
    let house = House::new();
    let ended = house.scrim(&[&PRACTICE[..], &["--csv-in-feet", "--output", "in"]].concat());
    assert_eq!(ended.code, 0, "{ended:?}");
    // The folder of games does not hold each twice.
    house.run("out", &[]).has_line("games done 2");
    let mut folders: Vec<_> = std::fs::read_dir(house.at("in"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .collect();
    folders.sort_by_key(std::fs::DirEntry::file_name);
    let id = folders[0].file_name().into_string().unwrap();
    let input = format!("in/{id}/csv-in-feet");
    let ended = house.scrim(&["run", "mine.toml", "--input", &input, "--output", "feet"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("rows quarantined 0");
    let starts = |output: &str| -> Vec<f64> {
        let files = house.files(output);
        let name = format!("possessions/2041~{id}.parquet");
        let rows: Vec<scrim_tables::rows::PossessionRow> =
            scrim_tables::read_rows(files[&name].clone()).unwrap();
        rows.iter().map(|row| row.t_start_s).collect()
    };
    let (metres, feet) = (starts("out"), starts("feet"));
    assert_eq!(metres.len(), feet.len());
    // Two decimals of a foot are 3 mm: an instant may move by a frame or two of 0.04 s, no more.
    let worst_s = metres
        .iter()
        .zip(&feet)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max);
    assert!(worst_s <= 0.1, "{worst_s}: {metres:?} {feet:?}");
}

#[test]
fn a_pipeline_is_printed_or_explained_and_an_old_key_is_1_with_where_it_stands() {
    let house = House::new();
    house.write("own.toml", "[definitions]\ndrop_depth_m = 2.0\n");
    let ended = house.scrim(&["pipeline", "own.toml"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("drop_depth_m = 2.0");
    let ended = house.scrim(&["pipeline", "own.toml", "--explain"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("definitions.drop_depth_m = 2.0 # m");
    ended.has_line("May be: 0.1 to 6. Default: 1.5 (vocabulary).");
    ended.has_line("tracks.grid_hz = 25.0 # 1/s");
    house.write("old.toml", "[tracks]\nwindow_growth = 0.5\n");
    let ended = house.scrim(&["pipeline", "old.toml"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    for part in [
        "old.toml",
        "line 2",
        "window_growth",
        "player_window_s",
        "--explain",
    ] {
        assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
    }
}
