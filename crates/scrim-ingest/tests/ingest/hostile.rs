//! Files that are damaged or made to harm: each ends as an error, and the process lives.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use arrow::ipc::CompressionType;
use scrim_ingest::{IngestError, IngestParams, find_sources, read_source};

use crate::packed::{columnar_files, packed_arrow};
use crate::small_game::{Folder, arrow_file, csv, gzip, json_lines, parquet, rows};

/// A small generator of numbers: the flips are the same each time.
struct Numbers(u64);

impl Numbers {
    /// Knuth's linear congruential generator (MMIX); the high bits.
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % end
    }
}

/// Set for the process that reads the damaged files: their folder.
const FOLDER: &str = "SCRIM_TEST_DAMAGED_FILES";
/// Flips a file of the corpus; `SCRIM_TEST_FLIPS` sets it for a long run.
const FLIPS: usize = 150;
/// What the reading process may take in all, KiB.
const MEMORY_KIB: u64 = 3 * 1024 * 1024;
/// A reader that needs longer hangs.
const PATIENCE: Duration = Duration::from_secs(300);

/// Reads every file of the folder that the process was given; does nothing in a usual run of the tests.
#[test]
fn reads_damaged_files_when_started_for_it() {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    for path in files {
        let source = find_sources(&path, None).unwrap().sources.remove(0);
        // Any outcome will do, but for a panic, an abort or none at all.
        let _ = read_source::<IngestError>(&source, &IngestParams::default(), &mut |_| Ok(()));
    }
}

/// Reads the folder's files in a process of its own, with bounded memory and time.
fn read_apart(folder: &Path) {
    let program = std::env::current_exe().unwrap();
    let mut child = Command::new("sh")
        .arg("-c")
        .arg(format!(
            "ulimit -v {MEMORY_KIB} && exec \"$0\" --exact hostile::reads_damaged_files_when_started_for_it"
        ))
        .arg(program)
        .env(FOLDER, folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let end = Instant::now() + PATIENCE;
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break Some(status);
        }
        if Instant::now() > end {
            child.kill().unwrap();
            break None;
        }
        std::thread::sleep(Duration::from_millis(20));
    };
    let status = status.expect("the reader hangs");
    assert!(status.success(), "the reader died of a damaged file: {status}");
}

#[test]
fn a_flipped_bit_in_a_columnar_file_never_ends_the_process() {
    let flips = std::env::var("SCRIM_TEST_FLIPS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(FLIPS);
    let folder = Folder::new();
    let mut numbers = Numbers(11);
    for (name, whole) in columnar_files(&rows("G1", 6)) {
        folder.write(&format!("whole.{name}"), &whole);
        for flip in 0..flips {
            let mut bytes = whole.clone();
            let at = numbers.below(bytes.len());
            bytes[at] ^= 1 << numbers.below(8);
            // Half of them in the part that makes claims: the last bytes, where footers are.
            if flip % 2 == 0 {
                let tail = bytes.len().min(2048);
                let at = bytes.len() - 1 - numbers.below(tail);
                bytes[at] ^= 1 << numbers.below(8);
            }
            folder.write(&format!("{flip}.{name}"), &bytes);
        }
    }
    read_apart(folder.path());
}

/// Why the tracking file of that name could not be read.
fn message_of(name: &str, bytes: &[u8]) -> String {
    let folder = Folder::new().with(name, bytes);
    let error = match folder.read() {
        Err(error) => error,
        Ok((games, mut report)) => {
            assert_eq!((games.len(), report.failed_files.len()), (0, 1));
            report.failed_files.remove(0).error
        }
    };
    let mut message = error.to_string();
    let mut cause = std::error::Error::source(&error);
    while let Some(next) = cause {
        message.push_str(&format!(": {next}"));
        cause = next.source();
    }
    message
}

#[test]
fn what_a_packed_buffer_claims_to_unpack_to_is_checked_before_it_is_believed() {
    let rows = rows("G1", 200);
    for (packing, name) in [
        (CompressionType::ZSTD, "tracking.arrow"),
        (CompressionType::LZ4_FRAME, "tracking.arrow"),
    ] {
        let mut bytes = packed_arrow(&rows, packing, true);
        // A buffer begins with its unpacked length, eight bytes: the times have 8 bytes a row.
        let length = (8 * rows.len() as i64).to_le_bytes();
        let at = bytes.windows(8).position(|window| window == length).unwrap();
        bytes[at + 6] = 0x40;
        let message = message_of(name, &bytes);
        assert!(message.contains("claims to unpack to"), "{message}");
    }
}

#[test]
fn what_a_footer_claims_of_its_blocks_is_checked_before_it_is_believed() {
    let mut bytes = arrow_file(&rows("G1", 6));
    let end = bytes.len() - 10;
    // The footer's length.
    bytes[end..end + 4].copy_from_slice(&i32::MAX.to_le_bytes());
    let message = message_of("tracking.arrow", &bytes);
    assert!(
        message.contains("its footer claims 2147483647 bytes, more than the file has"),
        "{message}"
    );
}

#[test]
fn a_file_that_unpacks_without_end_is_given_up() {
    // 200 MB of one row in some 300 KB, more than 500 times.
    let row = "G1,1,0.04,600,24,KH,KH1,1.5,2.5,\n".repeat(6_000_000);
    let text = format!("game_id,period,t_s,game_clock_s,shot_clock_s,team_id,player_id,x_m,y_m,z_m\n{row}");
    let message = message_of("tracking.csv.zst", &zstd::encode_all(text.as_bytes(), 9).unwrap());
    assert!(message.contains("the file claims"), "{message}");
}

#[test]
fn a_game_beyond_the_memory_set_aside_is_refused_and_the_others_are_read() {
    let (small, large) = (rows("A", 10), rows("B", 200));
    let params = IngestParams {
        max_held_places: 1000,
        ..IngestParams::default()
    };
    for (name, bytes) in [
        (
            "tracking.csv",
            csv(&[small.clone(), large.clone()].concat()).into_bytes(),
        ),
        (
            "tracking.jsonl",
            json_lines(&[small.clone(), large.clone()].concat()).into_bytes(),
        ),
        (
            "tracking.csv.gz",
            gzip(csv(&[small.clone(), large.clone()].concat()).as_bytes()),
        ),
        (
            "tracking.parquet",
            parquet(&[large.clone(), small.clone()].concat()),
        ),
    ] {
        let (games, report) = Folder::new().with(name, bytes).read_with(&params).unwrap();
        assert_eq!(games.len(), 1, "{name}");
        assert_eq!(&*games[0].raw.info.game_id, "A");
        assert_eq!(&*report.refused[0].game_id, "B");
        let message = report.refused[0].error.to_string();
        assert!(
            message.contains("more than 1000 places") && message.contains("max_held_places"),
            "{message}"
        );
    }
}

#[test]
fn a_column_of_ever_new_ids_is_given_up_before_the_memory_is_full() {
    // 90 ids of 3 MB each: more than the 256 MB that are set aside for ids, in a file that its packing makes small.
    let mut text = String::from("game_id,period,t_s,team_id,player_id,x_m,y_m\n");
    for row in 0..90 {
        text.push_str(&format!("{row}{},1,0,KH,KH1,0,0\n", "g".repeat(3_000_000)));
    }
    let message = message_of("tracking.csv", text.as_bytes());
    assert!(message.contains("different ids of more than"), "{message}");
}

#[test]
fn an_id_that_no_file_can_be_called_by_is_refused_by_name() {
    let long = "L".repeat(300);
    let text = csv(&rows("A", 3))
        + csv(&rows("B", 3))
            .replace("B,", &format!("{long},"))
            .split_once('\n')
            .unwrap()
            .1;
    let (games, report) = Folder::new().with("tracking.csv", text).read().unwrap();
    assert_eq!(games.len(), 1);
    let message = report.refused[0].error.to_string();
    // By its begin, for it may be of any length.
    assert!(
        message.contains(&long[..60])
            && message.contains("file name of 316 bytes")
            && !message.contains(&long),
        "{message}"
    );
}
