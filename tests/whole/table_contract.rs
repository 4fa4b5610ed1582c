//! Every table, as PyArrow and Polars read it, against the data contract as typed by hand in `reference/contract.toml`:
//! columns, types, nulls, values, words, metadata, compression, dictionaries, statistics, partitions.

use arrow::datatypes::{DataType, Field};
use scrim_floor::{Side, Zone};
use scrim_tables::rows::{
    CounterRow, CoverageRow, CutRow, DilemmaRow, DisguisePayRow, EntryRow, FloorControlRow, GameQualityRow,
    GameRow, GravityRow, GravitySampleRow, MatchupRow, OffBallMotionRow, OptionRow, PlayerRow, PossessionRow,
    QuarantineRow, SEASON_TABLE_NAMES, ScreenRow, SequenceRow, SpacingRow, TABLE_NAMES, TendencyRow,
    TouchRow, TrackRow,
};
use scrim_tables::tags::{
    Activity, Alignment, Coverage, CutKind, EndKind, Entity, Entry, EntryRole, GravityMeasure,
    GravitySubject, Grouping, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, PayMeasure,
    Phase, PulledBy, RefusalReason, RunResult, ScreenKind, ScreenMeeting, ScreenerAction, TeamSide, TouchEnd,
    UnclearReason,
};
use scrim_tables::{GameStage, LocalStore, Partition, Row, RunInfo, Store, season_path, write_rows};
use serde::Deserialize;
use serde_json::{Map, Value, json};

use crate::python::ask;

/// More than any tag has words, so that each word is in some row.
const ROWS: usize = 28;

/// Texts that trouble readers: empty, quotes, separators, line ends, beyond ASCII and beyond the basic plane, long.
const TEXTS: [&str; 7] = [
    "",
    "a \"quoted\", text",
    "tab\tand\r\nline",
    "Ålesund/7",
    "試合",
    "🏀",
    "%2F%",
];

/// Ids that trouble paths.
const GAME_IDS: [&str; 12] = [
    "G1",
    "7",
    "two words",
    "a/b",
    "a\\b",
    "..",
    "100%",
    "%2F",
    "k=v&w",
    "Ålesund – 試合",
    "tab\tid",
    "it's \"it\"",
];

fn words(table: &str, column: &str) -> Vec<&'static str> {
    match column {
        "side" if SEASON_TABLE_NAMES.contains(&table) => TeamSide::WORDS.to_vec(),
        "grouping" => Grouping::WORDS.to_vec(),
        "result" => RunResult::WORDS.to_vec(),
        "measure" if table == GravityRow::TABLE => GravityMeasure::WORDS.to_vec(),
        "subject" => GravitySubject::WORDS.to_vec(),
        "measure" => PayMeasure::WORDS.to_vec(),
        "phase" => Phase::WORDS.to_vec(),
        "end_kind" => EndKind::WORDS.to_vec(),
        "ended_by" => TouchEnd::WORDS.to_vec(),
        "screen_kind" | "runner_up_kind" => ScreenKind::WORDS.to_vec(),
        "user_defender_path" => ScreenMeeting::WORDS.to_vec(),
        "alignment" => Alignment::WORDS.to_vec(),
        "cut_kind" => CutKind::WORDS.to_vec(),
        "activity" => Activity::WORDS.to_vec(),
        "entity" => Entity::WORDS.to_vec(),
        "pulled_by" => PulledBy::WORDS.to_vec(),
        "entry" => Entry::WORDS.to_vec(),
        "entry_role" => EntryRole::WORDS.to_vec(),
        "outcome" => Outcome::WORDS.to_vec(),
        "zone" | "zone_from" | "zone_to" => Zone::ALL.iter().map(|zone| zone.as_str()).collect(),
        "side" => [Side::Left, Side::Right, Side::Middle]
            .iter()
            .map(|side| side.as_str())
            .collect(),
        "coverage" => Coverage::WORDS.to_vec(),
        "on_ball_path" => OnBallPath::WORDS.to_vec(),
        "helper_action" => HelperAction::WORDS.to_vec(),
        "screener_action" => ScreenerAction::WORDS.to_vec(),
        "handler_action" => HandlerAction::WORDS.to_vec(),
        "pass_target" => PassTarget::WORDS.to_vec(),
        "unclear_reason" => UnclearReason::WORDS.to_vec(),
        "reason" => RefusalReason::WORDS.to_vec(),
        _ => panic!("`{column}` is a tag that this test has no words of: add them"),
    }
}

/// The value of `field` in row `k`: every type's ends and something between, null in row 1 where that may be.
fn sample_value(table: &str, field: &Field, is_tag: bool, k: usize) -> Value {
    if field.is_nullable() && k == 1 {
        return Value::Null;
    }
    if is_tag {
        let words = words(table, field.name());
        return words[k % words.len()].into();
    }
    match field.data_type() {
        DataType::Boolean => k.is_multiple_of(2).into(),
        DataType::Int16 => [0, i16::MIN, i16::MAX][k % 3].into(),
        // None, one, two with a null among them where that may be, three.
        DataType::List(element) => (0..k % 4)
            .map(|j| sample_value(table, element, false, j))
            .collect(),
        DataType::UInt8 => [0, 1, u8::MAX][k % 3].into(),
        DataType::UInt16 => [0, 1, u16::MAX][k % 3].into(),
        DataType::UInt32 => [0, 1, u32::MAX][k % 3].into(),
        DataType::UInt64 => [0, 1, u64::MAX][k % 3].into(),
        DataType::Float32 => [0.1, -7.5, f32::MAX, f32::MIN_POSITIVE][k % 4].into(),
        DataType::Float64 => [0.1, -0.04, 3_000.04, f64::MAX][k % 4].into(),
        DataType::Utf8 => TEXTS[k % TEXTS.len()].into(),
        other => panic!(
            "`{}` has type {other}, of which this test has no samples: add them",
            field.name()
        ),
    }
}

fn sample_rows<R: Row>() -> Vec<Value> {
    let (fields, tags) = (R::fields(), R::tag_columns());
    let value = |field: &Field, k| {
        (
            field.name().clone(),
            sample_value(R::TABLE, field, tags.contains(&field.name().as_str()), k),
        )
    };
    (0..ROWS)
        .map(|k| Value::Object(fields.iter().map(|field| value(field, k)).collect()))
        .collect()
}

fn typed_rows<R: Row>() -> Vec<R> {
    let typed = |row| serde_json::from_value(row).expect("a sample of each column makes a row");
    sample_rows::<R>().into_iter().map(typed).collect()
}

fn stage_table<R: Row>(stage: &mut GameStage, (season, game_id): (Option<&str>, Option<&str>)) {
    let rows: Vec<R> = sample_rows::<R>()
        .into_iter()
        .map(|mut row| {
            row["game_id"] = game_id.into();
            if let Some(told) = row.get_mut("season") {
                *told = season.into();
            }
            serde_json::from_value(row).expect("a sample of each column makes a row")
        })
        .collect();
    stage.add(&rows).expect("rows of a table become a file");
}

/// Does the same for every table of a game.
macro_rules! game_tables {
    ($do:ident $arguments:tt) => {
        game_tables!(@ $do $arguments GameRow PlayerRow TrackRow PossessionRow TouchRow MatchupRow ScreenRow CoverageRow OptionRow CutRow OffBallMotionRow SpacingRow FloorControlRow DilemmaRow GravitySampleRow EntryRow SequenceRow GameQualityRow QuarantineRow)
    };
    (@ $do:ident $arguments:tt $($row:ident)+) => { $( $do!($row, $arguments); )+ };
}

/// Does the same for every table of a season.
macro_rules! season_tables {
    ($do:ident $arguments:tt) => {
        game_tables!(@ $do $arguments TendencyRow CounterRow DisguisePayRow GravityRow)
    };
}

#[derive(Deserialize)]
struct Answer {
    problems: Vec<String>,
    files: usize,
    cells: usize,
}

#[test]
fn pyarrow_and_polars_read_the_contract() {
    let folder = tempfile::tempdir().unwrap();
    let store = LocalStore::new(folder.path());
    let run = RunInfo {
        pipeline: "réseau".into(),
        parameters_toml: "# comment\n[tracks]\nmax_gap_s = 1.0\nname = \"試合\"\n".into(),
        version: env!("CARGO_PKG_VERSION").into(),
    };

    macro_rules! stage {
        ($row:ident, ($stage:expr, $game:expr)) => {
            stage_table::<$row>($stage, $game)
        };
    }
    let mut partitions = Vec::new();
    for (i, game_id) in GAME_IDS.into_iter().enumerate() {
        let season = [None, Some("2025/26".to_owned()), Some("2026".to_owned())][i % 3].clone();
        let mut stage = GameStage::new(
            &run,
            Partition {
                season: season.clone(),
                game_id: Some(game_id.into()),
            },
        );
        game_tables!(stage(&mut stage, (season.as_deref(), Some(game_id))));
        stage.publish(&store).unwrap();
        partitions.push(json!([season, game_id]));
    }
    macro_rules! put_season_table {
        ($row:ident, ($season:expr)) => {
            let bytes = write_rows(&typed_rows::<$row>(), &run).unwrap();
            store
                .put_all(&[(season_path($season, $row::TABLE), bytes)])
                .unwrap();
        };
    }
    for season in [None, Some("2025/26"), Some("2026")] {
        season_tables!(put_season_table(season));
    }
    let mut nowhere = GameStage::new(
        &run,
        Partition {
            season: None,
            game_id: None,
        },
    );
    stage_table::<QuarantineRow>(&mut nowhere, (None, None));
    nowhere.publish(&store).unwrap();
    partitions.push(json!([null, null]));

    let mut tables = Map::new();
    macro_rules! expect {
        ($row:ident, ($tables:expr)) => {
            $tables.insert($row::TABLE.into(), sample_rows::<$row>().into())
        };
    }
    game_tables!(expect(tables));
    season_tables!(expect(tables));
    let mut names: Vec<&str> = TABLE_NAMES.to_vec();
    names.sort_unstable();
    assert_eq!(
        tables.keys().collect::<Vec<_>>(),
        names,
        "a table that this test does not write"
    );

    let answer: Answer = ask(
        "table_contract.py",
        &json!({
            "root": folder.path(),
            "tables": tables,
            "season_tables": SEASON_TABLE_NAMES,
            "partitions": partitions,
            "run": { "pipeline": run.pipeline, "parameters": run.parameters_toml, "version": run.version },
        }),
    );
    assert!(answer.problems.is_empty(), "{}", answer.problems.join("\n"));
    let of_games = TABLE_NAMES.len() - SEASON_TABLE_NAMES.len();
    assert_eq!(
        answer.files,
        of_games * GAME_IDS.len() + 1 + SEASON_TABLE_NAMES.len() * 3
    );
    assert!(answer.cells > 0);
}
