//! The reports that a run makes at its end.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use scrim_report::{Choice, ReportError, file_stem, make_report, read_games, teams_of_last_day};
use scrim_season::words::Words;
use scrim_tables::ledger::{Manifest, Part, Snapshot, json_text, read_json, sha256_of};
use scrim_tables::{OutputStore, RunInfo, Scope, StoreError, with_causes};
use serde::{Deserialize, Serialize};
use tracing::{info, warn};

use crate::RunSummary;
use crate::summary::Skipped;

/// Where reports go, below the tables' folder.
pub const REPORTS: &str = "reports";

scrim_floor::parameters! {
    /// Which reports a run makes at its end: `OUTPUT/reports/TEAM.html`.
    pub struct ReportParams {
        /// For which teams.
        teams: ReportTeams = ReportTeams::None, words "none, last_day";
        /// Each team's last games, this many; earlier nights' tables in the output count.
        last_games: u32 = 10, in 1..=10_000;
    }
}

/// For which teams a run makes reports.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReportTeams {
    /// For none.
    None,
    /// For every team that played on the latest day among the run's games; also for those of a game without a day.
    LastDay,
}

/// A report that cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportFailure {
    /// The tables do not give one.
    #[error(transparent)]
    Report(#[from] ReportError),
    /// The tables' folder cannot be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// It cannot be written.
    #[error("{path}: cannot be written; check that the folder exists, has room and may be written", path = path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The path has no file's name.
    #[error("{path}: is no file's name; give the file to write", path = path.display())]
    NoName {
        /// The path.
        path: PathBuf,
    },
}

/// What the reports of the last run were made from, and where they are.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct ReportRecord {
    /// SHA-256 of the games' and seasons' manifests, the run's games and the parameters.
    made_from: String,
    /// Below the output.
    files: Vec<String>,
}

const RECORD: &str = "ledger/reports.json";

/// Makes the reports that a run is to make, unless nothing has changed since they were made, and lists those that cannot be made in the
/// summary. What was written, in order.
pub fn make_reports(
    store: &dyn OutputStore,
    params: &ReportParams,
    run: &RunInfo,
    summary: &mut RunSummary,
) -> Vec<String> {
    match params.teams {
        ReportTeams::None => return Vec::new(),
        ReportTeams::LastDay => {}
    }
    let all = &summary.all;
    let done = all.done.iter().map(|game| game.game_id.clone());
    let games: BTreeSet<String> = done
        .chain(all.unchanged.iter().map(|game| game.game_id.clone()))
        .collect();
    if games.is_empty() {
        return Vec::new();
    }
    match reports_of(store, params, run, &games, summary) {
        Ok(written) => written,
        Err(failure) => {
            skip(summary, "reports", &failure);
            Vec::new()
        }
    }
}

fn reports_of(
    store: &dyn OutputStore,
    params: &ReportParams,
    run: &RunInfo,
    games: &BTreeSet<String>,
    summary: &mut RunSummary,
) -> Result<Vec<String>, ReportFailure> {
    let mut made_from = format!("{} {}\n", run.version, run.parameters_hash(Scope::Run));
    for game in games {
        made_from.push_str(&format!("{game}\n"));
    }
    for scope in [Scope::Game, Scope::Season] {
        for part in Part::find(store, scope)? {
            if let Some((_, digest)) = Manifest::read(store, &part)? {
                made_from.push_str(&format!("{digest}\n"));
            }
        }
    }
    let made_from = sha256_of(made_from.as_bytes());
    let last: Option<ReportRecord> = read_json(store, RECORD)?;
    if let Some(last) = last
        && last.made_from == made_from
    {
        let mut are_there = true;
        for file in &last.files {
            are_there &= store.size(file)?.is_some();
        }
        if are_there {
            return Ok(Vec::new());
        }
    }
    let words = Words::english();
    let mut written = Vec::new();
    let mut files = Vec::new();
    let before = summary.all.skipped.len();
    for team in teams_of_last_day(&Snapshot::new(store), Some(games))? {
        let file = format!("{REPORTS}/{}.html", file_stem(&team));
        let place = format!("{}/{file}", store.place());
        let choice = Choice {
            last: Some(params.last_games),
            ..Choice::all_of(team.clone())
        };
        match put_report(store, &choice, &words, &file) {
            Ok(()) => {
                info!(team, path = place, stage = "report", "report made");
                written.push(place);
                files.push(file);
            }
            Err(failure) => skip(summary, &format!("report of {team}"), &failure),
        }
    }
    if summary.all.skipped.len() == before {
        let record = ReportRecord { made_from, files };
        store.put(RECORD, &json_text(&record))?;
    }
    Ok(written)
}

/// Makes one report and puts it beside the tables.
fn put_report(
    store: &dyn OutputStore,
    choice: &Choice,
    words: &Words,
    file: &str,
) -> Result<(), ReportFailure> {
    let games = read_games(&Snapshot::new(store), choice)?;
    for note in &games.notes {
        warn!("{}", note.text(words));
    }
    Ok(store.put(file, make_report(&games, words)?.html.as_bytes())?)
}

/// Writes a file whole: beside its place first, then renamed, so that a reader never sees half of it.
///
/// # Errors
/// [`ReportFailure`] when it cannot be.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), ReportFailure> {
    let name = path
        .file_name()
        .ok_or_else(|| ReportFailure::NoName { path: path.into() })?;
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut aside = std::ffi::OsString::from(".");
    aside.push(name);
    aside.push(format!(".staged-{}", std::process::id()));
    let aside = folder.join(aside);
    fs::create_dir_all(folder)
        .and_then(|()| fs::write(&aside, bytes))
        .and_then(|()| fs::rename(&aside, path))
        .map_err(|source| {
            // Best effort: the first error is the one to report.
            let _ = fs::remove_file(&aside);
            ReportFailure::Write {
                path: path.into(),
                source,
            }
        })
}

fn skip(summary: &mut RunSummary, what: &str, failure: &ReportFailure) {
    let reason = with_causes(failure);
    warn!(what, stage = "report", reason, "not made");
    summary.all.skipped.push(Skipped::no_game(what.into(), reason));
}
