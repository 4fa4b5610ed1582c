//! What is asked of each clip: a question a tag, and the words that may answer it.

use std::collections::BTreeMap;

use scrim_season::words;
use scrim_tables::Row;
use scrim_tables::rows::{CoverageRow, EntryRow, OptionRow, ScreenRow};
use scrim_tables::tags::{Coverage, Entry, HandlerAction, OnBallPath, Outcome, ScreenKind, ScreenerAction};
use serde::{Deserialize, Serialize};

/// A question, called as the column that it is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Question {
    /// Ball screen or handoff.
    ScreenKind,
    /// Who screens: a player.
    ScreenerId,
    /// For whom: a player.
    UserId,
    /// What became of it.
    Outcome,
    /// What the screener's defender did.
    Coverage,
    /// What the handler's defender did.
    OnBallPath,
    /// What the screener did then.
    ScreenerAction,
    /// What the handler did with it.
    HandlerAction,
    /// What it came out of.
    Entry,
}

/// A word for each question, as the tables spell it.
pub type Words = BTreeMap<Question, String>;

/// A word that may answer a question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// As the tables spell it.
    pub word: &'static str,
    /// As people say it.
    pub said: String,
}

impl Question {
    /// All of them, in the page's order.
    pub const ALL: [Self; 9] = [
        Self::ScreenKind,
        Self::ScreenerId,
        Self::UserId,
        Self::Outcome,
        Self::Coverage,
        Self::OnBallPath,
        Self::ScreenerAction,
        Self::HandlerAction,
        Self::Entry,
    ];

    /// The column.
    pub fn column(self) -> &'static str {
        match self {
            Self::ScreenKind => "screen_kind",
            Self::ScreenerId => "screener_id",
            Self::UserId => "user_id",
            Self::Outcome => "outcome",
            Self::Coverage => "coverage",
            Self::OnBallPath => "on_ball_path",
            Self::ScreenerAction => "screener_action",
            Self::HandlerAction => "handler_action",
            Self::Entry => "entry",
        }
    }

    /// The table that the column is in.
    pub fn table(self) -> &'static str {
        match self {
            Self::ScreenKind | Self::ScreenerId | Self::UserId | Self::Outcome => ScreenRow::TABLE,
            Self::Coverage | Self::OnBallPath => CoverageRow::TABLE,
            Self::ScreenerAction | Self::HandlerAction => OptionRow::TABLE,
            Self::Entry => EntryRow::TABLE,
        }
    }

    /// What stands before the word on the page.
    pub fn title(self) -> &'static str {
        match self {
            Self::ScreenKind => "kind",
            Self::ScreenerId => "who screens",
            Self::UserId => "for whom",
            Self::Outcome => "what became of it",
            Self::Coverage => "coverage",
            Self::OnBallPath => "handler's defender",
            Self::ScreenerAction => "screener then",
            Self::HandlerAction => "handler then",
            Self::Entry => "came out of",
        }
    }

    /// Whether players answer it, not words.
    pub fn is_of_players(self) -> bool {
        matches!(self, Self::ScreenerId | Self::UserId)
    }

    /// The words that may answer it, in the vocabulary's order; none where players do. `unclear` is none of them: who cannot tell says so.
    fn answers(self) -> impl Iterator<Item = &'static str> {
        let all: &[&'static str] = match self {
            Self::ScreenKind => const { &[ScreenKind::BallScreen.as_str(), ScreenKind::Handoff.as_str()] },
            Self::ScreenerId | Self::UserId => &[],
            Self::Outcome => Outcome::WORDS,
            Self::Coverage => Coverage::WORDS,
            Self::OnBallPath => OnBallPath::WORDS,
            Self::ScreenerAction => ScreenerAction::WORDS,
            Self::HandlerAction => HandlerAction::WORDS,
            Self::Entry => Entry::WORDS,
        };
        let words = all.iter().copied();
        words.filter(|word| *word != Coverage::Unclear.as_str())
    }

    /// The same, as they are said.
    pub fn choices(self, words: &words::Words) -> Vec<Choice> {
        let said = |word: &'static str| match self {
            Self::Coverage => word.parse().map(|coverage| {
                let meaning = words.coverage_meaning(coverage);
                format!("{}: {meaning}", said_plainly(word))
            }),
            Self::Entry => word.parse().map(|entry| words.entry(entry).to_owned()),
            _ => Ok(said_plainly(word)),
        };
        let choices = self.answers().map(|word| Choice {
            word,
            said: said(word).unwrap_or_else(|_| said_plainly(word)),
        });
        choices.collect()
    }

    /// Whether the word may answer it, where words do.
    pub fn allows(self, word: &str) -> bool {
        self.answers().any(|answer| answer == word)
    }
}

/// A word with blanks, as a person would say it.
fn said_plainly(word: &str) -> String {
    word.replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_question_is_a_column_of_its_table_and_its_choices_are_words_of_it() {
        for question in Question::ALL {
            let table = scrim_tables::rows::table(question.table()).unwrap();
            let column = table
                .columns
                .iter()
                .find(|column| column.name == question.column())
                .unwrap();
            let written = serde_json::to_value(question).unwrap();
            assert_eq!(written, question.column());
            match column.kind {
                scrim_tables::Kind::Tag(words) => {
                    assert!(!question.is_of_players());
                    let choices = question.choices(&words::Words::english());
                    assert!(choices.iter().all(|choice| words.contains(&choice.word)));
                    // One letter each, and `z` for who cannot tell.
                    assert!((2..=25).contains(&choices.len()), "{question:?}");
                }
                _ => assert!(question.is_of_players()),
            }
        }
    }

    #[test]
    fn who_cannot_tell_chooses_no_word() {
        assert!(Question::Coverage.allows("drop") && !Question::Coverage.allows("unclear"));
        assert!(!Question::ScreenerId.allows("anybody"));
        // That it came out of nothing is a word.
        assert!(Question::Entry.allows("none"));
    }
}
