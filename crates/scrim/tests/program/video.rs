//! What people mark of a game's video: saved, checked by the next mark, kept by every run, and nothing else changes for it.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use scrim_tables::ledger::{Holder, Part, Snapshot};
use scrim_tables::rows::{GameRow, TrackRow};
use scrim_tables::{LocalStore, OutputStore, ReadStore, Row, Scope, read_rows};

use crate::house::{Ended, House};

/// A game of one period with tables in `out`, and when its scoreboard turns to a second that it turns to once.
struct Filmed {
    house: House,
    team: String,
    game_id: String,
    /// The second shown, and seconds from the period's first frame.
    turns: Vec<(u32, f64)>,
}

impl Filmed {
    fn new() -> Self {
        let house = House::new();
        let game = house.game_lasting("a", 0, 240.0);
        assert_eq!(house.run("out", &[]).code, 0);
        let mut turns: BTreeMap<u32, Vec<f64>> = BTreeMap::new();
        for row in rows::<TrackRow>(&house.at("out")) {
            let shown: Vec<_> = row.game_clock_tenths.iter().map(|t| t.map(|t| t / 10)).collect();
            for (before, pair) in shown.windows(2).enumerate() {
                if let [Some(old), Some(new)] = *pair
                    && old > new
                {
                    let t_s = row.t_start_s + (before + 1) as f64 / f64::from(row.hz);
                    turns.entry(new.into()).or_default().push(t_s);
                }
            }
        }
        let once = turns.into_iter().filter(|(_, times)| times.len() == 1);
        Self {
            house,
            team: game.team_ids[0].to_string(),
            game_id: game.game_id.to_string(),
            turns: once.map(|(shown_s, times)| (shown_s, times[0])).collect(),
        }
    }

    /// What somebody writes who sees the scoreboard turn in a video that has the period's first frame at `offset_s`: at one of the
    /// instants at which it turns, from the last to the first.
    fn mark(&self, turn: usize, offset_s: f64) -> String {
        let (shown_s, t_s) = self.turns[turn];
        let clock = format!("{}:{:02}", shown_s / 60, shown_s % 60);
        format!("{}:1={:.3}@{clock}", self.game_id, offset_s + t_s)
    }

    fn clips_of(&self, tables: &str, more: &[&str]) -> Ended {
        let args = ["clips", "--tables", tables, "--team", &self.team, "--output", "c"];
        self.house.scrim(&[&args, more].concat())
    }

    /// `scrim clips --sync MARK` on `out`, which must go well.
    fn sync(&self, mark: &str) -> Ended {
        let ended = self.clips_of("out", &["--sync", mark]);
        assert_eq!(ended.code, 0, "{ended:?}");
        ended
    }

    fn unsync(&self) -> Ended {
        self.clips_of("out", &["--unsync", &format!("{}:1", self.game_id)])
    }

    /// Every table, and what is known of the games and the season: all that depends on inputs, parameters and marks alone, and
    /// whatever is on its way.
    fn all(&self, tables: &str) -> BTreeMap<String, Vec<u8>> {
        let mut files = self.house.files(tables);
        let when = ["runs/", "ledger/runs/", "ledger/sources/", "ledger/lock"];
        files.retain(|name, _| !when.iter().any(|of_a_run| name.starts_with(of_a_run)));
        files
    }

    fn offset_s(&self, tables: &str) -> Option<f64> {
        let row = rows::<GameRow>(&self.house.at(tables)).remove(0);
        assert!(row.video_offset_s.len() <= 1, "{:?}", row.video_offset_s);
        row.video_offset_s.first().copied().flatten()
    }

    #[track_caller]
    fn is_at(&self, tables: &str, offset_s: f64) {
        let found_s = self.offset_s(tables).unwrap();
        // A mark is to the millisecond.
        assert!((found_s - offset_s).abs() < 1e-3, "{found_s}, not {offset_s}");
        let ended = self.house.scrim(&["verify", tables]);
        assert_eq!(ended.code, 0, "{ended:?}");
        ended.has_line("problems 0");
    }

    /// Gives the source's own offset in `games.csv`.
    fn give(&self, offset: &str) {
        let text = std::fs::read_to_string(self.house.at("in/a/games.csv")).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let text = format!("{},video_offset_s\n{},{offset}\n", lines[0], lines[1]);
        self.house.write("in/a/games.csv", &text);
    }
}

/// A table of the one game of a folder, as a reader through its manifest sees it.
fn rows<R: Row>(root: &Path) -> Vec<R> {
    let store = LocalStore::new(root);
    let parts = Part::find(&store, Scope::Game).unwrap();
    assert_eq!(parts.len(), 1, "{parts:?}");
    let bytes = Snapshot::new(&store).get(&parts[0].file(R::TABLE)).unwrap();
    read_rows(bytes.unwrap()).unwrap()
}

#[test]
fn a_mark_is_saved_for_all_that_comes_and_nothing_is_made_again_for_it() {
    let filmed = Filmed::new();
    let before = filmed.all("out");
    let ended = filmed.sync(&filmed.mark(0, 700.0));
    assert!(
        ended.stdout.contains("from one mark") && ended.stdout.contains("video_offset_s 700.0"),
        "{ended:?}"
    );
    filmed.is_at("out", 700.0);
    let after = filmed.all("out");
    let changed: Vec<&str> = after
        .iter()
        .filter(|(name, bytes)| before.get(*name) != Some(*bytes))
        .map(|(name, _)| name.split_once('/').unwrap().0)
        .collect();
    assert_eq!(changed, ["games", "ledger"], "of {:?}", after.keys());
    assert_eq!(before.len(), after.len());
    // Lists without a mark have the time now.
    let ended = filmed.clips_of("out", &[]);
    assert!(!ended.stdout.contains("no video time"), "{ended:?}");
    let written = || {
        let names = filmed.all("out").into_keys();
        let time = |name: &String| {
            std::fs::metadata(filmed.house.at("out").join(name))
                .unwrap()
                .modified()
        };
        names.map(|name| time(&name).unwrap()).collect::<Vec<_>>()
    };
    let times = written();
    let ended = filmed.house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("games done 0");
    assert_eq!(written(), times);
    // All is made again, and has the mark.
    let ended = filmed.house.run("out", &["--force"]);
    ended.has_line("games done 1");
    assert!(filmed.all("out") == after);
}

#[test]
fn marks_before_a_run_and_after_it_end_in_the_same_bytes() {
    let filmed = Filmed::new();
    let (one, other) = (filmed.mark(0, 700.0), filmed.mark(filmed.turns.len() - 1, 701.0));
    filmed.sync(&one);
    filmed.sync(&other);
    // Other tracks, and the marks with them.
    filmed.house.write("mine.toml", "[track_table]\nhz = 5.0\n");
    assert_eq!(filmed.house.run("out", &[]).code, 0);
    assert_eq!(filmed.house.run("later", &[]).code, 0);
    assert!(filmed.all("later") != filmed.all("out"));
    for mark in [&other, &one] {
        let ended = filmed.clips_of("later", &["--sync", mark]);
        assert_eq!(ended.code, 0, "{ended:?}");
    }
    assert!(filmed.all("later") == filmed.all("out"));
    assert_eq!(filmed.house.scrim(&["verify", "out"]).code, 0);
    // On tracks of 5 Hz a turn is known to 0.2 s.
    let offset_s = filmed.offset_s("out").unwrap();
    assert!((offset_s - 700.5).abs() < 0.2, "{offset_s}");
    // The season may move on, too.
    let text = std::fs::read_to_string(filmed.house.at("in/a/games.csv")).unwrap();
    let season = text.lines().nth(1).unwrap().split(',').nth(2).unwrap().to_owned();
    filmed
        .house
        .write("in/a/games.csv", &text.replace(&format!(",{season},"), ",2099,"));
    assert_eq!(filmed.house.run("out", &[]).code, 0);
    assert_eq!(filmed.offset_s("out"), Some(offset_s));
    assert!(
        filmed
            .all("out")
            .keys()
            .any(|name| name.starts_with("games/2099~"))
    );
}

#[test]
fn what_the_source_says_counts_and_who_marked_another_is_told() {
    let filmed = Filmed::new();
    filmed.sync(&filmed.mark(0, 700.0));
    let marked = filmed.all("out");
    let text = std::fs::read_to_string(filmed.house.at("in/a/games.csv")).unwrap();
    filmed.give("650");
    let ended = filmed.house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(
        ended.stdout.contains("50.0 s apart") && ended.stdout.contains("games.csv counts"),
        "{ended:?}"
    );
    filmed.is_at("out", 650.0);
    // The other way round.
    assert_eq!(filmed.house.run("later", &[]).code, 0);
    let ended = filmed.clips_of("later", &["--sync", &filmed.mark(0, 700.0)]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(
        ended
            .stdout
            .contains("games.csv says 650.0, 50.0 s from the marks' 700.0"),
        "{ended:?}"
    );
    assert!(filmed.all("later") == filmed.all("out"));
    // One that a person cannot tell from it is no news.
    filmed.house.write("in/a/games.csv", &text);
    filmed.give("701.5");
    let ended = filmed.house.run("out", &[]);
    assert!(!ended.stdout.contains("apart"), "{ended:?}");
    filmed.is_at("out", 701.5);
    // It was kept all the time.
    filmed.house.write("in/a/games.csv", &text);
    assert_eq!(filmed.house.run("out", &[]).code, 0);
    assert!(filmed.all("out") == marked);
}

#[test]
fn a_later_mark_checks_the_first_and_all_can_be_taken_back() {
    let filmed = Filmed::new();
    let before = filmed.all("out");
    filmed.sync(&filmed.mark(0, 700.0));
    let first = filmed.all("out");
    let late = filmed.turns.len() - 1;
    let ended = filmed.clips_of("out", &["--sync", &filmed.mark(late, 705.0)]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("5.0 s apart") && ended.stderr.contains("--unsync"),
        "{ended:?}"
    );
    assert!(filmed.all("out") == first);
    let ended = filmed.sync(&filmed.mark(late, 701.0));
    assert!(ended.stdout.contains("agree within 1.0 s"), "{ended:?}");
    filmed.is_at("out", 700.5);
    let ended = filmed.unsync();
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(ended.stdout.contains("nothing is marked any more"), "{ended:?}");
    assert!(filmed.all("out") == before);
    let ended = filmed.unsync();
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(ended.stderr.contains("no mark of this period"), "{ended:?}");
    // One that does not fit is taken back, and the right one given, at once.
    filmed.sync(&filmed.mark(0, 500.0));
    let period = format!("{}:1", filmed.game_id);
    let ended = filmed.clips_of("out", &["--unsync", &period, "--sync", &filmed.mark(0, 700.0)]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert!(filmed.all("out") == first);
}

#[test]
fn marks_that_cannot_be_saved_are_in_these_lists_and_the_command_says_so() {
    let filmed = Filmed::new();
    let before = filmed.all("out");
    let fails = |why: &str| {
        let _ = std::fs::remove_dir_all(filmed.house.at("c"));
        let ended = filmed.clips_of("out", &["--sync", &filmed.mark(0, 700.0)]);
        assert_eq!(ended.code, 3, "{ended:?}");
        for part in [why, "not saved", "games.csv"] {
            assert!(ended.stderr.contains(part), "no `{part}` in {ended:?}");
        }
        assert!(
            !ended.stdout.contains("no video time") && ended.stdout.contains("clip lists"),
            "{ended:?}"
        );
        assert!(filmed.house.at("c/clips.csv").exists());
        assert!(filmed.all("out") == before);
    };
    let store = LocalStore::new(filmed.house.at("out"));
    let holder = Holder {
        what: "a long night".into(),
        process: 7,
        host: "here".into(),
        started: "2041-11-29T03:00:00Z".into(),
    };
    let lock = store.lock(&holder).unwrap();
    fails("a long night (process 7 on here");
    lock.finish().unwrap();
    // A lock that cannot be opened for writing; permissions would not keep a superuser out.
    std::fs::remove_file(filmed.house.at("out/ledger/lock")).unwrap();
    std::fs::create_dir(filmed.house.at("out/ledger/lock")).unwrap();
    fails("cannot open the lock");
    std::fs::remove_dir(filmed.house.at("out/ledger/lock")).unwrap();
    // Tables that no run of this program wrote have nothing to keep a mark in, and get nothing.
    std::fs::remove_dir_all(filmed.house.at("out/ledger")).unwrap();
    let ended = filmed.clips_of("out", &["--sync", &filmed.mark(0, 700.0)]);
    assert_eq!(ended.code, 3, "{ended:?}");
    assert!(ended.stderr.contains("has no manifest"), "{ended:?}");
    assert!(!filmed.house.at("out/ledger").exists());
}

#[test]
fn killed_at_any_instant_a_mark_is_saved_or_not_and_the_next_finishes() {
    let filmed = Filmed::new();
    let before = filmed.all("out");
    let mark = filmed.mark(0, 700.0);
    let began = Instant::now();
    filmed.sync(&mark);
    let takes_s = began.elapsed().as_secs_f64();
    let after = filmed.all("out");
    let (kills, mut were_cut) = (12, 0);
    for kill in 0..kills {
        assert_eq!(filmed.unsync().code, 0);
        assert!(filmed.all("out") == before, "kill {kill}");
        let mut child = Command::new(env!("CARGO_BIN_EXE_scrim"))
            .args([
                "clips",
                "--tables",
                "out",
                "--team",
                &filmed.team,
                "--output",
                "c",
            ])
            .args(["--sync", &mark])
            .current_dir(filmed.house.at("."))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // In steps of the golden ratio.
        let share = (f64::from(kill) * 0.618_034).fract();
        std::thread::sleep(Duration::from_secs_f64(share * takes_s));
        // SIGKILL; Err: it has ended already.
        let _ = child.kill();
        were_cut += u32::from(!child.wait().unwrap().success());
        let seen = rows::<GameRow>(&filmed.house.at("out")).remove(0).video_offset_s;
        assert!(seen.is_empty() || seen.len() == 1, "kill {kill}: {seen:?}");
        filmed.sync(&mark);
        assert!(filmed.all("out") == after, "kill {kill}");
        filmed.is_at("out", 700.0);
    }
    // A test of kills that come too late would prove nothing.
    assert!(were_cut >= kills / 4, "{were_cut} of {kills} were cut");
    // A run still reads every file after them, and finds them whole.
    filmed.house.run("out", &[]).has_line("games unchanged 1");
}
