//! The converter of the published scenes (`tests/reference/real/convert.py`), on invented scenes in the published form.

use std::fs;
use std::path::Path;

use serde::Deserialize;
use serde_json::json;
use tempfile::TempDir;

use crate::python::ask;

/// Game, period, time, game clock, team, player, x and y.
type TrackingRow = (String, u8, f64, f64, Option<String>, Option<String>, f64, f64);

#[derive(Debug, Deserialize)]
struct Case {
    refused: Option<String>,
    #[serde(default)]
    rows: Vec<TrackingRow>,
    #[serde(default)]
    hashes: Vec<(String, usize, String)>,
}

#[derive(Deserialize)]
struct Answer {
    cases: Vec<Case>,
    hash: String,
}

/// A scene of two frames. The ball is one step of `ball_ft` from the centre of a floor of 94 by 50 ft, the players are on it.
fn scene(ball_ft: (f64, f64), second_frame: u32) -> String {
    let mut lines = String::new();
    for frame in [0, second_frame] {
        // Not in the order of the ids: the file's order counts.
        lines += &format!(
            "{frame} -1 {:.6} {:.6} BALL\n",
            47.0 + ball_ft.0,
            25.0 + ball_ft.1
        );
        for agent in [700, 3, 50, 4, 60, 5, 71, 6, 82, 2] {
            lines += &format!("{frame} {agent} 47.000000 25.000000 PLAYER\n");
        }
    }
    lines
}

/// SHA-256, by `sha256sum`, of two lines "0 0 … 0" of 22 numbers and of two lines that begin "1 -1" instead.
const CENTRE: &str = "0f1e8398efb994358f7f7032fb2e4a516e09a37e30450d563a3a24a1979e2c8b";
const ONE_CELL: &str = "9bcf3be4091027fd3360a76f7c41777de705177e928c89b566ce1e021ed43c3e";

/// Two scenes, the first in `test`, and the labels' files beside them.
fn folder(first: &str, second: &str, hashes: [&str; 2]) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        let parent = path.parent().expect("each file lies in a folder");
        fs::create_dir_all(parent).expect("a folder can be made");
        fs::write(path, text).expect("a file can be written");
    };
    write("score/test/B_A_1_3_100.5_100.24.txt", first);
    // Before the other by name, and yet after it: `test` comes first.
    write("score/train/A_B_1_4_20.0_19.76.txt", second);
    write("source.csv", "game_id,source_index\nR001,1\nR002,0\n");
    write(
        "hashes.csv",
        &format!(
            "game_id,frames,sha256\nR001,2,{}\nR002,2,{}\n",
            hashes[0], hashes[1]
        ),
    );
    folder
}

fn case(folder: &Path, files: usize) -> serde_json::Value {
    json!({ "score": folder.join("score"), "labels": folder, "output": folder.join("out"), "files": files })
}

#[test]
fn scenes_are_placed_turned_to_metres_and_held_against_the_hash_of_what_was_labelled() {
    // 0.625 ft are 190.5 mm, midway between two millimetres, in cell 1 of 127 mm however it is rounded; -0.1 ft in cell -1.
    let moved = scene((0.625, -0.1), 12);
    let centre = scene((0.0, 0.0), 12);
    let good = folder(&moved, &centre, [CENTRE, ONE_CELL]);
    let other_hash = folder(&moved, &centre, [CENTRE, CENTRE]);
    let gap = folder(&scene((0.0, 0.0), 24), &centre, [CENTRE, CENTRE]);
    let nine = folder(
        &centre.replace("0 700 47.000000 25.000000 PLAYER\n", ""),
        &centre,
        [CENTRE, CENTRE],
    );
    let words = folder("0 -1 one 25 BALL\n", &centre, [CENTRE, CENTRE]);
    let clock = folder(&centre, &centre, [CENTRE, CENTRE]);
    fs::rename(
        clock.path().join("score/train/A_B_1_4_20.0_19.76.txt"),
        clock.path().join("score/train/A_B_1_4_20.0_9.0.txt"),
    )
    .unwrap();
    let folders = [&good, &other_hash, &gap, &nine, &words, &clock];
    let mut cases: Vec<_> = folders.iter().map(|folder| case(folder.path(), 2)).collect();
    cases.push(case(good.path(), 3));
    let answer: Answer = ask(
        "real_scenes.py",
        &json!({ "cases": cases, "hash": good.path().join("score/test/B_A_1_3_100.5_100.24.txt") }),
    );
    assert_eq!(answer.hash, ONE_CELL);

    let Case {
        refused,
        rows,
        hashes,
    } = &answer.cases[0];
    assert_eq!(*refused, None);
    assert_eq!(
        *hashes,
        [
            ("R001".to_owned(), 2, CENTRE.to_owned()),
            ("R002".to_owned(), 2, ONE_CELL.to_owned())
        ]
    );
    assert_eq!(rows.len(), 44);
    let names: Vec<_> = rows[22..33]
        .iter()
        .map(|row| row.5.as_deref().unwrap_or("ball"))
        .collect();
    assert_eq!(
        names,
        [
            "ball", "T1P1", "T1P2", "T1P3", "T1P4", "T1P5", "T2P1", "T2P2", "T2P3", "T2P4", "T2P5"
        ]
    );
    let (game, period, t_s, clock_s, team, player, x_m, y_m) = &rows[33];
    assert_eq!((game.as_str(), *period, team, player), ("R002", 3, &None, &None));
    assert!(
        (t_s - 0.12).abs() < 1e-9 && (clock_s - 100.38).abs() < 1e-4,
        "{t_s} {clock_s}"
    );
    // 0.625 ft = 0.1905 m, -0.1 ft = -0.03048 m, to a millimetre.
    assert!(
        (x_m - 0.1905).abs() < 6e-4 && (y_m + 0.030).abs() < 1e-6,
        "{x_m} {y_m}"
    );

    for (case, words) in answer.cases[1..].iter().zip([
        "1 scenes are not those that were labelled: R002",
        "expected a frame each 12 numbers",
        "found 9 players and 1 balls, expected ten and one",
        "line 1: found `0 -1 one 25 BALL`",
        "2 frames do not fill the clock from 20.0 to 9.0 s",
        "found 2 scenes in test/ and train/, expected 3",
    ]) {
        let refusal = case.refused.as_deref().unwrap_or_default();
        assert!(refusal.contains(words), "expected {words:?}, found {refusal:?}");
    }
}
