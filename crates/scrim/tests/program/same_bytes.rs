//! The same input, parameters and version: the same bytes, whatever the number of workers.

use std::collections::BTreeMap;

use crate::house::House;

/// Five sources: four games, one of them twice, and rubbish.
fn house() -> House {
    let house = House::new();
    house.game("a", 0);
    house.game("b", 1);
    house.game("c-again", 0);
    house.game("d", 2);
    house.rubbish("e");
    house.game("f", 3);
    house
}

/// What the ledger says of games and seasons; it holds no time.
fn manifests(house: &House, output: &str) -> Vec<BTreeMap<String, Vec<u8>>> {
    ["games", "seasons"]
        .map(|folder| house.files(&format!("{output}/ledger/{folder}")))
        .to_vec()
}

#[test]
fn any_number_of_jobs_gives_the_same_files_and_the_same_summary() {
    let house = house();
    let mut results = Vec::new();
    for jobs in ["1", "2", "8"] {
        let output = format!("out-{jobs}");
        let ended = house.run(&output, &["--jobs", jobs]);
        assert_eq!(ended.code, 3, "{ended:?}");
        let is_the_same = |line: &&str| {
            !["seconds", "run ", "tables"]
                .iter()
                .any(|start| line.starts_with(start))
        };
        let summary: Vec<_> = ended
            .stdout
            .lines()
            .filter(is_the_same)
            .map(str::to_owned)
            .collect();
        results.push((house.tables(&output), summary, manifests(&house, &output)));
    }
    // Twenty tables of four games and five of their season, footers and all.
    assert_eq!(results[0].0.len(), 85);
    for result in &results[1..] {
        assert_eq!(
            result.0.keys().collect::<Vec<_>>(),
            results[0].0.keys().collect::<Vec<_>>()
        );
        assert!(result.0 == results[0].0, "files differ");
        assert_eq!(result.1, results[0].1);
        assert!(result.2 == results[0].2, "manifests differ");
    }
}

#[test]
fn a_game_that_comes_twice_is_reported_and_the_first_is_kept() {
    let house = House::new();
    let game = house.game("b-first", 0);
    house.game("z-second", 0);
    // The second is cut short, so that the two differ: without events, points are inferred.
    std::fs::remove_file(house.at("in/z-second/events.csv")).unwrap();
    for jobs in ["1", "2"] {
        let both = format!("both-{jobs}");
        let ended = house.run(&both, &["--jobs", jobs]);
        assert_eq!(ended.code, 3, "{ended:?}");
        ended.has_line("games done 1");
        let skipped = format!("  - z-second, game {}: the source `b-first` has", game.game_id);
        assert!(ended.stdout.contains(&skipped), "{ended:?}");
        let first = house.scrim(&["run", "mine.toml", "--input", "in/b-first", "--output", "first"]);
        assert_eq!(first.code, 0, "{first:?}");
        let second = house.scrim(&["run", "mine.toml", "--input", "in/z-second", "--output", "second"]);
        assert_eq!(second.code, 0, "{second:?}");
        assert!(house.tables(&both) == house.tables("first"));
        assert!(house.tables(&both) != house.tables("second"));
    }
}

#[test]
fn a_second_run_over_the_first_changes_nothing_and_leaves_nothing_staged() {
    let house = house();
    house.run("out", &[]);
    let first = house.tables("out");
    house.run("out", &[]);
    assert!(house.tables("out") == first);
    let is_table = |name: &String| name.ends_with(".parquet") && name.split('/').count() == 2;
    assert!(first.keys().all(is_table), "{:?}", first.keys());
}
