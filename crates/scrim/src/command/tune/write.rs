//! The pipeline file with what was fitted in it.

use anyhow::{Context, Result, bail};
use scrim_actions::{COVERAGE_WORDS, CoverageInputs, CoverageWeights, ScreenInputs};
use scrim_tune::{Family, Tuned, TunedScreens};

use super::fitted::Fitted;
use crate::Pipeline;
use crate::cli::TuneArgs;
use crate::pipeline_file::PipelineFile;

/// The text of the pipeline with every decision that does better put in; all else of it stays as its author wrote it.
///
/// # Errors
/// When the pipeline cannot be read again, or written so that it reads back as what was fitted.
pub(super) fn tuned_pipeline(args: &TuneArgs, own: &Pipeline, fitted: &Fitted) -> Result<String> {
    let path = args.pipeline.display();
    let text = std::fs::read_to_string(&args.pipeline).with_context(|| format!("{path}: cannot be read"))?;
    let mut file = PipelineFile::of_text(&text).with_context(|| format!("{path}: not a pipeline"))?;
    let mut expected = own.clone();
    if let Some(stem) = args.output.file_stem() {
        expected.name = stem.to_string_lossy().into_owned();
        file.set_name(&expected.name);
    }
    for tuned in fitted.screens().into_iter().flatten() {
        put_screens(args, tuned, &mut file, &mut expected)?;
    }
    if let Some(tuned) = fitted.coverages() {
        put_coverages(args, tuned, &mut file, &mut expected)?;
    }
    let text = file.text();
    let read = Pipeline::of_text(&text, &args.output)
        .with_context(|| format!("{path}: with the fitted numbers put in it is no pipeline any more"))?;
    if read != expected {
        bail!(
            "{path}: its layout cannot be kept: with the fitted numbers put in it would not read back as fitted; write its \
             sections with [headers] in place of inline tables and dotted keys, and tune again"
        );
    }
    Ok(text)
}

fn put_screens(
    args: &TuneArgs,
    tuned: &TunedScreens,
    file: &mut PipelineFile,
    expected: &mut Pipeline,
) -> Result<()> {
    let decision = &tuned.decision;
    let section = match tuned.family {
        Family::OnBall => {
            let params = &mut expected.screens;
            (params.correction, params.min_confidence) = (decision.correction, decision.min_confidence);
            params.min_handoff_confidence = decision.min_handoff_confidence;
            "screens"
        }
        Family::OffBall => {
            let params = &mut expected.off_ball_screens;
            (params.correction, params.min_confidence) = (decision.correction, decision.min_confidence);
            "off_ball_screens"
        }
    };
    if decision.min_confidence != tuned.own.min_confidence {
        file.set(section, "min_confidence", decision.min_confidence)?;
    }
    if tuned.family == Family::OnBall && decision.min_handoff_confidence != tuned.own.min_handoff_confidence {
        file.set(section, "min_handoff_confidence", decision.min_handoff_confidence)?;
    }
    let (before, after) = (&tuned.before, &tuned.after);
    let interval = tuned.f1_gain;
    let gain = interval.value;
    let mut note = vec![
        format!(
            "how the answers of the model are corrected, fitted to {} labels of {}: {} of {}.",
            tuned.matched,
            tuned.family.name().to_lowercase(),
            counted_games(tuned.games),
            args.labels.display()
        ),
        format!(
            "Held out ({} folds): F1 {:.3} -> {:.3} (gain {gain:+.3}, 95 % {:+.3} to {:+.3}), precision {:.3} -> {:.3}, recall {:.3} \
             -> {:.3}.",
            tuned.folds,
            before.f1,
            after.f1,
            interval.low,
            interval.high,
            before.precision,
            after.precision,
            before.recall,
            after.recall
        ),
        format!(
            "With it go min_confidence {}{}.",
            decision.min_confidence,
            match tuned.family {
                Family::OnBall => format!(" and min_handoff_confidence {}", decision.min_handoff_confidence),
                Family::OffBall => String::new(),
            }
        ),
    ];
    note.extend(WHEN_NOT.map(str::to_owned));
    let correction = &decision.correction;
    let weights = ScreenInputs::NAMES.into_iter().zip(correction.evidence());
    let all = [("bias", correction.bias), ("trees", correction.trees)];
    file.set_section(&[section, "correction"], all.into_iter().chain(weights), &note)?;
    Ok(())
}

fn put_coverages(
    args: &TuneArgs,
    tuned: &Tuned,
    file: &mut PipelineFile,
    expected: &mut Pipeline,
) -> Result<()> {
    let own = expected.reads.coverage_model.words();
    expected.reads.coverage_model = tuned.model.clone();
    let (before, after) = (&tuned.before, &tuned.after);
    let words: Vec<String> = tuned
        .words
        .iter()
        .map(|word| {
            let note = if word.is_fitted { "" } else { " (weights kept)" };
            format!("{} {}{note}", word.word, word.labels)
        })
        .collect();
    let interval = tuned.log_loss_gain;
    let gain = interval.value;
    let mut note = vec![
        format!(
            "[reads.coverage_model.*]: how the answers of the coverage model are corrected, fitted to {} labelled ball screens, {} \
             possessions: {} of {}.",
            before.n,
            tuned.possessions,
            counted_games(tuned.games),
            args.labels.display()
        ),
        format!("Labels: {}.", words.join(", ")),
        format!(
            "Held out ({} folds): log loss {:.3} -> {:.3} (gain {gain:+.3}, 95 % {:+.3} to {:+.3}), right {:.3} -> {:.3}, macro-F1 \
             {:.3} -> {:.3}.",
            tuned.folds,
            before.log_loss,
            after.log_loss,
            interval.low,
            interval.high,
            before.accuracy,
            after.accuracy,
            before.macro_f1,
            after.macro_f1
        ),
    ];
    note.extend(WHEN_NOT.map(str::to_owned));
    // A word at its default before and after is left out of the file. The note stands above the first that is not.
    for ((word, weights), own) in COVERAGE_WORDS.iter().zip(tuned.model.words()).zip(own) {
        if weights == own && weights == CoverageWeights::PLAIN {
            continue;
        }
        let evidence = CoverageInputs::NAMES.into_iter().zip(weights.evidence());
        let all = [("bias", weights.bias), ("trees", weights.trees)];
        let path = ["reads", "coverage_model", word.as_str()];
        file.set_section(&path, all.into_iter().chain(evidence), &note)?;
        note.clear();
    }
    Ok(())
}

/// When a fit is not to be used.
const WHEN_NOT: [&str; 3] = [
    "Do not use it for games of another league or level, of another tracking system or noise, or labelled by another reading of",
    "the words, without scoring it there first (`scrim score`); and fit it again with another version of the program, or when",
    "another setting under [tracks], [play], [screens] or [reads] is changed.",
];

fn counted_games(games: usize) -> String {
    let plural = if games == 1 { "" } else { "s" };
    format!("{games} game{plural}")
}
