//! `scrim review` in a real browser, by keyboard alone: answers, a kill in between, a second labeller, and how far the two agree.

#![expect(clippy::unwrap_used, reason = "what cannot be is a failed test")]

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use scrim_practice::{PracticeParams, play_game, write_game};
use scrim_review::{Answer, Picked, Question, Standing, Verdict, read_journal};
use serde::Deserialize;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::program::program;
use crate::python::ask;

/// A practice game and its tables.
fn tables() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let params = PracticeParams {
        seed: 72,
        periods: 2,
        period_s: 300.0,
        ..PracticeParams::default()
    };
    write_game(&play_game(&params, 0), &folder.path().join("in/0")).unwrap();
    std::fs::write(folder.path().join("mine.toml"), "name = \"mine\"\n").unwrap();
    let done = Command::new(program())
        .args(["run", "mine.toml", "--input", "in", "--output", "out"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    folder
}

/// The program while it serves; killed where it stands when it is dropped.
struct Served {
    child: Child,
    url: String,
}

impl Served {
    fn start(folder: &Path, labeller: &str, more: &[&str]) -> Self {
        let mut command = Command::new(program());
        command
            .args([
                "review",
                "--tables",
                "out",
                "--labels",
                "labels",
                "--labeller",
                labeller,
            ])
            .args(more);
        Self::of(command, folder)
    }

    fn of(mut command: Command, folder: &Path) -> Self {
        let mut child = command
            .current_dir(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut pages = lines
            .map_while(Result::ok)
            .filter_map(|line| Some(line.strip_prefix("page")?.trim().to_owned()));
        let url = pages.next().expect("the page's address is printed");
        Self { child, url }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[derive(Deserialize)]
struct Looked {
    problems: Vec<String>,
    axe_rules: usize,
    reaction_ms: Vec<f64>,
    keys: usize,
    count: String,
}

/// What a person presses at one clip.
fn clip(keys: &[&str]) -> Value {
    json!({ "keys": keys, "ends": true })
}

fn answer(served: &Served, say: &[Value], looks: bool) -> Looked {
    answer_then(served, say, looks, &Value::Null)
}

fn answer_then(served: &Served, say: &[Value], looks: bool, then: &Value) -> Looked {
    let axe = std::env::var_os("SCRIM_AXE").map(PathBuf::from).expect(
        "SCRIM_AXE must name axe.min.js of the npm package axe-core, which tests/run gets; run tests/run",
    );
    let looked: Looked = ask(
        "review_page.py",
        &json!({ "url": served.url, "axe": axe, "say": say, "looks": looks, "then": then }),
    );
    assert!(looked.problems.is_empty(), "{}", looked.problems.join("\n"));
    looked
}

fn file(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join("labels").join(name)).unwrap()
}

#[test]
fn twenty_clips_by_keyboard_a_kill_in_between_and_a_second_labeller() {
    let folder = tables();
    let at = folder.path();
    let served = Served::start(at, "ANN", &["--top", "20"]);
    // Right, right, no screen, cannot tell; a line by its number and another word; line by line, all as they are but the last.
    let first = [
        clip(&["r"]),
        clip(&["r"]),
        clip(&["n"]),
        clip(&["t"]),
        clip(&["5", "e", "r"]),
        clip(&[
            "w", "Enter", "Enter", "Enter", "Enter", "Enter", "Enter", "Enter", "Enter", "a",
        ]),
        // Left again; a word that nobody can say.
        clip(&["7", "Escape", "8", "z", "r"]),
    ];
    let looked = answer(&served, &first, true);
    assert!(looked.axe_rules > 15, "{} rules", looked.axe_rules);
    assert!(looked.count.starts_with("7 of 20"), "{}", looked.count);
    // A clip half answered, and the program is killed.
    answer(&served, &[json!({ "keys": ["4", "c"], "ends": false })], false);
    drop(served);
    let lines = read_journal(&at.join("labels"), "ANN").unwrap();
    let standing = Standing::of(&lines);
    let all = standing.clips();
    let verdicts: Vec<Option<Verdict>> = all.iter().map(|one| one.verdict).collect();
    let screen = Some(Verdict::Screen);
    assert_eq!(
        verdicts,
        [
            screen,
            screen,
            Some(Verdict::NoScreen),
            Some(Verdict::Unknown),
            screen,
            screen,
            screen,
            None
        ]
    );
    assert_eq!(all[4].word(Question::Coverage), Some("switch"));
    assert_eq!(all[5].word(Question::Entry), Some("none"));
    assert_eq!(all[6].word(Question::HandlerAction), None);
    // Each fifth clip is by chance.
    let picked: Vec<bool> = all.iter().map(|one| one.picked == Picked::Chance).collect();
    assert_eq!(picked, [false, false, false, false, true, false, false, false]);

    let served = Served::start(at, "ANN", &["--top", "13"]);
    let mut rest = vec![
        // What was half answered before the kill still is.
        clip(&["r"]),
        // Missed: the first attacker for the second, a ball screen; then the clip itself.
        clip(&["m", "a", "a", "a", "r"]),
        // The word and then the end are taken back; answered again.
        json!({ "keys": ["5", "c"], "ends": false }),
        json!({ "keys": ["b"], "ends": false }),
        clip(&["n"]),
        json!({ "keys": ["b"], "ends": false }),
        clip(&["r"]),
    ];
    rest.extend((0..9).map(|_| clip(&["r"])));
    let looked = answer(&served, &rest, false);
    assert!(looked.count.starts_with("12 of 13"), "{}", looked.count);
    let lines = read_journal(&at.join("labels"), "ANN").unwrap();
    let standing = Standing::of(&lines);
    let all = standing.clips();
    let ended = all.iter().filter(|one| one.verdict.is_some()).count();
    assert_eq!(ended, 19);
    assert_eq!(all[7].word(Question::Outcome), Some("slipped"));
    let missed: Vec<_> = all.iter().flat_map(|one| &one.missed).collect();
    assert_eq!(missed.len(), 1);
    assert_ne!(missed[0].screener_id, missed[0].user_id);
    let back = lines
        .iter()
        .filter(|line| matches!(line.answer, Answer::TakenBack { .. }))
        .count();
    assert_eq!(back, 2);
    let numbers: Vec<u64> = lines.iter().map(|line| line.number).collect();
    assert_eq!(numbers, (1..=lines.len() as u64).collect::<Vec<_>>());
    // The last clip of the sitting.
    answer(&served, &[clip(&["r"])], false);
    drop(served);
    // 20 ended: 1 no screen, 1 unknown, 18 screens, and one missed.
    assert_eq!(file(at, "ANN/screens.csv").lines().count(), 1 + 18 + 1);
    assert_eq!(file(at, "ANN/labelled.csv").lines().count(), 1 + 19 + 1);

    // A second labeller, who agrees but for one coverage.
    let served = Served::start(at, "BEA", &["--second-of", "ANN", "--top", "8"]);
    let mut second: Vec<Value> = (0..7).map(|_| clip(&["r"])).collect();
    second.push(clip(&["5", "f", "r"]));
    answer(&served, &second, false);
    drop(served);
    let both = Command::new(program())
        .args(["review", "--labels", "labels", "--agreement", "ANN", "BEA"])
        .current_dir(at)
        .output()
        .unwrap();
    let text = String::from_utf8(both.stdout).unwrap();
    assert!(both.status.success(), "{text}");
    assert!(
        text.starts_with("ANN and BEA: 8 clips that both have answered"),
        "{text}"
    );
    assert!(
        text.contains("coverage") && text.contains("is it a screen"),
        "{text}"
    );

    let mut ms: Vec<f64> = looked.reaction_ms;
    ms.sort_by(f64::total_cmp);
    println!(
        "keys {}, reaction: median {:.0} ms, longest {:.0} ms",
        looked.keys,
        ms[ms.len() / 2],
        ms[ms.len() - 1]
    );
}

#[test]
fn the_page_says_what_is_not_saved_and_stays() {
    let folder = tables();
    let at = folder.path();
    // No file may grow beyond a block of 512 bytes (some shells: 1024), less than two answers: as on a full disk.
    let mut limited = Command::new("sh");
    limited.args([
        "-c",
        "trap '' XFSZ; ulimit -f 1; exec \"$0\" review --tables out --labels labels --labeller ANN",
    ]);
    limited.arg(program());
    let served = Served::of(limited, at);
    answer_then(&served, &[], false, &json!({ "kill": null }));
    drop(served);
    let saved = read_journal(&at.join("labels"), "ANN").unwrap().len();
    assert!(saved < 2, "{saved}");
    // Room again, and then the program is gone.
    let served = Served::start(at, "ANN", &[]);
    let process = served.child.id();
    answer_then(&served, &[clip(&["r"])], false, &json!({ "kill": process }));
    assert_eq!(read_journal(&at.join("labels"), "ANN").unwrap().len(), saved + 1);
}
