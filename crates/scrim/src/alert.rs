//! The three lines that a person must read in the morning.

use std::path::Path;

use scrim_tables::tags::Verdict;

use crate::{Exit, RunSummary};

/// What happened, what to look at first, and where to read on: three lines, for mail or chat.
pub fn alert_text(run_id: &str, output: &Path, summary: &RunSummary) -> String {
    let all = &summary.all;
    let (done, unchanged) = (all.done.len(), all.unchanged.len());
    let not_good = all
        .done
        .iter()
        .filter(|game| game.verdict != Verdict::Good)
        .count();
    let skipped = all.skipped.len() + all.still_refused.len();
    let head = match summary.exit() {
        Exit::AllDone => "all done",
        Exit::NothingDone => "NOTHING DONE",
        _ => "LOOK AT THIS",
    };
    let first = all
        .skipped
        .iter()
        .map(ToString::to_string)
        .chain(
            all.done
                .iter()
                .filter(|game| game.verdict != Verdict::Good)
                .map(|game| {
                    format!(
                        "{}, game {}: {}: {}",
                        game.source, game.game_id, game.verdict, game.reasons
                    )
                }),
        )
        .chain(
            all.still_refused
                .iter()
                .map(|skipped| format!("still refused: {skipped}")),
        )
        .next()
        .unwrap_or_else(|| "nothing to look at".into());
    // One line each, whatever a file's name or a message holds.
    let first: String = first
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    format!(
        "scrim: {head}: {done} games done ({not_good} of them not good), {unchanged} unchanged, {skipped} skipped or refused\n\
         {first}\n\
         scrim runs show {run_id} --tables {}\n",
        output.display()
    )
}
