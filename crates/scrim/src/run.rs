//! Many sources at once: one a worker, so that memory grows with the workers and never with the season.
//!
//! The same sources give the same tables at any number of workers. A source is read by one worker from its first row to
//! its last; where two sources hold the same game, the first by order is kept, whoever was faster.

use std::time::Instant;

use rayon::prelude::*;
use scrim_ingest::{IngestError, ReadGame, Source, read_source};
use scrim_season::ball_screens::is_ball_screen;
use scrim_tables::rows::{GameQualityRow, PossessionRow, QuarantineRow};
use scrim_tables::tags::Verdict;
use scrim_tables::{GameStage, Partition, Row, RunInfo, Store, nameless_path, write_rows};
use tracing::{info, warn};

use crate::claims::{Claims, Kind};
use crate::failure::{guarded, with_causes};
use crate::run_record::input_hash;
use crate::summary::{DoneGame, Skipped, SourceSummary};
use crate::{Failure, Pipeline, RunSummary, TaggedGame, tag_game};

/// What a run needs.
pub struct RunPlan<'a> {
    /// What is done.
    pub pipeline: &'a Pipeline,
    /// What the tables' footers say of it.
    pub run: &'a RunInfo,
    /// Where the tables go.
    pub store: &'a dyn Store,
    /// How many sources are worked on at once, at least 1.
    pub jobs: usize,
    /// Called with each game that was done, on the worker's thread, in no order.
    pub on_game: &'a (dyn Fn(&TaggedGame) + Sync),
    /// Called with each source that is over, on the worker's thread, in no order.
    pub on_source: &'a (dyn Fn(&SourceSummary) + Sync),
}

/// Runs every source. A game, file or source that fails is listed in the summary; the others go on.
///
/// # Errors
/// [`rayon::ThreadPoolBuildError`] when the system gives no threads.
pub fn run_sources(
    sources: &[Source],
    plan: &RunPlan<'_>,
) -> Result<RunSummary, rayon::ThreadPoolBuildError> {
    let start = Instant::now();
    let workers = plan.jobs.clamp(1, sources.len().max(1));
    let pool = rayon::ThreadPoolBuilder::new().num_threads(workers).build()?;
    let claims = Claims::default();
    let mut summaries = pool.install(|| {
        sources
            .par_iter()
            .enumerate()
            // A piece a source: sources differ in size.
            .with_max_len(1)
            .map(|(place, source)| {
                let summary = Worker {
                    place,
                    plan,
                    claims: &claims,
                }
                .run(source);
                (plan.on_source)(&summary);
                summary
            })
            .collect::<Vec<_>>()
    });
    claims.tell_who_gave_way(sources, &mut summaries);
    Ok(RunSummary::of(summaries, start.elapsed().as_secs_f64()))
}

impl SourceSummary {
    pub(crate) fn skip(&mut self, source: &Source, partition: Option<&Partition>, failure: &Failure) {
        let reason = with_causes(failure);
        let game_id = partition.map(|partition| partition.game_id().to_owned());
        warn!(source = source.name, game = game_id, reason, "skipped");
        self.skipped.push(Skipped {
            source: source.name.clone(),
            season: partition.map(|partition| partition.season().unwrap_or("unknown").to_owned()),
            game_id,
            verdict: match failure {
                Failure::Gate { .. } => Verdict::Refused,
                _ => Verdict::Skipped,
            },
            reason,
        });
    }
}

/// One source through the stages.
struct Worker<'a> {
    place: usize,
    plan: &'a RunPlan<'a>,
    claims: &'a Claims,
}

impl Worker<'_> {
    fn run(&self, source: &Source) -> SourceSummary {
        let mut summary = SourceSummary::default();
        if let Ok(hash) = input_hash(source) {
            summary.input_hashes.insert(source.name.clone(), hash);
        }
        let report = guarded(|| {
            let sink = &mut |read| {
                self.one_game(source, read, &mut summary);
                Ok(())
            };
            Ok(read_source::<IngestError>(
                source,
                &self.plan.pipeline.ingest,
                sink,
            )?)
        });
        let report = match report {
            Ok(report) => report,
            Err(failure) => {
                summary.skip(source, None, &failure);
                return summary;
            }
        };
        summary.rows_read = report.rows;
        summary.rows_quarantined = report.refused_rows.values().sum();
        for note in report.notes {
            info!(source = source.name, "{note}");
            summary.notes.push(format!("{}: {note}", source.name));
        }
        if !report.ignored_columns.is_empty() {
            let columns = report.ignored_columns.join(", ");
            info!(source = source.name, columns, "columns that are not read");
        }
        for (word, count) in &report.unknown_event_words {
            summary.unknown_events.insert(word.to_string(), *count);
        }
        for file in report.failed_files {
            summary.skip(source, None, &file.error.into());
        }
        for game in report.refused {
            let partition = Partition::new(game.season.as_deref(), &game.game_id);
            self.refuse(
                source,
                &partition,
                &game.error.into(),
                &[],
                &game.quarantine,
                &mut summary,
            );
        }
        if let Err(failure) = self.nameless(source, &report.quarantine) {
            summary.skip(source, None, &failure);
        }
        summary
    }

    fn one_game(&self, source: &Source, read: ReadGame, summary: &mut SourceSummary) {
        let ReadGame {
            raw,
            quarantine,
            notes,
        } = read;
        let partition = Partition::new(raw.info.season.as_deref(), &raw.info.game_id);
        let done = guarded(|| tag_game(raw, self.plan.pipeline)).and_then(|mut tagged| {
            tagged.tables.add_notes(&notes);
            let mut stage = GameStage::new(self.plan.run, partition.clone());
            tagged.tables.stage(&mut stage)?;
            stage.add(&quarantine)?;
            Ok((tagged, stage))
        });
        let (tagged, stage) = match done {
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
        let published = self.claims.publish(&partition, Kind::Whole, self.place, || {
            stage.publish(self.plan.store)?;
            (self.plan.on_game)(&tagged);
            Ok(())
        });
        if let Err(failure) = published {
            return summary.skip(source, Some(&partition), &failure);
        }
        let on_ball = tagged.tables.screens.iter().filter(|row| row.on_ball);
        let ball_screens = on_ball
            .clone()
            .filter(|row| is_ball_screen(row.screen_kind))
            .count() as u64;
        let game = DoneGame {
            source: source.name.clone(),
            game_id: partition.game_id().into(),
            season: partition.season().map(Into::into),
            possessions: tagged.tables.possessions.len() as u64,
            ball_screens,
            handoffs: on_ball.count() as u64 - ball_screens,
            rows_quarantined: quarantine.len() as u64,
            verdict: tagged.verdict,
            reasons: tagged.reasons.join("; "),
        };
        // Nobody watches a nightly run: what makes a game's tags worth less is a warning, not only a row.
        if game.verdict != Verdict::Good {
            warn!(
                source = source.name,
                game = game.game_id,
                verdict = game.verdict.as_str(),
                reasons = game.reasons,
                "look at game_quality before trusting its tags"
            );
        }
        info!(
            source = source.name,
            game = game.game_id,
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
            let mut stage = GameStage::new(self.plan.run, partition.clone());
            let has_tables = self
                .plan
                .store
                .get(&partition.path(PossessionRow::TABLE))?
                .is_some();
            if !quality.is_empty() && !has_tables {
                stage.add(quality)?;
            }
            stage.add(quarantine)?;
            Ok(stage.publish(self.plan.store)?)
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
            self.plan.store.put_all(&[(name, bytes)])?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use scrim_ingest::find_sources;
    use scrim_practice::{PracticeParams, play_game, write_game};
    use scrim_tables::LocalStore;

    use super::*;

    #[test]
    fn a_panic_in_one_game_leaves_the_others() {
        let folder = tempfile::tempdir().unwrap();
        let params = PracticeParams {
            periods: 1,
            period_s: 30.0,
            ..PracticeParams::default()
        };
        let ids: Vec<_> = (0..3)
            .map(|number| {
                let game = play_game(&params, number);
                write_game(&game, &folder.path().join("in").join(number.to_string())).unwrap();
                game.game_id
            })
            .collect();
        let pipeline = Pipeline::default();
        let plan = RunPlan {
            pipeline: &pipeline,
            run: &pipeline.run_info().unwrap(),
            store: &LocalStore::new(folder.path().join("out")),
            jobs: 2,
            on_game: &|tagged| assert_ne!(tagged.game.info.game_id, ids[1], "this one breaks"),
            on_source: &|_| (),
        };
        let sources = find_sources(&folder.path().join("in"), None).unwrap().sources;
        let summary = run_sources(&sources, &plan).unwrap();
        let done: Vec<_> = summary
            .all
            .done
            .iter()
            .map(|game| game.game_id.as_str())
            .collect();
        assert_eq!(done, [ids[0].as_ref(), ids[2].as_ref()]);
        let reason = &summary.all.skipped[0].reason;
        assert!(
            reason.contains("this one breaks") && reason.contains("report"),
            "{reason}"
        );
    }
}
