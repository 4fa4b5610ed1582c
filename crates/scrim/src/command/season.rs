//! `scrim season`

use anyhow::{Result, bail};

use crate::cli::SeasonArgs;
use crate::command::{say, tables_in};
use crate::output::Output;
use crate::run::workers;
use crate::run_record::RunRecord;
use crate::season::games_of_seasons;
use crate::source_record::Redo;
use crate::{Exit, Pipeline, SeasonPlan, do_seasons};

/// Rebuilds the season tables of a folder of tables.
///
/// # Errors
/// When there are no tables, or the pipeline cannot be used.
pub fn season(args: &SeasonArgs) -> Result<Exit> {
    let pipeline = match &args.pipeline {
        Some(path) => Pipeline::read(path)?,
        None => Pipeline::default(),
    };
    let run = pipeline.run_info()?;
    let record = RunRecord::start(&run);
    let store = tables_in(&args.tables)?;
    if games_of_seasons(store.as_ref(), true)?.is_empty() {
        bail!(
            "{}: no tables of a game here; give the folder that `scrim run` wrote to",
            args.tables
        );
    }
    let jobs = args.jobs.map_or_else(workers, usize::from);
    let output = Output::open(&args.tables, "scrim season", &record)?;
    let summary = do_seasons(&SeasonPlan::of(&pipeline, &run, output.store(), Redo::All, jobs))?;
    record.put_seasons(&summary.done, &summary.skipped, output.store())?;
    output.close()?;
    let mut text = String::new();
    for season in &summary.done {
        text.push_str(&format!("season            {season}\n"));
    }
    text.push_str(&format!("skipped           {}\n", summary.skipped.len()));
    for skipped in &summary.skipped {
        text.push_str(&format!("  - {skipped}\n"));
    }
    text.push_str(&format!("seconds           {:.1}\n", summary.seconds));
    say(&text)?;
    Ok(match (summary.done.is_empty(), summary.skipped.is_empty()) {
        (true, _) => Exit::NothingDone,
        (false, true) => Exit::AllDone,
        (false, false) => Exit::SomeFailed,
    })
}
