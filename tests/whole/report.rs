//! A report and clip lists of practice games: in a real browser, and as other programs read them.

use std::path::{Path, PathBuf};

use scrim::pdf::print_pdf;
use scrim::source_record::Redo;
use scrim::{Pipeline, RunPlan, run_sources};
use scrim_ingest::find_sources;
use scrim_practice::{PracticeParams, play_game, write_game};
use scrim_report::{
    Choice, ClipFormat, Report, TeamGames, Wanted, clip_lists, make_players_sheet, make_report, read_games,
    teams_of_last_day,
};
use scrim_season::words::Words;
use scrim_tables::LocalStore;
use serde::Deserialize;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::python::ask;

/// What stands in a player's name, and would set `window.hostile` if it ran.
const HOSTILE: &str = "<script>window.hostile = 1</script>";
/// Seconds into the video at each game's first and second period.
const OFFSETS: &str = "12.5;1900";

/// Three short practice games, one player with a hostile name, video offsets for two of three games; their tables.
fn tables() -> TempDir {
    let folder = tempfile::tempdir().expect("the test's own files and games can be read and written");
    let params = PracticeParams {
        seed: 71,
        periods: 2,
        period_s: 300.0,
        ..PracticeParams::default()
    };
    for number in 0..3 {
        let game = play_game(&params, number);
        let source = folder.path().join("in").join(number.to_string());
        write_game(&game, &source).expect("the test's own files and games can be read and written");
        let rename = |text: String| {
            let mut lines: Vec<String> = text.lines().map(Into::into).collect();
            let cells: Vec<String> = lines[1].split(',').map(Into::into).collect();
            lines[1] = lines[1].replacen(&cells[3], HOSTILE, 1);
            lines.join("\n") + "\n"
        };
        rewrite(&source.join("players.csv"), rename);
        if number < 2 {
            rewrite(&source.join("games.csv"), |text| {
                let mut lines: Vec<String> = text.lines().map(Into::into).collect();
                lines[0].push_str(",video_offset_s");
                lines[1].push_str(&format!(",{OFFSETS}"));
                lines.join("\n") + "\n"
            });
        }
    }
    let pipeline = Pipeline::default();
    let plan = RunPlan {
        pipeline: &pipeline,
        inputs: &scrim::inputs::Inputs::Here,
        stop: &std::sync::atomic::AtomicBool::new(false),
        run: &pipeline
            .run_info()
            .expect("the test's own files and games can be read and written"),
        store: &LocalStore::new(folder.path().join("out")),
        redo: Redo::All,
        jobs: 2,
        on_game: &|_| (),
        on_source: &|_| (),
    };
    let found = find_sources(&folder.path().join("in"), None)
        .expect("the test's own files and games can be read and written");
    let summary =
        run_sources(&found.sources, &plan).expect("the test's own files and games can be read and written");
    assert_eq!(summary.all.done.len(), 3, "{summary}");
    folder
}

fn rewrite(path: &Path, change: impl Fn(String) -> String) {
    let text = std::fs::read_to_string(path).expect("the test's own files and games can be read and written");
    std::fs::write(path, change(text)).expect("the test's own files and games can be read and written");
}

/// All games of the team that has most of them.
fn team(folder: &TempDir) -> TeamGames {
    let store = LocalStore::new(folder.path().join("out"));
    let teams =
        teams_of_last_day(&store, None).expect("the test's own files and games can be read and written");
    let games = teams.iter().map(|team| {
        read_games(&store, &Choice::all_of(team))
            .expect("the test's own files and games can be read and written")
    });
    games
        .max_by_key(|games| games.games.len())
        .expect("the test's own files and games can be read and written")
}

#[derive(Deserialize)]
struct Looked {
    problems: Vec<String>,
    plays: usize,
    axe_rules: usize,
}

#[test]
fn a_report_in_a_browser() {
    let axe = std::env::var_os("SCRIM_AXE").map(PathBuf::from).expect(
        "SCRIM_AXE must name axe.min.js of the npm package axe-core, which tests/run gets; run tests/run",
    );
    let folder = tables();
    let team = team(&folder);
    let Report { html, drawings } = make_report(&team, &Words::english()).unwrap();
    assert!(html.len() < 3_000_000, "{} bytes", html.len());
    assert!(!drawings.is_empty());
    let page = folder.path().join("report.html");
    std::fs::write(&page, &html).unwrap();
    let sheet = folder.path().join("sheet.html");
    std::fs::write(&sheet, make_players_sheet(&team, &Words::english()).unwrap().html).unwrap();
    let pdf = folder.path().join("report.pdf");
    // Whatever the page is called.
    let nameless = folder.path().join("report");
    std::fs::copy(&page, &nameless).unwrap();
    print_pdf(&nameless, &pdf).unwrap();
    let looked: Looked = ask(
        "report_page.py",
        &json!({
            "page": page,
            "sheet": sheet,
            "pdf": pdf,
            "axe": axe,
            "headings": ["What sets them apart", "In short", "How they get into ball screens", "Who and where"],
            "texts": ["Look at the film before you act on it", "95 % interval"],
            "hostile": HOSTILE,
        }),
    );
    assert!(looked.problems.is_empty(), "{}", looked.problems.join("\n"));
    assert!(looked.plays > 0 && looked.axe_rules > 20);
}

#[derive(Deserialize)]
struct Read {
    problems: Vec<String>,
    csv: Vec<std::collections::BTreeMap<String, String>>,
    vtt: std::collections::BTreeMap<String, Vec<(f64, f64, String)>>,
    otio: std::collections::BTreeMap<String, Vec<Value>>,
}

#[test]
fn clip_lists_say_the_same_in_every_form() {
    let folder = tables();
    let lists = clip_lists(
        &team(&folder),
        &Wanted::default(),
        &[ClipFormat::Csv, ClipFormat::Vtt, ClipFormat::Otio],
        &Words::english(),
    )
    .unwrap();
    let files: serde_json::Map<String, Value> = lists
        .files
        .iter()
        .map(|file| (file.name.clone(), file.text.clone().into()))
        .collect();
    let read: Read = ask("clip_lists.py", &json!({ "files": files }));
    assert!(read.problems.is_empty(), "{}", read.problems.join("\n"));
    assert!(lists.clips > 10 && lists.with_video_time > 0);
    assert_eq!(read.csv.len(), lists.clips);
    let chapters: usize = read
        .vtt
        .iter()
        .filter(|(name, _)| name.ends_with(".chapters.vtt"))
        .map(|(_, cues)| cues.len())
        .sum();
    assert_eq!(chapters, lists.clips);
    let timeline: Vec<&Value> = read.otio.values().flatten().collect();
    assert_eq!(timeline.len(), lists.clips);
    // Every clip's beginning is the same in all three, to the hundredth.
    for row in &read.csv {
        let is_it = |clip: &&&Value| {
            let metadata = &clip["metadata"];
            let number = |key: &str| metadata[key].to_string();
            metadata["game_id"] == row["game_id"].as_str() && number("screen_id") == row["screen_id"]
        };
        let clip = timeline.iter().find(is_it).unwrap();
        let in_video = !row["video_start_s"].is_empty();
        let column = if in_video { "video_start_s" } else { "t_start_s" };
        let start_s: f64 = row[column].parse().unwrap();
        assert!(
            (clip["start_s"].as_f64().unwrap() - start_s).abs() < 0.011,
            "{row:?}"
        );
        assert_eq!(clip["name"].as_str().unwrap(), row["title"]);
        assert!(
            !row["game_clock"].is_empty() && !row["period"].is_empty(),
            "{row:?}"
        );
        if in_video {
            let offset_s = if row["period"] == "1" { 12.5 } else { 1900.0 };
            let t_s: f64 = row["t_start_s"].parse().unwrap();
            assert!((t_s + offset_s - start_s).abs() < 0.011, "{row:?}");
        }
    }
}
