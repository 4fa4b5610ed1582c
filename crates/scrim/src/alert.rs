//! The three lines that a person must read in the morning.

use scrim_objects::Location;
use scrim_tables::with_causes;

use crate::terminal::shown_on_a_line;
use crate::{Exit, RunSummary};

/// What happened, what to look at first, and where to read on: three lines, for mail or chat.
pub fn alert_text(run_id: &str, output: &Location, summary: &RunSummary) -> String {
    let all = &summary.all;
    let head = match summary.exit() {
        Exit::AllDone => "all done",
        Exit::NothingDone => "NOTHING DONE",
        _ => "LOOK AT THIS",
    };
    let skipped = all.skipped.iter().map(ToString::to_string);
    let still_refused = all
        .still_refused
        .iter()
        .map(|skipped| format!("still refused: {skipped}"));
    let first = skipped
        .chain(summary.not_good().map(ToString::to_string))
        .chain(still_refused)
        .next();
    three_lines(
        &format!(
            "{head}: {} games done ({} of them not good), {} unchanged, {} skipped or refused",
            all.done.len(),
            summary.not_good().count(),
            all.unchanged.len(),
            all.skipped.len() + all.still_refused.len(),
        ),
        &first.unwrap_or_else(|| "nothing to look at".into()),
        &format!("runs show {run_id} --tables {}", output),
    )
}

/// The same for a run that could not begin, or broke off: the file must not go on saying what the run before it did.
pub fn alert_of_error(output: &Location, error: &anyhow::Error) -> String {
    three_lines(
        "NOTHING DONE: the run could not begin, or broke off",
        &with_causes(error.as_ref()),
        &format!("runs --tables {}", output),
    )
}

fn three_lines(what: &str, first: &str, read_on: &str) -> String {
    // A message may be of several lines, and hold what a file is called.
    format!("scrim: {what}\n{}\nscrim {read_on}\n", shown_on_a_line(first))
}
