//! The journal: each answer a line, on disk before the page goes on. It is the truth; labels are made from it.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use crate::ReviewError;
use crate::answer::{Answer, Line, Picked};
use crate::clip::Clip;

/// The journal's name in a labeller's folder.
pub const JOURNAL: &str = "journal.jsonl";
/// Where what was left of a torn last line is kept.
const TORN: &str = "journal.torn";
/// Longest name of a labeller, characters.
const LONGEST_NAME: usize = 40;

/// What is not known before a line is written: its number.
#[derive(Debug, Clone)]
pub struct Draft {
    /// When, UTC (RFC 3339).
    pub at: String,
    /// Seconds since the clip was shown.
    pub seconds: f64,
    /// Keys pressed since then.
    pub keys: u32,
    /// Why the clip was picked.
    pub picked: Picked,
    /// The answer.
    pub answer: Answer,
    /// What it is about.
    pub clip: Clip,
}

/// A labeller's journal, held by this process alone until it is dropped or the process ends, however that ends.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: File,
    lines: Vec<Line>,
    /// Length of the whole lines, bytes.
    length: u64,
    /// Where a torn last line was put, if there was one.
    torn: Option<PathBuf>,
}

impl Journal {
    /// Opens the journal of a labeller's folder, or begins it. What is left of a last line that was not wholly written is put aside.
    ///
    /// # Errors
    /// [`ReviewError`]: another process holds it, it cannot be read or written, or a line is no answer.
    pub fn open(labels: &Path, labeller: &str) -> Result<Self, ReviewError> {
        let folder = folder_of(labels, labeller)?;
        fs::create_dir_all(&folder).map_err(ReviewError::file(&folder, "make the folder"))?;
        let path = folder.join(JOURNAL);
        let is_new = !path.exists();
        let mut options = OpenOptions::new();
        let mut file = options
            .create(true)
            .append(true)
            .read(true)
            .open(&path)
            .map_err(ReviewError::file(&path, "open the journal"))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(ReviewError::Busy {
                    path,
                    labeller: labeller.into(),
                });
            }
            Err(TryLockError::Error(error)) => {
                return Err(ReviewError::file(&path, "lock the journal")(error));
            }
        }
        if is_new {
            sync_folder(&folder)?;
        }
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)
            .map_err(ReviewError::file(&path, "read the journal"))?;
        let (lines, whole, is_ended) = read_lines(&path, &bytes)?;
        let mut journal = Self {
            torn: None,
            length: whole as u64,
            lines,
            file,
            path,
        };
        let rest = &bytes[whole..];
        if !rest.is_empty() {
            let aside = folder.join(TORN);
            keep_aside(&aside, rest).map_err(ReviewError::file(&aside, "keep a torn line aside"))?;
            journal
                .cut()
                .map_err(ReviewError::file(&journal.path, "take a torn line away"))?;
            journal.torn = Some(aside);
        } else if !is_ended {
            journal
                .put(b"\n")
                .map_err(ReviewError::file(&journal.path, "end the last line"))?;
        }
        Ok(journal)
    }

    /// The answers so far.
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Where a torn last line was put when it was opened.
    pub fn torn(&self) -> Option<&Path> {
        self.torn.as_deref()
    }

    /// Writes an answer. When this returns, it is on disk.
    ///
    /// # Errors
    /// [`ReviewError`]: it cannot be written; the journal is as it was.
    pub fn append(&mut self, draft: Draft) -> Result<&Line, ReviewError> {
        let Draft {
            at,
            seconds,
            keys,
            picked,
            answer,
            clip,
        } = draft;
        let line = Line {
            number: self.lines.last().map_or(0, |line| line.number) + 1,
            at,
            seconds,
            keys,
            picked,
            answer,
            clip,
        };
        let mut text = serde_json::to_vec(&line).map_err(ReviewError::json("answer"))?;
        text.push(b'\n');
        if let Err(error) = self.put(&text) {
            // A part of it may be there. If that cannot be taken away either, the next to open it finds a torn line.
            let _ = self.cut();
            return Err(ReviewError::file(&self.path, "write the answer")(error));
        }
        let place = self.lines.len();
        self.lines.push(line);
        Ok(&self.lines[place])
    }

    fn put(&mut self, bytes: &[u8]) -> io::Result<()> {
        // What a failed write left behind would stand before this line.
        if self.file.metadata()?.len() != self.length {
            self.cut()?;
        }
        self.file.write_all(bytes)?;
        self.file.sync_data()?;
        self.length += bytes.len() as u64;
        Ok(())
    }

    /// Cuts off what stands after the whole lines.
    fn cut(&mut self) -> io::Result<()> {
        self.file.set_len(self.length)?;
        self.file.sync_data()
    }
}

/// A labeller's answers so far, of a journal that somebody may be writing.
///
/// # Errors
/// [`ReviewError`]: there is none, it cannot be read, or a line is no answer.
pub fn read_journal(labels: &Path, labeller: &str) -> Result<Vec<Line>, ReviewError> {
    let path = folder_of(labels, labeller)?.join(JOURNAL);
    match fs::read(&path) {
        Ok(bytes) => Ok(read_lines(&path, &bytes)?.0),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Err(ReviewError::NoAnswers {
            path: labels.into(),
            labeller: labeller.into(),
            found: labellers(labels),
        }),
        Err(error) => Err(ReviewError::file(&path, "read the journal")(error)),
    }
}

/// A labeller's folder.
///
/// # Errors
/// [`ReviewError::Labeller`]: the name cannot be a folder's.
pub fn folder_of(labels: &Path, labeller: &str) -> Result<PathBuf, ReviewError> {
    let may_be = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    let is_name = (1..=LONGEST_NAME).contains(&labeller.len()) && labeller.chars().all(may_be);
    if !is_name {
        return Err(ReviewError::Labeller {
            found: labeller.into(),
            most: LONGEST_NAME,
        });
    }
    Ok(labels.join(labeller))
}

/// Who has a journal there.
fn labellers(labels: &Path) -> Vec<String> {
    let entries = fs::read_dir(labels).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .filter(|entry| entry.path().join(JOURNAL).is_file())
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

/// The whole lines, how many bytes they take, and whether the last one has its end. A last line without its end counts if it is whole.
fn read_lines(path: &Path, bytes: &[u8]) -> Result<(Vec<Line>, usize, bool), ReviewError> {
    let mut lines = Vec::new();
    let mut whole = 0;
    while let Some(length) = bytes[whole..].iter().position(|byte| *byte == b'\n') {
        let text = &bytes[whole..whole + length];
        let line = serde_json::from_slice(text).map_err(|source| ReviewError::Line {
            path: path.into(),
            line: lines.len() + 1,
            source,
        })?;
        lines.push(line);
        whole += length + 1;
    }
    match serde_json::from_slice(&bytes[whole..]) {
        Ok(line) => {
            lines.push(line);
            Ok((lines, bytes.len(), false))
        }
        Err(_) => Ok((lines, whole, true)),
    }
}

fn keep_aside(path: &Path, rest: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().create(true).append(true).open(path)?;
    file.write_all(rest)?;
    file.write_all(b"\n")?;
    file.sync_all()
}

/// Makes a new file's name as sure as its bytes, where the system can.
fn sync_folder(folder: &Path) -> Result<(), ReviewError> {
    if cfg!(unix) {
        File::open(folder)
            .and_then(|folder| folder.sync_all())
            .map_err(ReviewError::file(folder, "write the folder"))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::staging::{answers, clip, draft};

    fn folder_with(bytes: &[u8]) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("ANN")).unwrap();
        fs::write(folder.path().join("ANN").join(JOURNAL), bytes).unwrap();
        folder
    }

    fn written() -> Vec<u8> {
        let folder = tempfile::tempdir().unwrap();
        let mut journal = Journal::open(folder.path(), "ANN").unwrap();
        for (number, answer) in answers().into_iter().enumerate() {
            journal.append(draft(&clip(number as u32), answer)).unwrap();
        }
        fs::read(journal.path()).unwrap()
    }

    #[test]
    fn what_is_written_is_read_back_and_goes_on_with_the_next_number() {
        let bytes = written();
        let folder = folder_with(&bytes);
        let mut journal = Journal::open(folder.path(), "ANN").unwrap();
        assert_eq!(journal.lines().len(), answers().len());
        assert_eq!(journal.torn(), None);
        let next = journal.append(draft(&clip(0), Answer::Right)).unwrap().number;
        assert_eq!(next, answers().len() as u64 + 1);
        let all = read_journal(folder.path(), "ANN").unwrap();
        assert_eq!(all, journal.lines());
    }

    #[test]
    fn a_second_process_of_the_same_labeller_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let first = Journal::open(folder.path(), "ANN").unwrap();
        let busy = Journal::open(folder.path(), "ANN").unwrap_err();
        assert!(matches!(busy, ReviewError::Busy { .. }), "{busy}");
        assert!(Journal::open(folder.path(), "BEA").is_ok());
        drop(first);
        assert!(Journal::open(folder.path(), "ANN").is_ok());
    }

    #[test]
    fn a_line_in_the_middle_that_is_none_is_named_and_nothing_is_written() {
        let mut bytes = written();
        let second = bytes.iter().position(|byte| *byte == b'\n').unwrap() + 1;
        bytes[second] = b'#';
        let folder = folder_with(&bytes);
        let error = Journal::open(folder.path(), "ANN").unwrap_err().to_string();
        assert!(error.contains("line 2"), "{error}");
        assert_eq!(fs::read(folder.path().join("ANN").join(JOURNAL)).unwrap(), bytes);
    }

    #[test]
    fn names_that_are_no_folders_are_refused() {
        for name in ["", "..", "a/b", "Ann Bee", "a\\b", &"x".repeat(41)] {
            assert!(folder_of(Path::new("labels"), name).is_err(), "{name}");
        }
        assert!(folder_of(Path::new("labels"), "Ann-B_2").is_ok());
    }

    #[test]
    fn of_nobodys_answers_it_is_said_whose_there_are() {
        let folder = folder_with(b"");
        let error = read_journal(folder.path(), "BEA").unwrap_err().to_string();
        assert!(error.contains("BEA") && error.contains("ANN"), "{error}");
    }

    proptest! {
        /// Cut anywhere, as by a kill or a full disk: every whole line is there, what is left of the torn one is kept aside, and the journal goes on.
        #[test]
        fn cut_at_any_byte_only_the_torn_line_is_lost(share in 0.0..=1.0f64) {
            let bytes = written();
            let cut = (bytes.len() as f64 * share) as usize;
            let folder = folder_with(&bytes[..cut]);
            let ends = bytes[..cut].iter().filter(|byte| **byte == b'\n').count();
            let last_start = bytes[..cut].iter().rposition(|byte| *byte == b'\n').map_or(0, |place| place + 1);
            // A cut right before a line's end leaves it whole.
            let is_whole = cut < bytes.len() && bytes[cut] == b'\n' && cut > last_start;
            let whole = ends + usize::from(is_whole);
            {
                let mut journal = Journal::open(folder.path(), "ANN").unwrap();
                prop_assert_eq!(journal.lines().len(), whole);
                let torn = &bytes[last_start..cut];
                if is_whole || torn.is_empty() {
                    prop_assert_eq!(journal.torn(), None);
                } else {
                    let kept = fs::read(journal.torn().unwrap()).unwrap();
                    prop_assert_eq!(&kept[..kept.len() - 1], torn);
                }
                let answer = journal.append(draft(&clip(9), Answer::CannotTell)).unwrap().clone();
                prop_assert_eq!(answer.number, whole as u64 + 1);
            }
            let again = Journal::open(folder.path(), "ANN").unwrap();
            prop_assert_eq!(again.lines().len(), whole + 1);
            prop_assert_eq!(&again.lines()[whole].answer, &Answer::CannotTell);
        }
    }
}
