//! What a source looks like before anyone runs anything: read as a run would read it, and described.

mod advice;
mod found;
mod measure;
mod text;
mod watcher;

use std::collections::{BTreeMap, HashMap};
use std::path::Path;

use scrim_tables::rows::QuarantineRow;
use scrim_tables::with_causes;

use crate::mapping::Mapping;
use crate::read::read_watched;
use crate::{IngestError, IngestParams, ReadGame, Source, find_sources};
pub use found::{
    Finding, InspectedClock, InspectedFile, InspectedGame, InspectedPeriod, InspectedSource, Inspection,
    RefusalExample, Severity, SideTablesFound, Spread,
};
use measure::inspect_game;
use watcher::Watcher;

/// Reads everything at `path` as a run would, and says what was understood and what is wrong. What cannot be read is
/// a finding; only a path without any source, or a mapping that is none, is an error.
///
/// # Errors
/// [`IngestError`] from [`find_sources`] or from reading the mapping.
pub fn inspect(path: &Path, mapping: Option<&Path>) -> Result<Inspection, IngestError> {
    let mut sources = Vec::new();
    for source in find_sources(path, mapping)?.sources {
        sources.push(inspect_source(&source)?);
    }
    Ok(Inspection { sources })
}

/// The same of one source.
///
/// # Errors
/// [`IngestError`] from reading the mapping.
pub fn inspect_source(source: &Source) -> Result<InspectedSource, IngestError> {
    let mapping = Mapping::of(source.mapping.as_deref())?;
    Ok(inspect_mapped(source, &mapping))
}

fn inspect_mapped(source: &Source, mapping: &Mapping) -> InspectedSource {
    let params = IngestParams::default();
    let mut watcher = Watcher::default();
    let mut games = Vec::new();
    let mut examples = Vec::new();
    let mut event_words = BTreeMap::new();
    let read = read_watched::<IngestError>(
        source,
        mapping,
        &params,
        &mut |ReadGame { raw, quarantine, .. }| {
            add_examples(&quarantine, &mut examples);
            for event in raw.events.iter().flatten() {
                *event_words.entry(event.kind.word().into()).or_default() += 1;
            }
            games.push(inspect_game(&raw));
            Ok(())
        },
        &mut watcher,
    );
    let refused: HashMap<&str, u64> = watcher.refused.iter().map(|(id, rows)| (&**id, *rows)).collect();
    for game in &mut games {
        game.refused_rows = refused.get(&*game.game_id).copied().unwrap_or(0);
    }
    let display = |path: &Option<std::path::PathBuf>| path.as_ref().map(|p| p.display().to_string());
    let mut found = InspectedSource {
        name: source.name.clone(),
        mapping: display(&source.mapping),
        files: watcher.files(),
        side_tables: SideTablesFound {
            games: display(&source.games),
            players: display(&source.players),
            events: source.events.first().map(|first| match source.events.len() {
                1 => first.path.display().to_string(),
                files => format!("{} and {} more", first.path.display(), files - 1),
            }),
        },
        rows: 0,
        is_usable: !games.is_empty(),
        games,
        refused_games: BTreeMap::new(),
        refused_rows: BTreeMap::new(),
        refusal_examples: examples,
        event_words,
        unknown_event_words: BTreeMap::new(),
        ignored_columns: Vec::new(),
        findings: Vec::new(),
    };
    let mut findings = Vec::new();
    match read {
        Ok(report) => {
            found.rows = report.rows;
            found.refused_rows = report
                .refused_rows
                .iter()
                .map(|(reason, n)| (reason.as_str().into(), *n))
                .collect();
            add_examples(&report.quarantine, &mut found.refusal_examples);
            for game in &report.refused {
                add_examples(&game.quarantine, &mut found.refusal_examples);
                found
                    .refused_games
                    .insert(game.game_id.to_string(), with_causes(&game.error));
                findings.push(wrong(with_causes(&game.error), "fix it, or the game is left out"));
            }
            for file in &report.failed_files {
                findings.push(wrong(with_causes(&file.error), "fix it, or the file is left out"));
            }
            found.ignored_columns = report.ignored_columns;
            found.unknown_event_words = report
                .unknown_event_words
                .iter()
                .map(|(word, n)| (word.to_string(), *n))
                .collect();
        }
        Err(error) => findings.push(wrong(with_causes(&error), "fix it; nothing can be read as it is")),
    }
    findings.extend(advice::findings(&found, &watcher, mapping, &params));
    findings.sort_by_key(|finding| finding.severity);
    findings.dedup();
    found.findings = findings;
    found
}

fn wrong(what: String, suggestion: &str) -> Finding {
    Finding {
        severity: Severity::Wrong,
        what,
        suggestion: suggestion.into(),
    }
}

/// Keeps the first three of each reason.
fn add_examples(rows: &[QuarantineRow], examples: &mut Vec<RefusalExample>) {
    for row in rows {
        let reason = row.reason.as_str();
        if examples.iter().filter(|e| e.reason == reason).count() < 3 {
            examples.push(RefusalExample {
                reason: reason.into(),
                source: row.source.to_string(),
                row: row.row,
                detail: row.detail.clone(),
            });
        }
    }
}
