//! One file of words: its messages, looked up by key.
//!
//! A key is a message's id, `coverage-drop`, or one of its attributes, `coverage-drop.a`.

use std::collections::{BTreeMap, BTreeSet};

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentError, FluentResource, FluentValue};
use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use fluent_syntax::parser::ParserError;
use unic_langid::LanguageIdentifier;

use super::said::{Arg, Said, Shown};
use crate::SeasonError;

/// The message that names the language.
const LANGUAGE: &str = "language";
/// What holds an argument's place until its pieces are put there: no text may hold these two (Unicode: noncharacters).
const OPEN: char = '\u{fdd0}';
const CLOSE: char = '\u{fdd1}';

/// A file's messages.
pub(super) struct Book {
    pub(super) language: String,
    bundle: FluentBundle<FluentResource>,
    /// The texts of messages that take no argument.
    plain: BTreeMap<String, String>,
    /// The arguments of each message.
    pub(super) arguments: BTreeMap<String, BTreeSet<String>>,
}

impl Book {
    /// Reads a file.
    pub(super) fn read(text: &str) -> Result<Self, SeasonError> {
        if let Some(place) = text.find([OPEN, CLOSE]) {
            return Err(SeasonError::WordsCharacter {
                line: line_of(text, place),
            });
        }
        let resource =
            FluentResource::try_new(text.to_owned()).map_err(|(_, errors)| syntax(text, &errors))?;
        let patterns = Patterns::of(&resource);
        let mut arguments = BTreeMap::new();
        for (key, pattern) in &patterns.messages {
            let mut found = BTreeSet::new();
            patterns.collect(key, pattern, &[key.as_str()], &mut found)?;
            arguments.insert(key.clone(), found);
        }
        let language = language_of(&patterns)?;
        let mut bundle = FluentBundle::new_concurrent(vec![language.clone()]);
        bundle.set_use_isolating(false);
        let twice = |errors: Vec<FluentError>| SeasonError::WordsTwice {
            message: match errors.into_iter().next() {
                Some(FluentError::Overriding { id, .. }) => id,
                _ => String::new(),
            },
        };
        // The only function there is; a bundle of one's own has none by that name.
        let added = bundle.add_builtins();
        debug_assert!(added.is_ok());
        bundle.add_resource(resource).map_err(twice)?;
        let mut book = Self {
            language: language.to_string(),
            bundle,
            plain: BTreeMap::new(),
            arguments,
        };
        let plain: Vec<(String, String)> = book
            .arguments
            .iter()
            .filter(|(_, arguments)| arguments.is_empty())
            .filter_map(|(key, _)| Some((key.clone(), book.said(key, &[])?.text())))
            .collect();
        book.plain.extend(plain);
        Ok(book)
    }

    /// The text of a message that takes no argument.
    pub(super) fn text(&self, key: &str) -> Option<&str> {
        self.plain.get(key).map(String::as_str)
    }

    /// The message with its arguments; `None` where there is none of that key, or it cannot be put together.
    pub(super) fn said(&self, key: &str, args: &[(&str, Arg)]) -> Option<Said> {
        if let Some(text) = self.plain.get(key) {
            return Some(Said::piece(Shown::Plain, text));
        }
        let mut values = FluentArgs::with_capacity(args.len());
        for (place, (name, arg)) in args.iter().enumerate() {
            let value = match arg {
                Arg::Said(_) => FluentValue::from(format!("{OPEN}{place}{CLOSE}")),
                Arg::Count(count) => FluentValue::from(*count),
                Arg::Word(word) => FluentValue::from(*word),
            };
            values.set(*name, value);
        }
        let mut errors = Vec::new();
        let text = self
            .bundle
            .format_pattern(self.pattern(key)?, Some(&values), &mut errors);
        if !errors.is_empty() {
            return None;
        }
        let mut parts = text.split(OPEN);
        let mut said = Said::piece(Shown::Plain, parts.next().unwrap_or_default());
        for part in parts {
            let (place, rest) = part.split_once(CLOSE)?;
            if let (_, Arg::Said(arg)) = args.get(place.parse::<usize>().ok()?)? {
                said.append(arg.clone());
            }
            said.push(Shown::Plain, rest);
        }
        Some(said)
    }

    fn pattern(&self, key: &str) -> Option<&Pattern<&str>> {
        match key.split_once('.') {
            None => self.bundle.get_message(key)?.value(),
            Some((id, attribute)) => Some(self.bundle.get_message(id)?.get_attribute(attribute)?.value()),
        }
    }
}

/// The patterns of a file, messages by key and terms by id.
struct Patterns<'r> {
    messages: BTreeMap<String, &'r Pattern<&'r str>>,
    terms: BTreeSet<&'r str>,
}

impl<'r> Patterns<'r> {
    fn of(resource: &'r FluentResource) -> Self {
        let mut patterns = Self {
            messages: BTreeMap::new(),
            terms: BTreeSet::new(),
        };
        for entry in resource.entries() {
            match entry {
                Entry::Message(message) => {
                    let id = message.id.name;
                    if let Some(value) = &message.value {
                        patterns.messages.insert(id.to_owned(), value);
                    }
                    for attribute in &message.attributes {
                        let key = format!("{id}.{}", attribute.id.name);
                        patterns.messages.insert(key, &attribute.value);
                    }
                }
                Entry::Term(term) => {
                    patterns.terms.insert(term.id.name);
                }
                _ => {}
            }
        }
        patterns
    }

    /// The arguments of a pattern, and of the messages that it refers to. `within`: those that lead here.
    fn collect(
        &self,
        key: &str,
        pattern: &Pattern<&str>,
        within: &[&str],
        found: &mut BTreeSet<String>,
    ) -> Result<(), SeasonError> {
        for element in &pattern.elements {
            if let PatternElement::Placeable { expression } = element {
                self.collect_of(key, expression, within, found)?;
            }
        }
        Ok(())
    }

    fn collect_of(
        &self,
        key: &str,
        expression: &Expression<&str>,
        within: &[&str],
        found: &mut BTreeSet<String>,
    ) -> Result<(), SeasonError> {
        match expression {
            Expression::Inline(inline) => self.collect_inline(key, inline, within, found),
            Expression::Select { selector, variants } => {
                self.collect_inline(key, selector, within, found)?;
                for variant in variants {
                    self.collect(key, &variant.value, within, found)?;
                }
                Ok(())
            }
        }
    }

    fn collect_inline(
        &self,
        key: &str,
        inline: &InlineExpression<&str>,
        within: &[&str],
        found: &mut BTreeSet<String>,
    ) -> Result<(), SeasonError> {
        let dangling = |reference: String| SeasonError::WordsReference {
            message: key.to_owned(),
            found: reference,
        };
        match inline {
            InlineExpression::VariableReference { id } => {
                found.insert(id.name.to_owned());
            }
            InlineExpression::Placeable { expression } => self.collect_of(key, expression, within, found)?,
            InlineExpression::MessageReference { id, attribute } => {
                let to = match attribute {
                    None => id.name.to_owned(),
                    Some(attribute) => format!("{}.{}", id.name, attribute.name),
                };
                let (to, pattern) = self
                    .messages
                    .get_key_value(&to)
                    .filter(|(to, _)| !within.contains(&to.as_str()))
                    .ok_or_else(|| dangling(to.clone()))?;
                let within: Vec<&str> = within.iter().copied().chain([to.as_str()]).collect();
                self.collect(key, pattern, &within, found)?;
            }
            InlineExpression::TermReference { id, .. } if !self.terms.contains(id.name) => {
                return Err(dangling(format!("-{}", id.name)));
            }
            InlineExpression::FunctionReference { id, .. } if id.name != "NUMBER" => {
                return Err(dangling(format!("{}()", id.name)));
            }
            InlineExpression::FunctionReference { arguments, .. } => {
                for argument in &arguments.positional {
                    self.collect_inline(key, argument, within, found)?;
                }
            }
            InlineExpression::StringLiteral { .. }
            | InlineExpression::NumberLiteral { .. }
            | InlineExpression::TermReference { .. } => {}
        }
        Ok(())
    }
}

fn language_of(patterns: &Patterns<'_>) -> Result<LanguageIdentifier, SeasonError> {
    let found = match patterns
        .messages
        .get(LANGUAGE)
        .map(|pattern| pattern.elements.as_slice())
    {
        Some([PatternElement::TextElement { value }]) => Some(*value),
        _ => None,
    };
    found
        .and_then(|language| language.parse().ok())
        .ok_or_else(|| SeasonError::WordsLanguage {
            found: found.map(Into::into),
        })
}

fn syntax(text: &str, errors: &[ParserError]) -> SeasonError {
    let (place, expected) = errors.first().map_or_else(
        || (0, String::new()),
        // Where the message begins: what it lacks is missed only at its end.
        |error| {
            let message = error.slice.as_ref().unwrap_or(&error.pos);
            (message.start, error.kind.to_string())
        },
    );
    let line = line_of(text, place);
    SeasonError::WordsSyntax {
        line,
        found: text.lines().nth(line - 1).unwrap_or_default().trim().to_owned(),
        expected,
    }
}

/// The line of a byte, from 1.
fn line_of(text: &str, place: usize) -> usize {
    let before = text.as_bytes().iter().take(place);
    1 + before.filter(|byte| **byte == b'\n').count()
}
