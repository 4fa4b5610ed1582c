//! `scrim run`

use std::sync::atomic::AtomicBool;

use anyhow::Result;
use clap::CommandFactory;
use clap::error::ErrorKind;
use indicatif::ProgressBar;
use scrim_ingest::{FoundSources, Source};
use scrim_tables::{RunInfo, Store};
use tracing::info;

use crate::alert::{alert_of_error, alert_text};
use crate::cli::{Cli, RunArgs};
use crate::command::{say, store_at, tables_in};
use crate::inputs::Inputs;
use crate::output::{Output, check_parameters};
use crate::places::check_output;
use crate::reports::{make_reports, write_whole};
use crate::run::workers;
use crate::run_record::RunRecord;
use crate::source_record::{Decision, Redo, decide};
use crate::{Exit, Pipeline, RunPlan, RunSummary, SeasonPlan, TaggedGame, do_seasons, run_sources};

/// Runs a pipeline over an input and says what became of it.
///
/// # Errors
/// When nothing can be begun: no pipeline, no source, no threads, an output that somebody else writes to.
pub fn run(args: &RunArgs, bar: &ProgressBar) -> Result<Exit> {
    if let Err(refused) = check_output(&args.input, &args.output) {
        let error = Cli::command().error(ErrorKind::ValueValidation, refused);
        // Best effort: with no stderr, the exit code still says so.
        let _ = error.print();
        return Ok(Exit::Usage);
    }
    let ended = run_checked(args, bar);
    if let (Err(error), Some(path), false) = (&ended, &args.alert_file, args.dry_run) {
        write_whole(path, alert_of_error(&args.output, error).as_bytes())?;
    }
    ended
}

/// The same, with an output that lies outside the input.
fn run_checked(args: &RunArgs, bar: &ProgressBar) -> Result<Exit> {
    let pipeline = Pipeline::read(&args.pipeline)?;
    let (inputs, found) = Inputs::find(&args.input, args.mapping.as_deref())?;
    let FoundSources { sources, others } = found;
    let run = pipeline.run_info()?;
    if args.dry_run {
        return dry_run(args, &inputs, &sources, &run);
    }
    check_parameters(store_at(&args.output)?.as_ref(), &sources, &run)?;
    let record = RunRecord::start(&run);
    let output = Output::open(&args.output, "scrim run", &record)?;
    let store = output.store();
    record.put_document("scrim run", None, store)?;
    let mut summary = do_job(
        &Job {
            pipeline: &pipeline,
            run: &run,
            run_id: record.id(),
            sources: &sources,
            inputs: &inputs,
            store,
            redo: output.redo(args.force),
            jobs: args.jobs.map(usize::from),
            on_game: &|_| (),
        },
        bar,
    )?;
    summary.take_in_others(others);
    summary.expected = args.expect;
    record.put_games(&summary.all, store)?;
    let reports = make_reports(store, &pipeline.report, &run, &mut summary);
    record.put_document("scrim run", Some(&summary), store)?;
    let mut text = format!(
        "{summary}run               {}\ntables            {}\n",
        record.id(),
        args.output
    );
    for report in reports {
        text.push_str(&format!("report            {report}\n"));
    }
    if let Some(path) = &args.alert_file {
        write_whole(path, alert_text(record.id(), &args.output, &summary).as_bytes())?;
    }
    output.close()?;
    say(&text)?;
    Ok(summary.exit())
}

/// Says what a run would do, and does nothing.
fn dry_run(args: &RunArgs, inputs: &Inputs, sources: &[Source], run: &RunInfo) -> Result<Exit> {
    let store = tables_in(&args.output)?;
    check_parameters(store.as_ref(), sources, run)?;
    let redo = if args.force {
        Redo::All
    } else {
        Redo::Changed { by_content: false }
    };
    let decisions = decide(sources, inputs, store.as_ref(), run, redo)?;
    let mut text = String::new();
    for (source, decision) in sources.iter().zip(&decisions) {
        match decision {
            Decision::UpToDate(_) => text.push_str(&format!("unchanged         {}\n", source.name)),
            Decision::Do { why, .. } => {
                text.push_str(&format!("would be done     {}: {why}\n", source.name));
            }
        }
    }
    let due = decisions
        .iter()
        .filter(|decision| matches!(decision, Decision::Do { .. }))
        .count();
    text.push_str(&format!(
        "sources           {}, of which {due} would be done\n",
        sources.len()
    ));
    say(&text)?;
    Ok(Exit::AllDone)
}

/// A run, checked and ready.
pub(crate) struct Job<'a> {
    pub(crate) pipeline: &'a Pipeline,
    pub(crate) run: &'a RunInfo,
    /// What logs call it.
    pub(crate) run_id: &'a str,
    pub(crate) sources: &'a [Source],
    /// Where the sources' files come from.
    pub(crate) inputs: &'a Inputs,
    /// Where the tables go.
    pub(crate) store: &'a dyn Store,
    /// Which sources, and seasons, are done.
    pub(crate) redo: Redo,
    /// Sources at once; `None` is one a processor.
    pub(crate) jobs: Option<usize>,
    pub(crate) on_game: &'a (dyn Fn(&TaggedGame) + Sync),
}

/// Runs it, with a bar.
pub(crate) fn do_job(job: &Job<'_>, bar: &ProgressBar) -> Result<RunSummary> {
    let jobs = job.jobs.unwrap_or_else(workers);
    bar.set_length(job.sources.len() as u64);
    crate::log::name_run(job.run_id);
    info!(
        pipeline = job.pipeline.name,
        sources = job.sources.len(),
        jobs,
        "run begins"
    );
    let plan = RunPlan {
        pipeline: job.pipeline,
        inputs: job.inputs,
        run: job.run,
        store: job.store,
        redo: job.redo,
        jobs,
        stop: &AtomicBool::new(false),
        on_game: job.on_game,
        on_source: &|_| bar.inc(1),
    };
    let mut summary = run_sources(job.sources, &plan)?;
    bar.set_message("season");
    let seasons = do_seasons(&SeasonPlan::of(
        job.pipeline,
        plan.run,
        plan.store,
        job.redo,
        jobs,
    ))?;
    summary.take_in(seasons);
    bar.finish_and_clear();
    info!(
        games_done = summary.all.done.len(),
        games_unchanged = summary.all.unchanged.len(),
        skipped = summary.all.skipped.len(),
        rows_read = summary.all.rows_read,
        rows_quarantined = summary.all.rows_quarantined,
        unknown_events = summary.all.unknown_events.values().sum::<u64>(),
        seconds = summary.seconds,
        "run ended"
    );
    Ok(summary)
}
