//! One source through the stages: read, tagged, judged by the gate, written.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::Ordering;
use std::time::Instant;

use scrim_ingest::{IngestError, ReadGame, Source, read_source};
use scrim_tables::ledger::{MadeFrom, Manifest, Part, PartStage, VideoMark, remove_part};
use scrim_tables::rows::{GameQualityRow, PossessionRow, QuarantineRow};
use scrim_tables::tags::Verdict;
use scrim_tables::{Partition, Row, Scope, StoreError, TakesRows, nameless_path, write_rows};
use tracing::{info, warn};

use super::plan::RunPlan;
use crate::claims::{Claims, Kind};
use crate::failure::guarded;
use crate::source_record::{FileStamp, GameRecord, SourceRecord, now_ns};
use crate::summary::{DoneGame, SourceSummary};
use crate::video::{notes_of, stage_marked};
use crate::{Failure, tag_game};

/// One source through the stages.
pub(super) struct Worker<'a> {
    pub(super) place: usize,
    pub(super) plan: &'a RunPlan<'a>,
    pub(super) claims: &'a Claims,
    pub(super) input_hash: Option<String>,
    /// Its files as they were before the hash was taken.
    pub(super) files: Option<&'a [FileStamp]>,
    /// Its games when it was last done.
    pub(super) before: &'a [GameRecord],
}

impl Worker<'_> {
    pub(super) fn run(&self, source: &Source) -> SourceSummary {
        let mut summary = SourceSummary {
            is_final: true,
            ..SourceSummary::default()
        };
        let start = Instant::now();
        self.read(source, &mut summary);
        // What was not spent on games was spent on reading.
        let rest_s = start.elapsed().as_secs_f64() - summary.times.sum();
        summary.times.add("read", rest_s.max(0.0));
        let Some(input_hash) = &self.input_hash else {
            return summary;
        };
        summary
            .input_hashes
            .insert(source.name.clone(), input_hash.clone());
        if self.files != self.plan.inputs.stamps(source).as_deref() {
            summary.skip(source, None, &Failure::ChangedWhileRead);
        }
        if let Some(files) = self.files.filter(|_| summary.is_final) {
            let record = SourceRecord {
                made_from: MadeFrom::new(self.plan.run, Scope::Game, self.inputs(source)),
                games: summary.done.iter().map(DoneGame::record).collect(),
                refused: summary.skipped.clone(),
                files: files.to_vec(),
                recorded_ns: now_ns(),
            };
            if let Err(error) = record.put(self.plan.store, source) {
                summary.skip(source, None, &error.into());
            }
        }
        summary
    }

    /// Looks after games that the source held when it was last done and does not hold now. One that has only changed its season is
    /// removed from the old one, where it would count twice; any other stays, and is reported.
    pub(super) fn leave_behind(&self, source: &Source, summary: &mut SourceSummary) {
        let before = self.before;
        // None of the games: another delivery under the same name, as in a folder that each night's games are put into.
        let is_same = |game: &GameRecord| summary.done.iter().any(|done| done.game_id == game.game_id);
        if !before.iter().any(is_same) {
            return;
        }
        for game in before {
            let is_here = |season: Option<&str>, game_id: &str| {
                game_id == game.game_id
                    && season.unwrap_or("unknown") == game.season.as_deref().unwrap_or("unknown")
            };
            let was_met = summary
                .done
                .iter()
                .any(|done| is_here(done.season.as_deref(), &done.game_id))
                || summary.skipped.iter().any(|skipped| {
                    let game_id = skipped.game_id.as_deref();
                    game_id.is_none_or(|game_id| is_here(skipped.season.as_deref(), game_id))
                });
            if was_met {
                continue;
            }
            let part = Part::Game(game.partition());
            match self.made_of(source, &part) {
                Ok(Some(_)) => {}
                Ok(None) => continue,
                Err(error) => return summary.skip(source, Some(&game.partition()), &error.into()),
            }
            let moved = summary.done.iter().find(|done| done.game_id == game.game_id);
            let Some(moved) = moved else {
                summary.left_behind.push(game.clone());
                continue;
            };
            info!(
                source = source.name,
                game = game.game_id,
                from = game.season,
                to = moved.season,
                "the game's season has changed: it is removed from the old one"
            );
            if let Err(error) = remove_part(self.plan.store, &part) {
                summary.skip(source, Some(&game.partition()), &error.into());
            }
        }
    }

    /// The manifest of a game that was made from this source.
    fn made_of(&self, source: &Source, part: &Part) -> Result<Option<Manifest>, StoreError> {
        let found = Manifest::read(self.plan.store, part)?.map(|(manifest, _)| manifest);
        Ok(found.filter(|manifest| manifest.made_from.inputs.contains_key(&source.name)))
    }

    /// What people marked of the game's video, under its season or the one that it had.
    fn marks_of(&self, source: &Source, partition: &Partition) -> Result<BTreeSet<VideoMark>, StoreError> {
        let here = Manifest::read(self.plan.store, &Part::Game(partition.clone()))?;
        if let Some((manifest, _)) = here {
            return Ok(manifest.video.map(|video| video.marks).unwrap_or_default());
        }
        let earlier = self.before.iter().map(GameRecord::partition);
        for earlier in earlier.filter(|earlier| earlier.game_id() == partition.game_id()) {
            let found = self.made_of(source, &Part::Game(earlier))?;
            if let Some(video) = found.and_then(|manifest| manifest.video) {
                return Ok(video.marks);
            }
        }
        Ok(BTreeSet::new())
    }

    /// What a game of the source is made from.
    fn inputs(&self, source: &Source) -> BTreeMap<String, String> {
        let hash = self.input_hash.as_deref().unwrap_or("unknown");
        BTreeMap::from([(source.name.clone(), hash.to_owned())])
    }

    fn read(&self, source: &Source, summary: &mut SourceSummary) {
        let report = guarded(|| {
            let sink = &mut |mut read| {
                self.plan.inputs.name_in_game(&mut read);
                self.one_game(source, read, summary);
                Ok(())
            };
            Ok(read_source::<IngestError>(
                source,
                &self.plan.pipeline.ingest,
                sink,
            )?)
        });
        let inputs = self.plan.inputs;
        let mut report = match report {
            Ok(report) => report,
            Err(failure) => return summary.skip(source, None, &inputs.name_in_failure(failure)),
        };
        inputs.name_in_notes(&mut report.notes);
        inputs.name_in_rows(&mut report.quarantine);
        summary.rows_read = report.rows;
        summary.rows_quarantined = report.refused_rows.values().sum();
        for (reason, count) in &report.refused_rows {
            *summary.refused_by_reason.entry(reason.to_string()).or_default() += count;
        }
        for note in report.notes {
            info!(source = source.name, stage = "read", "{note}");
            summary.notes.push(format!("{}: {note}", source.name));
        }
        if !report.ignored_columns.is_empty() {
            let columns = report.ignored_columns.join(", ");
            info!(
                source = source.name,
                stage = "read",
                columns,
                "columns that are not read"
            );
        }
        for (word, count) in &report.unknown_event_words {
            summary.unknown_events.insert(word.to_string(), *count);
        }
        for file in report.failed_files {
            summary.skip(source, None, &inputs.name_in_failure(file.error));
        }
        for mut game in report.refused {
            inputs.name_in_rows(&mut game.quarantine);
            let partition = Partition::new(game.season.as_deref(), &game.game_id);
            self.refuse(
                source,
                &partition,
                &inputs.name_in_failure(game.error),
                &[],
                &game.quarantine,
                summary,
            );
        }
        if let Err(failure) = self.nameless(source, &report.quarantine) {
            summary.skip(source, None, &failure);
        }
    }

    fn one_game(&self, source: &Source, read: ReadGame, summary: &mut SourceSummary) {
        let ReadGame {
            raw,
            quarantine,
            notes,
        } = read;
        let partition = Partition::new(raw.info.season.as_deref(), &raw.info.game_id);
        let done = guarded(|| {
            if self.plan.stop.load(Ordering::Relaxed) {
                return Err(Failure::Stopped);
            }
            let mut tagged = tag_game(raw, self.plan.pipeline, &mut summary.times)?;
            tagged.tables.add_notes(&notes);
            let start = Instant::now();
            let mut stage = PartStage::new(self.plan.run, Part::Game(partition.clone()));
            tagged.tables.give_to(&mut stage)?;
            stage.add(&quarantine)?;
            let marks = self.marks_of(source, &partition)?;
            let mut doubts = Vec::new();
            if !marks.is_empty() {
                for row in &tagged.tables.games {
                    let marked = stage_marked(&mut stage, row, &tagged.tables.tracks, marks.clone())?;
                    doubts = notes_of(&marked);
                }
            }
            summary.times.add("encode", start.elapsed().as_secs_f64());
            Ok((tagged, stage, doubts))
        });
        let (tagged, stage, doubts) = match done {
            Ok(done) => done,
            Err(failure) => return self.refuse(source, &partition, &failure, &[], &quarantine, summary),
        };
        if tagged.verdict == Verdict::Refused {
            let failure = Failure::Gate {
                reasons: tagged.reasons.join("; "),
            };
            return self.refuse(
                source,
                &partition,
                &failure,
                &tagged.tables.quality,
                &quarantine,
                summary,
            );
        }
        let (start, rows) = (Instant::now(), stage.rows());
        let published = self.claims.publish(&partition, Kind::Whole, self.place, || {
            stage.publish(self.plan.store, self.inputs(source))?;
            (self.plan.on_game)(&tagged);
            Ok(())
        });
        summary.times.add("write", start.elapsed().as_secs_f64());
        if let Err(failure) = published {
            return summary.skip(source, Some(&partition), &failure);
        }
        for doubt in doubts {
            warn!(
                source = source.name,
                game = partition.game_id(),
                stage = "write",
                "{doubt}"
            );
            summary.notes.push(format!("{}: {doubt}", source.name));
        }
        summary.rows_written += rows;
        let game = DoneGame::of(source, &partition, &tagged, quarantine.len() as u64);
        // Nobody watches a nightly run: what makes a game's tags worth less is a warning, not only a row.
        if game.verdict != Verdict::Good {
            warn!(
                source = source.name,
                game = game.game_id,
                stage = "gate",
                verdict = game.verdict.as_str(),
                reasons = game.reasons,
                "look at game_quality before trusting its tags"
            );
        }
        info!(
            source = source.name,
            game = game.game_id,
            stage = "write",
            possessions = game.possessions,
            ball_screens = game.ball_screens,
            handoffs = game.handoffs,
            rows_quarantined = game.rows_quarantined,
            verdict = game.verdict.as_str(),
            "game done"
        );
        summary.done.push(game);
    }

    /// Reports a game that failed, and keeps its refused rows, and the quality of one that was read; other tables, of an earlier run,
    /// stay as they are, and the quality that goes with them.
    fn refuse(
        &self,
        source: &Source,
        partition: &Partition,
        failure: &Failure,
        quality: &[GameQualityRow],
        quarantine: &[QuarantineRow],
        summary: &mut SourceSummary,
    ) {
        summary.skip(source, Some(partition), failure);
        if !partition.has_a_name() {
            return;
        }
        let kept = self.claims.publish(partition, Kind::Refused, self.place, || {
            let part = Part::Game(partition.clone());
            let old = Manifest::read(self.plan.store, &part)?
                .map(|(manifest, _)| manifest)
                .filter(|manifest| manifest.files.contains_key(PossessionRow::TABLE));
            match old {
                Some(old) => {
                    let mut stage = PartStage::beside(&old, part);
                    stage.add(quarantine)?;
                    stage.add_to(self.plan.store, old)?
                }
                None => {
                    let mut stage = PartStage::new(self.plan.run, part);
                    stage.add(quarantine)?;
                    if !quality.is_empty() {
                        stage.add(quality)?;
                    }
                    stage.publish(self.plan.store, self.inputs(source))?
                }
            };
            Ok(())
        });
        if let Err(failure) = kept {
            summary.skip(source, Some(partition), &failure);
        }
    }

    /// Writes refused rows that name no game: a file a source, so that a re-run of one source leaves the others'.
    fn nameless(&self, source: &Source, rows: &[QuarantineRow]) -> Result<(), Failure> {
        let name = nameless_path(&source.name);
        if rows.is_empty() {
            self.plan.store.remove(&name)?;
        } else {
            let bytes = write_rows(rows, None, self.plan.run)?;
            self.plan.store.put(&name, &bytes)?;
        }
        Ok(())
    }
}
