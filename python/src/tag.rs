//! Tracking in, tables out; and the season's tables from the games'.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use anyhow::{Context, bail};
use arrow::ipc::writer::StreamWriter;
use arrow::record_batch::RecordBatchReader;
use pyo3::prelude::*;
use scrim::inputs::Inputs;
use scrim::run::{MOST_JOBS, workers};
use scrim::source_record::Redo;
use scrim::summary::Skipped;
use scrim::{Pipeline, RunPlan, SeasonPlan, do_seasons, run_sources};
use scrim_ingest::FoundSources;
use scrim_objects::Location;
use tempfile::TempDir;

use crate::arrow_data::{is_arrow, stream_of};
use crate::memory::Memory;
use crate::tables::{LeftOut, Tables};
use crate::work::interruptible;
use crate::{ScrimError, refused, refused_any};

/// What is tagged.
enum Input {
    /// What lies at a place.
    Place(Location),
    /// Files made of data that Python gave; they go with the folder.
    Made(TempDir),
}

/// Tags games. See `scrim.tag`, which fills the arguments; `pipeline` and `mapping` are TOML text.
#[pyfunction]
#[pyo3(signature = (tracking, players, games, events, mapping, mapping_file, pipeline, jobs, seasons))]
#[expect(
    clippy::too_many_arguments,
    reason = "the arguments of the Python function, in their order"
)]
pub fn tag(
    py: Python<'_>,
    tracking: &Bound<'_, PyAny>,
    players: Option<&Bound<'_, PyAny>>,
    games: Option<&Bound<'_, PyAny>>,
    events: Option<&Bound<'_, PyAny>>,
    mapping: Option<&str>,
    mapping_file: Option<PathBuf>,
    pipeline: Option<&str>,
    jobs: Option<i64>,
    seasons: bool,
) -> PyResult<Tables> {
    let pipeline = pipeline_of(pipeline)?;
    if jobs.is_some_and(|jobs| !(1..=MOST_JOBS.into()).contains(&jobs)) {
        return Err(ScrimError::new_err(format!("jobs: expected 1 to {MOST_JOBS}")));
    }
    let input = if is_arrow(tracking) {
        let folder = tempfile::Builder::new().prefix("scrim-tag-").tempdir()?;
        let sides = [("players", players), ("games", games), ("events", events)];
        let given = std::iter::once(("tracking", Some(tracking))).chain(sides);
        for (name, data) in given {
            if let Some(data) = data {
                write_data(py, data, name, &folder.path().join(format!("{name}.arrow")))?;
            }
        }
        if let Some(text) = mapping {
            std::fs::write(folder.path().join("mapping.toml"), text)?;
        }
        Input::Made(folder)
    } else {
        for (name, data) in [("players", players), ("games", games), ("events", events)] {
            if data.is_some() {
                return Err(ScrimError::new_err(format!(
                    "{name}: with tracking in files, put `{name}` beside them as a file, too"
                )));
            }
        }
        let Ok(place) = tracking.extract::<PathBuf>() else {
            // The same words as for anything that is no table.
            return Err(stream_of(tracking, "tracking")
                .err()
                .unwrap_or_else(|| ScrimError::new_err("tracking")));
        };
        Input::Place(Location::of(place).map_err(|error| refused(&error))?)
    };
    let done = interruptible(py, |stop| {
        let job = Job {
            pipeline: &pipeline,
            mapping: mapping_file.as_deref(),
            jobs: jobs.and_then(|jobs| usize::try_from(jobs).ok()),
            seasons,
        };
        run(&input, &job, stop)
    })?;
    done.map_err(refused_any)
}

/// Refuses a pipeline that cannot be used, before anyone begins.
#[pyfunction]
#[pyo3(signature = (pipeline))]
pub fn check_pipeline(pipeline: Option<&str>) -> PyResult<()> {
    pipeline_of(pipeline).map(|_| ())
}

/// The pipeline that a text describes; every parameter at its default without one.
fn pipeline_of(text: Option<&str>) -> PyResult<Pipeline> {
    text.map_or(Ok(Pipeline::default()), |text| {
        Pipeline::of_text(text, Path::new("pipeline"))
    })
    .map_err(|error| refused(&error))
}

/// Writes Arrow data as a file that the stages read like any other.
fn write_data(py: Python<'_>, data: &Bound<'_, PyAny>, what: &str, path: &Path) -> PyResult<()> {
    let stream = stream_of(data, what)?;
    // A stream may call back into Python from the thread that reads it, which takes the GIL itself then.
    py.detach(|| -> anyhow::Result<()> {
        let mut writer = StreamWriter::try_new(File::create(path)?, &stream.schema())?;
        for batch in stream {
            writer.write(&batch?)?;
        }
        Ok(writer.finish()?)
    })
    .with_context(|| format!("{what}: its rows cannot be read as Arrow data"))
    .map_err(refused_any)
}

/// What is done with it.
struct Job<'a> {
    pipeline: &'a Pipeline,
    mapping: Option<&'a Path>,
    jobs: Option<usize>,
    seasons: bool,
}

fn run(input: &Input, job: &Job<'_>, stop: &AtomicBool) -> anyhow::Result<Tables> {
    let (pipeline, mapping) = (job.pipeline, job.mapping);
    let (inputs, found) = match input {
        Input::Place(location) => Inputs::find(location, mapping)?,
        Input::Made(folder) => Inputs::find_made(folder.path(), mapping)?,
    };
    let FoundSources { mut sources, others } = found;
    if let (Input::Made(_), [source]) = (input, sources.as_mut_slice()) {
        // The folder's own name is nobody's.
        source.name = "tracking".into();
    }
    let memory = Arc::new(Memory::default());
    let jobs = job.jobs.unwrap_or_else(workers);
    let run = pipeline.run_info()?;
    let plan = RunPlan {
        pipeline,
        inputs: &inputs,
        run: &run,
        store: memory.as_ref(),
        redo: Redo::All,
        jobs,
        stop,
        on_game: &|_| (),
        on_source: &|_| (),
    };
    let mut summary = run_sources(&sources, &plan)?;
    summary.take_in_others(others);
    if job.seasons && !summary.all.done.is_empty() {
        let seasons = do_seasons(&SeasonPlan::of(pipeline, &run, memory.as_ref(), Redo::All, jobs))?;
        summary.take_in(seasons);
    }
    let left_out: Vec<LeftOut> = summary.all.skipped.iter().map(left_out).collect();
    if summary.all.done.is_empty() {
        let reasons: Vec<String> = summary.all.skipped.iter().map(ToString::to_string).collect();
        bail!("no game could be tagged: {}", reasons.join("; "));
    }
    let not_good = summary.not_good().map(ToString::to_string);
    let notes = not_good.chain(summary.all.notes.iter().cloned()).collect();
    Ok(Tables::in_memory(memory, left_out, notes))
}

fn left_out(skipped: &Skipped) -> LeftOut {
    LeftOut {
        source: skipped.source.clone(),
        season: skipped.season.clone(),
        game_id: skipped.game_id.clone(),
        reason: skipped.reason.clone(),
    }
}

/// Puts the season's tables together from the games' tables. See `scrim.season`.
#[pyfunction]
#[pyo3(signature = (tables, pipeline))]
pub fn season(py: Python<'_>, tables: &Tables, pipeline: Option<&str>) -> PyResult<Tables> {
    let pipeline = pipeline_of(pipeline)?;
    let memory = Arc::new(Memory::over(tables.shared()));
    let done = interruptible(py, |_| -> anyhow::Result<Vec<LeftOut>> {
        let run = pipeline.run_info()?;
        let seasons = do_seasons(&SeasonPlan::of(
            &pipeline,
            &run,
            memory.as_ref(),
            Redo::All,
            workers(),
        ))?;
        if seasons.done.is_empty() {
            let reasons: Vec<String> = seasons.skipped.iter().map(ToString::to_string).collect();
            bail!("no season could be put together: {}", reasons.join("; "));
        }
        Ok(seasons.skipped.iter().map(left_out).collect())
    })?;
    Ok(Tables::in_memory(memory, done.map_err(refused_any)?, Vec::new()))
}
