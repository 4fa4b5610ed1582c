//! Inputs and outputs in an object store: the bytes of a run on disk, whatever happens to a request.
//!
//! Checked against moto's server, which speaks S3. The short form runs with the other tests; the long one, with a fault at each
//! request: `SCRIM_FAULTS=all NEXTEST_PROFILE=long tests/run reference`.

#![expect(clippy::unwrap_used, reason = "what cannot be is a failed test")]

mod marks;
mod server;

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use scrim_practice::{PracticeParams, play_game, write_game};
use tempfile::TempDir;

use marks::Mark;
use server::{Door, Fault, Server};

use crate::program::program;

/// A season of short games, here and in a store, and what a run makes of it here.
struct Season {
    folder: TempDir,
    server: Server,
}

impl Season {
    fn new(games: u32) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let params = PracticeParams {
            seed: 7,
            periods: 1,
            period_s: 45.0,
            ..PracticeParams::default()
        };
        for number in 0..games {
            let game = play_game(&params, number);
            write_game(&game, &folder.path().join("in").join(number.to_string())).unwrap();
        }
        std::fs::write(
            folder.path().join("mine.toml"),
            "name = \"mine\"\n[report]\nteams = \"last_day\"\n",
        )
        .unwrap();
        let server = Server::start();
        server.put_folder(&folder.path().join("in"), "in");
        let season = Self { folder, server };
        let ended = season.scrim(None, &["run", "mine.toml", "--input", "in", "--output", "here"]);
        assert_eq!(ended.code, 0, "{}", ended.text);
        season
    }

    /// `scrim ARGS`, with the store behind a door.
    fn command(&self, door: Option<&Door>, args: &[&str]) -> Command {
        let mut command = Command::new(program());
        command.args(args).current_dir(self.folder.path());
        if let Some(door) = door {
            command
                .env("AWS_ENDPOINT_URL", format!("http://127.0.0.1:{}", door.port))
                .env("AWS_ALLOW_HTTP", "true")
                .env("AWS_ACCESS_KEY_ID", "test")
                .env("AWS_SECRET_ACCESS_KEY", "test")
                .env("AWS_REGION", "us-east-1");
            if door.hangs() {
                command.env("AWS_TIMEOUT", "2s");
            }
        }
        command
    }

    fn scrim(&self, door: Option<&Door>, args: &[&str]) -> Ended {
        Ended::of(&self.command(door, args).output().unwrap())
    }

    /// A run from the store into the store.
    fn run(&self, fault: Fault, output: &str) -> (Ended, usize) {
        let door = Door::open(&self.server, fault);
        let output = format!("s3://games/{output}");
        let args = [
            "run",
            "mine.toml",
            "--input",
            "s3://games/in",
            "--output",
            &output,
            "--jobs",
            "1",
        ];
        (self.scrim(Some(&door), &args), door.requests())
    }

    /// Asserts that an output in the store holds what the one here does, that `scrim verify` is content, and that nothing is left
    /// on its way.
    #[track_caller]
    fn is_as_here(&self, output: &str) {
        let mut files = 0;
        for name in files_below(&self.folder.path().join("here")) {
            let is_of_a_run = ["runs/", "ledger/runs/", "ledger/sources/", "ledger/lock"];
            if is_of_a_run.iter().any(|of_a_run| name.starts_with(of_a_run)) {
                continue;
            }
            let here = std::fs::read(self.folder.path().join("here").join(&name)).unwrap();
            let there = self.server.get(&format!("{output}/{name}"));
            assert!(there == Some(here), "{output}/{name} is another");
            files += 1;
        }
        assert!(files > 20, "{files} files are no season");
        let door = Door::open(&self.server, Fault::None);
        let ended = self.scrim(Some(&door), &["verify", &format!("s3://games/{output}")]);
        assert_eq!(ended.code, 0, "{}", ended.text);
    }
}

fn files_below(root: &Path) -> Vec<String> {
    fn gather(root: &Path, folder: &Path, names: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                gather(root, &path, names);
            } else {
                names.push(path.strip_prefix(root).unwrap().to_str().unwrap().to_owned());
            }
        }
    }
    let mut names = Vec::new();
    gather(root, root, &mut names);
    names
}

/// How a run of the program ended.
struct Ended {
    code: i32,
    text: String,
}

impl Ended {
    fn of(output: &Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        Self {
            code: output.status.code().unwrap(),
            text: text(&output.stdout) + &text(&output.stderr),
        }
    }
}

#[test]
fn a_season_in_a_store_has_the_bytes_of_one_on_disk_and_every_command_reads_it() {
    let season = Season::new(2);
    let (first, _) = season.run(Fault::None, "out");
    assert_eq!(first.code, 0, "{}", first.text);
    season.is_as_here("out");
    let (again, _) = season.run(Fault::None, "out");
    assert!(again.text.contains("games unchanged   2"), "{}", again.text);

    let door = Door::open(&season.server, Fault::None);
    let scrim = |args: &[&str], code: i32, word: &str| {
        let ended = season.scrim(Some(&door), args);
        assert_eq!(ended.code, code, "{args:?}: {}", ended.text);
        assert!(
            ended.text.contains(word),
            "{args:?}: no `{word}` in {}",
            ended.text
        );
    };
    // Across: from here to there, and back.
    scrim(
        &[
            "run",
            "mine.toml",
            "--input",
            "in",
            "--output",
            "s3://games/across",
        ],
        0,
        "games done        2",
    );
    season.is_as_here("across");
    scrim(
        &["run", "mine.toml", "--input", "s3://games/in", "--output", "back"],
        0,
        "games done        2",
    );
    for name in ["screens", "possessions", "tendencies"] {
        for file in files_below(&season.folder.path().join("here").join(name)) {
            let at =
                |root: &str| std::fs::read(season.folder.path().join(root).join(name).join(&file)).unwrap();
            assert!(at("here") == at("back"), "{name}/{file}");
        }
    }
    let team = first_team(&season);
    scrim(
        &["inspect", "s3://games/in"],
        0,
        "s3://games/in/0/tracking.parquet",
    );
    scrim(
        &[
            "run",
            "mine.toml",
            "--input",
            "s3://games/in",
            "--output",
            "s3://games/out",
            "--dry-run",
        ],
        0,
        "of which 0",
    );
    scrim(&["runs", "--tables", "s3://games/out"], 0, "mine");
    scrim(
        &["digest", "--tables", "s3://games/out", "--team", &team],
        0,
        &team,
    );
    scrim(
        &[
            "report",
            "--tables",
            "s3://games/out",
            "--team",
            &team,
            "--output",
            "r.html",
        ],
        0,
        "r.html",
    );
    scrim(
        &[
            "clips",
            "--tables",
            "s3://games/out",
            "--team",
            &team,
            "--output",
            "clips",
        ],
        0,
        "clips",
    );
    // A mark of the video is saved there as here.
    let mark = Mark::of_first_game(&season.folder.path().join("here"));
    for tables in ["here", "s3://games/out"] {
        scrim(&mark.clips(tables), 0, "video_offset_s 700.0");
    }
    season.is_as_here("out");
    scrim(&["season", "--tables", "s3://games/out"], 0, "2 games");
    scrim(
        &["score", "--tables", "s3://games/out", "--labels", "in"],
        0,
        "ball screens",
    );
    scrim(
        &["prune", "s3://games/out", "--season", "2041", "--delete"],
        0,
        "removed",
    );
    scrim(&["verify", "s3://games/out"], 1, "no manifest");
}

/// A team of the season.
fn first_team(season: &Season) -> String {
    let reports = season.folder.path().join("here/reports");
    let first = files_below(&reports).into_iter().min().unwrap();
    first.strip_suffix(".html").unwrap().to_owned()
}

#[test]
fn a_fault_at_any_request_costs_a_retry_and_no_byte() {
    let season = Season::new(1);
    let (whole, requests) = season.run(Fault::None, "whole");
    assert_eq!(whole.code, 0, "{}", whole.text);
    // One after the other costs the time that a client waits; side by side, once.
    side_by_side(&chosen(requests, 6), |at| {
        for fault in [Fault::Refused(at), Fault::AnswerLost(at), Fault::Hangs(at)] {
            let output = format!("out-{fault:?}");
            let (ended, _) = season.run(fault, &output);
            assert_eq!(ended.code, 0, "{fault:?}: {}", ended.text);
            season.is_as_here(&output);
        }
    });
}

#[test]
fn a_store_that_is_lost_at_any_request_fails_the_run_and_the_next_one_ends_the_work() {
    let season = Season::new(1);
    let (_, requests) = season.run(Fault::None, "whole");
    // Side by side: a lock that was left behind is watched for a while before it is taken, and that is most of the time.
    side_by_side(&chosen(requests, 8), |at| {
        let output = format!("out-{at}");
        let (ended, _) = season.run(Fault::ForbiddenFrom(at), &output);
        assert!(
            matches!(ended.code, 1 | 3),
            "{at}: {}: {}",
            ended.code,
            ended.text
        );
        assert!(ended.text.contains("s3://games"), "{at}: {}", ended.text);
        let (again, _) = season.run(Fault::None, &output);
        assert_eq!(again.code, 0, "{at}: {}", again.text);
        season.is_as_here(&output);
    });
}

#[test]
fn of_two_runs_at_once_one_writes_and_the_other_says_who() {
    let season = Season::new(2);
    let door = Door::open(&season.server, Fault::None);
    let args = [
        "run",
        "mine.toml",
        "--input",
        "s3://games/in",
        "--output",
        "s3://games/out",
    ];
    let children = [(); 2].map(|()| {
        season
            .command(Some(&door), &args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    });
    let ended = children.map(|child| Ended::of(&child.wait_with_output().unwrap()));
    // The second may also have come when the first was through.
    for one in &ended {
        let is_busy = one.code == 1 && one.text.contains("is writing here");
        assert!(one.code == 0 || is_busy, "{}", one.text);
    }
    assert!(ended.iter().any(|one| one.code == 0));
    season.is_as_here("out");
}

#[test]
fn a_run_killed_half_way_is_found_out_and_ended_by_the_next() {
    let season = Season::new(1);
    let (_, requests) = season.run(Fault::None, "whole");
    let door = Door::open(&season.server, Fault::None);
    let args = [
        "run",
        "mine.toml",
        "--input",
        "s3://games/in",
        "--output",
        "s3://games/out",
    ];
    let mut child = season
        .command(Some(&door), &args)
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while door.requests() < requests / 2 {
        assert!(
            begun.elapsed() < Duration::from_secs(60),
            "it never came half-way"
        );
        std::thread::sleep(Duration::from_millis(1));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let (ended, _) = season.run(Fault::None, "out");
    assert_eq!(ended.code, 0, "{}", ended.text);
    assert!(ended.text.contains("did not get to its end"), "{}", ended.text);
    season.is_as_here("out");
}

/// Does the same at each of these requests, eight at once.
fn side_by_side(requests: &[usize], done_at: impl Fn(usize) + Sync) {
    let done_at = &done_at;
    for some in requests.chunks(8) {
        std::thread::scope(|scope| {
            for &at in some {
                scope.spawn(move || done_at(at));
            }
        });
    }
}

/// Some of the numbers from 1 on, the first and the last among them; all in the long form.
fn chosen(requests: usize, some: usize) -> Vec<usize> {
    assert!(requests > some, "{requests} requests are no run");
    if std::env::var("SCRIM_FAULTS").is_ok_and(|text| text == "all") {
        return (1..=requests).collect();
    }
    (0..some)
        .map(|place| 1 + place * (requests - 1) / (some - 1))
        .collect()
}
