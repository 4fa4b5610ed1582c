//! The researcher's pipeline: pull of motion, from samples to the season's table.

use std::path::Path;

use scrim::Pipeline;
use scrim_tables::rows::{PullRow, PullSampleRow};
use scrim_tables::tags::{PullMeasure, PullSubject};
use scrim_tables::{Row, Scope, read_metadata, read_rows};

use crate::house::House;

const PULL: &str = "pull/2041.parquet";

/// The pipeline that people run, over the sample data or over games in the house.
fn research(house: &House, input: &str, output: &str, jobs: &str) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let pipeline = root.join("pipelines/research.toml");
    let input = if input == "sample-data" {
        root.join(input)
    } else {
        house.at(input)
    };
    let ended = house.scrim(&[
        "run",
        pipeline.to_str().unwrap(),
        "--input",
        input.to_str().unwrap(),
        "--output",
        output,
        "--jobs",
        jobs,
    ]);
    assert_eq!(ended.code, 0, "{ended:?}");
}

fn pull(house: &House, output: &str) -> Vec<PullRow> {
    read_rows(std::fs::read(house.at(output).join(PULL)).unwrap()).unwrap()
}

#[test]
fn the_sample_data_give_pull_that_adds_up_to_its_samples() {
    let house = House::new();
    research(&house, "sample-data", "out", "2");
    let files = house.tables("out");
    let season = files
        .keys()
        .find(|name| name.starts_with("pull/"))
        .unwrap_or_else(|| panic!("{:?}", files.keys()));
    let rows: Vec<PullRow> = read_rows(files[season].clone()).unwrap();
    let samples: Vec<PullSampleRow> = files
        .iter()
        .filter(|(name, _)| name.starts_with("pull_samples/"))
        .flat_map(|(_, bytes)| read_rows::<PullSampleRow>(bytes.clone()).unwrap())
        .collect();
    assert!(!samples.is_empty());
    // The league's row, worked out anew from all samples.
    let league = rows
        .iter()
        .find(|row| row.subject == PullSubject::League && row.measure == PullMeasure::OwnDefender)
        .unwrap();
    let (mut weight_s, mut change_ms) = (0.0, 0.0);
    for sample in &samples {
        let change_m = sample
            .own_moving_m
            .zip(sample.own_standing_m)
            .map_or(0.0, |(moving_m, standing_m)| {
                f64::from(moving_m) - f64::from(standing_m)
            });
        weight_s += f64::from(sample.own_weight_s);
        change_ms += f64::from(sample.own_weight_s) * change_m;
    }
    assert!((league.weight_s - weight_s).abs() < 1e-3 * weight_s, "{league:?}");
    assert!(
        (f64::from(league.change_m) - change_ms / weight_s).abs() < 1e-4,
        "{league:?}"
    );
    for row in &rows {
        let is_all = matches!(row.subject, PullSubject::League | PullSubject::Team);
        assert_eq!(row.key.is_none(), is_all, "{row:?}");
        assert_eq!(
            row.team_id.is_none(),
            row.subject == PullSubject::League,
            "{row:?}"
        );
        assert!(row.possessions > 0 && row.weight_s > 0.0, "{row:?}");
        assert_eq!(row.change_low_m.is_some(), row.possessions >= 30, "{row:?}");
    }
}

#[test]
fn one_job_or_two_and_the_season_done_again_give_the_same_bytes() {
    let house = House::new();
    for (name, number) in [("a", 0), ("b", 1), ("c", 4)] {
        house.game_lasting(name, number, 320.0);
    }
    research(&house, "in", "one", "1");
    research(&house, "in", "two", "2");
    let expected = house.tables("one");
    assert!(expected.contains_key(PULL), "{:?}", expected.keys());
    assert!(house.tables("two") == expected);
    let pipeline = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../pipelines/research.toml");
    let pipeline = pipeline.to_str().unwrap();
    let ended = house.scrim(&["season", "--tables", "two", "--pipeline", pipeline]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(house.tables("two") == expected);
    assert!(pull(&house, "one").iter().any(|row| row.change_low_m.is_some()));
    // Another seed: the same estimates, other intervals; and the file says which.
    house.write("mine.toml", "[season.pull]\nsubjects = \"all\"\nseed = 7\n");
    let ended = house.scrim(&["season", "--tables", "two", "--pipeline", "mine.toml"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    let (ours, theirs) = (pull(&house, "one"), pull(&house, "two"));
    assert_ne!(ours, theirs);
    let changes = |rows: &[PullRow]| rows.iter().map(|row| row.change_m).collect::<Vec<_>>();
    assert_eq!(changes(&ours), changes(&theirs));
    let metadata = read_metadata(std::fs::read(house.at("two").join(PULL)).unwrap()).unwrap();
    let other = Pipeline::read(&house.at("mine.toml"))
        .unwrap()
        .run_info()
        .unwrap();
    assert_eq!(metadata["parameters_hash"], other.parameters_hash(Scope::Season));
}

#[test]
fn a_season_put_together_by_a_pipeline_without_pull_has_none() {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    assert!(!house.at("out").join(PULL).exists());
    assert!(house.at("out").join(PullSampleRow::TABLE).exists());
    research(&house, "in", "out", "1");
    assert!(house.at("out").join(PULL).exists());
    // One that stayed would be of other games than the tables beside it, sooner or later.
    assert_eq!(house.run("out", &[]).code, 0);
    assert!(!house.at("out").join(PULL).exists());
}

#[test]
fn a_game_without_samples_is_reported_and_the_others_count() {
    let house = House::new();
    let old = house.game("a", 0).game_id.to_string();
    house.game("b", 1);
    house.write("mine.toml", "[season.pull]\nsubjects = \"all\"\n");
    assert_eq!(house.run("out", &[]).code, 0);
    let both = pull(&house, "out");
    std::fs::remove_file(house.at(&format!("out/pull_samples/2041~{old}.parquet"))).unwrap();
    let ended = house.scrim(&["season", "--tables", "out", "--pipeline", "mine.toml"]);
    assert_eq!(ended.code, 3, "{ended:?}");
    assert!(
        ended.stdout.contains(&old) && ended.stdout.contains("pull_samples"),
        "{ended:?}"
    );
    let other = pull(&house, "out");
    assert!(other[0].possessions < both[0].possessions);
}
