//! What a run was made from, and what became of it: the table `runs`. The only place that reads the clock.

use std::fs::File;
use std::io;
use std::path::PathBuf;
use std::time::SystemTime;

use chrono::{DateTime, SecondsFormat, Utc};
use scrim_ingest::Source;
use scrim_tables::ledger::{Holder, json_text, read_json, sha256_of};
use scrim_tables::rows::RunRow;
use scrim_tables::tags::Verdict;
use scrim_tables::{
    ReadStore, Row, RunInfo, SCHEMA_VERSION, Scope, Store, StoreError, sha256_hex, write_rows,
};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::Failure;
use crate::summary::{DoneSeason, RunSummary, Skipped, SourceSummary};

/// A run that has begun.
#[derive(Debug)]
pub struct RunRecord<'a> {
    run: &'a RunInfo,
    started: DateTime<Utc>,
    id: String,
}

impl<'a> RunRecord<'a> {
    /// A run that begins now.
    pub fn start(run: &'a RunInfo) -> Self {
        let started: DateTime<Utc> = SystemTime::now().into();
        // Two runs that begin within one second differ in what is hashed.
        let what_differs = format!(
            "{} {} {}",
            run.parameters_hash(Scope::Run),
            started.to_rfc3339(),
            std::process::id()
        );
        let hash = sha256_of(what_differs.as_bytes());
        Self {
            run,
            started,
            id: format!("{}-{}", started.format("%Y%m%dT%H%M%SZ"), &hash[..8]),
        }
    }

    /// What the run is called.
    pub fn id(&self) -> &str {
        &self.id
    }

    /// Who it is, for the lock.
    pub fn holder(&self, what: &str) -> Holder {
        #[cfg(unix)]
        let host = rustix::system::uname().nodename().to_string_lossy().into_owned();
        #[cfg(not(unix))]
        let host = "this machine".to_owned();
        Holder {
            what: what.into(),
            process: std::process::id(),
            host,
            started: self.started.to_rfc3339_opts(SecondsFormat::Secs, true),
        }
    }

    /// Writes what became of the games of a run: a row each, and one for each source or game that was given up.
    ///
    /// # Errors
    /// [`Failure`] when the file cannot be written.
    pub fn put_games(&self, all: &SourceSummary, store: &dyn Store) -> Result<(), Failure> {
        let base = self.base();
        let hash_of = |source: &str| all.input_hashes.get(source).map(|hash| hash.as_str().into());
        let done = all.done.iter().map(|game| RunRow {
            source: Some(game.source.as_str().into()),
            input_hash: hash_of(&game.source),
            season: Some(game.season.as_deref().unwrap_or("unknown").into()),
            game_id: Some(game.game_id.as_str().into()),
            possessions: u32::try_from(game.possessions).ok(),
            ball_screens: u32::try_from(game.ball_screens).ok(),
            handoffs: u32::try_from(game.handoffs).ok(),
            rows_quarantined: Some(game.rows_quarantined),
            verdict: game.verdict,
            reason: (!game.reasons.is_empty()).then(|| game.reasons.clone()),
            ..base.clone()
        });
        let skipped = all.skipped.iter().map(|skipped| RunRow {
            input_hash: hash_of(&skipped.source),
            ..skipped_row(skipped, &base)
        });
        put(&done.chain(skipped).collect::<Vec<_>>(), self.run, store)
    }

    /// Writes what became of the seasons of `scrim season`: a row each, and one for each game or season that was given up.
    ///
    /// # Errors
    /// [`Failure`] when the file cannot be written.
    pub fn put_seasons(
        &self,
        done: &[DoneSeason],
        skipped: &[Skipped],
        store: &dyn Store,
    ) -> Result<(), Failure> {
        let base = self.base();
        let done = done.iter().map(|season| RunRow {
            season: Some(season.season.as_deref().unwrap_or("unknown").into()),
            ..base.clone()
        });
        let skipped = skipped.iter().map(|skipped| skipped_row(skipped, &base));
        put(&done.chain(skipped).collect::<Vec<_>>(), self.run, store)
    }

    /// Writes the run as one JSON document, `ledger/runs/RUN.json`: first when it begins, without a summary, so that one that is killed
    /// is on record, too.
    ///
    /// # Errors
    /// [`Failure`] when the file cannot be written.
    pub fn put_document(
        &self,
        command: &str,
        summary: Option<&RunSummary>,
        store: &dyn Store,
    ) -> Result<(), Failure> {
        let document = RunDocument {
            run_id: self.id.clone(),
            command: command.into(),
            started: self.started.to_rfc3339_opts(SecondsFormat::Millis, true),
            ended: summary.map(|_| now()),
            program_version: self.run.version.clone(),
            schema_version: SCHEMA_VERSION.into(),
            pipeline: self.run.pipeline.clone(),
            parameters: self.run.parameters_toml.clone(),
            parameters_hash: self.run.parameters_hash(Scope::Run),
            game_parameters_hash: self.run.parameters_hash(Scope::Game),
            exit_code: summary.map(|summary| summary.exit().code()),
            summary: serde_json::to_value(summary).unwrap_or_default(),
        };
        Ok(store.put(&document_path(&self.id), &json_text(&document))?)
    }

    /// What all rows of the run have in common; it ends now.
    fn base(&self) -> RunRow {
        RunRow {
            run_id: self.id.as_str().into(),
            started: self.started.to_rfc3339_opts(SecondsFormat::Millis, true).into(),
            ended: now().into(),
            program_version: self.run.version.as_str().into(),
            schema_version: SCHEMA_VERSION.into(),
            pipeline: self.run.pipeline.as_str().into(),
            parameters: self.run.parameters_toml.as_str().into(),
            parameters_hash: self.run.parameters_hash(Scope::Run).into(),
            game_parameters_hash: self.run.parameters_hash(Scope::Game).into(),
            source: None,
            input_hash: None,
            season: None,
            game_id: None,
            verdict: Verdict::Done,
            reason: None,
            possessions: None,
            ball_screens: None,
            handoffs: None,
            rows_quarantined: None,
        }
    }
}

fn skipped_row(skipped: &Skipped, base: &RunRow) -> RunRow {
    RunRow {
        source: Some(skipped.source.as_str().into()),
        season: skipped.season.as_deref().map(Into::into),
        game_id: skipped.game_id.as_deref().map(Into::into),
        verdict: skipped.verdict,
        reason: Some(skipped.reason.clone()),
        ..base.clone()
    }
}

fn put(rows: &[RunRow], run: &RunInfo, store: &dyn Store) -> Result<(), Failure> {
    let Some(first) = rows.first() else {
        return Ok(());
    };
    let name = format!("{}/{}.parquet", RunRow::TABLE, first.run_id);
    Ok(store.put(&name, &write_rows(rows, None, run)?)?)
}

fn now() -> String {
    let now: DateTime<Utc> = SystemTime::now().into();
    now.to_rfc3339_opts(SecondsFormat::Millis, true)
}

/// All that a run says of itself: what `scrim runs show` prints.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RunDocument {
    /// The run.
    pub run_id: String,
    /// What was called.
    pub command: String,
    /// When it began, UTC (RFC 3339).
    pub started: String,
    /// When it had written all else, UTC (RFC 3339); `None` of one that did not get there, or has not yet.
    pub ended: Option<String>,
    /// The program's version.
    pub program_version: String,
    /// Version of the tables' columns.
    pub schema_version: String,
    /// The pipeline's name.
    pub pipeline: String,
    /// All parameters, defaults included, as TOML.
    pub parameters: String,
    /// SHA-256 of them; in the footers of the seasons' files.
    pub parameters_hash: String,
    /// SHA-256 of those that a game's tables depend on; in the footers of the games' files.
    pub game_parameters_hash: String,
    /// How it ended.
    pub exit_code: Option<u8>,
    /// Its summary: inputs and their hashes, games done, unchanged and skipped with verdicts and reasons, rows in, out and refused by
    /// reason, seconds a stage.
    pub summary: serde_json::Value,
}

/// Where the documents of runs are.
pub const DOCUMENTS: &str = "ledger/runs";

fn document_path(run_id: &str) -> String {
    format!("{DOCUMENTS}/{run_id}.json")
}

/// The documents of all runs, the first one first. One that cannot be understood is left out.
///
/// # Errors
/// [`StoreError`] when the store cannot be read.
pub fn documents(store: &dyn ReadStore) -> Result<Vec<RunDocument>, StoreError> {
    let mut found = Vec::new();
    for name in store.list(DOCUMENTS)? {
        found.extend(read_json::<RunDocument>(store, &format!("{DOCUMENTS}/{name}"))?);
    }
    found.sort_by(|a, b| (&a.started, &a.run_id).cmp(&(&b.started, &b.run_id)));
    Ok(found)
}

/// SHA-256 of a source's files: of each its name, a line end, its length as eight bytes (little endian), and its bytes; tracking,
/// games, players, events, mapping, in this order.
///
/// # Errors
/// [`io::Error`] when a file cannot be read.
pub(crate) fn input_hash(source: &Source) -> io::Result<String> {
    let mut hash = Sha256::new();
    for path in source.files() {
        add_file(&mut hash, path)?;
    }
    Ok(sha256_hex(hash))
}

fn add_file(hash: &mut Sha256, path: &PathBuf) -> io::Result<()> {
    let mut file = File::open(path)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    hash.update(format!("{name}\n"));
    hash.update(file.metadata()?.len().to_le_bytes());
    let mut buffer = vec![0; 1 << 16];
    loop {
        match io::Read::read(&mut file, &mut buffer)? {
            0 => return Ok(()),
            read => hash.update(&buffer[..read]),
        }
    }
}
