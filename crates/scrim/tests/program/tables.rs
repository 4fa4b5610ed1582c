//! What a run leaves behind can be read, and fits together.

use std::collections::BTreeMap;

use scrim::Pipeline;
use scrim_tables::rows::{GameQualityRow, MatchupRow, PossessionRow, QuarantineRow, ScreenRow, TouchRow};
use scrim_tables::{Partition, Row, read_metadata, read_rows};

use crate::house::House;

fn bytes<R: Row>(house: &House, game_id: &str) -> Vec<u8> {
    let partition = Partition {
        season: Some("2041".into()),
        game_id: Some(game_id.into()),
    };
    std::fs::read(house.at("out").join(partition.path(R::TABLE))).unwrap()
}

fn rows<R: Row>(house: &House, game_id: &str) -> Vec<R> {
    read_rows(bytes::<R>(house, game_id)).unwrap()
}

#[test]
fn every_table_is_there_and_ids_lead_from_one_to_the_other() {
    let house = House::new();
    let id = house.game("a", 0).game_id.to_string();
    assert_eq!(house.run("out", &[]).code, 0);
    let possessions = rows::<PossessionRow>(&house, &id);
    let screens = rows::<ScreenRow>(&house, &id);
    let touches = rows::<TouchRow>(&house, &id);
    let matchups = rows::<MatchupRow>(&house, &id);
    let quality = rows::<GameQualityRow>(&house, &id);
    assert!(possessions.len() > 1 && !screens.is_empty() && !touches.is_empty() && !matchups.is_empty());
    assert_eq!(quality.len(), 1);
    assert!(rows::<QuarantineRow>(&house, &id).is_empty());
    for (at, possession) in possessions.iter().enumerate() {
        assert_eq!(possession.possession_id as usize, at);
        assert_eq!(possession.game_id.as_ref(), id);
    }
    let mut counts: BTreeMap<u32, u16> = BTreeMap::new();
    for (at, screen) in screens.iter().enumerate() {
        assert_eq!(screen.screen_id as usize, at);
        if screen.on_ball {
            *counts.entry(screen.possession_id).or_default() += 1;
        }
    }
    for possession in &possessions {
        let counted = counts.get(&possession.possession_id).copied().unwrap_or(0);
        assert_eq!(possession.ball_screen_count, counted);
    }
    let last = possessions.len() as u32;
    assert!(touches.iter().all(|row| row.possession_id < last));
    assert!(matchups.iter().all(|row| row.possession_id < last));
}

#[test]
fn metadata_hold_the_whole_pipeline_and_it_reads_back() {
    let house = House::new();
    let id = house.game("a", 0).game_id.to_string();
    house.write("mine.toml", "name = \"late\"\n[tracks]\ngrid_hz = 30.0\n");
    assert_eq!(house.run("out", &[]).code, 0);
    let metadata = read_metadata(bytes::<ScreenRow>(&house, &id)).unwrap();
    assert_eq!(metadata["pipeline"], "late");
    assert_eq!(metadata["version"], env!("CARGO_PKG_VERSION"));
    house.write("told.toml", &metadata["parameters"]);
    let told = Pipeline::read(&house.at("told.toml")).unwrap();
    assert_eq!(told, Pipeline::read(&house.at("mine.toml")).unwrap());
    assert!(
        metadata["parameters"].contains("min_handoff_confidence = "),
        "{}",
        metadata["parameters"]
    );
}

#[test]
fn unknown_event_words_are_counted_in_the_summary() {
    let house = House::new();
    house.game("a", 0);
    let events = std::fs::read_to_string(house.at("in/a/events.csv")).unwrap();
    let (header, rest) = events.split_once('\n').unwrap();
    let first = rest.lines().next().unwrap();
    let word = first
        .split(',')
        .nth(header.split(',').position(|c| c == "event").unwrap())
        .unwrap();
    let unknown = first.replace(word, "jump_ball");
    std::fs::write(
        house.at("in/a/events.csv"),
        format!("{events}{unknown}\n{unknown}\n"),
    )
    .unwrap();
    let told = house.run("out", &[]);
    assert_eq!(told.code, 0, "{told:?}");
    told.has_line("unknown events jump_ball (2)");
}

#[test]
fn a_printed_pipeline_is_whole_and_gives_the_same_tables() {
    let house = House::new();
    house.game("a", 0);
    let printed = house.scrim(&["pipeline", "mine.toml"]);
    assert_eq!(printed.code, 0, "{printed:?}");
    assert!(
        printed.stdout.contains("min_handoff_confidence = 0.15"),
        "{printed:?}"
    );
    house.run("short", &[]);
    house.write("mine.toml", &printed.stdout);
    house.run("whole", &[]);
    assert!(house.files("short") == house.files("whole"));
}
