//! Why a game cannot be taken into its season, or a file of words is none.

use scrim_tables::tags::UnknownTag;
use scrim_tables::{StoreError, TableError};

/// Why a game, or a season, could not be done.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SeasonError {
    /// A table of the game is not there.
    #[error(
        "game {game_id}: table `{table}` is not there; run the game again, with this version of the program"
    )]
    MissingTable {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
    },
    /// A table could not be read or written.
    #[error("game {game_id}")]
    Table {
        /// The game; `season` for a table of the season.
        game_id: String,
        /// What is wrong.
        source: TableError,
    },
    /// A token of a chain or a look is none.
    #[error(
        "game {game_id}, table `{table}`, row {row}: `{found}` is no token; a token is WORD:SIDE, as `down:left`"
    )]
    Token {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
        /// The row, from 0.
        row: usize,
        /// What was found.
        found: String,
        /// Why, when it is the word.
        source: Option<Box<UnknownTag>>,
    },
    /// A row names a row of another table that is not there.
    #[error(
        "game {game_id}, table `{table}`, row {row}: {what} {id} is not in its table; run the game again"
    )]
    Dangling {
        /// The game.
        game_id: String,
        /// The table.
        table: &'static str,
        /// The row, from 0.
        row: usize,
        /// What kind of id.
        what: &'static str,
        /// The id.
        id: u32,
    },
    /// A file of words is not of the form.
    #[error(
        "line {line}: `{found}`: {expected}. A message is `id = text`; where its text goes on, lines begin with blanks; \
         `{{` and `}}` come in pairs"
    )]
    WordsSyntax {
        /// The line, from 1.
        line: usize,
        /// What stands there.
        found: String,
        /// What was expected.
        expected: String,
    },
    /// A file of words holds a character that marks places in texts.
    #[error("line {line}: U+FDD0 and U+FDD1 are no characters of a text: take them out")]
    WordsCharacter {
        /// The line, from 1.
        line: usize,
    },
    /// A file of words has a message twice.
    #[error("message `{message}` is there twice: leave one")]
    WordsTwice {
        /// The message.
        message: String,
    },
    /// A message of a translation takes an argument that scrim does not give it.
    #[error(
        "message `{message}`: nothing is given for `${found}`; it may use {expected:?}, each as `{{ $name }}`"
    )]
    WordsArgument {
        /// The message.
        message: String,
        /// The argument.
        found: String,
        /// The arguments that it has.
        expected: Vec<String>,
    },
    /// A message refers to what is not there.
    #[error(
        "message `{message}` refers to `{found}`, which the file does not have, or which leads back to it: write the text itself"
    )]
    WordsReference {
        /// The message.
        message: String,
        /// To what it refers.
        found: String,
    },
    /// A file of words does not say its language.
    #[error(
        "message `language`: found {}; expected the language as `lang` of an HTML page has it, as in `language = de` or `language = pt-BR`",
        found.as_ref().map_or_else(|| "none".to_owned(), |found| format!("`{found}`"))
    )]
    WordsLanguage {
        /// What was found.
        found: Option<String>,
    },
    /// Storage failed.
    #[error(transparent)]
    Store(#[from] StoreError),
}
