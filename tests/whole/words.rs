//! The file of words and the code that says them: every message is there, is said by somebody, and is given what it asks for.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use scrim_season::words::ENGLISH;

/// The crates whose code says words to a reader.
const SOURCES: [&str; 4] = [
    "crates/scrim-season/src",
    "crates/scrim-report/src",
    "crates/scrim/src",
    "crates/scrim-compare/src",
];

/// What is asked for by a key that is put together: the key, with `{}` for a tag.
fn matches_family(literal: &str, key: &str) -> bool {
    let Some((before, rest)) = literal.split_once('{') else {
        return false;
    };
    let after = rest.split_once('}').map_or("", |(_, after)| after);
    // A family has a name: `coverage-{word}.a`.
    let has_name = before.len() > 2 && before.ends_with('-');
    let tag = key.strip_prefix(before).and_then(|key| key.strip_suffix(after));
    has_name && tag.is_some_and(|tag| !tag.is_empty() && !tag.contains('.'))
}

/// Keys with their arguments.
fn messages() -> BTreeMap<String, BTreeSet<String>> {
    let file = fluent_syntax::parser::parse(ENGLISH).expect("the English file is well formed");
    let mut messages = BTreeMap::new();
    for entry in &file.body {
        let Entry::Message(message) = entry else { continue };
        let id = message.id.name;
        if let Some(value) = &message.value {
            messages.insert(id.to_owned(), arguments(value));
        }
        for attribute in &message.attributes {
            let key = format!("{id}.{}", attribute.id.name);
            messages.insert(key, arguments(&attribute.value));
        }
    }
    messages
}

fn arguments(pattern: &Pattern<&str>) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for element in &pattern.elements {
        let PatternElement::Placeable { expression } = element else {
            continue;
        };
        let inline = match expression {
            Expression::Inline(inline) => inline,
            Expression::Select { selector, variants } => {
                found.extend(variants.iter().flat_map(|variant| arguments(&variant.value)));
                selector
            }
        };
        if let InlineExpression::VariableReference { id } = inline {
            found.insert(id.name.to_owned());
        }
    }
    found
}

/// Each source file's code, without its tests.
fn sources() -> Vec<(PathBuf, String)> {
    let mut files = Vec::new();
    let mut folders: Vec<PathBuf> = SOURCES
        .iter()
        .map(|folder| Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(folder))
        .collect();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("the sources are there and well formed") {
            let path = entry.expect("the sources are there and well formed").path();
            let name = path
                .file_name()
                .expect("the sources are there and well formed")
                .to_string_lossy()
                .into_owned();
            let is_test =
                ["tests", "tests.rs", "staging.rs", "every_word", "every_word.rs"].contains(&name.as_str());
            if is_test {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
            } else if name.ends_with(".rs") || name.ends_with(".js") {
                let text = std::fs::read_to_string(&path).expect("the sources are there and well formed");
                let code = text
                    .split("#[cfg(test)]\nmod tests {")
                    .next()
                    .expect("the sources are there and well formed");
                let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
                files.push((path, lines.collect::<Vec<_>>().join("\n")));
            }
        }
    }
    assert!(files.len() > 100, "{}", files.len());
    files
}

/// The plain string literals of a file, and the keys of its scripts.
fn literals(code: &str) -> BTreeSet<String> {
    let strings = code.split('"').skip(1).map(str::to_owned);
    let marked = code.split("@{").skip(1).filter_map(|part| part.split('}').next());
    strings.chain(marked.map(str::to_owned)).collect()
}

/// The first argument of each call of a method that takes a key, and what stands behind it up to the call's end.
fn calls(code: &str) -> Vec<(String, String)> {
    let mut calls = Vec::new();
    for method in [".text(", ".say(", ".said(", ".html(", ".count("] {
        for (at, _) in code.match_indices(method) {
            let inside = &code[at + method.len()..];
            let Some(literal) = inside.trim_start().strip_prefix('"') else {
                continue;
            };
            let (key, rest) = literal
                .split_once('"')
                .expect("the sources are there and well formed");
            let mut depth = 1;
            let end = rest.find(|letter: char| {
                depth += i32::from(matches!(letter, '(' | '[' | '{'))
                    - i32::from(matches!(letter, ')' | ']' | '}'));
                depth == 0
            });
            calls.push((
                key.to_owned(),
                rest[..end.expect("the sources are there and well formed")].to_owned(),
            ));
        }
    }
    calls
}

/// The names in a list of arguments that is written out: `, &[("n", ...), ("share", ...)]`; `None` of any other.
fn names_in(rest: &str) -> Option<BTreeSet<String>> {
    let list = rest.trim_start_matches([',', ' ', '\n']).strip_prefix("&[")?;
    let mut depth = 0;
    let mut elements = vec![String::new()];
    for letter in list.chars() {
        match letter {
            ')' | ']' | '}' if depth == 0 => break,
            ',' if depth == 0 => elements.push(String::new()),
            letter => {
                depth += i32::from("([{".contains(letter)) - i32::from(")]}".contains(letter));
                elements
                    .last_mut()
                    .expect("the sources are there and well formed")
                    .push(letter);
            }
        }
    }
    let elements = elements.iter().map(|element| element.trim());
    elements
        .filter(|element| !element.is_empty())
        .map(|element| Some(element.strip_prefix("(\"")?.split('"').next()?.to_owned()))
        .collect()
}

#[test]
fn every_message_is_said_and_no_key_is_mistyped() {
    let messages = messages();
    let families: BTreeSet<&str> = messages
        .keys()
        .filter_map(|key| key.split_once('-'))
        .map(|(first, _)| first)
        .collect();
    // Arguments, a drawing's file and a folder.
    let arguments = messages.values().flatten().map(String::as_str);
    let names: BTreeSet<&str> = arguments.chain(["ball-screen", "sample-data"]).collect();
    let mut said = BTreeSet::new();
    let mut mistyped = Vec::new();
    for (path, code) in sources() {
        for literal in literals(&code) {
            let known = messages
                .keys()
                .filter(|key| **key == literal || matches_family(&literal, key));
            let known: Vec<&String> = known.collect();
            // A literal that begins like the keys of a part is one of them, or a name of something else.
            let is_lower = |letter: char| letter.is_ascii_lowercase() || "-_".contains(letter);
            let looks_like_one = literal.split_once('-').is_some_and(|(first, rest)| {
                families.contains(first) && !rest.is_empty() && literal.chars().all(is_lower)
            }) && !names.contains(literal.as_str());
            if known.is_empty() && looks_like_one {
                mistyped.push(format!("{}: {literal}", path.display()));
            }
            said.extend(known.into_iter().cloned());
        }
    }
    assert_eq!(mistyped, Vec::<String>::new());
    let unused: Vec<&String> = messages.keys().filter(|key| !said.contains(*key)).collect();
    assert_eq!(unused, Vec::<&String>::new());
}

#[test]
fn every_message_is_given_what_it_asks_for() {
    let messages = messages();
    let (mut keys, mut lists) = (0, 0);
    for (path, code) in sources() {
        let says_words = code.contains("words");
        for (key, rest) in calls(&code) {
            let Some(asked) = messages.get(&key) else {
                assert!(
                    !says_words || !key.contains('-'),
                    "{}: no message `{key}`",
                    path.display()
                );
                continue;
            };
            keys += 1;
            let Some(given) = names_in(&rest) else { continue };
            lists += 1;
            assert!(
                given.is_superset(asked),
                "{}: `{key}` asks for {asked:?}, is given {given:?}",
                path.display()
            );
        }
    }
    assert!(keys > 200 && lists > 50, "{keys} keys, {lists} lists");
}
