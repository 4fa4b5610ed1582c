//! `scrim tune`

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use anyhow::{Context, Result, bail};
use indicatif::ProgressBar;
use scrim_actions::{COVERAGE_WORDS, CoverageInputs, CoverageModel};
use scrim_ingest::find_sources;
use scrim_score::{CoverageLabels, ScoreParams, coverage_labels};
use scrim_tables::rows::ScreenRow;
use scrim_tables::{Id, Store, StoreError};
use scrim_tune::{Sample, TuneParams, Tuned, Verdict, tune as fit};
use serde::Serialize;
use tracing::warn;

use crate::cli::TuneArgs;
use crate::command::run::{Job, do_job};
use crate::command::say;
use crate::{Exit, Pipeline, RunSummary, TaggedGame};

/// Fits the decision on coverages to labels, says how it does on games that it was not fitted on, and writes a pipeline if
/// it does better.
///
/// # Errors
/// When the pipeline, the input or the labels cannot be read, when labels and input do not go together, when there are too
/// few labels, or when the pipeline cannot be written.
pub fn tune(args: &TuneArgs, bar: &ProgressBar) -> Result<Exit> {
    let pipeline = Pipeline::read(&args.pipeline)?;
    let gathered = Gathered::default();
    let summary = do_job(
        &Job {
            pipeline: &pipeline,
            sources: &find_sources(&args.input, args.mapping.as_deref())?,
            store: &Nowhere,
            jobs: args.jobs.map(usize::from),
            on_game: &|tagged| gathered.keep(tagged),
        },
        bar,
    )?;
    if summary.all.done.is_empty() {
        bail!(
            "{}: no game could be read, so nothing can be fitted\n{summary}",
            args.input.display()
        );
    }
    let games = gathered.into_games(&summary)?;
    let screens: Vec<ScreenRow> = games
        .values()
        .flat_map(|game| game.screens.iter().cloned())
        .collect();
    let labels = coverage_labels(&args.labels, &screens, &ScoreParams::default())?;
    for warning in &labels.warnings {
        warn!("{warning}");
    }
    refuse_other_games(&labels, &games, &args.input)?;
    let samples = samples_of(&labels, &games);
    if let Some(path) = &args.samples {
        write_samples(path, &samples)?;
    }
    let mut how = TuneParams::default();
    if let Some(ridge) = args.ridge {
        how.ridges = vec![ridge];
    }
    let tuned = fit(samples, &pipeline.reads, &how).with_context(|| {
        format!(
            "{}: {} label rows tell a coverage, {} of them of a screen that was not found",
            args.labels.display(),
            labels.labelled,
            labels.not_found
        )
    })?;
    let mut told = tuned.to_string();
    if labels.not_found > 0 {
        told.push_str(&format!(
            "{} more label rows tell the coverage of a screen that was not found.\n",
            labels.not_found
        ));
    }
    let exit = match tuned.verdict {
        Verdict::Gain => {
            let text = pipeline_text(args, &tuned)?;
            std::fs::write(&args.output, text)
                .with_context(|| format!("{}: the pipeline cannot be written", args.output.display()))?;
            told.push_str(&format!("Written: {}\n", args.output.display()));
            if summary.all.skipped.is_empty() {
                Exit::AllDone
            } else {
                Exit::SomeFailed
            }
        }
        Verdict::NoGain => {
            told.push_str("Nothing was written: stay with the pipeline that you have.\n");
            Exit::NoGain
        }
    };
    for skipped in &summary.all.skipped {
        told.push_str(&format!("Skipped: {}: {}\n", skipped.source, skipped.reason));
    }
    say(&told)?;
    Ok(exit)
}

/// What is kept of one game.
#[derive(Debug)]
struct KeptGame {
    screens: Vec<ScreenRow>,
    /// By the screen's id: its possession, and what the decision looks at.
    reads: BTreeMap<u32, (u32, Option<CoverageInputs>)>,
}

/// Games as they are done, by id and season.
#[derive(Debug, Default)]
struct Gathered(Mutex<BTreeMap<(Id, Option<Id>), KeptGame>>);

impl Gathered {
    fn keep(&self, tagged: &TaggedGame) {
        let rows = tagged.tables.coverages.iter().zip(&tagged.reads);
        let kept = KeptGame {
            screens: tagged.tables.screens.clone(),
            reads: rows
                .map(|(row, read)| (row.screen_id, (row.possession_id, read.coverage_inputs)))
                .collect(),
        };
        let info = &tagged.game.info;
        let mut games = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        // Of two sources that hold the game, a run calls last for the one that it keeps.
        games.insert((info.game_id.clone(), info.season.clone()), kept);
    }

    fn into_games(self, summary: &RunSummary) -> Result<BTreeMap<Id, KeptGame>> {
        let done: BTreeSet<&str> = summary
            .all
            .done
            .iter()
            .map(|game| game.game_id.as_str())
            .collect();
        let mut games = BTreeMap::new();
        for ((game_id, _), kept) in self.0.into_inner().unwrap_or_else(PoisonError::into_inner) {
            if !done.contains(game_id.as_ref()) {
                continue;
            }
            if games.insert(game_id.clone(), kept).is_some() {
                bail!(
                    "game {game_id} is in two seasons of the input; labels cannot tell which: leave one out"
                );
            }
        }
        Ok(games)
    }
}

fn refuse_other_games(labels: &CoverageLabels, games: &BTreeMap<Id, KeptGame>, input: &Path) -> Result<()> {
    let missing: Vec<&str> = labels
        .games
        .iter()
        .map(String::as_str)
        .filter(|game| !games.contains_key(*game))
        .collect();
    if !missing.is_empty() {
        let held: Vec<&str> = games.keys().map(AsRef::as_ref).collect();
        bail!(
            "{}: the labels name games that the input does not hold, or that could not be read: {}; it holds {}; \
             add these games to the input, or leave their labels out",
            input.display(),
            missing.join(", "),
            held.join(", ")
        );
    }
    Ok(())
}

fn samples_of(labels: &CoverageLabels, games: &BTreeMap<Id, KeptGame>) -> Vec<Sample> {
    let told = labels.told.iter();
    let mut samples: Vec<Sample> = told
        .filter_map(|told| {
            // A label on an off-ball screen tells no coverage of a ball screen.
            let (possession_id, inputs) = games.get(&told.game_id)?.reads.get(&told.screen_id)?;
            Some(Sample {
                game_id: told.game_id.clone(),
                possession_id: *possession_id,
                screen_id: told.screen_id,
                inputs: *inputs,
                label: told.coverage,
            })
        })
        .collect();
    samples.sort_by(|a, b| {
        (&a.game_id, a.possession_id, a.screen_id).cmp(&(&b.game_id, b.possession_id, b.screen_id))
    });
    samples
}

/// A line a sample: who, the label, and all that the decision looks at.
fn write_samples(path: &Path, samples: &[Sample]) -> Result<()> {
    let mut text = String::from("game_id,possession_id,screen_id,label");
    for word in COVERAGE_WORDS {
        text.push_str(&format!(",ln_{word}"));
    }
    for name in CoverageInputs::NAMES {
        text.push_str(&format!(",{name}"));
    }
    text.push('\n');
    for sample in samples {
        let quoted = sample.game_id.replace('"', "\"\"");
        text.push_str(&format!(
            "\"{quoted}\",{},{},{}",
            sample.possession_id, sample.screen_id, sample.label
        ));
        match &sample.inputs {
            Some(inputs) => {
                for value in inputs.ln_trees.iter().chain(&inputs.evidence) {
                    text.push_str(&format!(",{value}"));
                }
            }
            None => text.push_str(&",".repeat(COVERAGE_WORDS.len() + CoverageInputs::NAMES.len())),
        }
        text.push('\n');
    }
    std::fs::write(path, text).with_context(|| format!("{}: the samples cannot be written", path.display()))
}

/// The pipeline's own settings with the fitted decision in place, under a comment that says where it comes from.
fn pipeline_text(args: &TuneArgs, tuned: &Tuned) -> Result<String> {
    let path = args.pipeline.display();
    let own = std::fs::read_to_string(&args.pipeline).with_context(|| format!("{path}: cannot be read"))?;
    let mut table: toml::Table = own.parse().with_context(|| format!("{path}: not a pipeline"))?;
    if let Some(stem) = args.output.file_stem() {
        table.insert("name".into(), stem.to_string_lossy().into_owned().into());
    }
    remove_model(&mut table)?;
    let (before, after) = (&tuned.before, &tuned.after);
    let words: Vec<String> = tuned
        .words
        .iter()
        .map(|word| {
            let note = if word.is_fitted { "" } else { " (weights kept)" };
            format!("{} {}{note}", word.word, word.labels)
        })
        .collect();
    let (gain, interval) = tuned.log_loss_gain;
    let comment = format!(
        "\
# Written by `scrim tune`. The settings of {pipeline}, and beside them [reads.coverage_model.*]: how the
# answers of the coverage model are corrected, fitted to labels.
# Labels: {labels}: {n} ball screens of {games} game(s), {possessions} possessions: {words}.
# Held out ({folds} folds), before and after: log loss {l0:.3} -> {l1:.3} (gain {gain:+.3}, 95 % {low:+.3} to {high:+.3}),
# macro-F1 {f0:.3} -> {f1:.3}, calibration error {c0:.3} -> {c1:.3}.
# Do not use it for games of another league or level, of another tracking system or noise, or labelled by another
# reading of the words, without scoring it there first (`scrim score`); and fit it again when any other setting
# under [tracks], [play], [screens] or [reads] is changed.
",
        pipeline = args.pipeline.display(),
        labels = args.labels.display(),
        n = before.n,
        games = tuned.games,
        possessions = tuned.possessions,
        words = words.join(", "),
        folds = tuned.folds,
        l0 = before.log_loss,
        l1 = after.log_loss,
        low = interval.low,
        high = interval.high,
        f0 = before.macro_f1,
        f1 = after.macro_f1,
        c0 = before.calibration_error,
        c1 = after.calibration_error,
    );
    // A path may hold a line break, which would end the comment.
    let comment: String = comment
        .lines()
        .map(|line| {
            if line.starts_with('#') {
                format!("{line}\n")
            } else {
                format!("# {line}\n")
            }
        })
        .collect();
    // The model apart, for a table of values would tell 0.1 as the f64 next to the f32: 0.10000000149011612.
    let model = Settings {
        reads: ModelSettings {
            coverage_model: &tuned.model,
        },
    };
    Ok(format!(
        "{comment}\n{}\n{}",
        toml::to_string(&table)?,
        toml::to_string(&model)?
    ))
}

/// `[reads.coverage_model.*]`, as it stands in a pipeline.
#[derive(Serialize)]
struct Settings<'a> {
    reads: ModelSettings<'a>,
}

/// See [`Settings`].
#[derive(Serialize)]
struct ModelSettings<'a> {
    coverage_model: &'a CoverageModel,
}

/// Takes an older correction out of the settings.
fn remove_model(settings: &mut toml::Table) -> Result<()> {
    if settings.contains_key("reads") {
        section(settings, "reads")?.remove("coverage_model");
    }
    Ok(())
}

/// A section of the settings, empty when it was not there.
fn section<'a>(settings: &'a mut toml::Table, name: &str) -> Result<&'a mut toml::Table> {
    settings
        .entry(name)
        .or_insert_with(|| toml::Table::new().into())
        .as_table_mut()
        .with_context(|| format!("`{name}` is no section"))
}

/// A store that keeps nothing: what is looked for is in memory.
struct Nowhere;

impl Store for Nowhere {
    fn put_all(&self, _: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
        Ok(())
    }

    fn remove(&self, _: &str) -> Result<(), StoreError> {
        Ok(())
    }

    fn get(&self, _: &str) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }

    fn list(&self, _: &str) -> Result<Vec<String>, StoreError> {
        Ok(Vec::new())
    }
}
