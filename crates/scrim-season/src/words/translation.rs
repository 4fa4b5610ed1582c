//! The words of one language, with English behind them.

use super::book::Book;
use super::said::{Arg, Said};
use crate::SeasonError;

/// The English file: what a translator begins with.
pub const ENGLISH: &str = include_str!("../../words/en.ftl");

/// Every word for people: messages by key, in English or in a translation of it.
pub struct Words {
    own: Option<Book>,
    english: Book,
}

/// A translated file as it was read.
pub struct Translation {
    /// Its words; what it lacks is in English.
    pub words: Words,
    /// The messages that it lacks.
    pub missing: Vec<String>,
    /// The messages that it has and that are none.
    pub unknown: Vec<String>,
}

impl Words {
    /// The words in English.
    ///
    /// # Panics
    /// Never: a test reads the embedded file.
    pub fn english() -> Self {
        Self {
            own: None,
            english: Book::read(ENGLISH).expect("the embedded file of words can be read"),
        }
    }

    /// The words of a translated file, with English for what it lacks.
    ///
    /// # Errors
    /// [`SeasonError`]: the file is not of the form, has a message twice, or one takes an argument that it does not have.
    pub fn translated(text: &str) -> Result<Translation, SeasonError> {
        let mut words = Self::english();
        let own = Book::read(text)?;
        let known = &words.english.arguments;
        for (key, arguments) in &own.arguments {
            let Some(expected) = known.get(key) else { continue };
            if let Some(found) = arguments.difference(expected).next() {
                return Err(SeasonError::WordsArgument {
                    message: key.clone(),
                    found: found.clone(),
                    expected: expected.iter().cloned().collect(),
                });
            }
        }
        let lacks = |in_one: &Book, other: &Book| {
            let keys = in_one.arguments.keys();
            let lacking = keys.filter(|key| !other.arguments.contains_key(*key));
            lacking.cloned().collect::<Vec<String>>()
        };
        let (missing, unknown) = (lacks(&words.english, &own), lacks(&own, &words.english));
        words.own = Some(own);
        Ok(Translation {
            words,
            missing,
            unknown,
        })
    }

    /// The language, as `lang` of an HTML page has it.
    pub fn language(&self) -> &str {
        &self.own.as_ref().unwrap_or(&self.english).language
    }

    /// A message that takes no argument.
    pub fn text(&self, key: &str) -> &str {
        let own = self.own.as_ref().and_then(|own| own.text(key));
        let text = own.or_else(|| self.english.text(key));
        debug_assert!(text.is_some(), "no message `{key}` without arguments");
        text.unwrap_or_default()
    }

    /// A message with its arguments, in pieces.
    pub fn said(&self, key: &str, args: &[(&str, Arg)]) -> Said {
        let own = self.own.as_ref().and_then(|own| own.said(key, args));
        let said = own.or_else(|| self.english.said(key, args));
        debug_assert!(said.is_some(), "no message `{key}` with {args:?}");
        said.unwrap_or_default()
    }

    /// A message with its arguments, as text.
    pub fn say(&self, key: &str, args: &[(&str, Arg)]) -> String {
        self.said(key, args).text()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::strong;

    fn error(text: &str) -> String {
        Words::translated(text).err().unwrap().to_string()
    }

    #[test]
    fn what_a_translation_lacks_is_english_and_is_listed() {
        let translation =
            Words::translated("language = de\ncoverage-drop = Absinken\ncoverage-dorp = x\n").unwrap();
        let words = &translation.words;
        assert_eq!(words.language(), "de");
        assert_eq!(words.text("coverage-drop"), "Absinken");
        assert_eq!(words.text("coverage-drop.a"), "a drop");
        assert_eq!(words.say("games", &[("n", 1_usize.into())]), "1\u{a0}game");
        assert!(translation.missing.contains(&"coverage-drop.a".to_owned()));
        assert!(!translation.missing.contains(&"coverage-drop".to_owned()));
        assert_eq!(translation.unknown, ["coverage-dorp"]);
        assert_eq!(Words::translated(ENGLISH).unwrap().missing, Vec::<String>::new());
    }

    #[test]
    fn plurals_are_those_of_the_language() {
        // Polish has one form for 1, one for 2 to 4, one for 5 and more (Unicode CLDR, cardinal plural rules).
        let polish = "language = pl\ngames = { $n ->\n [one] mecz\n [few] mecze\n *[many] meczów\n }\n";
        let words = Words::translated(polish).unwrap().words;
        let games = [1_usize, 3, 5, 22].map(|n| words.say("games", &[("n", n.into())]));
        assert_eq!(games, ["mecz", "mecze", "meczów", "mecze"]);
    }

    #[test]
    fn a_translation_moves_what_stands_out() {
        let moved = "language = de\nshare = { $n } / { $percent }!\n";
        let words = Words::translated(moved).unwrap().words;
        let args = [
            ("percent", strong("62\u{a0}%").into()),
            ("hits", 8_usize.into()),
            ("n", 13_usize.into()),
            ("range", "x".into()),
        ];
        let said = words.said("share", &args);
        assert_eq!(said.pieces().count(), 3);
        assert_eq!(said.text(), "13 / 62\u{a0}%!");
    }

    #[test]
    fn text_from_the_data_is_never_a_message() {
        let words = Words::english();
        let hostile = "{ $n } \u{fdd0}0\u{fdd1} { coverage-drop }";
        let said = words.say("target-player", &[("player", hostile.into())]);
        assert_eq!(said, format!("to {hostile}"));
    }

    #[test]
    fn a_bad_file_is_refused_with_what_to_do() {
        for (text, parts) in [
            (
                "language = de\n\ngames = { $n\n",
                &["line 3", "`games = { $n`"][..],
            ),
            (
                "language = de\ngames = { $m } Spiele\n",
                &["`games`", "`$m`", "\"n\""],
            ),
            ("games = Spiele\n", &["`language`", "language = de"]),
            ("language = German!\n", &["`German!`", "language = de"]),
            ("language = de\nless = a\nless = b\n", &["`less`", "twice"]),
            (
                "language = de\nless = { more }\nmore = { less }\n",
                &["refers to", "leads back"],
            ),
            ("language = de\nless = { mroe }\n", &["`less`", "`mroe`"]),
            ("language = de\nless = { -term }\n", &["`less`", "`-term`"]),
            ("language = de\nless = { DATETIME(1) }\n", &["`DATETIME()`"]),
            ("language = de\nless = \u{fdd0}\n", &["line 2", "U+FDD0"]),
        ] {
            let error = error(text);
            for part in parts {
                assert!(error.contains(part), "no `{part}` in: {error}");
            }
        }
    }

    #[test]
    fn a_term_of_the_translators_own_may_be_used() {
        let words = Words::translated("language = de\n-it = Block\nless = kein { -it }\n").unwrap();
        assert_eq!(words.words.text("less"), "kein Block");
        assert_eq!(words.unknown, Vec::<String>::new());
    }
}
