//! Every table, as PyArrow and Polars read it, against the data contract as typed by hand in `reference/contract.toml`:
//! columns, types, nulls, values, words, footers, what columns say of themselves, compression, dictionaries, statistics, names.

use std::collections::BTreeMap;

use scrim_tables::ledger::{Part, PartStage};
use scrim_tables::rows::{
    AgainstLeagueRow, CounterRow, CoverageRow, CutRow, DilemmaRow, DisguisePayRow, DisguiseRow, EntryRow,
    FloorControlRow, GameQualityRow, GameRow, InstantRow, MatchupRow, OffBallMotionRow, OptionRow, PlayerRow,
    PossessionRow, PullRow, PullSampleRow, QuarantineRow, RunRow, ScreenRow, SequenceRow, SpacingRow,
    SweepRow, TendencyRow, TouchRow, TrackRow, tables,
};
use scrim_tables::{
    ColumnInfo, Kind, LocalStore, Partition, Row, RunInfo, Scope, Store, Table, TakesRows, nameless_path,
    season_path, write_rows,
};
use serde::Deserialize;
use serde_json::{Map, Value, json};
use tempfile::TempDir;

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

/// The value of `column` in row `k`: every type's ends and something between, null in row 1 where that may be.
fn sample_value(kind: Kind, nullable: bool, k: usize) -> Value {
    if nullable && k == 1 {
        return Value::Null;
    }
    match kind {
        Kind::Tag(words) => words[k % words.len()].into(),
        Kind::Bool => k.is_multiple_of(2).into(),
        Kind::Int16 => [0, i16::MIN, i16::MAX][k % 3].into(),
        // None, one, two with a null among them where that may be, three.
        Kind::List(element, nullable) => (0..k % 4).map(|j| sample_value(*element, nullable, j)).collect(),
        Kind::UInt8 => [0, 1, u8::MAX][k % 3].into(),
        Kind::UInt16 => [0, 1, u16::MAX][k % 3].into(),
        Kind::UInt32 => [0, 1, u32::MAX][k % 3].into(),
        Kind::UInt64 => [0, 1, u64::MAX][k % 3].into(),
        Kind::Float32 => [0.1, -7.5, f32::MAX, f32::MIN_POSITIVE][k % 4].into(),
        Kind::Float64 => [0.1, -0.04, 3_000.04, f64::MAX][k % 4].into(),
        Kind::Id | Kind::Text => TEXTS[k % TEXTS.len()].into(),
    }
}

fn sample_rows<R: Row>() -> Vec<Value> {
    let value = |column: &ColumnInfo, k| {
        (
            column.name.to_owned(),
            sample_value(column.kind, column.nullable, k),
        )
    };
    (0..ROWS)
        .map(|k| Value::Object(R::INFO.columns.iter().map(|column| value(column, k)).collect()))
        .collect()
}

fn typed_rows<R: Row>() -> Vec<R> {
    let typed = |row| serde_json::from_value(row).expect("a sample of each column makes a row");
    sample_rows::<R>().into_iter().map(typed).collect()
}

/// The sample rows, all of one game, or of none.
fn rows_of_game<R: Row>(game_id: Option<&str>) -> Vec<R> {
    let typed = |mut row: Value| {
        row["game_id"] = game_id.into();
        serde_json::from_value(row).expect("a sample of each column makes a row")
    };
    sample_rows::<R>().into_iter().map(typed).collect()
}

/// Does the same for every table of a game.
macro_rules! game_tables {
    ($do:ident $arguments:tt) => {
        game_tables!(@ $do $arguments GameRow PlayerRow TrackRow PossessionRow TouchRow MatchupRow ScreenRow CoverageRow OptionRow CutRow OffBallMotionRow SpacingRow FloorControlRow InstantRow DilemmaRow PullSampleRow EntryRow SequenceRow GameQualityRow QuarantineRow)
    };
    (@ $do:ident $arguments:tt $($row:ident)+) => { $( $do!($row, $arguments); )+ };
}

/// Does the same for every table of a season.
macro_rules! season_tables {
    ($do:ident $arguments:tt) => {
        game_tables!(@ $do $arguments TendencyRow CounterRow AgainstLeagueRow DisguiseRow DisguisePayRow PullRow)
    };
}

fn names_of(scope: Scope) -> Vec<&'static str> {
    let of_scope = tables().filter(|table| table.scope == scope);
    of_scope.map(|table| table.name).collect()
}

#[derive(Deserialize)]
struct Answer {
    problems: Vec<String>,
    files: usize,
    cells: usize,
}

/// Every table of every game, season and run of the samples, written; and the questions for the scripts.
struct Written {
    folder: TempDir,
    question: Value,
}

fn written() -> Written {
    let folder = tempfile::tempdir().expect("a folder");
    let store = LocalStore::new(folder.path());
    let run = run();
    macro_rules! stage {
        ($row:ident, ($stage:expr, $game_id:expr)) => {
            $stage
                .add(&rows_of_game::<$row>(Some($game_id)))
                .expect("rows become a file")
        };
    }
    let mut partitions = Vec::new();
    for (i, game_id) in GAME_IDS.into_iter().enumerate() {
        let season = [None, Some("2025/26"), Some("_2026")][i % 3];
        let mut stage = PartStage::new(&run, Part::Game(Partition::new(season, game_id)));
        game_tables!(stage(stage, game_id));
        stage.publish(&store, BTreeMap::new()).expect("files are written");
        partitions.push(json!([season.unwrap_or("unknown"), game_id]));
    }
    macro_rules! put_season_table {
        ($row:ident, ($season:expr)) => {
            let bytes = write_rows(&typed_rows::<$row>(), $season, &run).expect("rows become a file");
            store
                .put(&season_path($season, $row::TABLE), &bytes)
                .unwrap();
        };
    }
    for season in [None, Some("2025/26"), Some("_2026")] {
        season_tables!(put_season_table(season));
    }
    let nowhere = write_rows(&rows_of_game::<QuarantineRow>(None), None, &run).expect("rows become a file");
    let runs = write_rows(&typed_rows::<RunRow>(), None, &run).expect("rows become a file");
    let sweep = write_rows(&long(&typed_rows::<SweepRow>()), None, &run).expect("rows become a file");
    for (name, bytes) in [
        (nameless_path("a/b~c"), nowhere),
        ("runs/one.parquet".into(), runs),
        ("sweep/one.parquet".into(), sweep),
    ] {
        store.put(&name, &bytes).expect("files are written");
    }
    partitions.push(json!(["unknown", null]));

    let mut expected = Map::new();
    macro_rules! expect {
        ($row:ident, ($tables:expr)) => {
            $tables.insert($row::TABLE.into(), sample_rows::<$row>().into())
        };
    }
    game_tables!(expect(expected));
    season_tables!(expect(expected));
    game_tables!(@ expect (expected) RunRow);
    expected.insert(SweepRow::TABLE.into(), long(&sample_rows::<SweepRow>()).into());
    let mut names: Vec<&str> = tables().map(|table| table.name).collect();
    names.sort_unstable();
    assert_eq!(
        expected.keys().collect::<Vec<_>>(),
        names,
        "a table that this test does not write"
    );
    let types = |table: &Table| -> Value {
        let column = |column: &ColumnInfo| json!([column.name, column.kind.name(), column.nullable]);
        table.file_columns().map(column).collect()
    };
    let types: Map<String, Value> = tables().map(|table| (table.name.into(), types(table))).collect();
    let question = json!({
        "root": folder.path(),
        "tables": expected,
        "types": types,
        "season_tables": names_of(Scope::Season),
        "run_tables": names_of(Scope::Run),
        "partitions": partitions,
        "run": { "parameters": run.parameters_toml, "game_parameters": run.game_parameters_toml, "version": run.version },
    });
    Written { folder, question }
}

/// The same rows again and again: a table long enough to be compressed.
fn long<T: Clone>(rows: &[T]) -> Vec<T> {
    rows.iter().cycle().take(130).cloned().collect()
}

fn run() -> RunInfo {
    RunInfo {
        pipeline: "réseau".into(),
        parameters_toml: "# comment\n[tracks]\nmax_gap_s = 1.0\nname = \"試合\"\n".into(),
        game_parameters_toml: "# comment\n[tracks]\nmax_gap_s = 1.0\n".into(),
        version: env!("CARGO_PKG_VERSION").into(),
    }
}

#[test]
fn pyarrow_and_polars_read_the_contract() {
    let Written {
        folder: _folder,
        question,
    } = written();
    let answer: Answer = ask("table_contract.py", &question);
    assert!(answer.problems.is_empty(), "{}", answer.problems.join("\n"));
    let of = |scope| names_of(scope).len();
    assert_eq!(
        answer.files,
        of(Scope::Game) * GAME_IDS.len() + 1 + of(Scope::Season) * 3 + of(Scope::Run)
    );
    assert!(answer.cells > 0);
}

/// A table's folder, read with no options: the same columns, types and rows, whoever reads. A game without rows is among them.
pub fn read_by(readers: &[&str]) {
    let Written { folder, mut question } = written();
    macro_rules! stage_none {
        ($row:ident, ($stage:expr)) => {
            $stage.add::<$row>(&[]).expect("no rows become a file")
        };
    }
    let run = run();
    let mut stage = PartStage::new(
        &run,
        Part::Game(Partition::new(Some("2025/26"), "a game without rows")),
    );
    game_tables!(stage_none(stage));
    stage
        .publish(&LocalStore::new(folder.path()), BTreeMap::new())
        .expect("files are written");
    question["readers"] = json!(readers);
    let answer: Answer = ask("table_readers.py", &question);
    assert!(answer.problems.is_empty(), "{}", answer.problems.join("\n"));
    // Each table's folder by each reader.
    assert_eq!(answer.files, tables().count() * readers.len());
    assert!(answer.cells > 0);
}

#[test]
fn pandas_pyarrow_polars_and_duckdb_read_a_folder_alike() {
    read_by(&["pandas", "pyarrow", "polars", "duckdb"]);
}
