//! What a run was made from, and what became of it: the table `runs`. The only place that asks for the time.

use std::fs::File;
use std::io;
use std::path::PathBuf;
use std::time::SystemTime;

use chrono::{DateTime, SecondsFormat, Utc};
use scrim_ingest::Source;
use scrim_tables::rows::RunRow;
use scrim_tables::tags::Verdict;
use scrim_tables::{Row, RunInfo, SCHEMA_VERSION, Store, sha256_hex, write_rows};
use sha2::{Digest, Sha256};

use crate::Failure;
use crate::summary::{DoneSeason, Skipped, SourceSummary};

/// A run that has begun.
#[derive(Debug)]
pub struct RunRecord<'a> {
    run: &'a RunInfo,
    started: SystemTime,
}

impl<'a> RunRecord<'a> {
    /// A run that begins now.
    pub fn start(run: &'a RunInfo) -> Self {
        Self {
            run,
            started: SystemTime::now(),
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

    /// What all rows of the run have in common; it ends now.
    fn base(&self) -> RunRow {
        let started: DateTime<Utc> = self.started.into();
        let ended: DateTime<Utc> = SystemTime::now().into();
        let parameters_hash = self.run.parameters_hash();
        // Two runs that begin within one second differ in what is hashed.
        let what_differs = format!(
            "{parameters_hash} {} {}",
            started.to_rfc3339(),
            std::process::id()
        );
        let hash = sha256_hex(Sha256::new().chain_update(what_differs));
        RunRow {
            run_id: format!("{}-{}", started.format("%Y%m%dT%H%M%SZ"), &hash[..8]).into(),
            started: started.to_rfc3339_opts(SecondsFormat::Millis, true).into(),
            ended: ended.to_rfc3339_opts(SecondsFormat::Millis, true).into(),
            program_version: self.run.version.as_str().into(),
            schema_version: SCHEMA_VERSION.into(),
            pipeline: self.run.pipeline.as_str().into(),
            parameters: self.run.parameters_toml.as_str().into(),
            parameters_hash: parameters_hash.into(),
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
    Ok(store.put_all(&[(name, write_rows(rows, None, run)?)])?)
}

/// SHA-256 of a source's files: of each its name, a line end, its length as eight bytes (little endian), and its bytes; tracking,
/// games, players, events, mapping, in this order.
///
/// # Errors
/// [`io::Error`] when a file cannot be read.
pub(crate) fn input_hash(source: &Source) -> io::Result<String> {
    let events = source.events.iter().map(|events| &events.path);
    let files = source
        .tracking
        .iter()
        .chain(&source.games)
        .chain(&source.players)
        .chain(events)
        .chain(&source.mapping);
    let mut hash = Sha256::new();
    for path in files {
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
