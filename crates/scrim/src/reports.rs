//! The reports that a run makes at its end.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use scrim_report::{Choice, ReportError, file_stem, make_report, read_games, teams_of_last_day};
use scrim_tables::LocalStore;
use scrim_tables::tags::Verdict;
use serde::{Deserialize, Serialize};
use tracing::{info, warn};

use crate::RunSummary;
use crate::failure::with_causes;
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

/// Makes the reports that a run is to make, and lists those that cannot be made in the summary. What was written, in order.
pub fn make_reports(output: &Path, params: &ReportParams, summary: &mut RunSummary) -> Vec<PathBuf> {
    let mut written = Vec::new();
    match params.teams {
        ReportTeams::None => return written,
        ReportTeams::LastDay => {}
    }
    let games: BTreeSet<String> = summary.all.done.iter().map(|game| game.game_id.clone()).collect();
    if games.is_empty() {
        return written;
    }
    let teams = match teams_of_last_day(&LocalStore::new(output), Some(&games)) {
        Ok(teams) => teams,
        Err(error) => {
            skip(summary, "reports", &error.into());
            return written;
        }
    };
    for team in teams {
        let path = output.join(REPORTS).join(format!("{}.html", file_stem(&team)));
        let choice = Choice {
            last: Some(params.last_games),
            ..Choice::all_of(team.clone())
        };
        match write_report(output, &choice, &path) {
            Ok(()) => {
                info!(team, path = %path.display(), "report made");
                written.push(path);
            }
            Err(failure) => skip(summary, &format!("report of {team}"), &failure),
        }
    }
    written
}

/// Makes one report and writes it.
///
/// # Errors
/// [`ReportFailure`].
pub fn write_report(tables: &Path, choice: &Choice, path: &Path) -> Result<(), ReportFailure> {
    let games = read_games(&LocalStore::new(tables), choice)?;
    for note in &games.notes {
        warn!("{note}");
    }
    write_whole(path, make_report(&games)?.html.as_bytes())
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
    warn!(what, reason, "not made");
    summary.all.skipped.push(Skipped {
        source: what.into(),
        season: None,
        game_id: None,
        verdict: Verdict::Skipped,
        reason,
    });
}
