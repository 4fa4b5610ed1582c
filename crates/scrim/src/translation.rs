//! The words that a report is made with: English, or a translator's file.

use std::path::Path;

use anyhow::{Context, Result};
use scrim_season::words::{Translation, Words};
use tracing::warn;

/// How many messages a warning names.
const NAMED: usize = 5;

/// The words of the file, or the English ones when there is none; one warning of what the file lacks.
///
/// # Errors
/// When the file cannot be read or is not of the form.
pub fn words_of(path: Option<&Path>) -> Result<Words> {
    let Some(path) = path else {
        return Ok(Words::english());
    };
    let Translation {
        words,
        missing,
        unknown,
    } = read_translation(path)?;
    let lacks = [
        ("missing, and are in English", missing),
        ("unknown, and are left out", unknown),
    ];
    let lacks: Vec<String> = lacks
        .iter()
        .filter(|(_, keys)| !keys.is_empty())
        .map(|(are, keys)| format!("{} messages are {are}: {}", keys.len(), first_few(keys)))
        .collect();
    if !lacks.is_empty() {
        let path = path.display();
        warn!(
            "{path}: {}; `scrim words --check {path}` lists them",
            lacks.join("; ")
        );
    }
    Ok(words)
}

/// Reads a translator's file.
///
/// # Errors
/// When it cannot be read or is not of the form.
pub fn read_translation(path: &Path) -> Result<Translation> {
    let text = std::fs::read_to_string(path)
        .with_context(|| format!("{}: cannot be read as UTF-8 text", path.display()))?;
    Words::translated(&text).with_context(|| format!("{}: no file of words", path.display()))
}

fn first_few(keys: &[String]) -> String {
    let named = keys.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", ");
    match keys.len().saturating_sub(NAMED) {
        0 => named,
        more => format!("{named} and {more} more"),
    }
}
