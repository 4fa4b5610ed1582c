//! How a door is tried: with its committed inputs, then with changed ones, each watched for panics, hangs and memory.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use peak_alloc::PeakAlloc;
use tempfile::TempDir;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// What a reader may hold at once beyond what was held before, bytes: as much as a whole game of 75 minutes may take. A small
/// file holds far less.
const MOST_BYTES: usize = 400_000_000;
/// A reader that needs longer for a small file hangs: each takes some milliseconds.
const PATIENCE: Duration = Duration::from_secs(5);
/// Changed inputs a door, in a usual run of the tests. `BOLERO_RANDOM_ITERATIONS` goes first.
pub const CHANGED_INPUTS: usize = 400;

/// Where the committed inputs lie.
pub const INPUTS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/__fuzz__");

/// When a reader began with an input, and the input.
type Reading = (Instant, Vec<u8>);

/// A reader, and what it is tried with.
pub struct Door {
    /// Its committed inputs lie here, in `corpus` and `crashes`.
    home: PathBuf,
    /// Where a failing input is kept.
    failing: PathBuf,
    /// Has the reader read bytes, in a folder that it may write to; says whether anything came of it.
    read: fn(&Path, &[u8]) -> bool,
    folder: TempDir,
    /// When the input that is read now began, and what it is.
    now: Arc<Mutex<Option<Reading>>>,
}

impl Door {
    /// The door of that name.
    pub fn new(name: &str, read: fn(&Path, &[u8]) -> bool) -> Self {
        let door = Self {
            home: Path::new(INPUTS).join(name),
            failing: Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.failing")),
            read,
            folder: tempfile::tempdir().unwrap(),
            now: Arc::default(),
        };
        let (now, failing) = (Arc::clone(&door.now), door.failing.clone());
        std::thread::spawn(move || end_hangs(&now, &failing));
        door
    }

    /// The committed inputs, by name.
    pub fn inputs(&self) -> Vec<(String, Vec<u8>)> {
        let mut inputs = Vec::new();
        for kind in ["corpus", "crashes"] {
            let Ok(files) = std::fs::read_dir(self.home.join(kind)) else {
                continue;
            };
            for file in files {
                let path = file.unwrap().path();
                inputs.push((path.display().to_string(), std::fs::read(&path).unwrap()));
            }
        }
        inputs.sort();
        inputs
    }

    /// Reads every committed input. Something must come of those that are called `whole`: else changes of them find nothing.
    pub fn replay(&self) {
        let inputs = self.inputs();
        let (mut whole, mut idle) = (0, Vec::new());
        for (name, bytes) in &inputs {
            let is_whole = name.contains("whole");
            whole += usize::from(is_whole);
            if !self.read(bytes) && is_whole {
                idle.push(name);
            }
        }
        assert!(whole > 0, "no whole input in {}", self.home.display());
        assert_eq!(idle, Vec::<&String>::new(), "whole inputs of which nothing comes");
    }

    /// Reads one input; says whether anything came of it.
    pub fn read(&self, bytes: &[u8]) -> bool {
        *self.now.lock().unwrap() = Some((Instant::now(), bytes.to_vec()));
        let attempt = Attempt { door: self, bytes };
        let before = MEMORY.current_usage();
        MEMORY.reset_peak_usage();
        let found = (self.read)(self.folder.path(), bytes);
        let held = MEMORY.peak_usage().saturating_sub(before);
        assert!(
            held <= MOST_BYTES,
            "the reader held {held} bytes at once for an input of {}; at most {MOST_BYTES}",
            bytes.len()
        );
        drop(attempt);
        found
    }
}

/// An input that is read now.
struct Attempt<'a> {
    door: &'a Door,
    bytes: &'a [u8],
}

impl Drop for Attempt<'_> {
    /// Keeps what made the reader fail.
    fn drop(&mut self) {
        *self.door.now.lock().unwrap() = None;
        if std::thread::panicking() {
            keep(&self.door.failing, self.bytes, "fails");
        }
    }
}

/// Ends the process when an input is not read in time: a hang is otherwise seen by nobody.
fn end_hangs(now: &Mutex<Option<(Instant, Vec<u8>)>>, failing: &Path) {
    loop {
        std::thread::sleep(Duration::from_millis(200));
        if let Some((began, bytes)) = &*now.lock().unwrap()
            && began.elapsed() > PATIENCE
        {
            keep(failing, bytes, "hangs");
            std::process::abort();
        }
    }
}

fn keep(failing: &Path, bytes: &[u8], how: &str) {
    use std::io::Write;
    let kept = std::fs::write(failing, bytes);
    let _ = writeln!(
        std::io::stderr(),
        "the reader {how}; its input is kept ({kept:?}) as {}",
        failing.display()
    );
}
