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
/// Names that mean something else in a folder of labels, or to some systems.
const TAKEN: [&str; 6] = ["chance", "labels", "con", "nul", "prn", "aux"];
/// These with a digit, too.
const DEVICES: [&str; 2] = ["com", "lpt"];
/// A clip is looked at for so long at most, s: what is longer says nothing.
const LONGEST_S: f64 = 86_400.0;
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

impl Draft {
    /// The line of this number.
    pub(crate) fn numbered(self, number: u64) -> Line {
        Line {
            number,
            at: self.at,
            seconds: seconds_looked(self.seconds),
            keys: self.keys,
            picked: self.picked,
            answer: self.answer,
            clip: self.clip,
        }
    }
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
        // Where capitals do not part names, both would be one folder.
        let is_like = |other: &String| other != labeller && other.eq_ignore_ascii_case(labeller);
        if let Some(taken) = labellers(labels).into_iter().find(is_like) {
            return Err(ReviewError::LabellerTaken {
                found: labeller.into(),
                taken,
            });
        }
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
        let last = self.lines.last().map_or(0, |line| line.number);
        let Some(number) = last.checked_add(1) else {
            let highest = io::Error::other("the last line has the highest number that there is");
            return Err(ReviewError::file(&self.path, "number the answer")(highest));
        };
        let line = draft.numbered(number);
        let mut text = serde_json::to_vec(&line).map_err(ReviewError::json("answer"))?;
        // What cannot be read back would shut the journal for good.
        serde_json::from_slice::<Line>(&text).map_err(ReviewError::json("answer"))?;
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
        self.is_at_its_path()?;
        // What a failed write left behind would stand before this line.
        if self.file.metadata()?.len() != self.length {
            self.cut()?;
        }
        self.file.write_all(bytes)?;
        self.file.sync_data()?;
        // Taken away while it was written, the line would be lost with it.
        self.is_at_its_path()?;
        self.length += bytes.len() as u64;
        Ok(())
    }

    /// Whether the open file is still the one at its path: a deleted one takes lines that nobody reads again.
    fn is_at_its_path(&self) -> io::Result<()> {
        let there = fs::metadata(&self.path)?;
        if is_same_file(&there, &self.file.metadata()?) {
            return Ok(());
        }
        Err(io::Error::other(
            "another file has taken the place of the journal: end scrim, look which one has your answers, and start again",
        ))
    }

    /// Cuts off what stands after the whole lines.
    fn cut(&mut self) -> io::Result<()> {
        self.file.set_len(self.length)?;
        self.file.sync_data()
    }
}

#[cfg(unix)]
fn is_same_file(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

/// Elsewhere it is enough that there is one.
#[cfg(not(unix))]
fn is_same_file(_: &fs::Metadata, _: &fs::Metadata) -> bool {
    true
}

/// Seconds to the tenth, up to a day; what is no time is none.
fn seconds_looked(seconds: f64) -> f64 {
    if seconds.is_finite() {
        (seconds.clamp(0.0, LONGEST_S) * 10.0).round() / 10.0
    } else {
        0.0
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
    // COM1 to COM9 and LPT1 to LPT9 are devices, too.
    let device = labeller.trim_end_matches(|c: char| c.is_ascii_digit());
    let is_taken = |taken: &&&str| taken.eq_ignore_ascii_case(labeller);
    let is_numbered =
        |taken: &&&str| device.len() + 1 == labeller.len() && taken.eq_ignore_ascii_case(device);
    let taken = TAKEN
        .iter()
        .find(is_taken)
        .or_else(|| DEVICES.iter().find(is_numbered));
    if let Some(taken) = taken {
        return Err(ReviewError::LabellerTaken {
            found: labeller.into(),
            taken: (*taken).into(),
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
    let mut lines: Vec<Line> = Vec::new();
    let mut whole = 0;
    // Taking back goes by numbers: each is there once.
    let follows = |lines: &[Line], number: u64| {
        let before = lines.last().map_or(0, |line| line.number);
        if number > before {
            return Ok(());
        }
        Err(ReviewError::Number {
            path: path.into(),
            line: lines.len() + 1,
            number,
            before,
        })
    };
    while let Some(length) = bytes[whole..].iter().position(|byte| *byte == b'\n') {
        let text = &bytes[whole..whole + length];
        let line: Line = serde_json::from_slice(text).map_err(|source| ReviewError::Line {
            path: path.into(),
            line: lines.len() + 1,
            source,
        })?;
        follows(&lines, line.number)?;
        lines.push(line);
        whole += length + 1;
    }
    match serde_json::from_slice::<Line>(&bytes[whole..]) {
        Ok(line) => {
            follows(&lines, line.number)?;
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
mod tests;
