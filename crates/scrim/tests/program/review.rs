//! `scrim review`: what is saved when, and what cannot be asked.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

use scrim_review::{Picked, read_journal};
use serde_json::{Value, json};

use crate::house::House;

/// A page that is served, until it is dropped.
pub struct Served {
    child: Child,
    /// `127.0.0.1:PORT`
    pub host: String,
    pub token: String,
}

/// What came back.
pub struct Back {
    pub status: u16,
    pub text: String,
}

impl Served {
    /// `scrim review --tables out --labels labels --labeller ANN MORE`, in a shell that may set limits first.
    pub fn start(house: &House, limits: &str) -> Self {
        Self::start_with(house, limits, "--top 20")
    }

    fn start_with(house: &House, limits: &str, more: &str) -> Self {
        let review = format!(
            "{limits} exec '{}' review --tables out --labels labels --labeller ANN {more}",
            env!("CARGO_BIN_EXE_scrim")
        );
        let mut child = Command::new("sh")
            .args(["-c", &review])
            .current_dir(house.at("."))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut pages = lines.map_while(Result::ok).filter_map(|line| {
            let (host, token) = line
                .strip_prefix("page")?
                .trim()
                .strip_prefix("http://")?
                .split_once('/')?;
            Some((host.to_owned(), token.trim_end_matches('/').to_owned()))
        });
        let (host, token) = pages.next().expect("the page's address is printed");
        Self { child, host, token }
    }

    /// A request as it stands, and what came back.
    pub fn send(&self, request: &str) -> Back {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        // Refused, it may be closed before all of it was sent.
        let _ = stream.write_all(request.as_bytes());
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let status = text.split(' ').nth(1).and_then(|status| status.parse().ok());
        Back {
            status: status.unwrap_or_else(|| panic!("no status in {text:?}")),
            text,
        }
    }

    pub fn get(&self, path: &str, headers: &str) -> Back {
        self.send(&format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\n{headers}Connection: close\r\n\r\n",
            self.host
        ))
    }

    pub fn post(&self, headers: &str, body: &str) -> Back {
        let length = body.len();
        self.send(&format!(
            "POST /{}/answer HTTP/1.1\r\nHost: {}\r\n{headers}Content-Length: {length}\r\nConnection: close\r\n\r\n{body}",
            self.token, self.host
        ))
    }

    pub fn state(&self) -> Value {
        let back = self.get(&format!("/{}/state", self.token), "");
        body_of(&back)
    }

    /// Answers the clip at hand.
    pub fn answer(&self, answer: &Value) -> Back {
        let state = self.state();
        let given = json!({
            "after": state["lines"], "clip": state["clip"].as_u64().unwrap_or(0), "seconds": 6.0, "keys": 1, "answer": answer,
        });
        self.post(JSON, &given.to_string())
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub const JSON: &str = "Content-Type: application/json\r\n";

fn body_of(back: &Back) -> Value {
    assert_eq!(back.status, 200, "{}", back.text);
    serde_json::from_str(back.text.split_once("\r\n\r\n").unwrap().1).unwrap()
}

/// Practice games and their tables.
pub fn house(games: u32, period_s: f64) -> House {
    let house = House::new();
    for number in 0..games {
        house.game_lasting(&number.to_string(), number, period_s);
    }
    let done = house.run("out", &[]);
    assert_eq!(done.code, 0, "{done:?}");
    house
}

#[test]
fn of_a_journal_that_was_taken_away_nothing_is_called_saved() {
    let house = house(1, 300.0);
    let served = Served::start(&house, "");
    assert_eq!(served.answer(&json!({"what": "right"})).status, 200);
    fs::rename(house.at("labels/ANN"), house.at("labels/OLD")).unwrap();
    let refused = served.answer(&json!({"what": "right"}));
    assert_eq!(refused.status, 507, "{}", refused.text);
    assert!(refused.text.contains("NOT SAVED"), "{}", refused.text);
    assert!(!house.at("labels/ANN").exists());
    assert_eq!(served.state()["lines"], 1);
    fs::rename(house.at("labels/OLD"), house.at("labels/ANN")).unwrap();
    assert_eq!(served.answer(&json!({"what": "right"})).status, 200);
    assert_eq!(read_journal(&house.at("labels"), "ANN").unwrap().len(), 2);
}

#[test]
fn a_killed_sitting_goes_on_where_it_stopped_and_takes_back_by_a_new_line() {
    let house = house(1, 300.0);
    let journal = house.at("labels/ANN/journal.jsonl");
    let before = {
        let served = Served::start(&house, "");
        let other = house.scrim(&[
            "review",
            "--tables",
            "out",
            "--labels",
            "labels",
            "--labeller",
            "ANN",
        ]);
        assert_eq!(other.code, 1, "{other:?}");
        assert!(
            other.stderr.contains("another window or process"),
            "{}",
            other.stderr
        );
        for answer in [
            json!({"what": "right"}),
            json!({"what": "not_a_screen"}),
            json!({"what": "word", "question": "outcome", "word": "slipped"}),
        ] {
            assert_eq!(served.answer(&answer).status, 200);
        }
        served.state()
    };
    assert_eq!(
        (&before["ended"], &before["words"]),
        (&json!(2), &json!({"outcome": "slipped"}))
    );
    // Killed in the middle of a fourth line.
    let whole = fs::read_to_string(&journal).unwrap();
    fs::write(&journal, format!("{whole}{{\"number\":4,\"at\":\"20")).unwrap();

    let served = Served::start(&house, "");
    let after = served.state();
    assert_eq!((&after["lines"], &after["words"]), (&json!(3), &before["words"]));
    assert_eq!(fs::read_to_string(&journal).unwrap(), whole);
    let torn = fs::read_to_string(house.at("labels/ANN/journal.torn")).unwrap();
    assert_eq!(torn, "{\"number\":4,\"at\":\"20\n");
    // Back: the word, then the clip before it, then the first.
    for (lines, words) in [(4, json!({})), (5, json!({})), (6, json!({}))] {
        let back = json!({"what": "taken_back", "line": served.state()["last"]});
        let state = body_of(&served.answer(&back));
        assert_eq!((&state["lines"], &state["words"]), (&json!(lines), &words));
    }
    assert_eq!(served.state()["last"], Value::Null);
    let back = json!({"what": "taken_back", "line": 1});
    assert_eq!(served.answer(&back).status, 400);
    let text = fs::read_to_string(&journal).unwrap();
    assert!(text.starts_with(&whole) && text.lines().count() == 6, "{text}");
    let labels = fs::read_to_string(house.at("labels/ANN/labelled.csv")).unwrap();
    assert_eq!(labels.lines().count(), 1, "{labels}");
}

#[test]
fn on_a_full_disk_the_page_is_told_and_nothing_counts_that_is_not_saved() {
    let house = house(1, 900.0);
    // No file may grow beyond 8 blocks of 512 bytes (some shells: 1024); the signal that would end the program is ignored.
    let served = Served::start(&house, "trap '' XFSZ; ulimit -f 8;");
    let mut saved = 0;
    let refused = loop {
        let back = served.answer(&json!({"what": "cannot_tell"}));
        if back.status != 200 {
            break back;
        }
        saved += 1;
        assert!(saved < 19, "the disk is never full");
    };
    assert_eq!(refused.status, 507, "{}", refused.text);
    assert!(
        refused.text.contains("NOT SAVED") && refused.text.contains("journal.jsonl"),
        "{}",
        refused.text
    );
    assert_eq!(served.state()["lines"], saved);
    assert_eq!(served.state()["ended"], saved);
    drop(served);
    // Nothing but whole lines, and room again: it goes on.
    assert_eq!(
        read_journal(&house.at("labels"), "ANN").unwrap().len() as u64,
        saved
    );
    let served = Served::start(&house, "");
    assert_eq!(served.answer(&json!({"what": "cannot_tell"})).status, 200);
    assert_eq!(served.state()["lines"], saved + 1);
    assert!(!house.at("labels/ANN/journal.torn").exists());
}

#[test]
fn by_chance_alone_means_that() {
    let house = house(1, 900.0);
    let served = Served::start_with(&house, "", "--chance-only");
    let total = served.state()["total"].as_u64().unwrap();
    assert!((2..15).contains(&total), "{total}");
    for _ in 0..total {
        assert_eq!(served.answer(&json!({"what": "not_a_screen"})).status, 200);
    }
    assert_eq!(served.state()["clip"], Value::Null);
    let lines = read_journal(&house.at("labels"), "ANN").unwrap();
    assert!(lines.iter().all(|line| line.picked == Picked::Chance));
    let labels = |folder: &str| fs::read_to_string(house.at(folder).join("labelled.csv")).unwrap();
    assert_eq!(labels("labels/ANN"), labels("labels/ANN/chance"));
    // The page's folder holds what the docs name, and nothing else.
    let mut names: Vec<String> = house.files("labels/ANN").into_keys().collect();
    names.retain(|name| !name.ends_with(".csv"));
    assert_eq!(names, ["journal.jsonl"]);
}

#[test]
fn nothing_found_nothing_to_show_and_all_answered_are_told_apart() {
    let house = house(1, 300.0);
    let review = |more: &[&str]| {
        house.scrim(
            &[
                &["review", "--tables", "out", "--labels", "labels", "--labeller"],
                more,
            ]
            .concat(),
        )
    };
    {
        let served = Served::start_with(&house, "", "--top 1000");
        while served.state()["clip"] != Value::Null {
            assert_eq!(served.answer(&json!({"what": "cannot_tell"})).status, 200);
        }
        assert!(served.state()["ended"].as_u64().unwrap() > 1);
    }
    let all = review(&["ANN"]);
    assert!(all.code == 0 && all.stdout.contains("is answered"), "{all:?}");
    // Somebody who has begun and ended nothing.
    fs::create_dir_all(house.at("labels/BEA")).unwrap();
    fs::write(house.at("labels/BEA/journal.jsonl"), "").unwrap();
    let none = review(&["CAT", "--second-of", "BEA"]);
    assert!(
        none.code == 1 && none.stderr.contains("BEA has ended no clip"),
        "{none:?}"
    );
    fs::remove_dir_all(house.at("out/tracks")).unwrap();
    let unseen = review(&["CAT"]);
    assert!(
        unseen.code == 1 && unseen.stderr.contains("no clip can be shown"),
        "{unseen:?}"
    );
    for table in ["screens", "coverages", "options", "entries"] {
        fs::remove_dir_all(house.at("out").join(table)).unwrap();
    }
    let none = review(&["CAT"]);
    assert!(
        none.code == 1 && none.stderr.contains("found no ball screen or handoff"),
        "{none:?}"
    );
}

#[test]
fn names_and_games_that_cannot_be_are_refused_with_a_word() {
    let house = house(1, 60.0);
    let refused = |args: &[&str]| {
        let ended = house.scrim(&[&["review", "--tables", "out", "--labels", "labels"], args].concat());
        assert_ne!(ended.code, 0, "{ended:?}");
        ended.stderr
    };
    assert!(refused(&["--labeller", "../ann"]).contains("letters (a to z)"));
    assert!(refused(&["--labeller", "ANN", "--game", "NONE"]).contains("no game is chosen"));
    let season = refused(&["--labeller", "ANN", "--season", "1066"]);
    assert!(
        season.contains("no game is chosen") && season.contains("of seasons"),
        "{season}"
    );
    assert!(refused(&["--labeller", "Labels"]).contains("take another name"));
    assert!(refused(&["--labeller", "ANN", "--second-of", "ANN"]).contains("own second"));
    assert!(refused(&["--labeller", "ANN", "--second-of", "BEA"]).contains("no answers of BEA"));
    assert!(refused(&[]).contains("--labeller"));
    let elsewhere = house.scrim(&[
        "review",
        "--tables",
        "in",
        "--labels",
        "labels",
        "--labeller",
        "ANN",
    ]);
    assert!(
        elsewhere.code == 1
            && elsewhere
                .stderr
                .contains("expected the output folder of `scrim run`"),
        "{elsewhere:?}"
    );
    for more in [
        &["--chance-only"][..],
        &["--port", "80"],
        &["--top", "5"],
        &["--second-of", "BEA"],
    ] {
        let both = [
            &["review", "--labels", "labels", "--agreement", "ANN", "BEA"],
            more,
        ]
        .concat();
        let ended = house.scrim(&both);
        assert!(
            ended.code == 2 && ended.stderr.contains("cannot be used with"),
            "{ended:?}"
        );
    }
    let ended = house.scrim(&["review", "--labels", "labels", "--agreement", "ANN", "ANN"]);
    assert!(
        ended.code == 1 && ended.stderr.contains("own second"),
        "{ended:?}"
    );
}
