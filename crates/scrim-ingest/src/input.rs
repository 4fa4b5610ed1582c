//! A file's bytes: opened, recognised by their first ones, and decompressed.

use std::cell::Cell;
use std::io::{self, BufRead, BufReader, Cursor, Read};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use flate2::read::MultiGzDecoder;

use crate::IngestError;
use crate::mapping::Format;
use crate::open_file::open_file;

/// So many bytes are looked at to see what a file is.
const HEAD_BYTES: u64 = 64 * 1024;
/// Bytes read at once.
const BUFFER_BYTES: usize = 256 * 1024;
/// A record of text longer than this is a mistake: an open quote, or no line ends.
const MAX_RECORD_BYTES: usize = 16 * 1024 * 1024;

/// Any packed file may unpack to this, bytes.
const FREE_BYTES: u64 = 64 * 1024 * 1024;
/// So many times its size a packed file may unpack to beyond that. Packed tracking has up to 20 times its size (measured on a
/// practice game: gzip 6 in CSV and 13 in JSON lines, Zstandard at its best 8 and 19); what has more says the same over and
/// over to keep a reader busy.
const UNPACKS: u64 = 500;

/// A file that has been opened and looked at.
pub(crate) struct Input {
    pub format: Format,
    /// The unpacked text or stream, from its first byte (without a byte-order mark).
    pub reader: Box<dyn BufRead>,
    pub progress: Progress,
}

/// How far the reading of a file is, shared between who reads its bytes and who reads its records.
#[derive(Debug, Clone)]
pub(crate) struct Progress {
    pub path: PathBuf,
    /// How the bytes are packed, for messages.
    pub packing: Packing,
    /// Unpacked bytes since the last record began.
    since_reset: Rc<Cell<usize>>,
    /// Unpacked bytes in all.
    total: Rc<Cell<u64>>,
    /// The longest record that is read on, bytes.
    most: Rc<Cell<usize>>,
    /// The most that the file may unpack to, bytes.
    most_in_all: u64,
}

/// How a file's bytes are packed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Packing {
    Plain,
    Gzip,
    Zstd,
}

/// The error that [`Watched`] gives when a record never ends.
#[derive(Debug, thiserror::Error)]
#[error("the record is too long")]
struct TooLong;

/// The error that [`Watched`] gives when a file unpacks to more than a file of its size can hold.
#[derive(Debug, thiserror::Error)]
#[error("the file unpacks to too much")]
struct TooMuch;

/// Counts what is read, and stops a record that never ends and a file that unpacks without end.
struct Watched<R> {
    inner: R,
    progress: Progress,
}

impl<R: Read> Read for Watched<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let Progress {
            since_reset,
            total,
            most,
            most_in_all,
            ..
        } = &self.progress;
        if total.get() > *most_in_all {
            return Err(io::Error::other(TooMuch));
        }
        if since_reset.get() > most.get() {
            return Err(io::Error::other(TooLong));
        }
        let read = self.inner.read(buffer)?;
        since_reset.set(since_reset.get() + read);
        total.set(total.get() + read as u64);
        Ok(read)
    }
}

impl Input {
    /// Opens `path` and finds its format from its first bytes, or takes the one that the mapping names.
    pub(crate) fn open(path: &Path, named: Option<Format>) -> Result<Self, IngestError> {
        let unreadable = |source| IngestError::Unreadable {
            path: path.into(),
            source,
        };
        let file = open_file(path)?;
        let bytes = file.metadata().map_err(unreadable)?.len();
        let mut file = BufReader::with_capacity(BUFFER_BYTES, file);
        let magic = file.fill_buf().map_err(unreadable)?;
        if magic.is_empty() {
            return Err(IngestError::EmptyFile { path: path.into() });
        }
        let packing = match magic {
            [0x1f, 0x8b, ..] => Packing::Gzip,
            [0x28, 0xb5, 0x2f, 0xfd, ..] => Packing::Zstd,
            _ => Packing::Plain,
        };
        let progress = Progress {
            path: path.into(),
            packing,
            since_reset: Rc::new(Cell::new(0)),
            total: Rc::new(Cell::new(0)),
            most: Rc::new(Cell::new(MAX_RECORD_BYTES)),
            most_in_all: match packing {
                Packing::Plain => u64::MAX,
                Packing::Gzip | Packing::Zstd => FREE_BYTES.saturating_add(UNPACKS.saturating_mul(bytes)),
            },
        };
        let inner: Box<dyn Read> = match packing {
            Packing::Plain => Box::new(file),
            Packing::Gzip => Box::new(MultiGzDecoder::new(file)),
            Packing::Zstd => Box::new(zstd::stream::read::Decoder::with_buffer(file).map_err(unreadable)?),
        };
        let watched = Watched {
            inner,
            progress: progress.clone(),
        };
        let mut reader = BufReader::with_capacity(BUFFER_BYTES, watched);
        let mut head = Vec::new();
        // A file whose packing is already broken in its head is reported as broken, not as of unknown format.
        (&mut reader)
            .take(HEAD_BYTES)
            .read_to_end(&mut head)
            .map_err(|error| progress.error(1, error))?;
        progress.begin_record();
        if head.is_empty() {
            return Err(IngestError::EmptyFile { path: path.into() });
        }
        let format = match named {
            Some(format) => format,
            None => format_of(path, packing, &head)?,
        };
        let bom = if head.starts_with(b"\xef\xbb\xbf") { 3 } else { 0 };
        let mut head = Cursor::new(head);
        head.set_position(bom);
        Ok(Self {
            format,
            reader: Box::new(head.chain(reader)),
            progress,
        })
    }

    /// The bytes alone, for a reader that has no records or bounds them itself.
    pub(crate) fn unlimited(self) -> Box<dyn BufRead> {
        self.progress.most.set(usize::MAX);
        self.reader
    }
}

impl Progress {
    /// A record begins here: its length is counted anew.
    pub(crate) fn begin_record(&self) {
        self.since_reset.set(0);
    }

    /// What went wrong when the unpacked text could not be read.
    pub(crate) fn error(&self, line: u64, error: io::Error) -> IngestError {
        if error.get_ref().is_some_and(|inner| inner.is::<TooLong>()) {
            return IngestError::RecordTooLong {
                path: self.path.clone(),
                line,
                most: MAX_RECORD_BYTES,
            };
        }
        if error.get_ref().is_some_and(|inner| inner.is::<TooMuch>()) {
            return IngestError::Claim {
                path: self.path.clone(),
                claim: format!("to unpack to more than {} bytes", self.most_in_all),
                bound: "packed tracking has not a tenth of that".into(),
            };
        }
        let (path, read, source) = (self.path.clone(), self.total.get(), error);
        match (self.packing, source.kind()) {
            (Packing::Plain, _) => IngestError::Unreadable { path, source },
            (_, io::ErrorKind::UnexpectedEof) => IngestError::CutShort { path, read, source },
            _ => IngestError::Damaged { path, read, source },
        }
    }
}

/// What a file is, by its first (unpacked) bytes; only between JSON lines and a JSON document its name has a say.
fn format_of(path: &Path, packing: Packing, head: &[u8]) -> Result<Format, IngestError> {
    let unknown = |found: &str| IngestError::UnknownFormat {
        path: path.into(),
        found: found.into(),
    };
    let packed = packing != Packing::Plain;
    match head {
        [b'P', b'A', b'R', b'1', ..] if packed => {
            return Err(unknown(
                "Parquet inside gzip or zstd; unpack it first (Parquet is compressed inside)",
            ));
        }
        [b'P', b'A', b'R', b'1', ..] => return Ok(Format::Parquet),
        [b'A', b'R', b'R', b'O', b'W', b'1', ..] if packed => {
            return Err(unknown("an Arrow IPC file inside gzip or zstd; unpack it first"));
        }
        [b'A', b'R', b'R', b'O', b'W', b'1', ..] => return Ok(Format::ArrowFile),
        [0xff, 0xff, 0xff, 0xff, ..] => return Ok(Format::ArrowStream),
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => return Err(unknown("text in UTF-16; save it as UTF-8")),
        [b'P', b'K', 3, 4, ..] => {
            return Err(unknown(
                "a ZIP archive (or a spreadsheet); unpack or export it first",
            ));
        }
        _ => {}
    }
    let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    if text.contains(&0) {
        return Err(unknown("bytes that are no text"));
    }
    let text = text.trim_ascii_start();
    match text.first() {
        Some(b'{' | b'[') => {}
        Some(_) => return Ok(Format::Delimited),
        None => return Err(IngestError::EmptyFile { path: path.into() }),
    }
    let name = lower_name(path);
    if [".jsonl", ".ndjson"].iter().any(|ending| name.contains(ending)) {
        return Ok(Format::JsonLines);
    }
    // A whole value on the first line and another one after it: a value a line.
    let mut lines = text.splitn(2, |&byte| byte == b'\n');
    let first = lines.next().unwrap_or_default();
    let is_whole = serde_json::from_slice::<serde::de::IgnoredAny>(first).is_ok();
    let more = lines.next().is_some_and(|rest| !rest.trim_ascii().is_empty());
    Ok(if is_whole && more {
        Format::JsonLines
    } else {
        Format::Json
    })
}

/// A file's name in small letters.
pub(crate) fn lower_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().to_ascii_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn format(name: &str, head: &[u8]) -> Result<Format, String> {
        format_of(Path::new(name), Packing::Plain, head).map_err(|e| e.to_string())
    }

    #[test]
    fn the_first_bytes_show_the_format() {
        assert_eq!(format("t", b"PAR1xx").unwrap(), Format::Parquet);
        assert_eq!(format("t", b"ARROW1\0\0").unwrap(), Format::ArrowFile);
        assert_eq!(format("t", b"\xff\xff\xff\xff\x10").unwrap(), Format::ArrowStream);
        assert_eq!(format("t", b"a,b\n1,2\n").unwrap(), Format::Delimited);
        assert_eq!(format("t", b"{\"a\":1}\n{\"a\":2}\n").unwrap(), Format::JsonLines);
        assert_eq!(format("t", b"{\"a\":1}\n").unwrap(), Format::Json);
        assert_eq!(format("t.jsonl", b"{\"a\":1}\n").unwrap(), Format::JsonLines);
        assert_eq!(format("t", b"{\n\"a\":1}\n").unwrap(), Format::Json);
        assert_eq!(format("t", b"\xef\xbb\xbf[1]").unwrap(), Format::Json);
    }

    #[test]
    fn what_is_no_known_format_is_named() {
        assert!(format("t", b"\xff\xfea\0").unwrap_err().contains("UTF-16"));
        assert!(format("t", b"PK\x03\x04").unwrap_err().contains("ZIP"));
        assert!(format("t", b"ab\0\x01").unwrap_err().contains("no text"));
        assert!(format("t", b" \n ").unwrap_err().contains("empty"));
    }
}
