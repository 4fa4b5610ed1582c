//! What the committed inputs are made from.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::LazyLock;

use scrim::Pipeline;
use scrim_tables::ledger::{FileFacts, MadeFrom, Manifest, json_text, sha256_of};
use scrim_tables::rows::ScreenRow;
use scrim_tables::{Row, RunInfo, Scope, write_rows};

/// Stands after each table in an input that holds several: the record separator of ASCII.
pub const TABLE_END: u8 = 0x1e;
/// The game's files are called so.
pub const STEM: &str = "unknown~G1";
/// Where the screens of the game lie.
pub static SCREENS: LazyLock<String> = LazyLock::new(|| format!("tables/screens/{STEM}.parquet"));

/// Labels of screens.
pub const LABELLED_SCREENS: &str = "game_id,period,screen_id,on_ball,screen_kind,outcome,screener_id,user_id,t_use_s,x_m,y_m\n\
    G1,1,0,true,ball_screen,used,05,1,10.5,8,0.5\nG1,1,1,true,handoff,,05,1,30,,\nG1,2,2,false,flare,used,7,\"1\",12,3,-4\n";
const LABELS: &str = "game_id,screen_id,coverage,confidence\nG1,0,drop,\nG1,1,switch,0.9\n\x1e\
    game_id,off_ball_screens,period,t_start_s,t_end_s\nG1,plain_only,1,5,40\nG1,,2,0,20.5\n";

static RUN: LazyLock<RunInfo> = LazyLock::new(|| Pipeline::default().run_info().unwrap());

/// Three screens of a game, as a run writes them.
pub static SCREENS_PARQUET: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let screen = |screen_id: u32, period, t_use_s| ScreenRow {
        game_id: "G1".into(),
        period,
        screen_id,
        on_ball: true,
        screener_id: "05".into(),
        user_id: "1".into(),
        t_use_s,
        t_end_s: t_use_s + 1.0,
        x_m: 8.0,
        ..ScreenRow::blank()
    };
    let rows = [screen(0, 1, 10.2), screen(1, 1, 30.0), screen(2, 2, 12.0)];
    write_rows(&rows, None, &RUN).unwrap()
});

/// The manifest of a game that has screens alone.
pub static MANIFEST: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let bytes = &*SCREENS_PARQUET;
    let facts = FileFacts {
        bytes: bytes.len() as u64,
        rows: 3,
        sha256: sha256_of(bytes),
    };
    json_text(&Manifest {
        season: "unknown".into(),
        game_id: Some("G1".into()),
        made_from: MadeFrom::new(
            &RUN,
            Scope::Game,
            BTreeMap::from([("source".into(), sha256_of(b""))]),
        ),
        files: BTreeMap::from([("screens".into(), facts)]),
        video: None,
    })
});

/// The inputs of every door, by its name and theirs. Something comes of those called `whole`.
pub fn seeds() -> Vec<(&'static str, String, Vec<u8>)> {
    let pipelines = concat!(env!("CARGO_MANIFEST_DIR"), "/../../pipelines");
    let text = |name: &str| std::fs::read_to_string(Path::new(pipelines).join(name)).unwrap();
    // Every parameter that the file shows at its default, given.
    let given: String = text("nightly.toml")
        .lines()
        .map(|line| {
            let given = line
                .strip_prefix('#')
                .filter(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase()));
            format!(
                "{}\n",
                given.unwrap_or(if line.starts_with('#') { "" } else { line })
            )
        })
        .filter(|line| line != "\n")
        .collect();
    vec![
        (
            "labels",
            "whole.csv".to_owned(),
            format!("{LABELLED_SCREENS}\x1e{LABELS}").into(),
        ),
        (
            "labels_parquet",
            "whole.parquet".to_owned(),
            SCREENS_PARQUET.clone(),
        ),
        ("ledger", "whole.json".to_owned(), MANIFEST.clone()),
        (
            "pipeline",
            "whole-default.toml".to_owned(),
            Pipeline::default().to_toml().unwrap().into(),
        ),
        ("pipeline", "whole-nightly.toml".to_owned(), given.into()),
        ("tables", "whole.parquet".to_owned(), SCREENS_PARQUET.clone()),
    ]
}
