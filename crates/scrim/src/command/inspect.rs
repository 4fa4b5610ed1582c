//! `scrim inspect`

use anyhow::Result;
use scrim_ingest::Inspection;

use crate::Exit;
use crate::cli::InspectArgs;
use crate::command::say;
use crate::inputs::Inputs;

/// Prints what was understood of a source, and what is wrong with it. [`Exit::AllDone`] when a run could use every
/// source, [`Exit::SomeFailed`] when it could use some, else [`Exit::NothingDone`].
///
/// # Errors
/// When there is no source, or a mapping is none.
pub fn inspect(args: &InspectArgs) -> Result<Exit> {
    let (inputs, found) = Inputs::find(&args.path, args.mapping.as_deref())?;
    let sources = found.sources.iter().map(|source| inputs.inspect(source));
    let inspection = Inspection {
        sources: sources.collect::<Result<_>>()?,
    };
    if args.json {
        let mut json = serde_json::to_string_pretty(&inspection)?;
        json.push('\n');
        say(&inputs.named(&json))?;
    } else {
        say(&inputs.named(&inspection.to_string()))?;
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
