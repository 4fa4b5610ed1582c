//! `scrim run`

use std::thread::available_parallelism;

use anyhow::Result;
use clap::CommandFactory;
use clap::error::ErrorKind;
use indicatif::ProgressBar;
use scrim_ingest::{Source, find_sources};
use scrim_tables::Store;
use tracing::info;

use crate::cli::{Cli, RunArgs};
use crate::command::{say, tables_in};
use crate::places::check_output;
use crate::reports::make_reports;
use crate::run_record::RunRecord;
use crate::{Exit, Pipeline, RunPlan, RunSummary, SeasonPlan, TaggedGame, do_seasons, run_sources};

/// Runs a pipeline over an input and says what became of it.
///
/// # Errors
/// When nothing can be begun: no pipeline, no source, no threads.
pub fn run(args: &RunArgs, bar: &ProgressBar) -> Result<Exit> {
    if let Err(refused) = check_output(&args.input, &args.output) {
        let error = Cli::command().error(ErrorKind::ValueValidation, refused);
        // Best effort: with no stderr, the exit code still says so.
        let _ = error.print();
        return Ok(Exit::Usage);
    }
    let pipeline = Pipeline::read(&args.pipeline)?;
    let found = find_sources(&args.input, args.mapping.as_deref())?;
    let mut summary = do_job(
        &Job {
            pipeline: &pipeline,
            sources: &found.sources,
            store: &tables_in(&args.output)?,
            jobs: args.jobs.map(usize::from),
            on_game: &|_| (),
        },
        bar,
    )?;
    summary.take_in_others(found.others);
    summary.expected = args.expect;
    let reports = make_reports(&args.output, &pipeline.report, &mut summary);
    let mut text = format!("{summary}tables            {}\n", args.output.display());
    for path in reports {
        text.push_str(&format!("report            {}\n", path.display()));
    }
    say(&text)?;
    Ok(summary.exit())
}

/// A run, checked and ready.
pub(crate) struct Job<'a> {
    pub(crate) pipeline: &'a Pipeline,
    pub(crate) sources: &'a [Source],
    /// Where the tables go.
    pub(crate) store: &'a dyn Store,
    /// Sources at once; `None` is one a processor.
    pub(crate) jobs: Option<usize>,
    pub(crate) on_game: &'a (dyn Fn(&TaggedGame) + Sync),
}

/// Runs it, with a bar.
pub(crate) fn do_job(job: &Job<'_>, bar: &ProgressBar) -> Result<RunSummary> {
    let jobs = job
        .jobs
        .unwrap_or_else(|| available_parallelism().map_or(1, Into::into));
    bar.set_length(job.sources.len() as u64);
    info!(
        pipeline = job.pipeline.name,
        sources = job.sources.len(),
        jobs,
        "run begins"
    );
    let run = job.pipeline.run_info()?;
    let record = RunRecord::start(&run);
    let plan = RunPlan {
        pipeline: job.pipeline,
        run: &run,
        store: job.store,
        jobs,
        on_game: job.on_game,
        on_source: &|_| bar.inc(1),
    };
    let mut summary = run_sources(job.sources, &plan)?;
    let touched = summary.all.done.iter().map(|game| game.season.clone()).collect();
    bar.set_message("season");
    let seasons = do_seasons(
        &touched,
        &SeasonPlan {
            store: plan.store,
            params: &job.pipeline.season,
            poor_too: job.pipeline.gate.poor_in_seasons,
            definitions: &job.pipeline.definitions,
            run: plan.run,
            jobs,
        },
    )?;
    summary.take_in(seasons);
    record.put_games(&summary.all, plan.store)?;
    bar.finish_and_clear();
    info!(
        games_done = summary.all.done.len(),
        skipped = summary.all.skipped.len(),
        rows_read = summary.all.rows_read,
        rows_quarantined = summary.all.rows_quarantined,
        unknown_events = summary.all.unknown_events.values().sum::<u64>(),
        seconds = summary.seconds,
        "run ended"
    );
    Ok(summary)
}
