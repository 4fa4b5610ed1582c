//! The one door to the file system: only what is a file is opened, and only so much of it is held.
//!
//! A pipe or a device may never give its first byte, and then a run waits for ever; so they are refused by what they are,
//! before they are opened.

use std::fs::{File, FileType, Metadata};
use std::io::{self, Read};
use std::path::Path;

use crate::IngestError;

/// Opens a file that can be read to an end.
pub(crate) fn open_file(path: &Path) -> Result<File, IngestError> {
    check_is_file(path)?;
    File::open(path).map_err(|source| unreadable(path, source))
}

/// What there is at `path`, links followed, when it is a file.
pub(crate) fn check_is_file(path: &Path) -> Result<Metadata, IngestError> {
    let found = match std::fs::metadata(path) {
        Ok(metadata) if metadata.is_file() => return Ok(metadata),
        Ok(metadata) => kind_of(metadata.file_type()),
        // To nothing, or round in a circle.
        Err(error) if error.kind() != io::ErrorKind::PermissionDenied && path.is_symlink() => {
            "a link that leads nowhere"
        }
        Err(source) => return Err(unreadable(path, source)),
    };
    Err(IngestError::NotAFile {
        path: path.into(),
        found,
    })
}

/// The text of a small file of at most `most` bytes.
pub(crate) fn read_text(path: &Path, most: u64, what: &'static str) -> Result<String, IngestError> {
    let mut text = String::new();
    open_file(path)?
        .take(most + 1)
        .read_to_string(&mut text)
        .map_err(|source| unreadable(path, source))?;
    if text.len() as u64 > most {
        return Err(IngestError::OverBudget {
            path: path.into(),
            what,
            most,
        });
    }
    Ok(text)
}

fn unreadable(path: &Path, source: io::Error) -> IngestError {
    IngestError::Unreadable {
        path: path.into(),
        source,
    }
}

/// What stands where a file should.
fn kind_of(found: FileType) -> &'static str {
    if found.is_dir() {
        return "a folder";
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if found.is_fifo() {
            return "a pipe";
        }
        if found.is_socket() {
            return "a socket";
        }
        if found.is_block_device() || found.is_char_device() {
            return "a device";
        }
    }
    "neither a file nor a folder"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refusal(path: &Path) -> String {
        open_file(path).unwrap_err().to_string()
    }

    #[test]
    fn a_folder_is_refused_by_name_and_a_file_that_is_not_there_is_unreadable() {
        let folder = tempfile::tempdir().unwrap();
        assert!(refusal(folder.path()).contains("a folder, not a file"));
        assert!(refusal(&folder.path().join("none")).contains("cannot be read"));
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_a_socket_a_device_and_a_dead_link_are_refused_without_waiting() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let made = std::process::Command::new("mkfifo")
            .arg(at("pipe"))
            .status()
            .unwrap();
        assert!(made.success());
        let _socket = std::os::unix::net::UnixListener::bind(at("socket")).unwrap();
        std::os::unix::fs::symlink(at("gone"), at("link")).unwrap();
        std::os::unix::fs::symlink(at("pipe"), at("link to pipe")).unwrap();
        for (path, expected) in [
            (at("pipe"), "a pipe"),
            (at("link to pipe"), "a pipe"),
            (at("socket"), "a socket"),
            (at("link"), "a link that leads nowhere"),
            ("/dev/zero".into(), "a device"),
        ] {
            let message = refusal(&path);
            assert!(message.contains(expected), "{message}");
        }
    }

    #[test]
    fn a_small_file_is_read_up_to_its_bound() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, "1234").unwrap();
        assert_eq!(read_text(&path, 4, "a mapping").unwrap(), "1234");
        let message = read_text(&path, 3, "a mapping").unwrap_err().to_string();
        assert!(message.contains("a mapping of more than 3 bytes"), "{message}");
    }
}
