//! `scrim compare`

use anyhow::Result;

use crate::Exit;
use crate::cli::CompareArgs;
use crate::command::{say, tables_in, write_json};
use crate::compare::{Output, compare_outputs};
use crate::run::workers;

/// Holds two outputs of the same games side by side.
///
/// # Errors
/// When an output cannot be read, the two have no game in common, or the JSON cannot be written.
pub fn compare(args: &CompareArgs) -> Result<Exit> {
    let [a, b] = [&args.a, &args.b].map(|place| (place.to_string(), tables_in(place)));
    let (a_store, b_store) = (a.1?, b.1?);
    let comparison = compare_outputs(
        &Output {
            place: a.0,
            store: a_store.as_ref(),
        },
        &Output {
            place: b.0,
            store: b_store.as_ref(),
        },
        args.by.as_deref(),
        args.jobs.map_or_else(workers, usize::from),
    )?;
    say(&comparison.to_text())?;
    if let Some(path) = &args.json {
        write_json(path, &comparison)?;
    }
    Ok(match (comparison.games, comparison.left_out.is_empty()) {
        (0, _) => Exit::NothingDone,
        (_, true) => Exit::AllDone,
        (_, false) => Exit::SomeFailed,
    })
}
