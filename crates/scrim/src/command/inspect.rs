//! `scrim inspect`

use anyhow::Result;

use crate::Exit;
use crate::cli::InspectArgs;
use crate::command::say;

/// Tells what was understood of a source, and what is wrong with it. [`Exit::AllDone`] when a run could use every
/// source, [`Exit::SomeFailed`] when it could use some, else [`Exit::NothingDone`].
///
/// # Errors
/// When there is no source, or a mapping is none.
pub fn inspect(args: &InspectArgs) -> Result<Exit> {
    let inspection = scrim_ingest::inspect(&args.path, args.mapping.as_deref())?;
    if args.json {
        let mut json = serde_json::to_string_pretty(&inspection)?;
        json.push('\n');
        say(&json)?;
    } else {
        say(&inspection.to_string())?;
    }
    let usable = inspection
        .sources
        .iter()
        .filter(|source| source.is_usable)
        .count();
    let all_is_well = inspection
        .sources
        .iter()
        .all(|source| source.refused_games.is_empty());
    Ok(if usable == 0 {
        Exit::NothingDone
    } else if usable < inspection.sources.len() || !all_is_well {
        Exit::SomeFailed
    } else {
        Exit::AllDone
    })
}
