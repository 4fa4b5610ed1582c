//! Killed at any instant, and at the same time as another: each game's tables are wholly old or wholly new, and the next run ends with
//! the bytes of one that nobody disturbed.
//!
//! The short form runs with the other tests. The long one: `SCRIM_KILLS=500 cargo nextest run --workspace -E 'test(killed)'`.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use scrim_tables::ledger::{Part, Snapshot};
use scrim_tables::rows::tables;
use scrim_tables::{LocalStore, ReadStore, Scope};

use crate::house::House;

/// Every game's tables as a reader sees them who goes through the manifests.
fn seen(house: &House, output: &str) -> BTreeMap<Part, BTreeMap<&'static str, Vec<u8>>> {
    let store = LocalStore::new(house.at(output));
    let reader = Snapshot::new(&store);
    let parts = Part::find(&store, Scope::Game).unwrap();
    parts
        .into_iter()
        .map(|part| {
            let of_table = |name| Some((name, reader.get(&part.file(name)).unwrap()?));
            let files = tables().filter_map(|table| of_table(table.name)).collect();
            (part, files)
        })
        .collect()
}

/// A house with an output that was made with other parameters, and what stands in it before and after they are changed.
fn house() -> House {
    let house = House::new();
    for (name, number) in [("a", 0), ("b", 1), ("c", 2)] {
        house.game(name, number);
    }
    house
}

const OLD: &str = "";
const NEW: &str = "[tracks]\ngrid_hz = 20.0\n";

#[test]
fn a_run_killed_at_any_instant_leaves_old_or_new_games_and_the_next_one_ends_like_any_other() {
    let kills: u32 = std::env::var("SCRIM_KILLS").map_or(12, |text| text.parse().unwrap());
    let house = house();
    let [old, new] = [("old", OLD), ("new", NEW)].map(|(output, text)| {
        house.write("mine.toml", text);
        assert_eq!(house.run(output, &[]).code, 0);
        (seen(&house, output), house.tables(output))
    });
    // How long such a run takes on this machine.
    let began = Instant::now();
    assert_eq!(house.run("timed", &[]).code, 0);
    let takes_s = began.elapsed().as_secs_f64();
    let (mut were_cut, mut were_mixed) = (0, 0);
    for kill in 0..kills {
        let output = format!("out-{kill}");
        house.write("mine.toml", OLD);
        assert_eq!(house.run(&output, &[]).code, 0);
        house.write("mine.toml", NEW);
        let mut child = Command::new(env!("CARGO_BIN_EXE_scrim"))
            .args([
                "run",
                "mine.toml",
                "--input",
                "in",
                "--output",
                &output,
                "--jobs",
                "2",
            ])
            .current_dir(house.at("."))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Over the length of a run, in an order that does not repeat: steps of the golden ratio.
        let share = (f64::from(kill) * 0.618_034).fract();
        std::thread::sleep(Duration::from_secs_f64(share * takes_s));
        // SIGKILL; Err: it has ended already.
        let _ = child.kill();
        were_cut += u32::from(!child.wait().unwrap().success());
        let now = seen(&house, &output);
        assert_eq!(now.len(), 3);
        let is_old = |part: &Part| now[part] == old.0[part];
        let is_new = |part: &Part| now[part] == new.0[part];
        for part in now.keys() {
            assert!(is_old(part) || is_new(part), "kill {kill}: {part:?} is neither");
        }
        were_mixed += u32::from(!now.keys().all(is_old) && !now.keys().all(is_new));
        let ended = house.run(&output, &[]);
        assert_eq!(ended.code, 0, "kill {kill}: {ended:?}");
        assert!(house.tables(&output) == new.1, "kill {kill}");
        let ended = house.scrim(&["verify", &output]);
        assert_eq!(ended.code, 0, "kill {kill}: {ended:?}");
        // Both are on record: the one that was killed, if it got so far, and the one that did the rest.
        let listed = house.scrim(&["runs", "--tables", &output]).stdout;
        assert!((3..=4).contains(&listed.lines().count()), "kill {kill}: {listed}");
        let staged = house.files(&format!("{output}/ledger/staged"));
        assert!(staged.is_empty(), "kill {kill}: {:?}", staged.keys());
        std::fs::remove_dir_all(house.at(&output)).unwrap();
    }
    // A test of kills that come too late would prove nothing.
    assert!(
        were_cut >= kills / 4,
        "{were_cut} of {kills} runs were cut, {were_mixed} between games"
    );
}

#[test]
fn of_runs_at_the_same_time_one_writes_and_the_others_say_who_it_is() {
    let house = house();
    assert_eq!(house.run("alone", &[]).code, 0);
    let children: Vec<_> = (0..3)
        .map(|_| {
            Command::new(env!("CARGO_BIN_EXE_scrim"))
                .args(["run", "mine.toml", "--input", "in", "--output", "out"])
                .current_dir(house.at("."))
                .stdout(Stdio::null())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    let ends: Vec<_> = children
        .into_iter()
        .map(|child| child.wait_with_output().unwrap())
        .collect();
    let codes: Vec<_> = ends.iter().map(|end| end.status.code()).collect();
    assert!(codes.contains(&Some(0)), "{codes:?}");
    for end in ends.iter().filter(|end| end.status.code() != Some(0)) {
        let said = String::from_utf8_lossy(&end.stderr);
        assert!(
            said.contains("is writing here") && said.contains("process"),
            "{said}"
        );
    }
    assert!(house.tables("out") == house.tables("alone"));
    assert_eq!(house.scrim(&["verify", "out"]).code, 0);
}

/// Runs with other parameters into an output that cannot take all of it: every game stays old or becomes new, the summary says what could
/// not be written, and with room again the run ends like any other. Whether it fell short.
#[cfg(unix)]
fn runs_short_of_room(house: &House, output: &str, limit: &str) -> bool {
    let [old, new] = ["old", "new"].map(|output| seen(house, output));
    house.write("mine.toml", NEW);
    let command = format!(
        "{limit} exec {} run mine.toml --input in --output {output}",
        env!("CARGO_BIN_EXE_scrim")
    );
    let end = Command::new("sh")
        .args(["-c", &command])
        .current_dir(house.at("."))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&end.stdout).into_owned() + &String::from_utf8_lossy(&end.stderr);
    let now = seen(house, output);
    for (part, tables) in &now {
        assert!(
            old[part] == *tables || new[part] == *tables,
            "{limit}: {part:?} is neither: {said}"
        );
    }
    let fell_short = end.status.code() != Some(0);
    assert!(!fell_short || said.contains("cannot"), "{limit}: {said}");
    fell_short
}

#[cfg(unix)]
#[test]
fn a_disk_that_takes_no_more_leaves_old_games_and_the_next_run_does_them() {
    let house = house();
    for (output, text) in [("old", OLD), ("new", NEW)] {
        house.write("mine.toml", text);
        assert_eq!(house.run(output, &[]).code, 0);
    }
    let expected = house.tables("new");
    let mut fell_short = 0;
    // Files of at most so many blocks of 512 bytes; a write beyond is an error, not a signal.
    for blocks in [1, 2, 4, 8, 16, 24, 32, 64, 4_096] {
        let output = format!("out-{blocks}");
        house.write("mine.toml", OLD);
        assert_eq!(house.run(&output, &[]).code, 0);
        let limit = format!("trap '' XFSZ; ulimit -f {blocks};");
        fell_short += u32::from(runs_short_of_room(&house, &output, &limit));
        let ended = house.run(&output, &[]);
        assert_eq!(ended.code, 0, "{blocks}: {ended:?}");
        assert!(house.tables(&output) == expected, "{blocks}");
        assert!(
            house.files(&format!("{output}/ledger/staged")).is_empty(),
            "{blocks}"
        );
    }
    assert!(fell_short >= 5, "{fell_short}");
}

/// The long form, as root: a small file system in memory, at this many sizes (`SCRIM_FULL_DISKS=50`).
#[cfg(target_os = "linux")]
#[test]
fn a_file_system_full_at_any_size_leaves_old_or_new_games() {
    let Ok(sizes) = std::env::var("SCRIM_FULL_DISKS") else {
        return;
    };
    let sizes: u32 = sizes.parse().unwrap();
    let house = house();
    for (output, text) in [("old", OLD), ("new", NEW)] {
        house.write("mine.toml", text);
        assert_eq!(house.run(output, &[]).code, 0);
    }
    let expected = house.tables("new");
    let mount = |args: &[&str]| {
        let status = Command::new("mount")
            .args(args)
            .current_dir(house.at("."))
            .status();
        assert!(status.unwrap().success(), "mount {args:?}");
    };
    std::fs::create_dir(house.at("disk")).unwrap();
    let mut fell_short = 0;
    for size in 0..sizes {
        mount(&["-t", "tmpfs", "-o", "size=16m", "scrim-test", "disk"]);
        house.write("mine.toml", OLD);
        assert_eq!(house.run("disk/out", &[]).code, 0);
        // From no room at all to room for half of them twice.
        let used: usize = house
            .files("disk/out")
            .values()
            .map(|bytes| bytes.len().div_ceil(4_096) * 4)
            .sum();
        let kilobytes = used as u32 * (2 * sizes + size) / (2 * sizes);
        mount(&["-o", &format!("remount,size={kilobytes}k"), "disk"]);
        fell_short += u32::from(runs_short_of_room(&house, "disk/out", ""));
        mount(&["-o", "remount,size=16m", "disk"]);
        let ended = house.run("disk/out", &[]);
        assert_eq!(ended.code, 0, "{kilobytes} kB: {ended:?}");
        assert!(house.tables("disk/out") == expected, "{kilobytes} kB");
        let status = Command::new("umount").arg(house.at("disk")).status().unwrap();
        assert!(status.success());
    }
    assert!(fell_short >= sizes / 5, "{fell_short} of {sizes}");
}
