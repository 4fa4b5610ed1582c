//! `scrim run`

use std::thread::available_parallelism;

use anyhow::Result;
use clap::CommandFactory;
use clap::error::ErrorKind;
use indicatif::ProgressBar;
use scrim_ingest::find_sources;
use scrim_tables::LocalStore;
use tracing::info;

use crate::cli::{Cli, RunArgs};
use crate::command::say;
use crate::places::check_output;
use crate::{Exit, Pipeline, RunPlan, run_sources};

/// Runs a pipeline over an input and says what became of it.
///
/// # Errors
/// When nothing can be begun: no pipeline, no source, no threads.
pub fn run(args: &RunArgs, bar: &ProgressBar) -> Result<Exit> {
    if let Err(refused) = check_output(&args.input, &args.output) {
        let told = Cli::command().error(ErrorKind::ValueValidation, refused);
        // Best effort: with no stderr, the exit code still tells.
        let _ = told.print();
        return Ok(Exit::Usage);
    }
    let pipeline = Pipeline::read(&args.pipeline)?;
    let run = pipeline.run_info()?;
    let sources = find_sources(&args.input, args.mapping.as_deref())?;
    bar.set_length(sources.len() as u64);
    let store = LocalStore::new(&args.output);
    let jobs = args
        .jobs
        .map_or_else(|| available_parallelism().map_or(1, Into::into), usize::from);
    info!(pipeline = pipeline.name, sources = sources.len(), jobs, "run begins");
    let plan = RunPlan {
        pipeline: &pipeline,
        run: &run,
        store: &store,
        jobs,
        on_game: &|_| (),
        on_source: &|_| bar.inc(1),
    };
    let summary = run_sources(&sources, &plan)?;
    bar.finish_and_clear();
    info!(summary = serde_json::to_string(&summary)?, "run ended");
    say(&format!("{summary}tables            {}\n", args.output.display()))?;
    Ok(summary.exit())
}
