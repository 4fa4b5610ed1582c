//! Many sources at once: one a worker, so that memory grows with the workers and never with the season.
//!
//! The same sources give the same tables at any number of workers. A source is read by one worker from its first row to
//! its last; where two sources hold the same game, the first by order is kept, whoever was faster.
//!
//! - `plan`: what a run needs;
//! - `worker`: one source through the stages.

mod plan;
mod worker;

use std::sync::atomic::Ordering;
use std::thread::available_parallelism;
use std::time::Instant;

use rayon::prelude::*;
use scrim_ingest::Source;
use scrim_tables::tags::Verdict;
use scrim_tables::{Partition, with_causes};
use tracing::{debug, warn};

pub use self::plan::RunPlan;
use self::worker::Worker;
use crate::claims::{Claims, Kind};
use crate::run_record::input_hash as hash_of;
use crate::source_record::{Decision, SourceRecord, decide};
use crate::summary::{Skipped, SourceSummary};
use crate::{Failure, RunSummary};

/// No machine works on more sources at once.
pub const MOST_JOBS: u16 = 1024;

/// Sources at once when nobody says how many: one a processor.
pub fn workers() -> usize {
    available_parallelism().map_or(1, Into::into)
}

/// Runs every source that is new or changed. A game, file or source that fails is listed in the summary; the others go on.
///
/// # Errors
/// [`rayon::ThreadPoolBuildError`] when the system gives no threads, [`scrim_tables::StoreError`] when the output cannot be read.
pub fn run_sources(sources: &[Source], plan: &RunPlan<'_>) -> anyhow::Result<RunSummary> {
    let start = Instant::now();
    let workers = plan.jobs.clamp(1, sources.len().clamp(1, MOST_JOBS.into()));
    let pool = rayon::ThreadPoolBuilder::new().num_threads(workers).build()?;
    let claims = Claims::default();
    let decisions = pool.install(|| decide(sources, plan.inputs, plan.store, plan.run, plan.redo))?;
    for (place, decision) in decisions.iter().enumerate() {
        if let Decision::UpToDate(record) = decision {
            for game in &record.games {
                claims.hold(&game.partition(), Kind::Whole, place);
            }
            for refused in record.refused.iter().filter_map(Skipped::partition) {
                claims.hold(&refused, Kind::Refused, place);
            }
        }
    }
    let mut summaries = pool.install(|| {
        sources
            .par_iter()
            .zip(&decisions)
            .enumerate()
            // A piece a source: sources differ in size.
            .with_max_len(1)
            .map(|(place, (source, decision))| {
                let summary = match decision {
                    Decision::UpToDate(record) => SourceSummary {
                        unchanged: record.games.clone(),
                        still_refused: record.refused.clone(),
                        ..SourceSummary::default()
                    },
                    Decision::Do {
                        why,
                        input_hash,
                        files,
                        games,
                    } => {
                        debug!(source = source.name, why, "done");
                        let brought = if plan.stop.load(Ordering::Relaxed) {
                            Err(Failure::Stopped)
                        } else {
                            plan.inputs.bring(source)
                        };
                        match brought {
                            Ok(_brought) => {
                                let hash_now = || hash_of(source).ok();
                                let worker = Worker {
                                    place,
                                    plan,
                                    claims: &claims,
                                    input_hash: input_hash.clone().or_else(hash_now),
                                    files: files.as_deref(),
                                    before: games,
                                };
                                let mut summary = worker.run(source);
                                worker.leave_behind(source, &mut summary);
                                summary
                            }
                            Err(failure) => {
                                let mut summary = SourceSummary::default();
                                summary.skip(source, None, &plan.inputs.name_in_failure(failure));
                                summary
                            }
                        }
                    }
                };
                (plan.on_source)(&summary);
                summary
            })
            .collect::<Vec<_>>()
    });
    // Whoever gave way is read again by the next run: the other source may be gone then.
    for place in claims.report_who_gave_way(sources, &mut summaries) {
        SourceRecord::forget(plan.store, &sources[place])?;
    }
    Ok(RunSummary::of(summaries, start.elapsed().as_secs_f64()))
}

impl SourceSummary {
    pub(crate) fn skip(&mut self, source: &Source, partition: Option<&Partition>, failure: &Failure) {
        let reason = with_causes(failure);
        let game_id = partition.map(|partition| partition.game_id().to_owned());
        let stage = failure.stage();
        warn!(source = source.name, game = game_id, stage, reason, "skipped");
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
        self.is_final &= failure.is_lasting();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::AtomicBool;

    use scrim_ingest::find_sources;
    use scrim_practice::{PracticeParams, play_game, write_game};
    use scrim_tables::LocalStore;

    use super::*;
    use crate::Pipeline;
    use crate::inputs::Inputs;
    use crate::source_record::Redo;

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
            inputs: &Inputs::Here,
            store: &LocalStore::new(folder.path().join("out")),
            redo: Redo::All,
            jobs: 2,
            stop: &AtomicBool::new(false),
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
