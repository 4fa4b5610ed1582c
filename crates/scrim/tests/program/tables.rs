//! What a run leaves behind can be read, and fits together.

use std::collections::BTreeMap;

use scrim::Pipeline;
use scrim_tables::rows::{
    GameQualityRow, MatchupRow, PossessionRow, QuarantineRow, RunRow, ScreenRow, TouchRow,
};
use scrim_tables::tags::Verdict;
use scrim_tables::{Partition, Row, SCHEMA_VERSION, read_metadata, read_rows};

use crate::house::House;

fn bytes<R: Row>(house: &House, game_id: &str) -> Vec<u8> {
    let partition = Partition::new(Some("2041"), game_id);
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
fn a_footer_has_the_hash_of_the_parameters_that_the_table_of_runs_holds() {
    let house = House::new();
    let id = house.game("a", 0).game_id.to_string();
    house.write("mine.toml", "name = \"late\"\n[tracks]\ngrid_hz = 30.0\n");
    assert_eq!(house.run("out", &[]).code, 0);
    let metadata = read_metadata(bytes::<ScreenRow>(&house, &id)).unwrap();
    assert_eq!(metadata["program_version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(metadata["schema_version"], SCHEMA_VERSION);
    let runs = runs(&house, "out");
    assert_eq!(runs.len(), 1, "{runs:?}");
    let run = &runs[0];
    assert_eq!(run.game_parameters_hash.as_ref(), metadata["parameters_hash"]);
    let season = std::fs::read(house.at("out/tendencies/2041.parquet")).unwrap();
    let season = read_metadata(season).unwrap();
    assert_eq!(run.parameters_hash.as_ref(), season["parameters_hash"]);
    assert_eq!(run.pipeline.as_ref(), "late");
    house.write("ended.toml", &run.parameters);
    let ended = Pipeline::read(&house.at("ended.toml")).unwrap();
    assert_eq!(ended, Pipeline::read(&house.at("mine.toml")).unwrap());
    assert!(run.parameters.contains("min_handoff_confidence = "));
}

/// The rows of `runs`, of all runs, in the order of their starts.
fn runs(house: &House, output: &str) -> Vec<RunRow> {
    let mut rows: Vec<RunRow> = house
        .files(output)
        .into_iter()
        .filter(|(name, _)| name.starts_with("runs/"))
        .flat_map(|(_, bytes)| read_rows::<RunRow>(bytes).unwrap())
        .collect();
    rows.sort_by(|a, b| a.started.cmp(&b.started));
    rows
}

#[test]
fn a_run_records_each_game_and_source_with_its_input_and_what_became_of_it() {
    let house = House::new();
    let id = house.game("a", 0).game_id;
    house.rubbish("b");
    assert_eq!(house.run("out", &[]).code, 3);
    let first = runs(&house, "out");
    assert_eq!(first.len(), 2, "{first:?}");
    let (game, source) = (&first[0], &first[1]);
    assert_eq!((game.verdict, game.game_id.as_ref()), (Verdict::Good, Some(&id)));
    assert_eq!(game.season.as_deref(), Some("2041"));
    let possessions = rows::<PossessionRow>(&house, &id).len();
    assert_eq!(game.possessions.map(|n| n as usize), Some(possessions));
    assert_eq!(
        (source.verdict, source.source.as_deref()),
        (Verdict::Skipped, Some("b"))
    );
    assert!(source.game_id.is_none() && source.reason.is_some(), "{source:?}");
    assert!(
        game.run_id == source.run_id && game.started <= game.ended,
        "{first:?}"
    );
    // The same files have the same hash, others another.
    house.write(
        "in/a/games.csv",
        &(std::fs::read_to_string(house.at("in/a/games.csv")).unwrap() + "\n"),
    );
    assert_eq!(house.run("out", &["--force"]).code, 3);
    let both = runs(&house, "out");
    assert_eq!(both.len(), 4, "{both:?}");
    let second: Vec<&RunRow> = both.iter().filter(|row| row.run_id != game.run_id).collect();
    assert_ne!(second[0].input_hash, game.input_hash);
    assert_eq!(second[1].input_hash, source.input_hash);
    assert!(source.input_hash.is_some());
    // A season put together again is a run, too.
    assert_eq!(house.scrim(&["season", "--tables", "out"]).code, 0);
    let last = runs(&house, "out").pop().unwrap();
    assert_eq!(
        (last.season.as_deref(), last.game_id, last.source),
        (Some("2041"), None, None)
    );
}

#[test]
fn tables_of_another_schema_version_are_refused_before_anything_is_written() {
    let house = House::new();
    house.game("a", 0);
    house.write("out/screens/season=2041/game_id=G/part-0.parquet", "of version 1");
    let before = house.files("out");
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert_eq!(house.files("out"), before);
    let mut all = vec![ended];
    for command in ["season", "digest", "like", "report", "clips", "score"] {
        let mut args = vec![command, "--tables", "out"];
        args.extend(match command {
            "digest" => vec!["--team", "x"],
            "like" => vec!["--possession", "G:1:0"],
            "report" | "clips" => vec!["--team", "x", "--output", "pages"],
            "score" => vec!["--labels", "in"],
            _ => vec![],
        });
        all.push(house.scrim(&args));
    }
    for ended in all {
        assert_eq!(ended.code, 1, "{ended:?}");
        for part in [
            "screens/season=2041",
            "schema version 1",
            "version 2",
            "docs/changes.md",
        ] {
            assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
        }
    }
}

#[test]
fn columns_lists_tables_and_columns_and_names_what_there_is() {
    let house = House::new();
    let ended = house.scrim(&["columns"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    for table in scrim_tables::rows::tables() {
        let starts = |line: &str| line.starts_with(&format!("{} ", table.name));
        assert!(ended.stdout.lines().any(starts), "no {} in {ended:?}", table.name);
    }
    let ended = house.scrim(&["columns", "screens"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("t_set_s float64? s When the screener was set. Null: they never stood.");
    let ended = house.scrim(&["columns", "screens", "--format", "csv"]);
    assert!(
        ended
            .stdout
            .starts_with("column,type,unit,meaning,null\n\"season\",\"string\","),
        "{ended:?}"
    );
    let ended = house.scrim(&["columns", "nothing"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("`nothing`") && ended.stderr.contains("off_ball_motion"),
        "{ended:?}"
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
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("unknown events jump_ball (2)");
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
    assert!(house.tables("short") == house.tables("whole"));
}

#[test]
fn the_footers_of_a_whole_game_are_shorter_than_its_data() {
    let house = House::new();
    house.game_lasting("a", 0, 2_880.0);
    assert_eq!(house.run("out", &[]).code, 0);
    let (mut footers, mut data) = (0, 0);
    for bytes in house.tables("out").values() {
        // Apache Parquet format, "File format": the footer, its length in 4 bytes (little endian), `PAR1`.
        let length = bytes[bytes.len() - 8..][..4].try_into().unwrap();
        let footer = u32::from_le_bytes(length) as usize + 8;
        footers += footer;
        data += bytes.len() - footer;
    }
    assert!(footers < data, "{footers} bytes of footers, {data} of data");
}
