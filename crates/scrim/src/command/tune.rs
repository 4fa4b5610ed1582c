//! `scrim tune`

mod fitted;
mod games;
mod samples;
mod write;

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use indicatif::ProgressBar;
use scrim_objects::Location;
use scrim_score::{ScoreError, ScoreParams, ScreenLabels, coverage_labels, screen_labels};
use scrim_tables::rows::ScreenRow;
use scrim_tune::{Family, Labels, Row, ScreenDecision, TuneParams, tune as tune_coverages, tune_screens};
use tracing::warn;

use self::fitted::Fitted;
use self::games::{Games, Gathered, Nowhere};
use self::samples::{samples_of, write_samples};
use self::write::tuned_pipeline;
use crate::cli::{TuneArgs, TunePart};
use crate::command::run::{Job, do_job};
use crate::command::say;
use crate::inputs::Inputs;
use crate::run_record::RunRecord;
use crate::source_record::Redo;
use crate::{Exit, Pipeline};

/// Fits the decisions on screens and coverages to labels, says how each does on games that it was not fitted on, and writes a
/// pipeline with those that do better.
///
/// # Errors
/// When the pipeline, the input or the labels cannot be read, when labels and input do not go together, when there are too few
/// labels for any part, or when the pipeline cannot be written.
pub fn tune(args: &TuneArgs, bar: &ProgressBar) -> Result<Exit> {
    let pipeline = Pipeline::read(&args.pipeline)?;
    let labelled = screen_labels(&args.labels)?;
    for warning in &labelled.warnings {
        warn!("{warning}");
    }
    let labels = Labels::of_folder(labelled.clone());
    let gathered = Gathered::new(&pipeline, &labels, args.fits_screens());
    let run = pipeline.run_info()?;
    let (inputs, found) = Inputs::find(&args.input, args.mapping.as_deref())?;
    let summary = do_job(
        &Job {
            pipeline: &pipeline,
            run: &run,
            run_id: RunRecord::start(&run).id(),
            inputs: &inputs,
            sources: &found.sources,
            store: &Nowhere,
            redo: Redo::All,
            jobs: args.jobs.map(usize::from),
            on_game: &|tagged| gathered.keep(tagged),
        },
        bar,
    )?;
    if summary.all.done.is_empty() {
        bail!(
            "{}: no game could be read, so nothing can be fitted\n{summary}",
            args.input
        );
    }
    let games = gathered.into_games(&summary)?;
    refuse_other_games(&labelled, &games, &args.input)?;
    let fitted = fit(args, &pipeline, &labelled, &labels, &games)?;
    // Said before it is written: a file that cannot be written costs nobody the figures.
    say(&fitted.to_string())?;
    let mut text = String::new();
    let exit = if fitted.gains() {
        write_whole(&args.output, &tuned_pipeline(args, &pipeline, &fitted)?)
            .with_context(|| format!("{}: the pipeline cannot be written", args.output.display()))?;
        text.push_str(&format!("Written: {}\n", args.output.display()));
        if summary.all.skipped.is_empty() {
            Exit::AllDone
        } else {
            Exit::SomeFailed
        }
    } else {
        text.push_str("Nothing was written: stay with the pipeline that you have.\n");
        Exit::NoGain
    };
    for skipped in &summary.all.skipped {
        text.push_str(&format!("Skipped: {}: {}\n", skipped.source, skipped.reason));
    }
    say(&text)?;
    Ok(exit)
}

/// Writes a file wholly or not at all: what stood there is there still if the disk is full.
fn write_whole(path: &Path, text: &str) -> std::io::Result<()> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let written = std::fs::write(&beside, text).and_then(|()| std::fs::rename(&beside, path));
    if written.is_err() {
        // What is left of it, if anything, is of no use; the first error is the one to report.
        let _ = std::fs::remove_file(&beside);
    }
    written
}

fn fit(
    args: &TuneArgs,
    pipeline: &Pipeline,
    labelled: &ScreenLabels,
    labels: &Labels,
    games: &Games,
) -> Result<Fitted> {
    let mut how = TuneParams::default();
    if let Some(ridge) = args.ridge {
        how.ridges = vec![ridge];
    }
    let (screens, off_ball) = (&pipeline.screens, &pipeline.off_ball_screens);
    let on_ball = args.fits(TunePart::Screens).then(|| {
        let own = ScreenDecision {
            correction: screens.correction,
            min_confidence: screens.min_confidence,
            min_handoff_confidence: screens.min_handoff_confidence,
        };
        let rows: Vec<Row> = games
            .values()
            .flat_map(|game| game.rows.on_ball.clone())
            .collect();
        tune_screens(rows, labels, Family::OnBall, &own, &how).map_err(|error| error.to_string())
    });
    let off_ball = args.fits(TunePart::OffBallScreens).then(|| {
        let own = ScreenDecision {
            correction: off_ball.correction,
            min_confidence: off_ball.min_confidence,
            min_handoff_confidence: off_ball.min_confidence,
        };
        let whole = |game_id: &scrim_tables::Id| !labelled.plain_only.contains(game_id);
        if !labelled.games.iter().any(whole) {
            return Err(format!(
                "{}: of these games only the plain ones are labelled (`plain_only`), so that a false alarm cannot be known; label \
                 all off-ball screens of a game to fit them",
                Family::OffBall.name()
            ));
        }
        let labels = Labels::of_folder(ScreenLabels {
            screens: labelled
                .screens
                .iter()
                .filter(|label| whole(&label.game_id))
                .cloned()
                .collect(),
            ..labelled.clone()
        });
        let of_whole = games.iter().filter(|(game_id, _)| whole(game_id));
        let rows: Vec<Row> = of_whole.flat_map(|(_, game)| game.rows.off_ball.clone()).collect();
        tune_screens(rows, &labels, Family::OffBall, &own, &how).map_err(|error| error.to_string())
    });
    let mut fitted = Fitted {
        on_ball,
        off_ball,
        coverages: None,
        coverages_not_found: 0,
    };
    if args.fits(TunePart::Coverages) {
        fit_coverages(args, pipeline, games, &how, &mut fitted)?;
    }
    match fitted.refused() {
        Some(reasons) => bail!(
            "{}: nothing can be fitted to these labels\n{reasons}",
            args.labels.display()
        ),
        None => Ok(fitted),
    }
}

fn fit_coverages(
    args: &TuneArgs,
    pipeline: &Pipeline,
    games: &Games,
    how: &TuneParams,
    fitted: &mut Fitted,
) -> Result<()> {
    let found: Vec<ScreenRow> = games
        .values()
        .flat_map(|game| game.screens.iter().cloned())
        .collect();
    let labels = match coverage_labels(&args.labels, &found, &ScoreParams::default()) {
        Ok(labels) => labels,
        Err(none @ ScoreError::NoLabelsOf { .. }) => {
            fitted.coverages = Some(Err(format!("Coverages: {none}")));
            return Ok(());
        }
        Err(error) => return Err(error.into()),
    };
    let samples = samples_of(&labels, games);
    if let Some(path) = &args.samples {
        write_samples(path, &samples)?;
    }
    fitted.coverages_not_found = labels.not_found;
    let tuned = tune_coverages(samples, &pipeline.reads, how);
    fitted.coverages = Some(tuned.map_err(|error| {
        format!(
            "{error} ({} label rows give a coverage, {} of them of a screen that was not found)",
            labels.labelled, labels.not_found
        )
    }));
    Ok(())
}

fn refuse_other_games(labels: &ScreenLabels, games: &Games, input: &Location) -> Result<()> {
    let missing: Vec<&str> = labels
        .games
        .iter()
        .filter(|game| !games.contains_key(*game))
        .map(AsRef::as_ref)
        .collect();
    if !missing.is_empty() {
        let held: Vec<&str> = games.keys().map(AsRef::as_ref).collect();
        bail!(
            "{}: the labels name games that the input does not hold, or that could not be read: {}; it holds {}; \
             add these games to the input, or leave their labels out",
            input,
            missing.join(", "),
            held.join(", ")
        );
    }
    Ok(())
}
