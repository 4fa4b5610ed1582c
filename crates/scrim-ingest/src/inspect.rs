//! What a source looks like before anyone runs anything: read like a run would read it, and told.

mod advice;
mod text;
mod watcher;

use std::collections::{BTreeMap, HashMap};
use std::path::Path;

use scrim_tables::rows::QuarantineRow;
use scrim_tracks::{EventKind, RawGame, RawPeriod};
use serde::Serialize;

use crate::error::told_with_causes;
use crate::mapping::Mapping;
use crate::read::read_watched;
use crate::{IngestError, IngestParams, ReadGame, Source, find_sources};
use watcher::Watcher;

/// What was understood of everything at a path, and what is wrong with it. [`std::fmt::Display`] tells it as text.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Inspection {
    /// A part for each source.
    pub sources: Vec<InspectedSource>,
}

/// What was understood of one source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedSource {
    /// Its folder's or file's name.
    pub name: String,
    /// The mapping file, when there is one.
    pub mapping: Option<String>,
    /// Its tracking files.
    pub files: Vec<InspectedFile>,
    /// The side tables found, and those not found (`None`).
    pub side_tables: SideTablesFound,
    /// Rows read.
    pub rows: u64,
    /// The games that can be used.
    pub games: Vec<InspectedGame>,
    /// The games that would be refused, each with why.
    pub refused_games: BTreeMap<String, String>,
    /// How many rows would be refused, by reason.
    pub refused_rows: BTreeMap<String, u64>,
    /// The first refusals of each reason, at most three.
    pub refusal_examples: Vec<RefusalExample>,
    /// How often each event word stands.
    pub event_words: BTreeMap<String, u64>,
    /// Event words that the contract does not know, and how often each stands.
    pub unknown_event_words: BTreeMap<String, u64>,
    /// Columns that are not read.
    pub ignored_columns: Vec<String>,
    /// Whether a run could use anything of it.
    pub is_usable: bool,
    /// What is wrong or doubtful, each with a suggestion; the gravest first.
    pub findings: Vec<Finding>,
}

/// A tracking file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedFile {
    /// Where.
    pub path: String,
    /// What it is.
    pub format: String,
    /// Rows seen.
    pub rows: u64,
    /// The first coordinate as the file tells it, in its own unit.
    pub x: Option<Spread>,
    /// The second coordinate as the file tells it, in its own unit.
    pub y: Option<Spread>,
}

/// How far numbers spread: the smallest, the largest, and the bounds of the middle 98 %.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// The smallest.
    pub least: f64,
    /// One in a hundred is below.
    pub percent_1: f64,
    /// One in a hundred is above.
    pub percent_99: f64,
    /// The largest.
    pub most: f64,
}

/// Which side tables there are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SideTablesFound {
    /// `games`
    pub games: Option<String>,
    /// `players`
    pub players: Option<String>,
    /// `events`
    pub events: Option<String>,
}

/// One refused row, as an example.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RefusalExample {
    /// Why.
    pub reason: String,
    /// The file.
    pub source: String,
    /// The row.
    pub row: u64,
    /// What was found, what was expected, how to fix it.
    pub detail: String,
}

/// A game that can be used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedGame {
    /// Its id.
    pub game_id: String,
    /// Its two teams; home first when that is known.
    pub teams: [String; 2],
    /// Whether it is.
    pub home_is_known: bool,
    /// Players of each team who have a sample.
    pub players: [usize; 2],
    /// The court.
    pub court: String,
    /// Rows of it that would be refused.
    pub refused_rows: u64,
    /// Its events; `None` when the source has no such table.
    pub events: Option<usize>,
    /// Its periods.
    pub periods: Vec<InspectedPeriod>,
}

/// A period.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedPeriod {
    /// From 1.
    pub number: u8,
    /// Samples of players and the ball.
    pub samples: u64,
    /// Repeated samples.
    pub duplicate_rows: u32,
    /// Its first and last instant, s from its first frame.
    pub from_s: f64,
    /// Its last instant, s from its first frame.
    pub to_s: f64,
    /// Instants a second: one over the commonest step, `None` with fewer than two instants.
    pub hz: Option<f64>,
    /// Share of steps within a tenth of the commonest one.
    pub regular_share: f64,
    /// Steps of more than a second.
    pub long_steps: u64,
    /// Players with a sample.
    pub players: usize,
    /// The middle number of players at an instant.
    pub players_at_once: usize,
    /// Share of instants at which the ball has a sample.
    pub ball_share: f64,
    /// Whether the ball's height is told at all.
    pub ball_height: bool,
    /// Smallest and largest x of the players, m, court frame.
    pub x_m: Option<[f32; 2]>,
    /// Smallest and largest y of the players, m, court frame.
    pub y_m: Option<[f32; 2]>,
    /// The game clock.
    pub game_clock: InspectedClock,
    /// The shot clock.
    pub shot_clock: InspectedClock,
}

/// What a clock does in a period, after the mapping.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct InspectedClock {
    /// Its first and last value, s; `None` when it is not told.
    pub first_s: Option<f32>,
    /// Its last value, s.
    pub last_s: Option<f32>,
    /// Steps on which it counts down.
    pub steps_down: u64,
    /// Steps on which it counts up.
    pub steps_up: u64,
}

/// Something wrong or doubtful.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// What was found.
    pub what: String,
    /// What to do about it, in the mapping's words where they can help.
    pub suggestion: String,
}

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// A run would leave out a file or a game.
    Wrong,
    /// A run would go on, and its tags may be bad.
    Doubtful,
    /// Good to know.
    Note,
}

/// Reads everything at `path` as a run would, and tells what was understood and what is wrong. What cannot be read is
/// told as a finding; only a path without any source, or a mapping that is none, is an error.
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
    let mapping = match &source.mapping {
        Some(path) => Mapping::read(path)?,
        None => Mapping::default(),
    };
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
                *event_words.entry(event_word(&event.kind)).or_default() += 1;
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
    let mut told = InspectedSource {
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
            told.rows = report.rows;
            told.refused_rows = report
                .refused_rows
                .iter()
                .map(|(reason, n)| (reason.as_str().into(), *n))
                .collect();
            add_examples(&report.quarantine, &mut told.refusal_examples);
            for game in &report.refused {
                add_examples(&game.quarantine, &mut told.refusal_examples);
                told.refused_games
                    .insert(game.game_id.to_string(), told_with_causes(&game.error));
                findings.push(wrong(
                    told_with_causes(&game.error),
                    "fix it, or the game is left out",
                ));
            }
            for file in &report.failed_files {
                findings.push(wrong(
                    told_with_causes(&file.error),
                    "fix it, or the file is left out",
                ));
            }
            told.ignored_columns = report.ignored_columns;
            told.unknown_event_words = report
                .unknown_event_words
                .iter()
                .map(|(word, n)| (word.to_string(), *n))
                .collect();
        }
        Err(error) => findings.push(wrong(
            told_with_causes(&error),
            "fix it; nothing can be read as it is",
        )),
    }
    findings.extend(advice::findings(&told, &watcher, mapping, &params));
    findings.sort_by_key(|finding| finding.severity);
    findings.dedup();
    told.findings = findings;
    told
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

fn event_word(kind: &EventKind) -> String {
    match kind {
        EventKind::PeriodStart => "period_start".into(),
        EventKind::PeriodEnd => "period_end".into(),
        EventKind::ShotMade => "shot_made".into(),
        EventKind::ShotMissed => "shot_missed".into(),
        EventKind::FreeThrowMade => "free_throw_made".into(),
        EventKind::FreeThrowMissed => "free_throw_missed".into(),
        EventKind::Rebound => "rebound".into(),
        EventKind::Turnover => "turnover".into(),
        EventKind::Steal => "steal".into(),
        EventKind::Foul => "foul".into(),
        EventKind::SubstitutionIn => "substitution_in".into(),
        EventKind::SubstitutionOut => "substitution_out".into(),
        EventKind::Timeout => "timeout".into(),
        EventKind::Violation => "violation".into(),
        EventKind::Other(word) => word.to_string(),
    }
}

fn inspect_game(raw: &RawGame) -> InspectedGame {
    let mut seen = vec![false; raw.players.len()];
    for track in raw.periods.iter().flat_map(|p| &p.players) {
        seen[track.who.index()] = true;
    }
    let mut players = [0; 2];
    for (player, _) in raw.players.iter().zip(&seen).filter(|(_, seen)| **seen) {
        players[player.team.index()] += 1;
    }
    InspectedGame {
        game_id: raw.info.game_id.to_string(),
        teams: raw.info.team_ids.clone().map(|t| t.to_string()),
        home_is_known: raw.info.home_is_known,
        players,
        court: raw.info.court.name.clone(),
        refused_rows: 0,
        events: raw.events.as_ref().map(Vec::len),
        periods: raw.periods.iter().map(inspect_period).collect(),
    }
}

fn inspect_period(period: &RawPeriod) -> InspectedPeriod {
    let sorted = |mut times: Vec<f64>| {
        times.sort_unstable_by(f64::total_cmp);
        times
    };
    let of_players = sorted(period.players.iter().flat_map(|t| &t.t_s).copied().collect());
    let mut at_once: Vec<usize> = of_players.chunk_by(|a, b| a == b).map(<[f64]>::len).collect();
    at_once.sort_unstable();
    let players_at_once = at_once.get(at_once.len() / 2).copied().unwrap_or(0);
    let mut instants = sorted(
        of_players
            .into_iter()
            .chain(period.ball.t_s.iter().copied())
            .collect(),
    );
    let samples = instants.len() as u64;
    instants.dedup();
    let steps: Vec<f64> = instants.windows(2).map(|w| w[1] - w[0]).collect();
    let in_order = sorted(steps.clone());
    let usual = in_order.get(in_order.len() / 2).copied();
    let regular = |usual: f64| steps.iter().filter(|s| (*s - usual).abs() <= 0.1 * usual).count();
    let bounds = |of: fn(&scrim_tracks::RawTrack<scrim_tracks::PlayerIx>) -> &[f32]| -> Option<[f32; 2]> {
        let all = || period.players.iter().flat_map(of).copied();
        Some([all().min_by(f32::total_cmp)?, all().max_by(f32::total_cmp)?])
    };
    InspectedPeriod {
        number: period.number,
        samples,
        duplicate_rows: period.duplicate_rows,
        from_s: instants.first().copied().unwrap_or(0.0),
        to_s: instants.last().copied().unwrap_or(0.0),
        hz: usual.map(|step| 1.0 / step),
        regular_share: usual.map_or(0.0, |usual| regular(usual) as f64 / steps.len() as f64),
        long_steps: steps.iter().filter(|s| **s > 1.0).count() as u64,
        players: period.players.len(),
        players_at_once,
        ball_share: period.ball.t_s.len() as f64 / instants.len().max(1) as f64,
        ball_height: !period.ball.z_m.is_empty(),
        x_m: bounds(|t| &t.x_m),
        y_m: bounds(|t| &t.y_m),
        game_clock: inspect_clock(period.clocks.iter().map(|c| c.game_clock_s)),
        shot_clock: inspect_clock(period.clocks.iter().map(|c| c.shot_clock_s)),
    }
}

fn inspect_clock(told_s: impl Iterator<Item = f32>) -> InspectedClock {
    let mut clock = InspectedClock {
        first_s: None,
        last_s: None,
        steps_down: 0,
        steps_up: 0,
    };
    for now_s in told_s.filter(|s| !s.is_nan()) {
        match clock.last_s {
            Some(last_s) if now_s < last_s => clock.steps_down += 1,
            Some(last_s) if now_s > last_s => clock.steps_up += 1,
            Some(_) | None => {}
        }
        clock.first_s.get_or_insert(now_s);
        clock.last_s = Some(now_s);
    }
    clock
}
