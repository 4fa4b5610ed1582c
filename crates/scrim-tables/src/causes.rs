//! An error in words.

use std::error::Error;

/// An error and its causes on one line: `what: why: why`. Some libraries repeat their cause in their own words: it is said once.
pub fn with_causes(error: &dyn Error) -> String {
    let mut text = error.to_string();
    let mut behind = error.source();
    while let Some(error) = behind {
        let cause = error.to_string();
        let cause = cause.trim_end();
        if !text.contains(cause) {
            text.push_str(": ");
            text.push_str(cause);
        }
        behind = error.source();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::StoreError;

    #[derive(Debug, thiserror::Error)]
    #[error("a.csv cannot be read{said}")]
    struct Unreadable {
        said: &'static str,
        source: StoreError,
    }

    fn unreadable(said: &'static str) -> Unreadable {
        let source = StoreError::Remote {
            place: "the store".into(),
            action: "be reached",
            source: "no line\n".into(),
        };
        Unreadable { said, source }
    }

    #[test]
    fn causes_stand_behind_the_error_in_their_order_and_on_its_line() {
        let text = with_causes(&unreadable(""));
        let (what, why) = text.split_once(": ").unwrap();
        assert_eq!(what, "a.csv cannot be read");
        assert!(why.contains("the store") && why.ends_with(": no line"), "{text}");
        assert!(!text.contains('\n'), "{text}");
    }

    #[test]
    fn a_cause_that_was_named_already_is_not_named_again() {
        let text = with_causes(&unreadable(": no line"));
        assert_eq!(text.matches("no line").count(), 1, "{text}");
    }
}
