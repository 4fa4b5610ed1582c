//! Possessions like one, end to end: the list, the page, the index that is kept.

use serde_json::Value;

use crate::house::{Ended, House};

fn with_tables() -> House {
    let house = House::new();
    house.game_lasting("a", 0, 240.0);
    house.game_lasting("b", 1, 240.0);
    assert_eq!(house.run("out", &[]).code, 0);
    house
}

fn like(house: &House, possession: &str, more: &[&str]) -> Ended {
    let args = ["like", "--tables", "out", "--possession", possession];
    house.scrim(&[&args, more].concat())
}

/// A possession that can be compared: the first that an error names.
fn some_possession(house: &House) -> String {
    let game = std::fs::read_dir(house.at("out/possessions"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .min()
        .unwrap();
    let game = game
        .trim_end_matches(".parquet")
        .split_once('~')
        .unwrap()
        .1
        .to_owned();
    let ended = like(house, &format!("{game}:1:9999"), &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    let message = format!("game {game} has no possession 9999; the nearest are ");
    let (_, named) = ended
        .stderr
        .split_once(&message)
        .unwrap_or_else(|| panic!("{ended:?}"));
    named.split([',', '\n']).next().unwrap().trim().to_owned()
}

fn json(ended: &Ended) -> Value {
    assert_eq!(ended.code, 0, "{ended:?}");
    serde_json::from_str(&ended.stdout).unwrap()
}

#[test]
fn the_most_alike_are_listed_for_people_and_programs_and_drawn() {
    let house = with_tables();
    let possession = some_possession(&house);
    let ended = like(
        &house,
        &possession,
        &["--count", "3", "--page", "pages/like.html"],
    );
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(ended.stdout.starts_with(&format!("{possession}: ")), "{ended:?}");
    ended.has_line("page pages/like.html");
    let answer = json(&like(&house, &possession, &["--count", "3", "--format", "json"]));
    let alike = answer["alike"].as_array().unwrap();
    assert_eq!(alike.len(), 3);
    let html = String::from_utf8(house.files("pages")["like.html"].clone()).unwrap();
    let mut last_m = 0.0;
    for (place, row) in alike.iter().enumerate() {
        let name = format!(
            "{}:{}:{}",
            row["game_id"].as_str().unwrap(),
            row["period"],
            row["possession_id"]
        );
        assert_ne!(name, possession);
        let apart_m = row["apart_m"].as_f64().unwrap();
        assert!(apart_m >= last_m);
        last_m = apart_m;
        let line = format!("{} {apart_m:.2} m {name} ", place + 1);
        let has_it = |listed: &str| {
            listed
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .starts_with(&line)
        };
        assert!(ended.stdout.lines().any(has_it), "no `{line}` in {ended:?}");
        assert!(
            html.contains(&format!("{}. {apart_m:.2} m apart: {name}: ", place + 1)),
            "{name}"
        );
    }
    // The one that was asked for, and three: each in one frame or more.
    assert_eq!(html.matches("<figure class=\"play\"").count(), 4);
    assert!(html.matches("<svg class=\"court\"").count() >= 4);
    assert!(html.contains(&format!("<h1>{possession}</h1>")));
}

#[test]
fn the_answer_and_the_index_are_the_same_at_any_number_of_jobs() {
    let house = with_tables();
    let possession = some_possession(&house);
    let asked = |jobs: &str| {
        let index = format!("kept-{jobs}");
        let more = ["--format", "json", "--jobs", jobs, "--index", &index];
        let answer = like(&house, &possession, &more);
        assert_eq!(answer.code, 0, "{answer:?}");
        (answer.stdout, std::fs::read(house.at(&index)).unwrap())
    };
    let first = asked("1");
    assert_eq!(asked("2"), first);
    assert_eq!(asked("8"), first);
    // Without an index, and from the one that is kept.
    assert_eq!(like(&house, &possession, &["--format", "json"]).stdout, first.0);
    assert_eq!(asked("1"), first);
}

#[test]
fn an_index_is_kept_and_made_anew_when_it_is_stale_or_damaged() {
    let house = with_tables();
    let possession = some_possession(&house);
    let more = ["--format", "json", "--index", "kept"];
    let first = like(&house, &possession, &more);
    let whole = std::fs::read(house.at("kept")).unwrap();
    assert!(first.stderr.contains("index written"), "{first:?}");
    let again = like(&house, &possession, &more);
    assert!(!again.stderr.contains("index written"), "{again:?}");
    assert_eq!(again.stdout, first.stdout);

    // One byte of the shapes is another.
    let mut damaged = whole.clone();
    let place = damaged.len() - 100;
    damaged[place] ^= 1;
    std::fs::write(house.at("kept"), damaged).unwrap();
    let again = like(&house, &possession, &more);
    assert!(
        again.stderr.contains("a damaged index: it is made again"),
        "{again:?}"
    );
    assert_eq!(again.stdout, first.stdout);
    assert_eq!(std::fs::read(house.at("kept")).unwrap(), whole);

    // A game more.
    house.game_lasting("c", 2, 240.0);
    assert_eq!(house.run("out", &[]).code, 0);
    let more_games = like(&house, &possession, &more);
    assert!(more_games.stderr.contains("index written"), "{more_games:?}");
    let fresh = like(&house, &possession, &["--format", "json"]);
    assert_eq!(more_games.stdout, fresh.stdout);
    let searched = |ended: &Ended| json(ended)["searched"].as_u64().unwrap();
    assert!(searched(&fresh) > searched(&first));

    // A game less.
    let game = possession.split(':').next().unwrap().to_owned();
    let others: Vec<String> = json(&fresh)["alike"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["game_id"].as_str().unwrap().to_owned())
        .filter(|id| *id != game)
        .collect();
    assert_eq!(
        house
            .scrim(&["prune", "out", "--game", &others[0], "--delete"])
            .code,
        0
    );
    let pruned = json(&like(&house, &possession, &more));
    let rows = pruned["alike"].as_array().unwrap();
    assert!(
        rows.iter().all(|row| row["game_id"].as_str() != Some(&others[0])),
        "{pruned}"
    );
}

#[test]
fn another_file_is_not_written_over_and_none_is_put_among_the_tables() {
    let house = with_tables();
    let possession = some_possession(&house);
    house.write("letter.txt", "Dear coach");
    let ended = like(&house, &possession, &["--index", "letter.txt"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("letter.txt: found another file"),
        "{ended:?}"
    );
    assert_eq!(std::fs::read(house.at("letter.txt")).unwrap(), b"Dear coach");
    let ended = like(&house, &possession, &["--index", "out/kept"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("lies among the tables"), "{ended:?}");
    assert!(!house.at("out/kept").exists());
}

#[test]
fn what_cannot_be_found_is_said() {
    let house = with_tables();
    let possession = some_possession(&house);
    let game = possession.split(':').next().unwrap();
    for (asked, words) in [
        (
            "nobody:1:0".to_owned(),
            "no game `nobody` in the tables; the nearest are ",
        ),
        (
            possession.replacen(":1:", ":2:", 1),
            "is of period 1, not 2; ask for ",
        ),
    ] {
        let ended = like(&house, &asked, &[]);
        assert_eq!(ended.code, 1, "{ended:?}");
        assert!(ended.stderr.contains(words), "{ended:?}");
    }
    let ended = like(&house, &possession, &["--team", "nobody"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("no possession of team `nobody`"),
        "{ended:?}"
    );
    let ended = like(&house, game, &[]);
    assert_eq!(ended.code, 2, "{ended:?}");
    assert!(ended.stderr.contains("expected GAME:PERIOD:ID"), "{ended:?}");
}
