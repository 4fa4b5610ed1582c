//! Killed at any instant, and at the same time as another: each game's tables are wholly old or wholly new, and the next run ends with
//! the bytes of one that nobody disturbed.
//!
//! The short form runs with the other tests. The long one: `SCRIM_KILLS=500 cargo nextest run --workspace -E 'test(killed)'`.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};
use std::time::Duration;

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
        std::thread::sleep(Duration::from_secs_f64(share * 0.6));
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
        let told = house.run(&output, &[]);
        assert_eq!(told.code, 0, "kill {kill}: {told:?}");
        assert!(house.tables(&output) == new.1, "kill {kill}");
        let told = house.scrim(&["verify", &output]);
        assert_eq!(told.code, 0, "kill {kill}: {told:?}");
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
