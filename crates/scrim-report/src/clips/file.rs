//! A file of a clip list, and what it is called.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

use super::clip::Clip;

/// A file of a clip list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClipFile {
    /// A file's name without folders: a game's id in it is percent-encoded (RFC 3986).
    pub name: String,
    /// What is in it, UTF-8.
    pub text: String,
}

/// Everything but RFC 3986's unreserved characters is encoded.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~');

/// A game's id (with its season where it is known, for two seasons may use one id) as the beginning of a file's name.
pub(super) fn stem(clip: &Clip<'_>) -> String {
    let season = clip.season.as_deref().unwrap_or("unknown");
    format!("{}_{}", file_stem(season), file_stem(&clip.game_id))
}

/// An id as a file's name: percent-encoded (RFC 3986), and a full stop at its beginning too, so that it is neither hidden
/// nor another folder.
pub fn file_stem(id: &str) -> String {
    let encoded = utf8_percent_encode(id, ENCODED).to_string();
    match encoded.strip_prefix('.') {
        Some(rest) => format!("%2E{rest}"),
        None => encoded,
    }
}
