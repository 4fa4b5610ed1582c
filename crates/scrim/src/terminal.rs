//! Text of the input on a terminal: what would steer it is shown, not sent.
//!
//! Ids, file names and cells come from outside. An escape character among them could clear the screen, hide a line or write
//! another one over it, and a line end could forge one.

use std::borrow::Cow;
use std::fmt::Write;

/// Whether a terminal would act on it, or show it in another order than it is written.
fn steers(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Text of several lines: all that steers is shown as `\u001b`, but for line ends and tabs. JSON stays the same JSON.
pub fn shown(text: &str) -> Cow<'_, str> {
    escaped(text, |c| steers(c) && c != '\n' && c != '\t')
}

/// A line of a summary is not longer than this, letters: an id may be of any length.
const MAX_LETTERS: usize = 2000;

/// As [`shown`], for what belongs on one line: line ends and tabs are shown too, and what is very long is cut.
pub fn shown_on_a_line(text: &str) -> Cow<'_, str> {
    match text.char_indices().nth(MAX_LETTERS) {
        None => escaped(text, steers),
        Some((end, _)) => Cow::Owned(format!(
            "{} … ({} bytes)",
            escaped(&text[..end], steers),
            text.len()
        )),
    }
}

/// As [`shown`], for one message of a log: its further lines are set in, so that none can pass for a message of its own.
pub(crate) fn shown_as_message(text: &str) -> String {
    let (text, end) = match text.strip_suffix('\n') {
        Some(text) => (text, "\n"),
        None => (text, ""),
    };
    shown(text).replace('\n', "\n    ") + end
}

fn escaped(text: &str, is_bad: impl Fn(char) -> bool) -> Cow<'_, str> {
    if !text.chars().any(&is_bad) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if is_bad(c) {
            // Writing to a String cannot fail.
            let _ = write!(out, "\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_shown() {
        assert_eq!(
            shown("a\u{1b}[2Jb\r\u{9b}1m\u{7f}\u{202e}c"),
            "a\\u001b[2Jb\\u000d\\u009b1m\\u007f\\u202ec"
        );
        assert_eq!(shown("é ü 漢 – two\n\tlines"), "é ü 漢 – two\n\tlines");
        assert_eq!(shown_on_a_line("a\n\tb"), "a\\u000a\\u0009b");
        assert!(shown_on_a_line(&"é".repeat(3000)).ends_with("éé … (6000 bytes)"));
    }

    #[test]
    fn json_with_such_letters_stays_the_same_json() {
        let value = serde_json::json!({"game": "a\u{1b}\u{9b}\u{7f}\u{202e}\n"});
        let text = shown(&value.to_string()).into_owned();
        assert!(!text.contains(['\u{9b}', '\u{7f}', '\u{202e}']), "{text}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap(), value);
    }

    #[test]
    fn a_message_cannot_forge_another_one() {
        assert_eq!(
            shown_as_message("INFO game a\nINFO all well\n"),
            "INFO game a\n    INFO all well\n"
        );
    }
}
