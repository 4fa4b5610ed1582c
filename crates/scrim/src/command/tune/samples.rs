//! What a fit of coverages has seen.

use std::path::Path;

use anyhow::{Context, Result};
use scrim_actions::{COVERAGE_WORDS, CoverageInputs};
use scrim_score::CoverageLabels;
use scrim_tune::Sample;

use super::games::Games;

/// The labelled coverages of found ball screens, with what the decision looks at.
pub(super) fn samples_of(labels: &CoverageLabels, games: &Games) -> Vec<Sample> {
    let labelled = labels.rows.iter();
    let mut samples: Vec<Sample> = labelled
        .filter_map(|label| {
            // A label on an off-ball screen gives no coverage of a ball screen.
            let (possession_id, inputs) = games.get(&label.game_id)?.reads.get(&label.screen_id)?;
            Some(Sample {
                game_id: label.game_id.clone(),
                possession_id: *possession_id,
                screen_id: label.screen_id,
                inputs: *inputs,
                label: label.coverage,
            })
        })
        .collect();
    samples.sort_by(|a, b| {
        (&a.game_id, a.possession_id, a.screen_id).cmp(&(&b.game_id, b.possession_id, b.screen_id))
    });
    samples
}

/// Writes a line a sample: who, the label, and all that the decision looks at.
pub(super) fn write_samples(path: &Path, samples: &[Sample]) -> Result<()> {
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
