//! Every door of the program is given damaged, odd and hostile bytes: they may be refused, with words, but nothing panics, hangs or
//! holds much memory, and a game that is read keeps what [`scrim_tracks::RawGame`] promises.
//!
//! A usual run replays `__fuzz__/DOOR/corpus` and some changes of it. `DEVELOPERS.md` says how to run a fuzzer.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests are outside of test functions"
)]

mod changed;
mod contract;
mod harness;
mod program;
mod program_seeds;
mod source_seeds;
mod sources;

#[path = "../../crates/scrim-ingest/tests/ingest/other_forms.rs"]
mod other_forms;
#[path = "../../crates/scrim-ingest/tests/ingest/packed.rs"]
mod packed;
#[path = "../../crates/scrim-ingest/tests/ingest/small_game.rs"]
#[allow(dead_code, reason = "the other half is for the tests that it was made for")]
mod small_game;

/// Makes each door a test. Built for a fuzzer it reads what the fuzzer gives, else its committed inputs and changes of them.
macro_rules! doors {
    ($($module:ident: $($name:ident)+;)+) => { $($(
        #[test]
        fn $name() {
            let door = harness::Door::new(stringify!($name), $module::$name);
            #[cfg(fuzzing)]
            bolero::check!().for_each(|bytes: &[u8]| {
                door.read(bytes);
            });
            #[cfg(not(fuzzing))]
            {
                door.replay();
                // By another name than the door's: what lies in the corpus are inputs, not the choices that make one.
                bolero::check!(name = concat!(stringify!($name), ".changed"))
                    .with_iterations(harness::CHANGED_INPUTS)
                    .with_generator(changed::Changed::of(&door))
                    .for_each(|input| {
                        door.read(&input.0);
                    });
            }
        }
    )+)+ };
}

doors! {
    sources: arrow csv json json_lines mapping nested_json parquet side_tables;
    program: labels labels_parquet ledger pipeline tables;
}

/// Writes the seeds of the corpus again, where asked; the inputs that a fuzzer found stay.
#[test]
fn golden_seeds() {
    if std::env::var_os("SCRIM_WRITE_GOLDEN").is_none() {
        return;
    }
    for (door, name, bytes) in source_seeds::seeds().into_iter().chain(program_seeds::seeds()) {
        let folder = std::path::Path::new(harness::INPUTS).join(door).join("corpus");
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join(name), bytes).unwrap();
    }
}
