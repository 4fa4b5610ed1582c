//! One cell of text to a value.

use std::path::Path;
use std::sync::Arc;

use scrim_tables::Id;

use crate::contract::{ColumnSpec, Kind};
use crate::{Place, ScoreError};

/// Whether a word outside the vocabulary stops the reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum UnknownWords {
    /// Labels: a misspelt word would count against the tables.
    Refuse,
    /// Tables: what they say is what is scored.
    Accept,
}

/// What a cell holds. `None` is an empty cell.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Cell {
    Text(Option<Id>),
    Number(Option<f64>),
    Flag(Option<bool>),
}

/// Reads one cell of text as `column` has it. Blanks around the text do not count; words may be in any case, for a
/// spreadsheet likes to start a cell with a capital.
pub(crate) fn parse_cell(
    text: &str,
    column: &ColumnSpec,
    unknown_words: UnknownWords,
    at: (&Path, Place),
) -> Result<Cell, ScoreError> {
    let text = text.trim();
    let unreadable = |expected| ScoreError::Unreadable {
        path: at.0.to_path_buf(),
        place: at.1,
        column: column.name,
        found: text.to_owned(),
        expected,
    };
    Ok(match column.kind {
        Kind::Key | Kind::Id | Kind::Phrase => Cell::Text((!text.is_empty()).then(|| Arc::from(text))),
        Kind::Link => Cell::Text((!text.is_empty()).then(|| link_text(text))),
        Kind::Tag(words) => {
            let word = text.to_lowercase();
            if word.is_empty() {
                return Ok(Cell::Text(None));
            }
            if unknown_words == UnknownWords::Refuse && !words.contains(&word.as_str()) {
                return Err(ScoreError::UnknownWord {
                    path: at.0.to_path_buf(),
                    place: at.1,
                    column: column.name,
                    found: text.to_owned(),
                    expected: words.join(", "),
                });
            }
            Cell::Text(Some(word.into()))
        }
        Kind::KeyNumber | Kind::Number if text.is_empty() => Cell::Number(None),
        Kind::KeyNumber | Kind::Number => match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Cell::Number(Some(number)),
            _ => return Err(unreadable("a number with a point for the decimals")),
        },
        Kind::Count if text.is_empty() => Cell::Number(None),
        Kind::Count => match text.parse::<f64>() {
            Ok(number) if number >= 0.0 && number.fract() == 0.0 && number.is_finite() => {
                Cell::Number(Some(number))
            }
            _ => return Err(unreadable("a whole number, 0 or more")),
        },
        Kind::Flag | Kind::KeyFlag => match text.to_lowercase().as_str() {
            "" => Cell::Flag(None),
            "true" | "yes" | "1" | "1.0" => Cell::Flag(Some(true)),
            "false" | "no" | "0" | "0.0" => Cell::Flag(Some(false)),
            _ => return Err(unreadable("true or false")),
        },
    })
}

/// An id that links rows, in one spelling: a column of numbers with empty cells is often saved as `12.0`.
pub(crate) fn link_text(text: &str) -> Id {
    match text.parse::<f64>() {
        // Whole numbers up to 2^53 have one spelling; anything else is an id of the user's own.
        Ok(number) if number.fract() == 0.0 && number.abs() < 9e15 => format!("{number:.0}").into(),
        _ => text.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contract::SCREENS;

    fn read(name: &str, text: &str) -> Result<Cell, ScoreError> {
        let column = SCREENS.columns.iter().find(|column| column.name == name).unwrap();
        parse_cell(
            text,
            column,
            UnknownWords::Refuse,
            (Path::new("s.csv"), Place::Line(7)),
        )
    }

    #[test]
    fn blanks_and_capitals_do_not_change_a_cell() {
        assert_eq!(
            read("screen_kind", " Ball_Screen ").unwrap(),
            Cell::Text(Some("ball_screen".into()))
        );
        assert_eq!(read("t_use_s", " 12.5").unwrap(), Cell::Number(Some(12.5)));
        for text in ["TRUE", "true", "1", " yes "] {
            assert_eq!(read("on_ball", text).unwrap(), Cell::Flag(Some(true)), "{text}");
        }
        assert_eq!(read("on_ball", "False").unwrap(), Cell::Flag(Some(false)));
    }

    #[test]
    fn an_empty_cell_is_not_known_whatever_its_kind() {
        assert_eq!(read("outcome", "  ").unwrap(), Cell::Text(None));
        assert_eq!(read("t_set_s", "").unwrap(), Cell::Number(None));
        assert_eq!(read("early_denial", "").unwrap(), Cell::Flag(None));
    }

    #[test]
    fn a_link_saved_with_decimals_is_the_same_link() {
        assert_eq!(
            read("screen_id", "12.0").unwrap(),
            read("screen_id", "12").unwrap()
        );
        assert_eq!(
            read("screen_id", "Q1-3").unwrap(),
            Cell::Text(Some("Q1-3".into()))
        );
    }

    #[test]
    fn a_word_outside_the_vocabulary_is_reported_with_its_place_and_the_words_that_would_do() {
        let message = read("outcome", "refused").unwrap_err().to_string();
        assert_eq!(
            message,
            "s.csv, line 7: found `refused` in column `outcome`, expected one of used, rejected, slipped, ghosted, \
             flipped, unused, or an empty cell for \"not judged\""
        );
    }

    #[test]
    fn numbers_that_are_none_are_reported() {
        for text in ["12,5", "nan", "inf", "1:24", "twelve"] {
            let message = read("t_use_s", text).unwrap_err().to_string();
            assert!(
                message.contains("line 7") && message.contains(text) && message.contains("t_use_s"),
                "{message}"
            );
        }
    }
}
