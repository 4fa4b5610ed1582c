//! A Parquet file's bytes: of a small file all at once, for pages that are read one by one each cost some calls of the system; of a
//! large one page by page.

use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::Path;
use std::sync::Arc;

use bytes::{Bytes, buf};
use parquet::errors::ParquetError;
use parquet::file::reader::{ChunkReader, Length};

use crate::IngestError;
use crate::open_file::open_file;

/// The largest file that is held: five times a game of 75 minutes at 25 Hz.
const MOST_HELD_BYTES: u64 = 32 * 1024 * 1024;

/// A file's bytes.
#[derive(Clone)]
pub(super) enum Opened {
    Held(Bytes),
    Paged(Arc<File>),
}

impl Opened {
    /// A file whose pages will be read.
    pub(super) fn whole(path: &Path) -> Result<Self, IngestError> {
        let file = open_file(path)?;
        let unreadable = |source| IngestError::Unreadable {
            path: path.into(),
            source,
        };
        let length = file.metadata().map_err(unreadable)?.len();
        if length > MOST_HELD_BYTES {
            return Ok(Self::Paged(Arc::new(file)));
        }
        let mut bytes = Vec::with_capacity(length as usize);
        file.take(length).read_to_end(&mut bytes).map_err(unreadable)?;
        Ok(Self::Held(bytes.into()))
    }

    /// A file of which only its end is looked at.
    pub(super) fn end_of(path: &Path) -> Result<Self, IngestError> {
        Ok(Self::Paged(Arc::new(open_file(path)?)))
    }
}

impl Length for Opened {
    fn len(&self) -> u64 {
        match self {
            Self::Held(bytes) => Length::len(bytes),
            Self::Paged(file) => Length::len(file.as_ref()),
        }
    }
}

impl ChunkReader for Opened {
    type T = OpenedRead;

    fn get_read(&self, start: u64) -> Result<Self::T, ParquetError> {
        Ok(match self {
            Self::Held(bytes) => OpenedRead::Held(ChunkReader::get_read(bytes, start)?),
            Self::Paged(file) => OpenedRead::Paged(file.get_read(start)?),
        })
    }

    fn get_bytes(&self, start: u64, length: usize) -> Result<Bytes, ParquetError> {
        match self {
            Self::Held(bytes) => bytes.get_bytes(start, length),
            Self::Paged(file) => file.get_bytes(start, length),
        }
    }
}

/// Reads a file on from a place.
pub(super) enum OpenedRead {
    Held(buf::Reader<Bytes>),
    Paged(BufReader<File>),
}

impl Read for OpenedRead {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        match self {
            Self::Held(bytes) => bytes.read(into),
            Self::Paged(file) => file.read(into),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn held_or_paged_the_same_bytes_are_read_and_none_beyond_the_end() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, b"0123456789").unwrap();
        let held = Opened::whole(&path).unwrap();
        assert!(matches!(held, Opened::Held(_)));
        for opened in [held, Opened::end_of(&path).unwrap()] {
            assert_eq!(Length::len(&opened), 10);
            assert_eq!(opened.get_bytes(3, 4).unwrap(), "3456");
            let mut rest = String::new();
            opened.get_read(7).unwrap().read_to_string(&mut rest).unwrap();
            assert_eq!(rest, "789");
            assert!(opened.get_bytes(8, 3).is_err());
            assert!(opened.get_bytes(u64::MAX, 1).is_err());
        }
    }

    #[test]
    fn a_large_file_is_not_held() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        // A file of a hole takes no room.
        File::create(&path).unwrap().set_len(MOST_HELD_BYTES + 1).unwrap();
        assert!(matches!(Opened::whole(&path).unwrap(), Opened::Paged(_)));
    }
}
