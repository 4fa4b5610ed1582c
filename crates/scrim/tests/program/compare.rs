//! Two outputs side by side, and sweeps, as people run them.

use std::collections::BTreeMap;

use scrim_tables::rows::{CoverageRow, PossessionRow, ScreenRow, SweepRow};
use scrim_tables::{Row, read_rows};
use serde_json::Value;

use crate::house::{Ended, House};

/// A house with two games, run with two depths of a drop.
fn two_depths() -> House {
    let house = House::new();
    for (name, number) in [("a", 0), ("b", 1)] {
        house.game_lasting(name, number, 240.0);
    }
    for (output, depth_m) in [("shallow", 0.5), ("deep", 4.0)] {
        house.write(
            "mine.toml",
            &format!("name = \"mine\"\n[definitions]\ndrop_depth_m = {depth_m:?}\n"),
        );
        assert_eq!(house.run(output, &[]).code, 0);
    }
    house
}

fn compare(house: &House, more: &[&str]) -> (Ended, Value) {
    let ended = house.scrim(&[&["compare"], more, &["--json", "out.json"]].concat());
    assert_eq!(ended.code, 0, "{ended:?}");
    let json = serde_json::from_slice(&std::fs::read(house.at("out.json")).unwrap()).unwrap();
    (ended, json)
}

/// All rows of a table, game by game.
fn rows<R: Row>(house: &House, output: &str) -> Vec<R> {
    let files = house.files(&format!("{output}/{}", R::TABLE));
    files
        .into_values()
        .flat_map(|bytes| read_rows(bytes).unwrap())
        .collect()
}

#[test]
fn an_output_held_against_itself_has_no_change() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let (ended, json) = compare(&house, &["out", "out"]);
    assert!(ended.stdout.contains("A and B are one place"), "{ended:?}");
    assert!(ended.stdout.contains("No row and no word"), "{ended:?}");
    assert_eq!(json["parameters"], Value::Array(vec![]));
    for (table, changes) in json["tables"].as_object().unwrap() {
        let count = |name: &str| changes["rows"][name].as_u64().unwrap();
        assert_eq!(count("in_a"), count("in_both"), "{table}");
        assert_eq!(
            (count("changed"), count("appeared"), count("vanished")),
            (0, 0, 0),
            "{table}"
        );
    }
    for rate in json["rates"].as_array().unwrap() {
        assert_eq!(rate["before"], rate["after"], "{rate}");
        assert_eq!(rate["difference"].as_f64().unwrap_or_default(), 0.0, "{rate}");
    }
}

#[test]
fn two_depths_of_a_drop_list_each_coverage_that_changed_with_its_possession() {
    let house = two_depths();
    let (ended, json) = compare(&house, &["shallow", "deep", "--by", "coverage"]);
    assert!(ended.stdout.contains("definitions.drop_depth_m"), "{ended:?}");
    let parameters = json["parameters"].as_array().unwrap();
    assert_eq!(parameters.len(), 1, "{parameters:?}");
    // Counted from the tables: the depth moves no screen, so that rows of one game and id stand for each other.
    let (before, after) = (
        rows::<CoverageRow>(&house, "shallow"),
        rows::<CoverageRow>(&house, "deep"),
    );
    let key = |row: &CoverageRow| (row.game_id.to_string(), row.screen_id);
    assert_eq!(
        before.iter().map(key).collect::<Vec<_>>(),
        after.iter().map(key).collect::<Vec<_>>()
    );
    let mut expected: BTreeMap<(String, String), Vec<(String, u64)>> = BTreeMap::new();
    for (a, b) in before.iter().zip(&after) {
        if a.coverage != b.coverage {
            let words = (a.coverage.to_string(), b.coverage.to_string());
            let place = (a.game_id.to_string(), u64::from(a.possession_id));
            expected.entry(words).or_default().push(place);
        }
    }
    assert!(!expected.is_empty(), "the two depths make no difference");
    let mut found: BTreeMap<(String, String), Vec<(String, u64)>> = BTreeMap::new();
    for change in json["tables"]["coverages"]["tags"]["coverage"]["moves"]
        .as_array()
        .unwrap()
    {
        let word = |name: &str| change[name].as_str().unwrap().to_owned();
        for spot in change["spots"].as_array().unwrap() {
            assert_eq!(spot["possession_in_a"], spot["possession_in_b"]);
            let place = (
                spot["game_id"].as_str().unwrap().to_owned(),
                spot["possession_in_a"].as_u64().unwrap(),
            );
            found.entry((word("from"), word("to"))).or_default().push(place);
        }
    }
    assert_eq!(found, expected);
    // The game clock is that of the possession in which the screen was used.
    let spot = &json["tables"]["coverages"]["tags"]["coverage"]["moves"][0]["spots"][0];
    let possession = rows::<PossessionRow>(&house, "shallow")
        .into_iter()
        .find(|row| {
            *row.game_id == *spot["game_id"].as_str().unwrap()
                && u64::from(row.possession_id) == spot["possession_in_a"].as_u64().unwrap()
        })
        .unwrap();
    let t_s = spot["t_s"].as_f64().unwrap();
    assert!((possession.t_start_s..=possession.t_end_s).contains(&t_s));
    let clock = spot["when"].as_str().unwrap().strip_prefix("P1 ").unwrap();
    let (minutes, seconds) = clock.split_once(':').unwrap();
    let clock_s: f32 = 60.0 * minutes.parse::<f32>().unwrap() + seconds.parse::<f32>().unwrap();
    let (start_s, end_s) = (
        possession.game_clock_start_s.unwrap(),
        possession.game_clock_end_s.unwrap(),
    );
    assert!(
        (end_s.floor()..=start_s).contains(&clock_s),
        "{clock_s} in {possession:?}"
    );
    // Parted by the coverage, the rows add up.
    let by = json["tables"]["coverages"]["by"].as_object().unwrap();
    for side in ["in_a", "in_b", "changed"] {
        let sum: u64 = by.values().map(|split| split[side].as_u64().unwrap()).sum();
        assert_eq!(sum, json["tables"]["coverages"]["rows"][side].as_u64().unwrap());
    }
    let drops = before
        .iter()
        .filter(|row| row.coverage.as_str() == "drop")
        .count();
    assert_eq!(by["drop"]["in_a"].as_u64().unwrap_or_default(), drops as u64);
}

#[test]
fn season_rates_are_those_of_the_season_tables_of_each_output() {
    use scrim_tables::rows::TendencyRow;
    let house = two_depths();
    let (_, json) = compare(&house, &["shallow", "deep"]);
    let mut checked = 0;
    for (output, side, n) in [("shallow", "before", "n_before"), ("deep", "after", "n_after")] {
        for row in rows::<TendencyRow>(&house, output) {
            let is_row = |rate: &&Value| {
                rate["table"] == "tendencies"
                    && rate["column"] == "rate"
                    && rate["team_id"] == *row.team_id
                    && rate["side"] == row.side.as_str()
                    && rate["group"] == row.grouping.as_str()
                    && rate["key"] == row.key.as_str()
            };
            let rate = json["rates"].as_array().unwrap().iter().find(is_row).unwrap();
            let found = rate[side].as_f64().unwrap();
            assert!((found - f64::from(row.rate)).abs() < 1e-6, "{row:?}: {rate}");
            assert_eq!(rate[n].as_f64(), Some(f64::from(row.n)), "{row:?}");
            checked += 1;
        }
    }
    assert!(checked > 20, "{checked}");
}

#[test]
fn what_is_in_one_output_alone_is_listed_and_left_out() {
    let house = two_depths();
    house.game("c", 5);
    assert_eq!(house.run("deep", &[]).code, 0);
    let (ended, json) = compare(&house, &["shallow", "deep"]);
    assert!(ended.stdout.contains("1 games only in B, left out"), "{ended:?}");
    assert_eq!(
        (
            json["games"].as_u64(),
            json["only_in_b"].as_array().unwrap().len()
        ),
        (Some(2), 1)
    );
    let rows_of_two = rows::<ScreenRow>(&house, "shallow").len() as u64;
    assert_eq!(json["tables"]["screens"]["rows"]["in_a"], rows_of_two);
}

#[test]
fn jobs_change_no_byte_of_a_comparison() {
    let house = two_depths();
    let texts = ["1", "2"].map(|jobs| {
        let (ended, json) = compare(&house, &["shallow", "deep", "--jobs", jobs]);
        (ended.stdout, json)
    });
    assert_eq!(texts[0], texts[1]);
}

#[test]
fn outputs_that_cannot_be_compared_are_refused_in_words() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let refused = |args: &[&str], parts: &[&str]| {
        let ended = house.scrim(&[&["compare"], args].concat());
        assert_eq!(ended.code, 1, "{ended:?}");
        for part in parts {
            assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
        }
    };
    refused(&["out", "nowhere"], &["nowhere", "no tables of a game here"]);
    refused(
        &["out", "out", "--by", "confidence"],
        &["`confidence`", "screen_kind"],
    );
    let other = House::new();
    other.game("b", 3);
    assert_eq!(other.run("out", &[]).code, 0);
    let there = other.at("out");
    refused(&["out", there.to_str().unwrap()], &["no game in common"]);
}

fn sweep(house: &House, output: &str, more: &[&str]) -> Ended {
    let args = ["sweep", "mine.toml", "--input", "in", "--output", output];
    house.scrim(&[&args, more].concat())
}

#[test]
fn a_sweep_writes_its_table_and_its_curves_the_same_at_any_number_of_jobs() {
    let house = House::new();
    for (name, number) in [("a", 0), ("b", 1)] {
        house.game_lasting(name, number, 120.0);
    }
    let vary = [
        "--vary",
        "definitions.drop_depth_m=0.5..4:3",
        "--vary",
        "screens.min_confidence=0.3..0.4:2",
    ];
    for (output, jobs) in [("one", "1"), ("two", "2")] {
        let ended = sweep(&house, output, &[&vary[..], &["--jobs", jobs]].concat());
        assert_eq!(ended.code, 0, "{ended:?}");
        ended.has_line("cells 6");
        ended.has_line("games 2");
    }
    let files = house.files("one");
    assert_eq!(
        files.keys().collect::<Vec<_>>(),
        ["sweep.svg", "sweep/sweep.parquet"]
    );
    assert!(files == house.files("two"), "files differ");
    let rows: Vec<SweepRow> = read_rows(files["sweep/sweep.parquet"].clone()).unwrap();
    assert_eq!(rows.iter().map(|row| row.cell).max(), Some(5));
    let depths: Vec<f64> = rows
        .iter()
        .filter(|row| &*row.parameter == "definitions.drop_depth_m" && &*row.measure == "coverages")
        .map(|row| row.value)
        .collect();
    assert_eq!(depths, [0.5, 0.5, 2.25, 2.25, 4.0, 4.0]);
    assert!(rows.iter().any(|row| row.changed_share > Some(0.0)));
    assert!(files["sweep.svg"].starts_with(b"<svg "));
}

#[test]
fn a_cell_of_a_sweep_has_the_tags_of_a_run_with_that_value() {
    let house = two_depths();
    house.write("mine.toml", "name = \"mine\"\n");
    let ended = sweep(&house, "swept", &["--vary", "definitions.drop_depth_m=0.5..4:2"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    let swept: Vec<SweepRow> = read_rows(house.files("swept")["sweep/sweep.parquet"].clone()).unwrap();
    for (cell, output) in [(0, "shallow"), (1, "deep")] {
        let coverages = rows::<CoverageRow>(&house, output);
        for word in ["drop", "level", "switch", "blitz", "unclear"] {
            let count = coverages
                .iter()
                .filter(|row| row.coverage.as_str() == word)
                .count() as u64;
            let measure = format!("coverages.coverage.{word}");
            let row = swept
                .iter()
                .find(|row| row.cell == cell && *row.measure == *measure);
            assert_eq!(row.map_or(0, |row| row.rows), count, "{output} {word}");
            if let Some(measured) = row.and_then(|row| row.measured) {
                assert!((measured - count as f64 / coverages.len() as f64).abs() < 1e-12);
            }
        }
    }
}

#[test]
fn a_sweep_of_what_cannot_be_varied_is_refused_before_anything_is_read() {
    let house = House::new();
    house.game("a", 0);
    let depth = "definitions.drop_depth_m";
    let refused = |code: i32, vary: &[&str], part: &str| {
        let vary: Vec<&str> = vary.iter().flat_map(|text| ["--vary", text]).collect();
        let ended = sweep(&house, "swept", &vary);
        assert_eq!(ended.code, code, "{ended:?}");
        assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
        assert!(!house.at("swept").exists());
    };
    refused(2, &["definitions.drop_dept_m=1..3"], "no parameter has the key");
    refused(2, &[&format!("{depth}=1..99")], "from 0.1 to 6");
    refused(2, &[&format!("{depth}=one..3")], "KEY=FROM..TO");
    refused(2, &["gate.poor_in_seasons=0..1"], "is no number");
    refused(1, &[&format!("{depth}=1..2"), &format!("{depth}=2..3")], "twice");
    let fine = format!("{depth}=1..2:50");
    refused(1, &[&fine, "screens.min_confidence=0.1..0.9:50"], "2500 cells");
}

#[test]
fn a_sweep_takes_a_sample_and_lists_what_it_could_not_read() {
    let house = House::new();
    house.rubbish("a");
    for (name, number) in [("b", 0), ("c", 1), ("d", 2)] {
        house.game(name, number);
    }
    let vary = ["--vary", "definitions.drop_depth_m=1..2:2"];
    let ended = sweep(&house, "swept", &[&vary[..], &["--games", "2"]].concat());
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("sources 2 of 4, evenly spread in the order of their names");
    ended.has_line("games 2");
    let ended = sweep(&house, "all", &vary);
    assert_eq!(ended.code, 3, "{ended:?}");
    ended.has_line("games 3");
    assert!(ended.stdout.contains("left out          a: "), "{ended:?}");
}
